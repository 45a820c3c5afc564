/**
 * The sampling circuit stepped through time, switch by switch: a second witness that shares no formula with the closed form.
 * Fourth-order Runge–Kutta; the pins not connected are stepped too.
 */
export interface Pin {
  voltage: number;
  sourceResistance: number;
  pinCapacitance: number;
}

export class Circuit {
  /** Voltage of each pin, V. */
  readonly pins: number[];
  /** Voltage on C_s, V. */
  held = 0;

  readonly channels: readonly Pin[];
  readonly switchResistance: number;
  readonly sampleCapacitance: number;
  /** Steps that each pass takes. */
  readonly steps: number;

  constructor(channels: readonly Pin[], switchResistance: number, sampleCapacitance: number, steps: number) {
    this.channels = channels;
    this.switchResistance = switchResistance;
    this.sampleCapacitance = sampleCapacitance;
    this.steps = steps;
    this.pins = channels.map((c) => c.voltage);
  }

  /** `time` with C_s on the channel, or on none. */
  pass(time: number, closed?: number): void {
    if (time <= 0) return;
    const n = this.pins.length;
    const slope = (state: number[]): number[] => {
      const through = (i: number): number =>
        i === closed ? (state[n]! - state[i]!) / this.switchResistance : 0;
      const pins = this.channels.map(
        (c, i) => ((c.voltage - state[i]!) / c.sourceResistance + through(i)) / c.pinCapacitance,
      );
      return [...pins, closed === undefined ? 0 : -through(closed) / this.sampleCapacitance];
    };
    const dt = time / this.steps;
    let state = [...this.pins, this.held];
    const ahead = (k: number[], by: number): number[] => state.map((v, i) => v + by * k[i]!);
    for (let s = 0; s < this.steps; s++) {
      const a = slope(state);
      const b = slope(ahead(a, dt / 2));
      const c = slope(ahead(b, dt / 2));
      const d = slope(ahead(c, dt));
      state = state.map((v, i) => v + (dt / 6) * (a[i]! + 2 * b[i]! + 2 * c[i]! + d[i]!));
    }
    this.held = state[n]!;
    for (let i = 0; i < n; i++) this.pins[i] = state[i]!;
  }
}

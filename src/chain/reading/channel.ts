/**
 * The channel: from the measurand to the code of one conversion and back, through sensor, divider and amplifier.
 *
 * In come the sensor and what stands between it and the pin; out comes an object that is asked in loops, so its methods take plain
 * numbers. Codes are fractional: the code whose bin has its centre at that voltage.
 */
import { choice, maybe, named, notNegative, or, positive, type Rule, real } from '../../numbers/guard.ts';
import { amplifier } from '../conditioning/amplifier.ts';
import { type SensorDivider, sensorDivider } from '../conditioning/sensorDivider.ts';
import { bitsRule, firstTransitionRule } from '../quantizing.ts';
import { record, type Sensor } from '../source/sensor.ts';

/** A point of a range, and how much of the measurand one native code is there. */
export interface CodeWidth {
  /** In the measurand's unit. */
  readonly measurand: number;
  /** Measurand per native code, above 0, in the measurand's unit. */
  readonly perCode: number;
}

/** From the measurand to the code and back. Every method refuses measurands outside the sensor's valid range by a RangeError. */
export interface Channel {
  /** Whether the code falls as the measurand rises. */
  readonly falling: boolean;
  /** Voltage at the pin over the reference; outside 0 … 1 where the converter cannot follow. */
  fraction(measurand: number): number;
  /** Fractional code, not clamped. */
  codeOf(measurand: number): number;
  /** The measurand for a fractional code; RangeError where the sensor has none. */
  measurandOf(code: number): number;
  /** |d measurand/d code|. */
  perCode(measurand: number): number;
  /** Resistance that drives the pin, Ω. */
  sourceResistance(measurand: number): number;
  /** Current from the excitation, A; 0 where nothing stands across it. */
  excitationCurrent(measurand: number): number;
}

const sensorRule: Rule<Sensor> = {
  allowed: 'a sensor whose electrical side is a resistance, a voltage or a ratio',
  keeps: (v): v is Sensor =>
    typeof v === 'object' &&
    v !== null &&
    ['resistance', 'voltage', 'ratio'].includes((v as Sensor).electrical),
};

/** A resistance, or one that changes with the measurand. */
type Resistance = number | ((measurand: number) => number);

const resistanceRule: Rule<Resistance> = {
  allowed: 'finite numbers of Ω from 0, or a function of the measurand that gives them',
  keeps: (v): v is Resistance => typeof v === 'function' || (Number.isFinite(v) && (v as number) >= 0),
};

const shape = {
  sensor: sensorRule,
  divider: maybe(record),
  excitation: maybe(positive('V')),
  load: maybe(positive('Ω')),
  outputResistance: or(resistanceRule, 0),
  amplifier: maybe(record),
  seriesResistor: or(notNegative('Ω'), 0),
  reference: positive('V'),
  bits: bitsRule,
  firstTransition: firstTransitionRule,
};

/**
 * A channel of a converter.
 *
 *     fraction = gain·(V − zero)/reference,   code = fraction·2^bits − firstTransition + ½
 *
 * with V the voltage of the sensor, or excitation·ratio of its divider or of the sensor itself. Where the wiring is ratiometric the excitation is the
 * reference, and neither matters.
 *
 * @param sensor - electrical side a resistance, then with `divider`, or a voltage, or a ratio to the excitation
 * @param divider - {resistor, side, leadResistance?}: the fixed resistor, Ω; where the sensor sits; resistance in series with it, Ω
 * @param excitation - voltage across the divider, or the sensor that gives a ratio to it, V; the reference where absent
 * @param load - what a sensor that gives a ratio is to the excitation, Ω; it draws nothing where absent
 * @param outputResistance - of a sensor without divider, Ω, or a function of the measurand; default 0
 * @param amplifier - {gain, zero, outputResistance}: voltage gain, not 0; input voltage at which the output is 0 V; Ω
 * @param seriesResistor - between all that and the pin, Ω; default 0
 * @param reference - reference voltage, V, > 0
 * @param bits - native bits N, 1 … 32
 * @param firstTransition - first code transition, LSB: 0.5 or 1
 * @returns the channel
 * @throws RangeError if an argument is outside its range, or a resistance comes without a divider
 *
 * @example
 * channel({ sensor: { electrical: 'voltage', validRange: { low: 0, high: 9 }, toElectrical: (m) => m / 4, slope: () => 1 / 4 }, reference: 2, bits: 12, firstTransition: 0.5 }).codeOf(4) // => 2048.0
 */
export function channel(given: {
  readonly sensor: Sensor;
  readonly divider?: {
    readonly resistor: number;
    readonly side: 'low' | 'high';
    readonly leadResistance?: number;
  };
  readonly excitation?: number;
  readonly load?: number;
  readonly outputResistance?: Resistance;
  readonly amplifier?: { readonly gain: number; readonly zero: number; readonly outputResistance: number };
  readonly seriesResistor?: number;
  readonly reference: number;
  readonly bits: number;
  readonly firstTransition: 0.5 | 1;
}): Channel {
  const { sensor, reference, bits, seriesResistor, firstTransition, outputResistance, ...a } = named(
    'channel',
    shape,
    given,
  );
  const divider = dividerOf(given);
  // Volts for each unit of the electrical side: the divider, or the sensor, gives a ratio.
  const scale = divider || sensor.electrical === 'ratio' ? (a.excitation ?? reference) : 1;
  const stage = given.amplifier && named('channel.amplifier', amplifierShape, given.amplifier);
  const electrical = stage
    ? amplifier({ sensor: divider ?? sensor, gain: stage.gain, offset: (-stage.gain * stage.zero) / scale })
    : (divider ?? sensor);
  const codes = 2 ** bits;
  const toCode = 0.5 - firstTransition;
  const fraction = (m: number) => (scale * electrical.toElectrical(m)) / reference;
  const own = typeof outputResistance === 'number' ? () => outputResistance : outputResistance;
  const drive = (m: number) => stage?.outputResistance ?? divider?.theveninResistance(m) ?? own(m);
  const load = a.load === undefined ? 0 : scale / a.load;
  const { low, high } = sensor.validRange;
  return {
    falling: fraction(high) < fraction(low),
    fraction,
    codeOf: (m) => fraction(m) * codes + toCode,
    measurandOf: (code) => electrical.toMeasurand((((code - toCode) / codes) * reference) / scale),
    perCode: (m) => reference / Math.abs(scale * electrical.slope(m) * codes),
    sourceResistance: (m) => drive(m) + seriesResistor,
    excitationCurrent: (m) => divider?.current(m, scale) ?? load,
  };
}

const dividerShape = {
  resistor: positive('Ω'),
  side: choice(['low', 'high']),
  leadResistance: or(notNegative('Ω'), 0),
};
const amplifierShape = { gain: real(''), zero: real('V'), outputResistance: notNegative('Ω') };

/** The sensor's divider, where it is a resistance. */
function dividerOf({ sensor, divider }: Parameters<typeof channel>[0]): SensorDivider | undefined {
  if ((sensor.electrical === 'resistance') !== (divider !== undefined)) {
    const got = divider === undefined ? 'none' : 'one';
    throw new RangeError(
      `channel.divider: got ${got}; allowed one where the sensor is a resistance, none where it gives a voltage or a ratio`,
    );
  }
  if (divider === undefined) return undefined;
  const { resistor, side, leadResistance } = named('channel.divider', dividerShape, divider);
  return sensorDivider({ sensor, resistor, side, seriesResistor: leadResistance });
}

/** Points of the range among which the widest and the narrowest code are looked for before the place is refined. */
const points = 64;

/**
 * Where over a range one code is widest and where narrowest.
 *
 * @param channel - the channel
 * @param low - low end of the range, in the measurand's unit, within the sensor's valid range
 * @param high - high end, above `low`
 * @returns both places; exact at the ends, to 1e-6 of the range inside
 */
export function codeWidths(of: Channel, low: number, high: number): { worst: CodeWidth; best: CodeWidth } {
  const at = (i: number) => (i === points ? high : low + ((high - low) * i) / points);
  const widths = Array.from({ length: points + 1 }, (_, i) => of.perCode(at(i)));
  const extreme = (sign: 1 | -1): CodeWidth => {
    let k = 0;
    for (let i = 1; i <= points; i++) if (sign * widths[i]! > sign * widths[k]!) k = i;
    if (k === 0 || k === points) return { measurand: at(k), perCode: widths[k]! };
    const measurand = peak((m) => sign * of.perCode(m), at(k - 1), at(k + 1), (high - low) * 1e-6);
    return { measurand, perCode: of.perCode(measurand) };
  };
  return { worst: extreme(1), best: extreme(-1) };
}

/** Where a function with one peak between two ends is highest, to a distance, by golden section. */
function peak(f: (x: number) => number, low: number, high: number, distance: number): number {
  const golden = (Math.sqrt(5) - 1) / 2;
  let [a, b] = [low, high];
  while (b - a > distance) {
    const c = b - golden * (b - a);
    const d = a + golden * (b - a);
    if (f(c) > f(d)) b = d;
    else a = c;
  }
  return (a + b) / 2;
}

/**
 * Divider: two resistors that bring a voltage, a battery's for instance, into the converter's range. Volts in, volts out.
 */
import { between, named, notNegative, or, positive } from '../../numbers/guard.ts';
import { type Interval, interval, type Sensor, sensorOf } from './sensor.ts';

/** A voltage divider, with what it does to what it measures and to the converter. */
export interface Divider extends Sensor {
  readonly kind: 'divider';
  /** Source resistance that the converter sees, Ω: both resistors in parallel. */
  readonly theveninResistance: number;
  /** Current it takes from what it measures, A, for volts. */
  current(volts: number): number;
  /** Shift of the reading, V, by a leakage current (A) into the tap. */
  leakageShift(leakage: number): number;
}

const shape = {
  upper: notNegative('Ω'),
  lower: positive('Ω'),
  resistorTolerance: or(between(0, 0.5, ''), 0),
  validRange: or(interval(0, 1e4, 'V'), { low: 0, high: 60 }),
};

/**
 * A voltage divider.
 *
 *     V_tap = V·lower/(upper + lower)
 *
 * @param upper - resistor between the voltage and the tap, Ω, ≥ 0
 * @param lower - resistor between the tap and ground, Ω, > 0
 * @param resistorTolerance - half-width of each resistor, relative, 0 … 0.5; default 0
 * @param validRange - V; default 0 … 60
 * @returns the sensor, voltage to voltage; `tolerance` in V is the worse corner of both resistors, present if `resistorTolerance` is above 0
 * @throws RangeError if an argument is outside its range
 *
 * @example
 * divider({ upper: 300000, lower: 100000 }).toElectrical(4.2) // => 1.05
 */
export function divider(given: {
  readonly upper: number;
  readonly lower: number;
  readonly resistorTolerance?: number;
  readonly validRange?: Interval;
}): Divider {
  const { upper, lower, resistorTolerance, validRange } = named('divider', shape, given);
  const share = (u: number, l: number) => l / (u + l);
  const gain = share(upper, lower);
  // Of the two far corners one reads high by more than the other reads low.
  const high = share(upper * (1 - resistorTolerance), lower * (1 + resistorTolerance)) / gain - 1;
  const low = 1 - share(upper * (1 + resistorTolerance), lower * (1 - resistorTolerance)) / gain;
  return {
    ...sensorOf('divider', {
      kind: 'divider',
      measurand: 'voltage',
      electrical: 'voltage',
      validRange,
      forward: (volts) => volts * gain,
      inverse: (tap) => tap / gain,
      slope: () => gain,
      ...(resistorTolerance > 0 && { tolerance: (volts: number) => volts * Math.max(high, low) }),
    }),
    kind: 'divider',
    theveninResistance: upper * gain,
    current: (volts) => volts / (upper + lower),
    leakageShift: (leakage) => leakage * upper,
  };
}

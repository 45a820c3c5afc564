/**
 * Current loop: a transmitter that sends its measurand as a current, and the resistor that turns it into volts.
 */
import { between, maybe, named, or, positive, real, refusal } from '../../numbers/guard.ts';
import { type Interval, interval, type Sensor, sensorOf, unitText } from './sensor.ts';

/** A current loop, with the current in it. */
export interface CurrentLoop extends Sensor {
  readonly kind: 'currentLoop';
  /** Current in the loop, A. */
  current(measurand: number): number;
}

const shape = {
  low: real(''),
  high: real(''),
  unit: unitText,
  resistance: positive('Ω'),
  currentAtLow: or(between(0, 1, 'A'), 0.004),
  currentAtHigh: or(between(0, 1, 'A'), 0.02),
  resistorTolerance: maybe(between(0, 0.5, '')),
  validRange: maybe(interval(-1e12, 1e12, '')),
};

/**
 * A current loop, by default 4 … 20 mA.
 *
 *     I = I_low + (I_high − I_low)·(m − low)/(high − low)          V = I·R
 *
 * With I_low above zero a broken loop reads 0 V, below every valid value.
 *
 * @param low - measurand at the low current, in `unit`
 * @param high - measurand at the high current, above `low`
 * @param unit - unit of the measurand, as text
 * @param resistance - the resistor R, Ω, > 0
 * @param currentAtLow - A, 0 … 1; default 0.004
 * @param currentAtHigh - A, 0 … 1, other than `currentAtLow`; default 0.02
 * @param resistorTolerance - half-width of R, relative, 0 … 0.5
 * @param validRange - in `unit`; default low … high
 * @returns the sensor, output in V; `tolerance`, first order, is present if `resistorTolerance` is stated
 * @throws RangeError if an argument is outside its range
 *
 * @example
 * currentLoop({ low: 0, high: 10, unit: 'bar', resistance: 100 }).toElectrical(5) // => 1.2
 */
export function currentLoop(given: {
  readonly low: number;
  readonly high: number;
  readonly unit: string;
  readonly resistance: number;
  readonly currentAtLow?: number;
  readonly currentAtHigh?: number;
  readonly resistorTolerance?: number;
  readonly validRange?: Interval;
}): CurrentLoop {
  const { low, high, unit, resistance, currentAtLow, currentAtHigh, resistorTolerance, validRange } = named(
    'currentLoop',
    shape,
    given,
  );
  if (!(high > low)) throw new RangeError(refusal('currentLoop.high', high, `values above low, ${low}`));
  if (currentAtHigh === currentAtLow) {
    throw new RangeError(
      refusal('currentLoop.currentAtHigh', currentAtHigh, 'currents other than currentAtLow'),
    );
  }
  const perUnit = (currentAtHigh - currentAtLow) / (high - low);
  const current = (m: number) => currentAtLow + (m - low) * perUnit;
  const sensor = sensorOf('currentLoop', {
    kind: 'currentLoop',
    measurand: 'quantity',
    unit,
    electrical: 'voltage',
    validRange: validRange ?? { low, high },
    forward: (m) => current(m) * resistance,
    inverse: (volts) => low + (volts / resistance - currentAtLow) / perUnit,
    slope: () => perUnit * resistance,
    ...(resistorTolerance !== undefined && {
      tolerance: (m: number) => (resistorTolerance * current(m)) / Math.abs(perUnit),
    }),
  });
  return { ...sensor, kind: 'currentLoop', current: (m) => sensor.toElectrical(m) / resistance };
}

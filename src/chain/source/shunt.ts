/**
 * Shunt: a small resistor in the path of a current. Amperes in, volts out.
 */
import { between, maybe, named, positive } from '../../numbers/guard.ts';
import { type Interval, interval, type Sensor, sensorOf } from './sensor.ts';

/** A shunt, with what it takes from the circuit. */
export interface Shunt extends Sensor {
  readonly kind: 'shunt';
  /** Power turned into heat, W, for amperes. */
  power(amperes: number): number;
}

const shape = {
  resistance: positive('Ω'),
  validRange: interval(-1e4, 1e4, 'A'),
  resistorTolerance: maybe(between(0, 0.5, '')),
};

/**
 * A shunt resistor.
 *
 *     V = I·R
 *
 * @param resistance - R, Ω, > 0
 * @param validRange - A
 * @param resistorTolerance - half-width of R, relative, 0 … 0.5
 * @returns the sensor, output in V; `tolerance` in A, first order, is present if `resistorTolerance` is stated
 * @throws RangeError if an argument is outside its range
 *
 * @example
 * shunt({ resistance: 0.1, validRange: { low: 0, high: 1 } }).toElectrical(0.25) // => 0.025
 */
export function shunt(given: {
  readonly resistance: number;
  readonly validRange: Interval;
  readonly resistorTolerance?: number;
}): Shunt {
  const { resistance, validRange, resistorTolerance } = named('shunt', shape, given);
  return {
    ...sensorOf('shunt', {
      kind: 'shunt',
      measurand: 'current',
      electrical: 'voltage',
      validRange,
      forward: (amperes) => amperes * resistance,
      inverse: (volts) => volts / resistance,
      slope: () => resistance,
      ...(resistorTolerance !== undefined && {
        tolerance: (amperes: number) => Math.abs(amperes) * resistorTolerance,
      }),
    }),
    kind: 'shunt',
    power: (amperes) => amperes ** 2 * resistance,
  };
}

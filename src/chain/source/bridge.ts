/**
 * Bridge: four resistors of which the measurand unbalances some, as in a load cell. The measurand in, ratio to the excitation out.
 */
import { maybe, named, notNegative, or, positive, real } from '../../numbers/guard.ts';
import { type Interval, interval, type Sensor, sensorOf, unitText } from './sensor.ts';

const shape = {
  sensitivity: positive('V/V'),
  fullScale: positive(''),
  unit: unitText,
  zero: or(real('V/V'), 0),
  tolerance: maybe(notNegative('')),
  validRange: maybe(interval(-1e12, 1e12, '')),
};

/**
 * A bridge whose output is in proportion to its measurand and to its excitation.
 *
 *     x = zero + sensitivity·m/fullScale
 *
 * @param sensitivity - output at full scale over the excitation, V/V, > 0: 0.002 for 2 mV/V
 * @param fullScale - measurand of that output, in `unit`, > 0
 * @param unit - unit of the measurand, as text
 * @param zero - output without load over the excitation, V/V; default 0
 * @param tolerance - half-width of the error, in `unit`, ≥ 0
 * @param validRange - in `unit`; default 0 … fullScale
 * @returns the sensor, ratio to the excitation
 * @throws RangeError if an argument is outside its range
 *
 * @example
 * bridge({ sensitivity: 0.002, fullScale: 50, unit: 'kg' }).toElectrical(10) // => 0.0004
 */
export function bridge(given: {
  readonly sensitivity: number;
  readonly fullScale: number;
  readonly unit: string;
  readonly zero?: number;
  readonly tolerance?: number;
  readonly validRange?: Interval;
}): Sensor {
  const { sensitivity, fullScale, unit, zero, tolerance, validRange } = named('bridge', shape, given);
  return sensorOf('bridge', {
    kind: 'bridge',
    measurand: 'quantity',
    unit,
    electrical: 'ratio',
    validRange: validRange ?? { low: 0, high: fullScale },
    forward: (m) => zero + (sensitivity * m) / fullScale,
    inverse: (x) => ((x - zero) * fullScale) / sensitivity,
    slope: () => sensitivity / fullScale,
    ...(tolerance !== undefined && { tolerance: () => tolerance }),
  });
}

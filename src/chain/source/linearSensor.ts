/**
 * Linear temperature sensor: a part whose output is a straight line, so many volts per degree. Temperature in °C in, volts out.
 */
import { maybe, named, notNegative, or, type Rule, real } from '../../numbers/guard.ts';
import { type Interval, type Sensor, sensorOf, temperatureRange } from './sensor.ts';

const slopeRule: Rule<number> = {
  allowed: 'finite numbers of V/K other than 0',
  keeps: (v): v is number => Number.isFinite(v) && v !== 0,
};

const shape = {
  voltsPerDegree: slopeRule,
  voltsAtZero: real('V'),
  tolerance: maybe(notNegative('K')),
  validRange: or(temperatureRange, { low: -55, high: 150 }),
};

/**
 * A sensor with a straight line for its curve.
 *
 *     V = voltsAtZero + voltsPerDegree·t
 *
 * @param voltsPerDegree - slope, V/K, not 0; negative for a junction
 * @param voltsAtZero - output at 0 °C, V
 * @param tolerance - half-width of the temperature error, K, ≥ 0
 * @param validRange - °C; default −55 … 150 (common practice, no source)
 * @returns the sensor, output in V
 * @throws RangeError if an argument is outside its range
 *
 * @example
 * linearSensor({ voltsPerDegree: 0.01, voltsAtZero: 0.5 }).toElectrical(25) // => 0.75
 */
export function linearSensor(given: {
  readonly voltsPerDegree: number;
  readonly voltsAtZero: number;
  readonly tolerance?: number;
  readonly validRange?: Interval;
}): Sensor {
  const { voltsPerDegree, voltsAtZero, tolerance, validRange } = named('linearSensor', shape, given);
  return sensorOf('linearSensor', {
    kind: 'linear',
    measurand: 'temperature',
    electrical: 'voltage',
    validRange,
    forward: (t) => voltsAtZero + voltsPerDegree * t,
    inverse: (volts) => (volts - voltsAtZero) / voltsPerDegree,
    slope: () => voltsPerDegree,
    ...(tolerance !== undefined && { tolerance: () => tolerance }),
  });
}

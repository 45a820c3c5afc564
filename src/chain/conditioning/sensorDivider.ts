/**
 * A resistive sensor in a divider: the sensor and one fixed resistor across the excitation, the converter at the joint.
 *
 * In goes the measurand, out comes the voltage at the joint as a ratio to the excitation. Where the excitation is the converter's
 * reference too, that ratio is the code over 2^N and no voltage needs to be known: the wiring is ratiometric.
 */
import { between, choice, named, notNegative, or, positive, type Rule } from '../../numbers/guard.ts';
import { type Sensor, sensorOf } from '../source/sensor.ts';

/** A sensor whose electrical side is a ratio to the excitation, with what its wiring brings. */
export interface SensorDivider extends Sensor {
  readonly kind: 'divider';
  readonly electrical: 'ratio';
  /** Ratio with the sensor's wire broken: 1 with the sensor on the low side, 0 on the high side. */
  readonly openRatio: number;
  /** Ratio with the sensor shorted. */
  readonly shortRatio: number;
  /** Source resistance that the converter sees, Ω: both legs in parallel. */
  theveninResistance(measurand: number): number;
  /** Current from the excitation, A, for `excitation` in V. */
  current(measurand: number, excitation: number): number;
  /**
   * Rise of the sensor above what it should measure, by the power it turns into heat, K, while the excitation (V) is on;
   * `dissipation` is the sensor's dissipation constant in W/K. Exact where `measurand` is the sensor's own temperature, as read.
   * Excitation that is on for a fraction d of the time, in bursts short against the sensor's thermal time constant, gives d times as much.
   */
  selfHeating(measurand: number, excitation: number, dissipation: number): number;
  /** Shift of the reading, in the measurand's unit, to first order, by a leakage current (A) into the joint. */
  leakageShift(measurand: number, leakage: number, excitation: number): number;
}

/** A rule for a sensor whose electrical side is a resistance. */
export const resistiveSensor: Rule<Sensor> = {
  allowed: "a sensor whose electrical side is 'resistance'",
  keeps: (v): v is Sensor => typeof v === 'object' && v !== null && (v as Sensor).electrical === 'resistance',
};

const shape = {
  sensor: resistiveSensor,
  resistor: positive('Ω'),
  side: or(choice(['low', 'high']), 'low'),
  seriesResistor: or(notNegative('Ω'), 0),
  resistorTolerance: or(between(0, 0.5, ''), 0),
};

/**
 * A resistive sensor in a divider.
 *
 *     x = S/(S + R) with the sensor on the low side, R/(S + R) on the high side;  S = sensor + seriesResistor
 *
 * @param sensor - the sensor, resistance in Ω
 * @param resistor - the fixed resistor R of the other leg, Ω, > 0
 * @param side - where the sensor is: 'low', between joint and ground (default), or 'high', between excitation and joint
 * @param seriesResistor - resistor in series with the sensor, in its leg, Ω, ≥ 0; default 0. It keeps a shorted sensor's level off the rail.
 * @param resistorTolerance - half-width of R, relative, 0 … 0.5; default 0
 * @returns the sensor with a ratio for its electrical side; `tolerance` is the sensor's own plus, to first order, that of R
 * @throws RangeError if an argument is outside its range
 *
 * @example
 * sensorDivider({ sensor: { electrical: 'resistance', validRange: { low: 0, high: 9 }, toElectrical: (m) => 100 * m }, resistor: 300 }).toElectrical(3) // => 0.5
 */
export function sensorDivider(given: {
  readonly sensor: Sensor;
  readonly resistor: number;
  readonly side?: 'low' | 'high';
  readonly seriesResistor?: number;
  readonly resistorTolerance?: number;
}): SensorDivider {
  const { sensor, resistor, side, seriesResistor, resistorTolerance } = named('sensorDivider', shape, given);
  const { low, high } = sensor.validRange;
  const ends = [sensor.toElectrical(low), sensor.toElectrical(high)] as const;
  const least = Math.min(...ends);
  const most = Math.max(...ends);
  const leg = (m: number) => sensor.toElectrical(m) + seriesResistor;
  const ratio = (s: number) => (side === 'low' ? s : resistor) / (s + resistor);
  const slope = (m: number) => {
    const s = leg(m);
    return ((side === 'low' ? resistor : -resistor) * sensor.slope(m)) / (s + resistor) ** 2;
  };
  const thevenin = (m: number) => {
    const s = leg(m);
    return (s * resistor) / (s + resistor);
  };
  const current = (m: number, excitation: number) => excitation / (leg(m) + resistor);
  // The resistor's relative error moves the ratio by x(1 − x).
  const byResistor = (m: number) =>
    (resistorTolerance * thevenin(m)) / (Math.abs(slope(m)) * (leg(m) + resistor));

  return {
    ...sensorOf('sensorDivider', {
      kind: 'divider',
      measurand: sensor.measurand,
      ...(sensor.unit !== undefined && { unit: sensor.unit }),
      electrical: 'ratio',
      validRange: sensor.validRange,
      forward: (m) => ratio(leg(m)),
      inverse: (x) => {
        const s = side === 'low' ? (resistor * x) / (1 - x) : (resistor * (1 - x)) / x;
        return sensor.toMeasurand(Math.min(Math.max(s - seriesResistor, least), most));
      },
      slope,
      ...((resistorTolerance > 0 || sensor.tolerance) && {
        tolerance: (m: number) => (sensor.tolerance?.(m) ?? 0) + byResistor(m),
      }),
    }),
    kind: 'divider',
    electrical: 'ratio',
    openRatio: side === 'low' ? 1 : 0,
    shortRatio: ratio(seriesResistor),
    theveninResistance: thevenin,
    current,
    selfHeating: (m, excitation, dissipation) =>
      (current(m, excitation) ** 2 * sensor.toElectrical(m)) / dissipation,
    leakageShift: (m, leakage, excitation) => (leakage * thevenin(m)) / (excitation * slope(m)),
  };
}

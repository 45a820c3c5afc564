/**
 * Sensors: what turns the measurand into something electrical.
 *
 * A sensor is made once from its parameters and then asked in loops, so its methods take plain numbers. In goes the measurand
 * (a temperature in °C, say), out comes a resistance, a voltage or a ratio; and back. Outside the valid range the answer is an error.
 */
import { type Rule, refusal } from '../../numbers/guard.ts';

/** A closed interval, low < high. */
export interface Interval {
  readonly low: number;
  readonly high: number;
}

/** A sensor, made by `thermistor`, `platinum` and the like, or by a stage of conditioning around one. */
export interface Sensor {
  readonly kind:
    | 'thermistor'
    | 'platinum'
    | 'linear'
    | 'die'
    | 'thermocouple'
    | 'potentiometer'
    | 'table'
    | 'shunt'
    | 'currentLoop'
    | 'bridge'
    | 'divider';
  /** What it measures: 'temperature' in °C, 'voltage' in V, 'current' in A, 'ratio' of 1, or a 'quantity' in the unit named by `unit`. */
  readonly measurand: 'temperature' | 'voltage' | 'current' | 'ratio' | 'quantity';
  /** Unit of the measurand; only where it is a 'quantity'. */
  readonly unit?: string;
  /** The electrical side: 'resistance' in Ω, 'voltage' in V, 'current' in A, or 'ratio' to the excitation. */
  readonly electrical: 'resistance' | 'voltage' | 'current' | 'ratio';
  /** The measurand's range outside of which every method throws a RangeError. */
  readonly validRange: Interval;
  /** The electrical side for a measurand. */
  toElectrical(measurand: number): number;
  /** The measurand for an electrical value; the inverse of `toElectrical`. */
  toMeasurand(electrical: number): number;
  /** d electrical / d measurand. */
  slope(measurand: number): number;
  /** Half-width of the measurand's error by the sensor's own tolerance, in the measurand's unit, ≥ 0; absent where no tolerance was stated. */
  tolerance?(measurand: number): number;
}

/** The mathematics of a sensor, without guards: a strictly monotone curve over `validRange`. */
export type Curve = Omit<Sensor, 'toElectrical' | 'toMeasurand'> & {
  forward(measurand: number): number;
  inverse(electrical: number): number;
};

const units = {
  temperature: '°C',
  voltage: 'V',
  current: 'A',
  ratio: '',
  quantity: '',
  resistance: 'Ω',
} as const;

/** A rule for an object whose fields are read by a shape of their own. */
export const record: Rule<object> = {
  allowed: 'an object',
  keeps: (v): v is object => typeof v === 'object' && v !== null && !Array.isArray(v),
};

/** A rule for the unit of a measurand. */
export const unitText: Rule<string> = {
  allowed: 'the unit as text',
  keeps: (v): v is string => typeof v === 'string',
};

/** A rule for a valid range within `low … high` of `unit`. */
export const interval = (low: number, high: number, unit: string): Rule<Interval> => ({
  allowed: `{low, high} with ${low} ≤ low < high ≤ ${high}${unit && ` ${unit}`}`,
  keeps: (v): v is Interval => {
    if (typeof v !== 'object' || v === null) return false;
    const range = v as Interval;
    return (
      [range.low, range.high].every(Number.isFinite) &&
      low <= range.low &&
      range.low < range.high &&
      range.high <= high
    );
  },
});

/** Absolute zero, °C (exact). */
export const absoluteZero = -273.15;

/** The valid range of a temperature sensor: any that starts above absolute zero. */
export const temperatureRange = interval(-273, 3000, '°C');

/** `value`, or a RangeError that names the place and the range. */
function inside(place: string, value: number, low: number, high: number, unit: string): number {
  if (value >= low && value <= high) return value;
  throw new RangeError(refusal(place, value, `${low} … ${high}${unit && ` ${unit}`}`));
}

/** Part of the electrical span by which rounding may carry a curve past its end, in `sensorOf`. */
const rounding = 1e-12;

/**
 * A sensor from its curve: every method refuses values outside the valid range (the electrical side: outside its image, but for the
 * rounding of the curve), and the inverse stays in it to the last digit, so that what it returns can be put in again.
 *
 * @param caller - name of the function that makes the sensor, for messages
 * @throws RangeError if the curve is not finite, or its ends do not differ, over the valid range
 */
export function sensorOf(caller: string, curve: Curve): Sensor {
  const { forward, inverse, slope, tolerance, ...facts } = curve;
  const { low, high } = curve.validRange;
  const unit = curve.unit ?? units[curve.measurand];
  const [least, most] = [forward(low), forward(high)].sort((a, b) => a - b) as [number, number];
  if (!(Number.isFinite(least) && Number.isFinite(most) && least < most)) {
    throw new RangeError(
      `${caller}.validRange: got ${low} … ${high}; allowed a range over which the curve is finite and keeps rising or falling`,
    );
  }
  const measurandAt = (method: string, m: number) => inside(`${caller}.${method}`, m, low, high, unit);
  return {
    ...facts,
    toElectrical: (m) => forward(measurandAt('toElectrical', m)),
    toMeasurand: (e) => {
      const slack = rounding * (most - least);
      if (!(e >= least - slack && e <= most + slack)) {
        inside(`${caller}.toMeasurand`, e, least, most, units[curve.electrical]);
      }
      return Math.min(Math.max(inverse(Math.min(Math.max(e, least), most)), low), high);
    },
    slope: (m) => slope(measurandAt('slope', m)),
    ...(tolerance && { tolerance: (m: number) => tolerance(measurandAt('tolerance', m)) }),
  };
}

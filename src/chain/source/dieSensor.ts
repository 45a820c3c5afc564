/**
 * Die sensor: the temperature sensor inside a controller, with two codes the factory stored. Temperature in °C in, volts out.
 *
 * The stored codes are in parts of the factory's reference and of its result width. The sensor's voltage does not follow the
 * reference, so the codes are turned into volts once; a reading taken with another reference or width is turned into volts by its own.
 */
import { between, choice, named, notNegative, or, positive, refusal, whole } from '../../numbers/guard.ts';
import { type Interval, record, type Sensor, sensorOf, temperatureRange } from './sensor.ts';

/** A stored point of a die sensor. */
export interface FactoryPoint {
  /** Temperature at which the factory took the code, °C. */
  readonly celsius: number;
  /** The code it stored, at the factory's reference and result width. */
  readonly code: number;
}

/** A die sensor, which also reads codes. */
export interface DieSensor extends Sensor {
  readonly kind: 'die';
  /**
   * The temperature, °C, for a code (fractional allowed) taken now.
   * `bits` is the width of that result and `reference` the reference voltage now, in V: neither need be the factory's.
   */
  measurandFromCode(code: number, bits: number, reference: number): number;
}

const width = whole(1, 32);
const shape = {
  low: record,
  high: record,
  bits: width,
  reference: positive('V'),
  firstTransition: or(choice([0.5, 1]), 0.5),
  tolerance: or(notNegative('K'), 0),
  validRange: or(temperatureRange, { low: -40, high: 125 }),
};

/**
 * A die sensor from its two stored points.
 *
 *     V = (code + firstTransition − ½)·reference/2^bits at each point, and the straight line through both
 *
 * A reading at another reference needs that reference's present value: where the supply is the reference, measure the supply first
 * (`supplyFromReference`).
 *
 * @param low - the colder stored point, {celsius, code}: °C; code 0 … 2^bits − 1
 * @param high - the warmer stored point, likewise; its code differs
 * @param bits - result width of the stored codes, 1 … 32
 * @param reference - reference voltage at which the factory took them, V, > 0
 * @param firstTransition - first code transition of the converter, LSB: 0.5 or 1; default 0.5
 * @param tolerance - half-width of the factory's temperatures, K, ≥ 0; default 0
 * @param validRange - °C; default −40 … 125 (common practice, no source)
 * @returns the sensor, output in V; `tolerance` in K adds half a code at each stored point, carried along the line (beyond the points it grows)
 * @throws RangeError if an argument is outside its range
 *
 * @example
 * dieSensor({ low: { celsius: 30, code: 1035 }, high: { celsius: 110, code: 1380 }, bits: 12, reference: 3 }).measurandFromCode(1035, 12, 3) // => 30.000
 */
export function dieSensor(given: {
  readonly low: FactoryPoint;
  readonly high: FactoryPoint;
  readonly bits: number;
  readonly reference: number;
  readonly firstTransition?: 0.5 | 1;
  readonly tolerance?: number;
  readonly validRange?: Interval;
}): DieSensor {
  const { bits, reference, firstTransition, tolerance, validRange, ...points } = named(
    'dieSensor',
    shape,
    given,
  );
  const point = { celsius: between(-273, 3000, '°C'), code: between(0, 2 ** bits - 1, '') };
  const low = named('dieSensor.low', point, points.low);
  const high = named('dieSensor.high', point, points.high);
  if (!(high.celsius > low.celsius)) {
    throw new RangeError(
      refusal('dieSensor.high.celsius', high.celsius, `temperatures above low.celsius, ${low.celsius} °C`),
    );
  }
  if (high.code === low.code) {
    throw new RangeError(refusal('dieSensor.high.code', high.code, `codes other than low.code, ${low.code}`));
  }
  const span = high.celsius - low.celsius;
  const q = reference / 2 ** bits;
  const codesPerDegree = (high.code - low.code) / span;
  const voltsAtLow = (low.code + firstTransition - 0.5) * q;
  const sensor = sensorOf('dieSensor', {
    kind: 'die',
    measurand: 'temperature',
    electrical: 'voltage',
    validRange,
    forward: (t) => voltsAtLow + (t - low.celsius) * codesPerDegree * q,
    inverse: (volts) => low.celsius + (volts - voltsAtLow) / (codesPerDegree * q),
    slope: () => codesPerDegree * q,
    tolerance: (t) =>
      tolerance +
      (0.5 * (Math.abs(high.celsius - t) + Math.abs(t - low.celsius))) / (span * Math.abs(codesPerDegree)),
  });
  return {
    ...sensor,
    kind: 'die',
    measurandFromCode: (code, presentBits, presentReference) =>
      sensor.toMeasurand(((code + firstTransition - 0.5) * presentReference) / 2 ** presentBits),
  };
}

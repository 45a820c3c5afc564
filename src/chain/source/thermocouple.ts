/**
 * Thermocouple: two wires whose emf follows the difference between the hot end and the cold junction. Temperature of the hot end in
 * °C in, volts out.
 */
import { between, choice, maybe, named, notNegative, or, real } from '../../numbers/guard.ts';
import { record, type Sensor, sensorOf } from './sensor.ts';
import {
  type InversePiece,
  type ReferencePiece,
  type ThermocoupleReference,
  thermocoupleReferences,
} from './thermocoupleReferences.ts';

/** A letter-designated type. */
export type ThermocoupleType = keyof typeof thermocoupleReferences;

/** Tolerance as the classes state it: the larger of a constant and a share of |t|. */
export interface ThermocoupleTolerance {
  /** Constant half-width, K, ≥ 0. */
  readonly kelvin: number;
  /** Half-width relative to |t| in °C, ≥ 0. */
  readonly relative: number;
}

/** A thermocouple, with the published approximation that firmware uses and the weight of its cold junction. */
export interface Thermocouple extends Sensor {
  readonly kind: 'thermocouple';
  /** The temperature, °C, by the published inverse polynomials: cheap, and up to 0.06 K off the reference function. */
  polynomialMeasurand(volts: number): number;
  /** d measurand / d cold junction, K/K: what an error of the cold junction's temperature does to the reading, with its sign. */
  coldJunctionSensitivity(measurand: number): number;
}

const shape = {
  type: choice(Object.keys(thermocoupleReferences) as ThermocoupleType[]),
  coldJunction: or(real('°C'), 0),
  tolerance: maybe(record),
};

const polynomial = (coefficients: readonly number[], x: number): number =>
  coefficients.reduceRight((sum, c) => sum * x + c, 0);

/** The piece of ascending pieces that holds x. */
const pieceAt = <P extends ReferencePiece | InversePiece>(pieces: readonly P[], x: number): P =>
  pieces.find(({ high }) => x <= high) ?? pieces.at(-1)!;

/** E(t), mV. */
function emf({ pieces }: ThermocoupleReference, t: number): number {
  const { c, exponential } = pieceAt(pieces, t);
  const sum = polynomial(c, t);
  if (!exponential) return sum;
  const [a0, a1, a2] = exponential;
  return sum + a0 * Math.exp(a1 * (t - a2) ** 2);
}

/** dE/dt, mV/K. */
function seebeck({ pieces }: ThermocoupleReference, t: number): number {
  const { c, exponential } = pieceAt(pieces, t);
  let sum = 0;
  for (let i = c.length - 1; i > 0; i--) sum = sum * t + i * c[i]!;
  if (!exponential) return sum;
  const [a0, a1, a2] = exponential;
  return sum + 2 * a0 * a1 * (t - a2) * Math.exp(a1 * (t - a2) ** 2);
}

/** t by the published approximate inverse, °C, for mV. */
const approximate = ({ inverse }: ThermocoupleReference, e: number): number =>
  polynomial(pieceAt(inverse, e).d, e);

/** t for mV: the approximate inverse, improved by Newton's method on the reference function until nothing is left (0.06 K, 1e-5, 1e-12). */
function temperature(reference: ThermocoupleReference, e: number): number {
  let t = approximate(reference, e);
  for (let i = 0; i < 4; i++) t -= (emf(reference, t) - e) / seebeck(reference, t);
  return t;
}

/**
 * A thermocouple of type B, E, J, K, N, R, S or T.
 *
 *     V = E(t) − E(coldJunction)          t = E⁻¹(V + E(coldJunction))
 *
 * E is the reference function of 1990's scale; its inverse here is exact. The pieces of E meet within 1e-7 mV, 2 µK. The valid range
 * is that of the published inverse, which leaves out the ends where the emf hardly changes.
 *
 * @param type - 'B', 'E', 'J', 'K', 'N', 'R', 'S' or 'T'
 * @param coldJunction - temperature of the cold junction, °C, within the range of E; default 0
 * @param tolerance - {kelvin, relative}: half-width as the larger of both, relative to |t| in °C
 * @returns the sensor, output in V
 * @throws RangeError if an argument is outside its range
 * @see [SRD60] coefficients
 *
 * @example
 * thermocouple({ type: 'K' }).toElectrical(100) // => 0.004096230219
 * thermocouple({ type: 'K', coldJunction: 25 }).polynomialMeasurand(0.01) // => 270.727936
 * thermocouple({ type: 'K', coldJunction: 25 }).toMeasurand(0.01) // => 270.713685
 */
export function thermocouple(given: {
  readonly type: ThermocoupleType;
  readonly coldJunction?: number;
  readonly tolerance?: ThermocoupleTolerance;
}): Thermocouple {
  const { type, coldJunction, tolerance } = named('thermocouple', shape, given);
  const reference: ThermocoupleReference = thermocoupleReferences[type];
  const high = reference.pieces.at(-1)!.high;
  named('thermocouple', { coldJunction: between(reference.low, high, '°C') }, { coldJunction });
  const stated =
    tolerance &&
    named('thermocouple.tolerance', { kelvin: notNegative('K'), relative: notNegative('') }, tolerance);

  const cold = emf(reference, coldJunction);
  const sensor = sensorOf('thermocouple', {
    kind: 'thermocouple',
    measurand: 'temperature',
    electrical: 'voltage',
    validRange: { low: reference.inverseLow, high },
    forward: (t) => (emf(reference, t) - cold) / 1000,
    inverse: (volts) => temperature(reference, volts * 1000 + cold),
    slope: (t) => seebeck(reference, t) / 1000,
    ...(stated && { tolerance: (t: number) => Math.max(stated.kelvin, stated.relative * Math.abs(t)) }),
  });
  return {
    ...sensor,
    kind: 'thermocouple',
    polynomialMeasurand: (volts) => {
      sensor.toMeasurand(volts);
      return approximate(reference, volts * 1000 + cold);
    },
    coldJunctionSensitivity: (t) => seebeck(reference, coldJunction) / (sensor.slope(t) * 1000),
  };
}

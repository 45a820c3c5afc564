/**
 * Platinum resistance thermometer. Temperature in °C in, resistance in Ω out.
 */
import { choice, maybe, named, positive } from '../../numbers/guard.ts';
import { type Sensor, sensorOf } from './sensor.ts';

/** Coefficients of the industrial platinum thermometer: [IEC60751] 4.2. */
const A = 3.9083e-3;
const B = -5.775e-7;
const C = -4.183e-12;

/** Tolerance in K: constant part, and part for each degree of |t|: [IEC60751] table 3. */
const classes = { AA: [0.1, 0.0017], A: [0.15, 0.002], B: [0.3, 0.005], C: [0.6, 0.01] } as const;

const shape = { r0: positive('Ω'), class: maybe(choice(['AA', 'A', 'B', 'C'])) };

/** R/R0 − 1 */
const excess = (t: number): number => t * (A + B * t + (t < 0 ? C * (t - 100) * t * t : 0));

/** d(R/R0)/dt, 1/K */
const gradient = (t: number): number => A + 2 * B * t + (t < 0 ? C * (4 * t - 300) * t * t : 0);

/** The temperature for R/R0 − 1: the quadratic's root, below 0 °C improved by Newton's method until nothing is left (a start 2.5 K off at most, then 1e-3, 1e-10, 0). */
function temperature(d: number): number {
  let t = (2 * d) / (A + Math.sqrt(A * A + 4 * B * d));
  if (d < 0) for (let i = 0; i < 4; i++) t -= (excess(t) - d) / gradient(t);
  return t;
}

/**
 * A platinum thermometer, −200 … 850 °C.
 *
 *     R = R0·(1 + A·t + B·t² + [t < 0] C·(t − 100)·t³)
 *
 * The class tolerances are half-widths in K and are returned over the whole range; the standard grants them over less (wire-wound:
 * AA −50 … 250, A −100 … 450, B and C −196 … 600 °C; from memory).
 *
 * @param r0 - resistance at 0 °C, Ω, > 0: 100, 500, 1000
 * @param class - tolerance class: AA 0.1 + 0.0017·|t|, A 0.15 + 0.002·|t|, B 0.3 + 0.005·|t|, C 0.6 + 0.01·|t|, in K
 * @returns the sensor, resistance in Ω; `tolerance` in K is present if a class is stated
 * @throws RangeError if an argument is outside its range
 * @see [IEC60751] 4.2 (equations), table 1 (values), table 3 (classes)
 *
 * @example
 * platinum({ r0: 100 }).toElectrical(100) // => 138.5055
 * platinum({ r0: 1000 }).toMeasurand(602.558) // => -100.000099
 */
export function platinum(given: { readonly r0: number; readonly class?: keyof typeof classes }): Sensor {
  const { r0, class: grade } = named('platinum', shape, given);
  return sensorOf('platinum', {
    kind: 'platinum',
    measurand: 'temperature',
    electrical: 'resistance',
    validRange: { low: -200, high: 850 },
    forward: (t) => r0 * (1 + excess(t)),
    inverse: (ohms) => temperature((ohms - r0) / r0),
    slope: (t) => r0 * gradient(t),
    ...(grade && { tolerance: (t: number) => classes[grade][0] + classes[grade][1] * Math.abs(t) }),
  });
}

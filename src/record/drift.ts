/**
 * Drift: the straight line through a record, by least squares.
 *
 * Values come in, or exact sums over codes; out go the line and how far its slope can be trusted if what is left is white noise.
 */
import { named, numbers, positive } from '../numbers/guard.ts';
import { ratio } from './ratio.ts';
import type { CodeSums } from './sums.ts';

/** A line through a record. */
export interface Drift {
  /** Slope b; in the unit of the values per second, or per code. */
  readonly slope: number;
  /** The line at the first value, a, in the unit of the values. */
  readonly start: number;
  /** Standard uncertainty of the slope if what is left is white, in the unit of the slope. */
  readonly slopeUncertainty: number;
  /** Standard deviation about the line, divisor M − 2, in the unit of the values. */
  readonly residual: number;
}

/**
 * The line through codes, from exact sums over at least 3 of them; slope per code.
 *
 *     b = 12·(Σ i·x − (M − 1)/2·Σ x)/(M·(M² − 1))
 */
export function driftOfSums({ count, sum, squares, moments }: CodeSums): Drift {
  const m = BigInt(count);
  // Whole numbers throughout: u = 2·Σ i·x − (M − 1)·Σ x, w = M·(M² − 1), and the scatter about the line over 1/(M·w).
  const u = 2n * moments - (m - 1n) * sum;
  const w = m * (m * m - 1n);
  const slope = ratio(6n * u, w);
  const left = (m * squares - sum * sum) * w - 3n * m * u * u;
  const residual = Math.sqrt(Math.max(0, ratio(left, m * w * (m - 2n))));
  return {
    slope,
    start: ratio(sum, m) - (slope * (count - 1)) / 2,
    slopeUncertainty: residual * Math.sqrt(ratio(12n, w)),
    residual,
  };
}

/**
 * Drift of a record: the line through it by least squares.
 *
 *     x[i] ≈ start + slope·i/rate
 *
 * @param values - record of M values in any unit, M from 3; not modified
 * @param rate - values per second, Hz, above 0
 * @returns the line; slope in the unit of the values per second
 * @throws RangeError for an argument outside its range
 * @see [SP1065] 12.4 for the values it was checked with
 *
 * drift({ values: [892, 809, 823, 798, 671, 644, 883, 903, 677], rate: 1 }).slope // => -10.2
 */
export function drift(given: { values: ArrayLike<number>; rate: number }): Drift {
  const { values, rate } = named('drift', { values: numbers(3), rate: positive('Hz') }, given);
  const count = values.length;
  const middle = (count - 1) / 2;
  let mean = 0;
  for (let i = 0; i < count; i++) mean += (values[i]! - mean) / (i + 1);
  let moment = 0;
  for (let i = 0; i < count; i++) moment += (i - middle) * (values[i]! - mean);
  const spread = (count * (count * count - 1)) / 12;
  const slope = moment / spread;
  let squares = 0;
  for (let i = 0; i < count; i++) squares += (values[i]! - mean - slope * (i - middle)) ** 2;
  const residual = Math.sqrt(squares / (count - 2));
  return {
    slope: slope * rate,
    start: mean - slope * middle,
    slopeUncertainty: (residual / Math.sqrt(spread)) * rate,
    residual,
  };
}

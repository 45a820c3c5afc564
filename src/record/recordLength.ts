/**
 * Record length: how many independent values tell a noise, a mean or a spectrum to a wanted confidence.
 */

import { chiSquareTail } from '../numbers/chiSquare.ts';
import { between, named, positive } from '../numbers/guard.ts';
import { normalQuantile } from '../numbers/normal.ts';
import { rootBetween } from '../numbers/roots.ts';

const confidenceRule = between(0.5, 0.9999, '');

/** Degrees of freedom with which a standard deviation is within a relative `error` of the true one with probability p. */
function freedomFor(error: number, p: number): number {
  const short = (logFreedom: number): number => {
    const v = Math.exp(logFreedom);
    return chiSquareTail(v * Math.max(0, 1 - error) ** 2, v) - chiSquareTail(v * (1 + error) ** 2, v) - p;
  };
  // For many, s/σ is nearly normal with variance 1/(2ν).
  const many = Math.log((normalQuantile((1 + p) / 2) / error) ** 2 / 2);
  return Math.exp(rootBetween(short, Math.log(1e-2), Math.max(2, many + 2), 1e-12));
}

/**
 * Values to record so that their standard deviation is within a relative error of the noise, for independent normal values.
 *
 *     P((1 − e)²·ν < χ²(ν) < (1 + e)²·ν) = p,  M = ν + 1
 *
 * About (z/e)²/2: one per cent with 95 % confidence takes some 19 000.
 *
 * @param error - relative error e allowed, 0.0001 … 0.5
 * @param confidence - probability p, 0.5 … 0.9999
 * @returns M, a whole number, at least 2
 * @throws RangeError for an argument outside its range
 *
 * noiseRecordLength({ error: 0.1, confidence: 0.95 }) // => 193
 */
export function noiseRecordLength(given: { error: number; confidence: number }): number {
  const { error, confidence } = named(
    'noiseRecordLength',
    { error: between(1e-4, 0.5, ''), confidence: confidenceRule },
    given,
  );
  return Math.max(2, Math.ceil(freedomFor(error, confidence) + 1));
}

/**
 * Values to record so that their mean is within an error of the true one, for independent values.
 *
 *     M = (z·σ/e)²,  z the normal quantile of (1 + p)/2
 *
 * @param noise - standard deviation σ of a value, in any unit, above 0
 * @param error - error e allowed, in the same unit, above 0
 * @param confidence - probability p, 0.5 … 0.9999
 * @returns M, a whole number, at least 1
 * @throws RangeError for an argument outside its range
 *
 * meanRecordLength({ noise: 0.5, error: 0.01, confidence: 0.95 }) // => 9604
 */
export function meanRecordLength(given: { noise: number; error: number; confidence: number }): number {
  const { noise, error, confidence } = named(
    'meanRecordLength',
    { noise: positive(''), error: positive(''), confidence: confidenceRule },
    given,
  );
  return Math.ceil(((normalQuantile((1 + confidence) / 2) * noise) / error) ** 2);
}

/**
 * Segments to average so that a bin's noise amplitude is within a relative error, for segments that do not overlap.
 *
 * A bin's power is a χ² of two degrees of freedom a segment. Half-overlapped segments under a window tell nearly as much each: some 1.9
 * times as many out of the same record.
 *
 * @param error - relative error e allowed in the amplitude, 0.0001 … 0.5
 * @param confidence - probability p, 0.5 … 0.9999
 * @returns segments, a whole number, at least 1
 * @throws RangeError for an argument outside its range
 * @see [IEEEAU15]
 *
 * spectrumSegments({ error: 0.1, confidence: 0.95 }) // => 96
 */
export function spectrumSegments(given: { error: number; confidence: number }): number {
  const { error, confidence } = named(
    'spectrumSegments',
    { error: between(1e-4, 0.5, ''), confidence: confidenceRule },
    given,
  );
  return Math.max(1, Math.ceil(freedomFor(error, confidence) / 2));
}

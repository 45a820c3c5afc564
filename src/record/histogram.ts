/**
 * Histogram: how often each code should occur for a still input with Gaussian noise, against how often it did.
 *
 * Code k is the bin from k − ½ to k + ½ on the scale of codes. In come counts, and mean and noise in LSB; out go probabilities and
 * how well the two agree.
 */

import { chiSquareTail } from '../numbers/chiSquare.ts';
import { named, notNegative, real, whole } from '../numbers/guard.ts';
import { normalTail } from '../numbers/normal.ts';
import { countsRule } from './codes.ts';

/** How counts agree with what noise of one mean and σ would give. */
export interface HistogramFit {
  /** Expected count of each code, as many as counts. */
  readonly expected: Float64Array;
  /** χ² over bins, those of small expectation put together until they hold 5. */
  readonly chiSquare: number;
  /** Bins, less 3 for the total, the mean and σ; 'none' where fewer than 4 bins are left. */
  readonly degreesOfFreedom: number | 'none';
  /** Probability of a χ² at least as large where the noise is Gaussian; 'none' as above. */
  readonly probability: number | 'none';
}

/** Probability of the bin between two distances from the mean, in σ, without the loss of differences near 1. */
export const between = (low: number, high: number): number =>
  low > 0
    ? normalTail(low) - normalTail(high)
    : high < 0
      ? normalTail(-high) - normalTail(-low)
      : 1 - normalTail(-low) - normalTail(high);

/**
 * Probabilities of codes for a still input with Gaussian noise.
 *
 *     P(k) = Φ((k + ½ − μ)/σ) − Φ((k − ½ − μ)/σ)
 *
 * @param mean - input μ on the scale of codes (whole numbers are code centres), LSB
 * @param noiseLsb - transition noise σ, LSB rms, from 0
 * @param first - first code asked for
 * @param count - codes asked for, 1 … 2^22
 * @returns P of `count` codes from `first` on
 * @throws RangeError for an argument outside its range
 *
 * codeProbabilities({ mean: 0.2, noiseLsb: 0.5, first: -1, count: 3 })[1] // => 0.644990
 */
export function codeProbabilities(given: {
  mean: number;
  noiseLsb: number;
  first: number;
  count: number;
}): Float64Array {
  const { mean, noiseLsb, first, count } = named(
    'codeProbabilities',
    {
      mean: real('LSB'),
      noiseLsb: notNegative('LSB'),
      first: whole(-(2 ** 32), 2 ** 32),
      count: whole(1, 2 ** 22),
    },
    given,
  );
  return Float64Array.from({ length: count }, (_, i) => {
    const low = first + i - 0.5 - mean;
    // Without noise the input stands in one bin; on an edge it belongs to the upper one.
    return noiseLsb === 0 ? (low <= 0 && low + 1 > 0 ? 1 : 0) : between(low / noiseLsb, (low + 1) / noiseLsb);
  });
}

/**
 * How a histogram of codes agrees with Gaussian noise of a given mean and σ.
 *
 *     χ² = Σ (n − e)²/e  over bins of expectation e ≥ 5
 *
 * @param counts - how often each code from `first` on occurred; whatever lies outside counts as never
 * @param first - code that `counts` begins with
 * @param mean - input on the scale of codes, LSB
 * @param noiseLsb - transition noise σ, LSB rms, above 0
 * @returns expected counts, χ², and the probability of one so large; two parameters are taken as fitted to the counts
 * @throws RangeError for an argument outside its range
 *
 * histogramFit({ counts: [60, 242, 383, 242, 61], first: -2, mean: 0, noiseLsb: 1 }).chiSquare // => 1.068
 */
export function histogramFit(given: {
  counts: ArrayLike<number>;
  first: number;
  mean: number;
  noiseLsb: number;
}): HistogramFit {
  const { counts, first, mean, noiseLsb } = named(
    'histogramFit',
    {
      counts: countsRule(1),
      first: whole(-(2 ** 32), 2 ** 32),
      mean: real('LSB'),
      noiseLsb: notNegative('LSB'),
    },
    given,
  );
  let total = 0;
  for (let k = 0; k < counts.length; k++) total += counts[k]!;
  const expected = codeProbabilities({ mean, noiseLsb, first, count: counts.length }).map((p) => p * total);
  // The two tails outside the counts hold what is left, and no observation.
  const sides = [first - 0.5 - mean, mean - (first + counts.length - 0.5)];
  const [below, above] = sides.map((d) => (noiseLsb === 0 ? 0 : total * normalTail(-d / noiseLsb)));
  const bins: { seen: number; due: number }[] = [];
  let seen = 0;
  let due = below!;
  for (let k = 0; k < counts.length; k++) {
    seen += counts[k]!;
    due += expected[k]!;
    if (due >= 5) {
      bins.push({ seen, due });
      seen = 0;
      due = 0;
    }
  }
  const last = bins.at(-1);
  if (last) {
    last.seen += seen;
    last.due += due + above!;
  }
  const chiSquare = bins.reduce((sum, bin) => sum + (bin.seen - bin.due) ** 2 / bin.due, 0);
  const degreesOfFreedom = bins.length > 3 ? bins.length - 3 : 'none';
  return {
    expected,
    chiSquare,
    degreesOfFreedom,
    probability: degreesOfFreedom === 'none' ? 'none' : chiSquareTail(chiSquare, degreesOfFreedom),
  };
}

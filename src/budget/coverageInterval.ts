/**
 * Coverage intervals of a sorted sample: what part of the draws holds the result.
 *
 * In come draws in rising order; out come the ends of the interval, and the tolerance at which two intervals agree.
 */
import { between, named, positive, whole } from '../numbers/guard.ts';

/** An interval of the result. */
export interface CoverageInterval {
  /** Lower end, unit of the result. */
  readonly low: number;
  /** Upper end, unit of the result. */
  readonly high: number;
}

/** Draws that an interval reaches over: pM, rounded where it is not whole. */
const span = (count: number, coverage: number): number => Math.floor(coverage * count + 0.5);

/** The ranks, from 0, of the ends of the interval with as many draws below as above. @see [JCGM101] 7.7.2 */
export function symmetricRanks(count: number, coverage: number): CoverageInterval {
  const q = span(count, coverage);
  // The standard counts draws from 1.
  const low = Math.floor((count - q + 1) / 2) - 1;
  return { low, high: low + q };
}

/** The interval with as many draws below as above. @see [JCGM101] 7.7.2 */
export function symmetricInterval(sorted: Float64Array, coverage: number): CoverageInterval {
  const { low, high } = symmetricRanks(sorted.length, coverage);
  return { low: sorted[low]!, high: sorted[high]! };
}

/**
 * Standard deviation of the ends of that interval: the number of draws below an end is binomial, so the end lies one standard
 * deviation √(Mp(1 − p)) of ranks to either side; `valueOfRank` gives the draw of a rank.
 */
export function endScatter(
  count: number,
  coverage: number,
  valueOfRank: (rank: number) => number,
): CoverageInterval {
  const beyond = (1 - coverage) / 2;
  const ranks = Math.max(1, Math.round(Math.sqrt(count * beyond * (1 - beyond))));
  const ends = symmetricRanks(count, coverage);
  const about = (rank: number): number =>
    (valueOfRank(Math.min(rank + ranks, count - 1)) - valueOfRank(Math.max(rank - ranks, 0))) / 2;
  return { low: about(ends.low), high: about(ends.high) };
}

/** The shortest of all intervals over as many draws, the first of equals. @see [JCGM101] 7.7.3 */
export function shortestInterval(sorted: Float64Array, coverage: number): CoverageInterval {
  const q = span(sorted.length, coverage);
  let best = 0;
  for (let r = 1; r + q < sorted.length; r++) {
    if (sorted[r + q]! - sorted[r]! < sorted[best + q]! - sorted[best]!) best = r;
  }
  return { low: sorted[best]!, high: sorted[best + q]! };
}

/**
 * Numerical tolerance of a standard uncertainty: two intervals agree if neither end differs by more.
 *
 *     u ≈ c·10^l with c a whole number of the wanted digits;   δ = ½·10^l
 *
 * @param standardUncertainty - u, > 0
 * @param digits - significant digits of u that count, 1 … 6
 * @returns δ, unit of u
 * @throws RangeError if an argument is outside its range
 * @see [JCGM101] 7.9.2 and 8.1
 *
 * @example
 * numericalTolerance({ standardUncertainty: 0.00035, digits: 2 }) // => 0.000005
 */
export function numericalTolerance(given: {
  readonly standardUncertainty: number;
  readonly digits: number;
}): number {
  const { standardUncertainty, digits } = named(
    'numericalTolerance',
    { standardUncertainty: positive(''), digits: whole(1, 6) },
    given,
  );
  // Rounding may carry 0.996 to 1.0, one decade up: the digits are read off the rounded number.
  const exponent = Number(standardUncertainty.toExponential(digits - 1).split('e')[1]);
  return 0.5 * 10 ** (exponent - digits + 1);
}

/** A coverage probability that a sample can show. */
export const sampleCoverage = between(0.01, 0.9999, '');

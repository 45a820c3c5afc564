/**
 * Validation: whether the interval that the law of propagation gives is confirmed by the one that draws show.
 */
import { named, or, positive, type Rule, whole } from '../numbers/guard.ts';
import { type CoverageInterval, numericalTolerance } from './coverageInterval.ts';

/** What comparing two coverage intervals shows. */
export interface Validation {
  /** Numerical tolerance δ of the standard uncertainty, its unit. */
  readonly tolerance: number;
  /** By how much the lower ends differ, ≥ 0. */
  readonly lowDifference: number;
  /** By how much the upper ends differ, ≥ 0. */
  readonly highDifference: number;
  /** 'validated' where neither difference is above δ; 'open' where the scatter of the drawn ends leaves that undecided. */
  readonly outcome: 'validated' | 'not validated' | 'open';
}

const ends = (allowed: string, fits: (low: number, high: number) => boolean): Rule<CoverageInterval> => ({
  allowed: `{low, high}, finite numbers with ${allowed}`,
  keeps: (v): v is CoverageInterval => {
    if (typeof v !== 'object' || v === null) return false;
    const { low, high } = v as CoverageInterval;
    return Number.isFinite(low) && Number.isFinite(high) && fits(low, high);
  },
});

const interval = ends('low ≤ high', (low, high) => low <= high);

const shape = {
  propagated: interval,
  drawn: interval,
  standardUncertainty: positive(''),
  digits: whole(1, 6),
  scatter: or(
    ends('both ≥ 0', (low, high) => low >= 0 && high >= 0),
    { low: 0, high: 0 },
  ),
};

/**
 * Whether draws confirm the coverage interval of the law of propagation.
 *
 *     d_low = |y − U − y_low|,   d_high = |y + U − y_high|;   validated where both ≤ δ
 *
 * With the standard deviations of the drawn ends as `scatter`, a difference within two of them of δ is undecided.
 *
 * @param propagated - {low, high}: y − U and y + U
 * @param drawn - {low, high}: the interval of the draws, of the same coverage
 * @param standardUncertainty - u of the result, > 0, from which δ follows
 * @param digits - significant digits of u that count, 1 … 6; usually 1 or 2
 * @param scatter - {low, high}: standard deviations of the drawn ends, ≥ 0; none if absent
 * @returns δ, both differences and the outcome
 * @throws RangeError if an argument is outside its range
 * @see [JCGM101] 8.1
 *
 * @example
 * validation({ propagated: { low: -3.92, high: 3.92 }, drawn: { low: -3.88, high: 3.88 }, standardUncertainty: 2, digits: 2 }).outcome // => 'validated'
 */
export function validation(given: {
  readonly propagated: CoverageInterval;
  readonly drawn: CoverageInterval;
  readonly standardUncertainty: number;
  readonly digits: number;
  readonly scatter?: CoverageInterval | undefined;
}): Validation {
  const { propagated, drawn, standardUncertainty, digits, scatter } = named('validation', shape, given);
  const tolerance = numericalTolerance({ standardUncertainty, digits });
  const lowDifference = Math.abs(propagated.low - drawn.low);
  const highDifference = Math.abs(propagated.high - drawn.high);
  const over = [lowDifference - tolerance, highDifference - tolerance];
  const twice = [2 * scatter.low, 2 * scatter.high];
  const outcome = over.some((d, i) => d > twice[i]!)
    ? 'not validated'
    : over.every((d, i) => d <= -twice[i]!)
      ? 'validated'
      : 'open';
  return { tolerance, lowDifference, highDifference, outcome };
}

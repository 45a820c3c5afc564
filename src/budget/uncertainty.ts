/**
 * Uncertainty: the contributions of all stages, combined into that of the reading.
 *
 * In come contributions with their sensitivities, in any units that the sensitivities turn into one; out go the combined standard
 * uncertainty, its effective degrees of freedom and the expanded uncertainty for a coverage probability, by [GUM].
 */
import { between, maybe, named, or, type Rule, real, refusal } from '../numbers/guard.ts';
import { normalQuantile } from '../numbers/normal.ts';
import { studentQuantile } from '../numbers/student.ts';
import { type CorrelatedPair, correlatedPairs, correlationFactor, pairsRule } from './correlation.ts';
import { type ReadSpread, type Spread, spreadOf, spreadShape } from './spread.ts';

/** One input quantity's share in the uncertainty of the result. */
export type Contribution = Spread & {
  /** The input quantity, as a reader would name it. */
  readonly name: string;
  /** Sensitivity coefficient c, unit of the result over that of the quantity; 1 if absent. */
  readonly sensitivity?: number | undefined;
};

/** What the contributions come to. */
export interface CombinedUncertainty {
  /** Combined standard uncertainty u_c, unit of the result. */
  readonly combined: number;
  /** Effective degrees of freedom ν_eff, not rounded; 'any' where every contribution is exactly known. */
  readonly degreesOfFreedom: number | 'any';
  /** Coverage factor k. */
  readonly coverageFactor: number;
  /** Expanded uncertainty k·u_c, unit of the result. */
  readonly expanded: number;
  /** Σ|c|·half-width, 3u for a normal contribution, unit of the result. */
  readonly worstCase: number;
}

/** A line of an uncertainty budget. */
export interface BudgetLine {
  readonly name: string;
  /** Standard uncertainty u of the quantity, in its unit. */
  readonly standardUncertainty: number;
  /** Sensitivity coefficient c. */
  readonly sensitivity: number;
  /** |c|·u, unit of the result. */
  readonly uncertainty: number;
  /** |c|·half-width, 3|c|u for a normal contribution, unit of the result. */
  readonly limit: number;
  /** (c·u)² over the sum of all, 0 … 1; 0 if all are 0. */
  readonly share: number;
}

interface ReadContribution extends ReadSpread {
  readonly name: string;
  readonly sensitivity: number;
}

const text: Rule<string> = { allowed: 'a text', keeps: (v): v is string => typeof v === 'string' };
const list: Rule<readonly unknown[]> = {
  allowed: 'an array of at least 1 contribution',
  keeps: (v): v is readonly unknown[] => Array.isArray(v) && v.length > 0,
};
const contributionShape = { name: text, sensitivity: or(real(''), 1), ...spreadShape };

/** A coverage probability. */
export const coverageRule: Rule<number> = between(0.01, 0.999999999, '');

function readContributions(caller: string, given: readonly unknown[]): ReadContribution[] {
  return given.map((contribution, i) => {
    const place = `${caller}.contributions[${i}]`;
    const fields = named(place, contributionShape, contribution);
    return { name: fields.name, sensitivity: fields.sensitivity, ...spreadOf(place, fields) };
  });
}

/**
 * Effective degrees of freedom. Contributions that correlations join count as one, with their joint variance and the least of their
 * degrees of freedom, as for simultaneous observations; the formula itself is for independent ones.
 */
function effectiveFreedom(
  rows: readonly ReadContribution[],
  pairs: readonly CorrelatedPair[],
  covariance: (i: number, j: number, r: number) => number,
  variance: number,
): number {
  const group = rows.map((_, i) => i);
  const root = (i: number): number => (group[i] === i ? i : root(group[i]!));
  for (const [i, j, r] of pairs) if (r !== 0) group[root(i)] = root(j);
  const joint = new Float64Array(rows.length);
  const least = new Float64Array(rows.length).fill(Number.POSITIVE_INFINITY);
  rows.forEach((row, i) => {
    const g = root(i);
    joint[g] = joint[g]! + covariance(i, i, 1);
    if (covariance(i, i, 1) > 0) least[g] = Math.min(least[g]!, row.degreesOfFreedom);
  });
  for (const [i, j, r] of pairs) joint[root(i)] = joint[root(i)]! + 2 * covariance(i, j, r);
  let sum = 0;
  for (let g = 0; g < rows.length; g++) sum += (joint[g]! / variance) ** 2 / least[g]!;
  return 1 / sum;
}

/**
 * Combined and expanded uncertainty of a result.
 *
 *     u_c² = Σ(c_i·u_i)² + 2·Σ_{i<j} c_i·c_j·u_i·u_j·r_ij,   ν_eff = u_c⁴/Σ((c_i·u_i)⁴/ν_i),   U = k·u_c
 *
 * k is the quantile of Student's t at ν_eff rounded down, or of the normal distribution where ν_eff is 'any'. First order: where a
 * sensitivity changes within the spread, see `secondOrderUncertainty` and `monteCarlo`.
 *
 * @param contributions - array of {name, standardUncertainty or halfWidth with distribution 'rectangular' | 'triangular' | 'arcsine', sensitivity = 1, degreesOfFreedom?}
 * @param correlations - array of [i, j, r], places in `contributions` from 0 and coefficient −1 … 1; those not listed are 0
 * @param coverage - coverage probability, 0.01 … 0.999999999
 * @returns u_c, ν_eff, k, U and the worst case, in the unit of the result
 * @throws RangeError if an argument is outside its range, or if the correlations cannot stand together
 * @see [GUM] 5.1.2 and 5.2.2 (combination), 4.3.7, 4.3.9 and H.1.3.4 (divisors √3, √6, √2), G.4.1 and G.6.4 (degrees of freedom)
 *
 * @example
 * combineUncertainty({ contributions: [{ name: 'a', standardUncertainty: 3 }, { name: 'b', standardUncertainty: 4 }], coverage: 0.95 }).expanded // => 9.7998
 * combineUncertainty({ contributions: [{ name: 'a', halfWidth: 1, distribution: 'rectangular' }], coverage: 0.95 }).combined // => 0.57735
 */
export function combineUncertainty(given: {
  readonly contributions: readonly Contribution[];
  readonly correlations?: readonly CorrelatedPair[] | undefined;
  readonly coverage: number;
}): CombinedUncertainty {
  const shape = { contributions: list, correlations: maybe(pairsRule), coverage: coverageRule };
  const a = named('combineUncertainty', shape, given);
  const rows = readContributions('combineUncertainty', a.contributions);
  const place = 'combineUncertainty.correlations';
  const pairs = correlatedPairs(place, a.correlations, rows.length);
  if (pairs.length > 0) correlationFactor(place, pairs, rows.length);

  // In units of the largest, so that no square leaves the numbers' range.
  const carried = rows.map((row) => row.sensitivity * row.standardUncertainty);
  const largest = Math.max(...carried.map(Math.abs));
  const size = carried.map((u) => (largest > 0 ? u / largest : 0));
  const covariance = (i: number, j: number, r: number) => size[i]! * size[j]! * r;
  let variance = 0;
  rows.forEach((_, i) => {
    variance += covariance(i, i, 1);
  });
  for (const [i, j, r] of pairs) variance += 2 * covariance(i, j, r);
  const combined = largest * Math.sqrt(Math.max(0, variance));
  const worstCase = rows.reduce((sum, row) => sum + Math.abs(row.sensitivity) * row.limit, 0);
  if (!Number.isFinite(worstCase)) {
    throw new RangeError(refusal('combineUncertainty.contributions', worstCase, 'a finite sum of limits'));
  }
  const freedom =
    combined > 0 ? effectiveFreedom(rows, pairs, covariance, variance) : Number.POSITIVE_INFINITY;
  const degreesOfFreedom = freedom < Number.MAX_VALUE ? freedom : 'any';
  const k = coverageFactor({ coverage: a.coverage, degreesOfFreedom });
  return { combined, degreesOfFreedom, coverageFactor: k, expanded: k * combined, worstCase };
}

/**
 * Coverage factor: how many standard uncertainties an interval about the result reaches to either side.
 *
 * @param coverage - coverage probability, 0.01 … 0.999999999
 * @param degreesOfFreedom - effective degrees of freedom, from 1, rounded down here; or 'any' for a normal distribution
 * @returns k
 * @throws RangeError if an argument is outside its range
 * @see [GUM] G.3.2 and table G.2
 *
 * @example
 * coverageFactor({ coverage: 0.95, degreesOfFreedom: 'any' }) // => 1.95996
 * coverageFactor({ coverage: 0.9545, degreesOfFreedom: 4.9 }) // => 2.87
 */
export function coverageFactor(given: {
  readonly coverage: number;
  readonly degreesOfFreedom: number | 'any';
}): number {
  const freedom: Rule<number | 'any'> = {
    allowed: "finite numbers from 1 or 'any'",
    keeps: (v): v is number | 'any' => v === 'any' || (Number.isFinite(v) && (v as number) >= 1 - 1e-9),
  };
  const a = named('coverageFactor', { coverage: coverageRule, degreesOfFreedom: freedom }, given);
  const tail = (1 - a.coverage) / 2;
  if (a.degreesOfFreedom === 'any') return -normalQuantile(tail);
  // A whole number that rounding left just below itself is that number.
  return -studentQuantile(tail, Math.max(1, Math.floor(a.degreesOfFreedom * (1 + 1e-9))));
}

/**
 * The lines of an uncertainty budget: each contribution in the unit of the result, largest first.
 *
 * Shares are of the sum of squares, without correlations.
 *
 * @param contributions - as for `combineUncertainty`
 * @returns one line for each contribution, by falling uncertainty
 * @throws RangeError if an argument is outside its range
 * @see [GUM] 5.1.3
 *
 * @example
 * budgetLines({ contributions: [{ name: 'a', standardUncertainty: 3 }, { name: 'b', standardUncertainty: 4, sensitivity: -1 }] })[0].share // => 0.64
 */
export function budgetLines(given: { readonly contributions: readonly Contribution[] }): BudgetLine[] {
  const { contributions } = named('budgetLines', { contributions: list }, given);
  const rows = readContributions('budgetLines', contributions).map((row) => {
    const c = Math.abs(row.sensitivity);
    return { row, uncertainty: c * row.standardUncertainty, limit: c * row.limit };
  });
  const whole = Math.hypot(...rows.map((r) => r.uncertainty));
  return rows
    .sort((a, b) => b.uncertainty - a.uncertainty)
    .map(({ row, uncertainty, limit }) => ({
      name: row.name,
      standardUncertainty: row.standardUncertainty,
      sensitivity: row.sensitivity,
      uncertainty,
      limit,
      share: whole > 0 ? (uncertainty / whole) ** 2 : 0,
    }));
}

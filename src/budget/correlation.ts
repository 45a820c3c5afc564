/**
 * Correlation: the matrix that pairs of correlated quantities make, and its triangular factor.
 *
 * In come pairs (i, j, r); out go rows of the matrix or of the factor L with L·Lᵀ equal to it. A set of correlations that no
 * quantities can have together is refused here.
 */
import { type Rule, shown } from '../numbers/guard.ts';

/** The correlation of two quantities: their places, from 0, and the coefficient, −1 … 1. */
export type CorrelatedPair = readonly [number, number, number];

/** An array that is to hold correlated pairs; `correlatedPairs` reads them. */
export const pairsRule: Rule<readonly unknown[]> = {
  allowed: 'an array of [i, j, r]',
  keeps: (v): v is readonly unknown[] => Array.isArray(v),
};

/** Rounding allowed for in the pivots of the factor, which are squares of at most 1. */
const rounding = 1e-12;

/** The pairs, read: `count` quantities, each pair once, `place` names the argument in an error. */
export function correlatedPairs(
  place: string,
  given: readonly unknown[] | undefined,
  count: number,
): CorrelatedPair[] {
  const seen = new Set<number>();
  return (given ?? []).map((pair, n) => {
    const [i, j, r] = (Array.isArray(pair) && pair.length === 3 ? pair : []) as number[];
    const isPlace = (k: unknown): k is number =>
      Number.isInteger(k) && 0 <= (k as number) && (k as number) < count;
    if (!(isPlace(i) && isPlace(j) && i !== j && Math.abs(r as number) <= 1)) {
      const got = Array.isArray(pair) ? `[${pair.map(shown).join(', ')}]` : shown(pair);
      throw new RangeError(
        `${place}[${n}]: got ${got}; allowed [i, j, r], i and j two different whole numbers 0 … ${count - 1}, r -1 … 1`,
      );
    }
    const key = Math.min(i, j) * count + Math.max(i, j);
    if (seen.has(key)) {
      throw new RangeError(`${place}[${n}]: got [${i}, ${j}] again; allowed each pair once`);
    }
    seen.add(key);
    return [i, j, r as number];
  });
}

/**
 * The lower triangular factor L of the matrix, row by row.
 *
 * @throws RangeError if the matrix is not positive semidefinite
 */
export function correlationFactor(
  place: string,
  pairs: readonly CorrelatedPair[],
  count: number,
): Float64Array[] {
  const rows = Array.from({ length: count }, (_, i) => {
    const row = new Float64Array(count);
    row[i] = 1;
    return row;
  });
  for (const [i, j, r] of pairs) {
    rows[i]![j] = r;
    rows[j]![i] = r;
  }
  for (let j = 0; j < count; j++) {
    const own = rows[j]!;
    let pivot = 1;
    for (let k = 0; k < j; k++) pivot -= own[k]! * own[k]!;
    const root = pivot > rounding ? Math.sqrt(pivot) : 0;
    let impossible = pivot < -rounding;
    own[j] = root;
    for (let i = j + 1; i < count; i++) {
      const row = rows[i]!;
      let rest = row[j]!;
      for (let k = 0; k < j; k++) rest -= row[k]! * own[k]!;
      // A quantity that others determine has nothing left to share.
      if (root === 0 && Math.abs(rest) > Math.sqrt(rounding)) impossible = true;
      row[j] = root === 0 ? 0 : rest / root;
    }
    if (impossible) {
      throw new RangeError(
        `${place}: got coefficients that no quantities can have together; allowed a positive semidefinite matrix`,
      );
    }
    own.fill(0, j + 1);
  }
  return rows;
}

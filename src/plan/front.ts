/**
 * The front: of many settings those that no other beats in error, charge and time together (the Pareto front of the three).
 *
 * In come settings with their three figures; out go those on the front. Sorted once and walked once along a staircase: the time
 * grows with n·log n, and no two settings off the front are compared.
 */

/** What is traded; less is better of each. */
export interface Costs {
  /** Random error of a reading, rms, in the measurand's unit. */
  readonly error: number;
  /** C */
  readonly charge: number;
  /** s */
  readonly time: number;
}

/** A figure to 40 binary digits: figures that differ by the rounding of their sums alone become one. */
export function toCompare(value: number): number {
  const high = value * (2 ** 13 + 1);
  return high - (high - value);
}

/** A setting with its figures as they are compared. */
interface Compared<C> extends Costs {
  readonly of: C;
}

/**
 * The settings that no other beats: none is at least as good in all three figures and better in one.
 *
 * Figures are compared to 40 binary digits.
 *
 * @param settings - in any order; not modified
 * @returns those on the front, by rising charge, then time; of equals in all three the first
 *
 * @example
 * frontOf([{ error: 1, charge: 3, time: 1 }, { error: 2, charge: 1, time: 1 }, { error: 2, charge: 2, time: 1 }]).length // => 2
 */
export function frontOf<C extends Costs>(settings: readonly C[]): C[] {
  const compared = settings.map(
    (of): Compared<C> => ({
      error: toCompare(of.error),
      charge: toCompare(of.charge),
      time: toCompare(of.time),
      of,
    }),
  );
  compared.sort((a, b) => a.error - b.error || a.charge - b.charge || a.time - b.time);
  const front: Compared<C>[] = [];
  // Of those seen so far, whose error is no larger: by rising charge, and so that time falls.
  const stairs: Compared<C>[] = [];
  for (const next of compared) {
    const at = firstAbove(stairs, next.charge);
    const before = stairs[at - 1];
    if (before !== undefined && before.time <= next.time) continue;
    front.push(next);
    // It takes the place of those that follow and take as long.
    let end = at;
    while (end < stairs.length && stairs[end]!.time >= next.time) end++;
    stairs.splice(at, end - at, next);
  }
  return front.sort((a, b) => a.charge - b.charge || a.time - b.time).map(({ of }) => of);
}

/** Place of the first stair whose charge is above the given one. */
function firstAbove(stairs: readonly Costs[], charge: number): number {
  let [low, high] = [0, stairs.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (stairs[middle]!.charge <= charge) low = middle + 1;
    else high = middle;
  }
  return low;
}

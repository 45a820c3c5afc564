/**
 * Sums over recorded codes: what is kept of a record of any length, exactly.
 *
 * Codes come in, in pieces; out go counts and sums in whole numbers, from which every figure of the summary follows. Sums of two
 * stretches of one record add to those of the whole, so stretches may be read apart and put together.
 */
import { named, type Rule } from '../numbers/guard.ts';
import { codesRule } from './codes.ts';

/** Counts and sums over a stretch of a record. Plain data. */
export interface CodeSums {
  /** Codes. */
  readonly count: number;
  /** Σ x. */
  readonly sum: bigint;
  /** Σ x². */
  readonly squares: bigint;
  /** Σ i·x, i = 0 at the first code. */
  readonly moments: bigint;
  /** Lowest code; 0 if there is none. */
  readonly lowest: number;
  /** Highest code; 0 if there is none. */
  readonly highest: number;
  /** Code that `counts` begins with. */
  readonly first: number;
  /** How often each code from `first` on occurs; 'none' where codes are spread wider than 2²² apart. */
  readonly counts: Float64Array | 'none';
}

/** Sums over no code. */
export const noSums: CodeSums = {
  count: 0,
  sum: 0n,
  squares: 0n,
  moments: 0n,
  lowest: 0,
  highest: 0,
  first: 0,
  counts: new Float64Array(0),
};

/** Widest spread of codes that is counted code by code. */
const widest = 2 ** 22;

/** Codes whose sums are taken in doubles at a time: with a spread below 2^21 all stay below 2^53. */
const piece = 2048;

/** `counts`, from `first`, with room for the codes `lowest` … `highest`. */
function widened(
  counts: Float64Array | 'none',
  first: number,
  lowest: number,
  highest: number,
): { counts: Float64Array | 'none'; first: number } {
  if (counts === 'none') return { counts, first };
  const end = first + counts.length;
  if (counts.length > 0 && first <= lowest && highest < end) return { counts, first };
  const from = counts.length > 0 ? Math.min(first, lowest) : lowest;
  const to = counts.length > 0 ? Math.max(end, highest + 1) : highest + 1;
  if (to - from > widest) return { counts: 'none', first: 0 };
  // Room to spare on either side, so that a slowly widening record does not copy at every step.
  const spare = Math.min(to - from, widest - (to - from));
  const out = new Float64Array(to - from + spare);
  const start = from - Math.floor(spare / 2);
  out.set(counts, counts.length > 0 ? first - start : 0);
  return { counts: out, first: start };
}

/** Takes sums of a record as it comes. */
export class CodeSummer {
  private count = 0;
  private sum = 0n;
  private squares = 0n;
  private moments = 0n;
  private lowest = Number.POSITIVE_INFINITY;
  private highest = Number.NEGATIVE_INFINITY;
  private first = 0;
  private counts: Float64Array | 'none';

  /** Without `counted`, how often each code occurs is left out. */
  constructor(counted = true) {
    this.counts = counted ? new Float64Array(0) : 'none';
  }

  /** Takes the next codes, whole numbers. */
  add(codes: ArrayLike<number>): void {
    for (let from = 0; from < codes.length; from += piece) {
      this.addPiece(codes, from, Math.min(codes.length, from + piece));
    }
  }

  private addPiece(codes: ArrayLike<number>, from: number, to: number): void {
    const origin = codes[from]!;
    let low = origin;
    let high = origin;
    let sum = 0;
    let squares = 0;
    let moments = 0;
    for (let i = from; i < to; i++) {
      const x = codes[i]!;
      const d = x - origin;
      if (x < low) low = x;
      if (x > high) high = x;
      sum += d;
      squares += d * d;
      moments += (i - from) * d;
    }
    const n = to - from;
    if (high - low < 2 ** 21) {
      // Σ x, Σ x² and Σ i·x from those of d = x − origin.
      const x0 = BigInt(origin);
      const s = BigInt(sum);
      const steps = BigInt((n * (n - 1)) / 2);
      this.join(
        n,
        x0 * BigInt(n) + s,
        x0 * x0 * BigInt(n) + 2n * x0 * s + BigInt(squares),
        x0 * steps + BigInt(moments),
      );
    } else this.joinWide(codes, from, to);
    this.lowest = Math.min(this.lowest, low);
    this.highest = Math.max(this.highest, high);
    const { counts, first } = widened(this.counts, this.first, low, high);
    this.counts = counts;
    this.first = first;
    if (counts !== 'none') for (let i = from; i < to; i++) counts[codes[i]! - first]!++;
  }

  /** The same for codes spread so wide that doubles would round. */
  private joinWide(codes: ArrayLike<number>, from: number, to: number): void {
    let sum = 0n;
    let squares = 0n;
    let moments = 0n;
    for (let i = from; i < to; i++) {
      const x = BigInt(codes[i]!);
      sum += x;
      squares += x * x;
      moments += BigInt(i - from) * x;
    }
    this.join(to - from, sum, squares, moments);
  }

  /** Adds the sums of the next n codes, their moments counted from their own first. */
  private join(n: number, sum: bigint, squares: bigint, moments: bigint): void {
    this.moments += moments + BigInt(this.count) * sum;
    this.sum += sum;
    this.squares += squares;
    this.count += n;
  }

  /** The sums so far. */
  sums(): CodeSums {
    const { count, sum, squares, moments, lowest, highest, first, counts } = this;
    if (count === 0) return noSums;
    const tight = counts === 'none' ? counts : counts.slice(lowest - first, highest + 1 - first);
    return {
      count,
      sum,
      squares,
      moments,
      lowest,
      highest,
      first: counts === 'none' ? 0 : lowest,
      counts: tight,
    };
  }
}

/** Rule for sums of at least `least` codes. */
export const sumsRule = (least: number): Rule<CodeSums> => ({
  allowed: `sums over at least ${least} codes`,
  keeps: (value): value is CodeSums =>
    typeof value === 'object' &&
    value !== null &&
    typeof (value as CodeSums).squares === 'bigint' &&
    (value as CodeSums).count >= least,
});

/**
 * Sums over two stretches of a record, the second following the first.
 *
 * @param before - sums over the first stretch
 * @param after - sums over the stretch that follows it
 * @returns sums over both
 * @throws RangeError for an argument that is no sums
 *
 * addedSums({ before: codeSums({ codes: [1, 2] }), after: codeSums({ codes: [9] }) }).sum // => 12n
 */
export function addedSums(given: { before: CodeSums; after: CodeSums }): CodeSums {
  const { before, after } = named('addedSums', { before: sumsRule(0), after: sumsRule(0) }, given);
  if (before.count === 0) return after;
  if (after.count === 0) return before;
  const lowest = Math.min(before.lowest, after.lowest);
  const highest = Math.max(before.highest, after.highest);
  let counts: Float64Array | 'none' = 'none';
  if (before.counts !== 'none' && after.counts !== 'none' && highest - lowest < widest) {
    counts = new Float64Array(highest - lowest + 1);
    for (const part of [before, after]) {
      const own = part.counts as Float64Array;
      for (let k = 0; k < own.length; k++) counts[part.first + k - lowest]! += own[k]!;
    }
  }
  return {
    count: before.count + after.count,
    sum: before.sum + after.sum,
    squares: before.squares + after.squares,
    moments: before.moments + after.moments + BigInt(before.count) * after.sum,
    lowest,
    highest,
    first: counts === 'none' ? 0 : lowest,
    counts,
  };
}

/**
 * Sums over a record of codes, or a stretch of one.
 *
 * @param codes - whole numbers; not modified
 * @returns the sums
 * @throws RangeError for codes that are no whole numbers
 *
 * codeSums({ codes: [3, 5, 5] }).squares // => 59n
 */
export function codeSums(given: { codes: ArrayLike<number> }): CodeSums {
  const { codes } = named('codeSums', { codes: codesRule(0) }, given);
  const summer = new CodeSummer();
  summer.add(codes);
  return summer.sums();
}

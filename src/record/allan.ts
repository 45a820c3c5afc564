/**
 * Allan deviation: how far the means of neighbouring spans differ, against the length of the span.
 *
 * Values come in, each a mean over 1/rate; deviations at averaging times go out. Noise that averages away falls with the averaging
 * time, flicker noise stays level, drift rises: the lowest point is the longest averaging that helps.
 *
 * With X[n] the sum of the first n values and m the averaging factor, every kind is made of second differences of the sums,
 * D[n] = X[n + 2m] − 2·X[n + m] + X[n]. Sums of whole numbers are exact; of others the mean is removed first.
 */
import { choice, maybe, named, numbers, positive, type Rule, whole } from '../numbers/guard.ts';

/** Which spans are compared: side by side, at every start, or at every start after averaging the sums. */
export type AllanKind = 'adjacent' | 'overlapping' | 'modified';

/** The deviation at one averaging time. */
export interface AllanPoint {
  /** Averaging factor m, values. */
  readonly factor: number;
  /** Averaging time m/rate, s. */
  readonly tau: number;
  /** Deviation, in the unit of the values. */
  readonly deviation: number;
  /** Squares in its mean. */
  readonly terms: number;
}

/** Rule for averaging factors. */
const factorsRule: Rule<readonly number[]> = {
  allowed: 'an array of whole numbers 1 … 2147483647',
  keeps: (value): value is readonly number[] =>
    Array.isArray(value) && value.every(whole(1, 2 ** 31 - 1).keeps),
};

const shape = {
  values: numbers(2),
  rate: positive('Hz'),
  kind: choice(['adjacent', 'overlapping', 'modified']),
  factors: maybe(factorsRule),
};

/** The sums X[0] = 0 … X[M], exact for whole numbers; else of the values less their mean. */
function sumsOf(values: ArrayLike<number>): Float64Array {
  const sums = new Float64Array(values.length + 1);
  let sum = 0;
  let isWhole = true;
  for (let i = 0; i < values.length; i++) {
    const value = values[i]!;
    isWhole &&= Number.isInteger(value);
    sum += value;
    sums[i + 1] = sum;
  }
  if (isWhole && Math.abs(sum) < 2 ** 53) return sums;
  const mean = sum / values.length;
  sum = 0;
  for (let i = 0; i < values.length; i++) {
    sum += values[i]! - mean;
    sums[i + 1] = sum;
  }
  return sums;
}

/**
 * Sum of D[n]² for n from `from` in steps of `step` while n + 2m ≤ `to`.
 *
 * One accumulator: measured faster than four. Each lag has a view of its own, so that one index serves all.
 */
export function squaresOfDifferences(
  sums: Float64Array,
  factor: number,
  from: number,
  to: number,
  step: number,
): number {
  const [x0, x1, x2] = [0, factor, 2 * factor].map((lag) => sums.subarray(from + lag)) as [
    Float64Array,
    Float64Array,
    Float64Array,
  ];
  let squares = 0;
  const last = to - from - 2 * factor;
  for (let n = 0; n <= last; n += step) {
    const d = x2[n]! - 2 * x1[n]! + x0[n]!;
    squares += d * d;
  }
  return squares;
}

/** Sum of the squares of the moving sums of m of the D[n]. */
function squaresOfMovingSums(sums: Float64Array, factor: number): number {
  const d = (n: number): number => sums[n + 2 * factor]! - 2 * sums[n + factor]! + sums[n]!;
  let moving = 0;
  for (let n = 0; n < factor; n++) moving += d(n);
  let squares = moving * moving;
  for (let n = factor; n + 2 * factor < sums.length; n++) {
    moving += d(n) - d(n - factor);
    squares += moving * moving;
  }
  return squares;
}

/** The deviation at one factor; the factor leaves at least one term. */
function pointAt(sums: Float64Array, rate: number, kind: AllanKind, factor: number): AllanPoint {
  const count = sums.length - 1;
  const tau = factor / rate;
  if (kind === 'modified') {
    const terms = count - 3 * factor + 2;
    const mean = squaresOfMovingSums(sums, factor) / terms;
    return { factor, tau, deviation: Math.sqrt(mean / 2) / factor / factor, terms };
  }
  const step = kind === 'adjacent' ? factor : 1;
  const terms = Math.floor((count - 2 * factor) / step) + 1;
  const mean = squaresOfDifferences(sums, factor, 0, count, step) / terms;
  return { factor, tau, deviation: Math.sqrt(mean / 2) / factor, terms };
}

/** Largest averaging factor that leaves a term. */
const largestFactor = (count: number, kind: AllanKind): number =>
  Math.floor(kind === 'modified' ? (count + 1) / 3 : count / 2);

/** 1, 2, 4 … up to a third of the length, at least 1. */
export function octaves(count: number): number[] {
  const out = [1];
  for (let factor = 2; factor <= count / 3; factor *= 2) out.push(factor);
  return out;
}

/**
 * Allan deviation of a record.
 *
 *     adjacent      σ² = Σ D[j·m]²/(2·m²·terms),  terms = floor(M/m) − 1
 *     overlapping   σ² = Σ D[n]²/(2·m²·terms),  terms = M − 2m + 1
 *     modified      σ² = Σ (D[n] + … + D[n + m − 1])²/(2·m⁴·terms),  terms = M − 3m + 2
 *
 * 'overlapping' tells most of a record and is the usual choice.
 *
 * @param values - record of M values in any unit, each a mean over 1/rate; M from 2; not modified
 * @param rate - values per second, Hz, above 0
 * @param kind - 'adjacent', 'overlapping' or 'modified'
 * @param factors - averaging factors m; 1, 2, 4 … ≤ M/3 unless given
 * @returns one point for each factor, in their order
 * @throws RangeError for an argument outside its range, or a factor that leaves no term
 * @see [SP1065] 5.2.2 to 5.2.5 (clauses from memory)
 *
 * allanDeviation({ values: [892, 809, 823, 798, 671, 644, 883, 903, 677], rate: 1, kind: 'overlapping' })[1]?.deviation // => 85.95287
 */
export function allanDeviation(given: {
  values: ArrayLike<number>;
  rate: number;
  kind: AllanKind;
  factors?: readonly number[];
}): AllanPoint[] {
  const { values, rate, kind, factors } = named('allanDeviation', shape, given);
  const most = largestFactor(values.length, kind);
  const excess = factors?.find((factor) => factor > most);
  if (excess !== undefined) {
    throw new RangeError(
      `allanDeviation.factors: got ${excess}; allowed 1 … ${most} for ${values.length} values, ${kind}`,
    );
  }
  const sums = sumsOf(values);
  return (factors ?? octaves(values.length)).map((factor) => pointAt(sums, rate, kind, factor));
}

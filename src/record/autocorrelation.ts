/**
 * Autocorrelation: how far one value of a record tells the next, and how many independent values the record is worth.
 *
 *     r[k] = Σ (x[i] − x̄)(x[i + k] − x̄)/Σ (x[i] − x̄)²,  k = 0 … K
 *
 * Values come in, in pieces; the first K + 1 correlations go out, and the effective count. Products at all lags are had at once, as a
 * convolution, by Fourier transforms of pieces.
 */
import { realFourierInto } from '../numbers/fourier.ts';
import { named, numbers, or, whole } from '../numbers/guard.ts';

/** How values of a record hang together. */
export interface Autocorrelation {
  /** r[0] = 1, r[1] … r[K]; 'none' where all values are equal. */
  readonly correlations: Float64Array | 'none';
  /** Values in the record, M. */
  readonly count: number;
  /** M/(1 + 2·Σ r[k]·(1 − k/M)), the sum up to the first r[k] that chance explains: independent values with the same scatter of the mean. */
  readonly effectiveCount: number;
  /** Lags in that sum; K where the correlation has not died out by then, and the effective count is too high. */
  readonly lags: number;
}

/** Takes a record in pieces. */
export interface AutocorrelationStream {
  /** Takes the next values. */
  add(values: ArrayLike<number>): void;
  /** Correlations so far; 'none' for fewer than 2 values. */
  autocorrelation(): Autocorrelation | 'none';
}

const lagsRule = or(whole(1, 4096), 64);

/** Sums of products at lags 0 … K of values less an origin, over a record that comes in pieces. */
class LagProducts {
  private readonly lags: number;
  private readonly size: number;
  /** The last K values before the piece, and the piece: both less the origin. */
  private readonly held: Float64Array;
  private readonly alone: Float64Array;
  private readonly a: Float64Array;
  private readonly b: Float64Array;
  private readonly cross: Float64Array;
  private filled: number;
  private origin = 0;
  private readonly head: number[] = [];
  count = 0;
  sum = 0;

  constructor(lags: number) {
    this.lags = lags;
    this.size = Math.max(2 ** 12, 2 ** Math.ceil(Math.log2(4 * lags)));
    this.held = new Float64Array(this.size);
    this.alone = new Float64Array(this.size);
    this.a = new Float64Array(this.size + 2);
    this.b = new Float64Array(this.size + 2);
    this.cross = new Float64Array(this.size + 2);
    this.filled = lags;
  }

  add(values: ArrayLike<number>): void {
    if (this.count === 0 && values.length > 0) this.origin = values[0]!;
    const { held, origin, head, lags } = this;
    for (let i = 0; head.length < lags && i < values.length; i++) head.push(values[i]! - origin);
    for (let i = 0; i < values.length; ) {
      const taken = Math.min(values.length - i, this.size - this.filled);
      const room = held.subarray(this.filled, this.filled + taken);
      let sum = 0;
      for (let j = 0; j < taken; j++) {
        const x = values[i + j]! - origin;
        room[j] = x;
        sum += x;
      }
      this.sum += sum;
      this.filled += taken;
      i += taken;
      if (this.filled === this.size) this.join();
    }
    this.count += values.length;
  }

  /** Adds the products of the piece with itself and the K values before it, as the cross spectrum. */
  private join(): void {
    const { held, alone, a, b, cross, lags, filled } = this;
    held.fill(0, filled);
    alone.set(held);
    alone.fill(0, 0, lags);
    realFourierInto(alone, a);
    realFourierInto(held, b);
    for (let k = 0; k < cross.length; k += 2) {
      cross[k]! += a[k]! * b[k]! + a[k + 1]! * b[k + 1]!;
      cross[k + 1]! += a[k]! * b[k + 1]! - a[k + 1]! * b[k]!;
    }
    held.copyWithin(0, filled - lags, filled);
    this.filled = lags;
  }

  /** Σ (x[i] − x̄)(x[i + k] − x̄), k = 0 … K. */
  products(): Float64Array {
    if (this.filled > this.lags) this.join();
    // The inverse of the even transform C is its real part at each lag; one transform of its symmetric form does it.
    const { size, cross, lags, count, head, held } = this;
    const out = new Float64Array(lags + 1);
    const even = new Float64Array(size);
    const odd = new Float64Array(size);
    for (let k = 0; k < size; k++) {
      const j = 2 * Math.min(k, size - k);
      even[k] = cross[j]!;
      odd[k] = k <= size / 2 ? cross[j + 1]! : -cross[j + 1]!;
    }
    const re = realFourierInto(even, new Float64Array(size + 2));
    const im = realFourierInto(odd, new Float64Array(size + 2));
    const mean = this.sum / count;
    let first = 0;
    let last = 0;
    for (let k = 0; k <= Math.min(lags, count - 1); k++) {
      // The held values stand k before the piece's own: cross spectrum conj(A)·B, read at lag −k.
      const raw = (re[2 * k]! - im[2 * k + 1]!) / size;
      // Without the mean: Σ over the first M − k values and over the last M − k.
      out[k] = raw - mean * (2 * this.sum - first - last) + (count - k) * mean * mean;
      first += head[k] ?? 0;
      last += held[lags - 1 - k] ?? 0;
    }
    return out;
  }
}

/** Correlations of the sums of products, and the effective count. */
function correlated(products: Float64Array, count: number): Autocorrelation {
  const all = products[0]!;
  if (!(all > 0)) return { correlations: 'none', count, effectiveCount: count, lags: 0 };
  const correlations = products.map((p) => p / all);
  // Chance gives an r of about 1/√M.
  const chance = 2 / Math.sqrt(count);
  let lags = 0;
  let sum = 0;
  while (lags + 1 < correlations.length && Math.abs(correlations[lags + 1]!) > chance) {
    lags++;
    sum += correlations[lags]! * (1 - lags / count);
  }
  return { correlations, count, effectiveCount: count / Math.max(1 / count, 1 + 2 * sum), lags };
}

/**
 * Autocorrelation of a record that comes in pieces.
 *
 * @param lags - lags K, 1 … 4096; 64 unless given
 * @returns a stream to add values to
 * @throws RangeError for an argument outside its range
 *
 * autocorrelationStream({}).autocorrelation() // => 'none'
 */
export function autocorrelationStream(given: { lags?: number }): AutocorrelationStream {
  const { lags } = named('autocorrelationStream', { lags: lagsRule }, given);
  const sums = new LagProducts(lags);
  return {
    add: (values) => sums.add(values),
    autocorrelation: () => (sums.count < 2 ? 'none' : correlated(sums.products(), sums.count)),
  };
}

/**
 * Autocorrelation and effective count of a record.
 *
 * The standard uncertainty of the mean of correlated values is s/√(effective count), not s/√M.
 *
 * @param values - record of M values in any unit, M from 2; not modified
 * @param lags - lags K, 1 … 4096; 64 unless given
 * @returns correlations and effective count
 * @throws RangeError for an argument outside its range
 *
 * autocorrelation({ values: [1, 2, 3, 4, 5], lags: 1 }).correlations[1] // => 0.4
 */
export function autocorrelation(given: { values: ArrayLike<number>; lags?: number }): Autocorrelation {
  const { values, lags } = named('autocorrelation', { values: numbers(2), lags: lagsRule }, given);
  const sums = new LagProducts(lags);
  sums.add(values);
  return correlated(sums.products(), sums.count);
}

/**
 * Fourier: the discrete transform of a real record.
 *
 *     X[k] = Σ_{n=0}^{M−1} x[n]·exp(−2πi·k·n/M),  k = 0 … floor(M/2)
 *
 * In come M real values; out go real and imaginary parts, interleaved, without any scale. The other half of the transform is the
 * conjugate of this one. Lengths that are a power of two go by the conjugate-pair split radix, depth first, so that every
 * sub-transform that fits a cache is done in it; any other length becomes a convolution of the next power of two above 2M
 * (the chirp transform). These are plain numeric helpers for inner loops.
 */

/** Factors exp(2πi·k/2^log), k = 0 … 2^log/4 − 1, as cosine and sine, by log; filled when first asked for. */
const factors: Float64Array[] = [];

function factorsOf(log: number): Float64Array {
  const known = factors[log];
  if (known) return known;
  const size = 2 ** log;
  const quarter = size / 4;
  const table = new Float64Array(2 * quarter);
  // Angles up to an eighth of a turn, where sine and cosine lose nothing, give the others by symmetry.
  for (let k = 0; 2 * k <= quarter; k++) {
    const angle = (2 * Math.PI * k) / size;
    table[2 * k] = Math.cos(angle);
    table[2 * k + 1] = Math.sin(angle);
    if (k > 0) {
      table[2 * (quarter - k)] = Math.sin(angle);
      table[2 * (quarter - k) + 1] = Math.cos(angle);
    }
  }
  factors[log] = table;
  // The tables of the smaller sizes are every second entry of the next larger.
  for (let below = log - 1, from = table; below >= 2 && !factors[below]; below--) {
    const half = new Float64Array(from.length / 2);
    for (let k = 0; k < half.length; k += 2) {
      half[k] = from[2 * k]!;
      half[k + 1] = from[2 * k + 1]!;
    }
    factors[below] = half;
    from = half;
  }
  return table;
}

/**
 * Complex transform of 2^log values of `x`, from index `at` in steps of `stride`, indices taken modulo the length (`mask` + 1).
 * Complex values are interleaved; the result stands in `out` from `o` on.
 */
function transform(
  x: Float64Array,
  mask: number,
  at: number,
  log: number,
  stride: number,
  out: Float64Array,
  o: number,
): void {
  if (log > 3) {
    const half = 1 << log;
    transform(x, mask, at, log - 1, 2 * stride, out, o);
    transform(x, mask, (at + stride) & mask, log - 2, 4 * stride, out, o + half);
    transform(x, mask, (at - stride) & mask, log - 2, 4 * stride, out, o + half + (half >> 1));
    combine(out, o, half >> 1, factors[log]!);
  } else if (log === 3) eight(x, mask, at, stride, out, o);
  else if (log === 2) four(x, mask, at, stride, out, o);
  else if (log === 1) {
    const i = 2 * at;
    const j = 2 * ((at + stride) & mask);
    out[o] = x[i]! + x[j]!;
    out[o + 1] = x[i + 1]! + x[j + 1]!;
    out[o + 2] = x[i]! - x[j]!;
    out[o + 3] = x[i + 1]! - x[j + 1]!;
  } else {
    out[o] = x[2 * at]!;
    out[o + 1] = x[2 * at + 1]!;
  }
}

/** Puts together a half U and two quarters Z, Z′ of a transform; `w` holds c + i·s, and Z is turned by its conjugate. */
function combine(out: Float64Array, o: number, quarter: number, w: Float64Array): void {
  const o1 = o + quarter;
  const o2 = o1 + quarter;
  const o3 = o2 + quarter;
  for (let k = 0; k < quarter; k += 2) {
    const c = w[k]!;
    const s = w[k + 1]!;
    const zr = out[o2 + k]!;
    const zi = out[o2 + k + 1]!;
    const yr = out[o3 + k]!;
    const yi = out[o3 + k + 1]!;
    const ar = c * zr + s * zi;
    const ai = c * zi - s * zr;
    const br = c * yr - s * yi;
    const bi = c * yi + s * yr;
    const sumR = ar + br;
    const sumI = ai + bi;
    const turnedR = ai - bi;
    const turnedI = br - ar;
    const ur = out[o + k]!;
    const ui = out[o + k + 1]!;
    const vr = out[o1 + k]!;
    const vi = out[o1 + k + 1]!;
    out[o + k] = ur + sumR;
    out[o + k + 1] = ui + sumI;
    out[o2 + k] = ur - sumR;
    out[o2 + k + 1] = ui - sumI;
    out[o1 + k] = vr + turnedR;
    out[o1 + k + 1] = vi + turnedI;
    out[o3 + k] = vr - turnedR;
    out[o3 + k + 1] = vi - turnedI;
  }
}

function four(x: Float64Array, mask: number, at: number, stride: number, out: Float64Array, o: number): void {
  const i0 = 2 * at;
  const i1 = 2 * ((at + stride) & mask);
  const i2 = 2 * ((at + 2 * stride) & mask);
  const i3 = 2 * ((at - stride) & mask);
  const ar = x[i0]! + x[i2]!;
  const ai = x[i0 + 1]! + x[i2 + 1]!;
  const br = x[i0]! - x[i2]!;
  const bi = x[i0 + 1]! - x[i2 + 1]!;
  const cr = x[i1]! + x[i3]!;
  const ci = x[i1 + 1]! + x[i3 + 1]!;
  const dr = x[i1]! - x[i3]!;
  const di = x[i1 + 1]! - x[i3 + 1]!;
  out[o] = ar + cr;
  out[o + 1] = ai + ci;
  out[o + 4] = ar - cr;
  out[o + 5] = ai - ci;
  out[o + 2] = br + di;
  out[o + 3] = bi - dr;
  out[o + 6] = br - di;
  out[o + 7] = bi + dr;
}

function eight(
  x: Float64Array,
  mask: number,
  at: number,
  stride: number,
  out: Float64Array,
  o: number,
): void {
  four(x, mask, at, 2 * stride, out, o);
  const i1 = 2 * ((at + stride) & mask);
  const i3 = 2 * ((at + 3 * stride) & mask);
  const i5 = 2 * ((at + 5 * stride) & mask);
  const i7 = 2 * ((at - stride) & mask);
  // The two quarters have two values each.
  out[o + 8] = x[i1]! + x[i5]!;
  out[o + 9] = x[i1 + 1]! + x[i5 + 1]!;
  out[o + 10] = x[i1]! - x[i5]!;
  out[o + 11] = x[i1 + 1]! - x[i5 + 1]!;
  out[o + 12] = x[i7]! + x[i3]!;
  out[o + 13] = x[i7 + 1]! + x[i3 + 1]!;
  out[o + 14] = x[i7]! - x[i3]!;
  out[o + 15] = x[i7 + 1]! - x[i3 + 1]!;
  combine(out, o, 4, eighthTurns);
}

const eighthTurns = factorsOf(3);

/** Parts the transform of M/2 complex values in `out` into those of the even and odd samples, and puts these together; ends apart. */
function partEvenAndOdd(out: Float64Array, w: Float64Array, size: number): void {
  for (let k = 2, j = size - 2; k < j; k += 2, j -= 2) {
    const c = w[k]!;
    const s = w[k + 1]!;
    const er = 0.5 * (out[k]! + out[j]!);
    const ei = 0.5 * (out[k + 1]! - out[j + 1]!);
    const dr = 0.5 * (out[k]! - out[j]!);
    const di = 0.5 * (out[k + 1]! + out[j + 1]!);
    const or = c * di - s * dr;
    const oi = c * dr + s * di;
    out[k] = er + or;
    out[k + 1] = ei - oi;
    out[j] = er - or;
    out[j + 1] = -ei - oi;
  }
}

/**
 * Transform of a real record whose length is a power of two, into an array that is there already.
 *
 * The record is read as M/2 complex values; their transform is then parted into those of the even and odd samples.
 *
 * @param values - M values, M = 2, 4, 8 …; not modified
 * @param out - receives real and imaginary parts of k = 0 … M/2, interleaved; of length M + 2
 * @returns `out`
 * @throws RangeError if M is not a power of two from 2, or `out` has another length
 */
export function realFourierInto(values: Float64Array, out: Float64Array): Float64Array {
  const size = values.length;
  const log = Math.log2(size);
  if (!(Number.isInteger(log) && log >= 1)) {
    throw new RangeError(`realFourierInto.values: got ${size} values; allowed powers of two from 2`);
  }
  if (out.length !== size + 2) {
    throw new RangeError(`realFourierInto.out: got an array of ${out.length}; allowed ${size + 2}`);
  }
  const half = size / 2;
  // Filled from the largest size down, so that all tables come of one.
  const w = factorsOf(Math.max(log, 2));
  transform(values, half - 1, 0, log - 1, 1, out, 0);
  const even = out[0]!;
  const odd = out[1]!;
  out[0] = even + odd;
  out[1] = 0;
  out[size] = even - odd;
  out[size + 1] = 0;
  partEvenAndOdd(out, w, size);
  if (half > 1) out[half + 1] = -out[half + 1]!;
  return out;
}

/** exp(iπ·n²/M), n = 0 … M − 1; n² is taken modulo 2M, a whole number, before it becomes an angle. */
function chirpOf(size: number): Float64Array {
  const chirp = new Float64Array(2 * size);
  for (let n = 0, square = 0; n < size; n++) {
    chirp[2 * n] = Math.cos((Math.PI * square) / size);
    chirp[2 * n + 1] = Math.sin((Math.PI * square) / size);
    square = (square + 2 * n + 1) % (2 * size);
  }
  return chirp;
}

/** Transform of any length: with k·n = (k² + n² − (k − n)²)/2 it is a convolution with a chirp. */
function chirpTransform(values: Float64Array): Float64Array {
  const size = values.length;
  const log = Math.ceil(Math.log2(2 * size - 1));
  const length = 2 ** log;
  factorsOf(Math.max(log, 2));
  const chirp = chirpOf(size);
  const turned = new Float64Array(2 * length);
  const kernel = new Float64Array(2 * length);
  for (let n = 0; n < size; n++) {
    const c = chirp[2 * n]!;
    const s = chirp[2 * n + 1]!;
    turned[2 * n] = values[n]! * c;
    turned[2 * n + 1] = -values[n]! * s;
    kernel[2 * n] = c;
    kernel[2 * n + 1] = s;
    if (n > 0) {
      kernel[2 * (length - n)] = c;
      kernel[2 * (length - n) + 1] = s;
    }
  }
  const a = new Float64Array(2 * length);
  const b = new Float64Array(2 * length);
  transform(turned, length - 1, 0, log, 1, a, 0);
  transform(kernel, length - 1, 0, log, 1, b, 0);
  // The product, conjugated: its transform is the conjugate of the convolution, times the length.
  for (let k = 0; k < 2 * length; k += 2) {
    turned[k] = a[k]! * b[k]! - a[k + 1]! * b[k + 1]!;
    turned[k + 1] = -a[k]! * b[k + 1]! - a[k + 1]! * b[k]!;
  }
  transform(turned, length - 1, 0, log, 1, a, 0);
  const out = new Float64Array(2 * Math.floor(size / 2) + 2);
  for (let k = 0; k < out.length; k += 2) {
    const c = chirp[k]!;
    const s = chirp[k + 1]!;
    out[k] = (a[k]! * c - a[k + 1]! * s) / length;
    out[k + 1] = (-a[k + 1]! * c - a[k]! * s) / length;
  }
  return out;
}

/**
 * Transform of a real record of any length.
 *
 * @param values - M values, M from 1; not modified
 * @returns real and imaginary parts of k = 0 … floor(M/2), interleaved, in the unit of `values`
 * @throws RangeError if there is no value
 *
 * @example
 * Array.from(realFourier(Float64Array.of(1, 2, 3, 4))) // => [10, 0, -2, 2, -2, 0]
 */
export function realFourier(values: Float64Array): Float64Array {
  const size = values.length;
  if (size === 0) throw new RangeError('realFourier.values: got 0 values; allowed 1 or more');
  if (size === 1) return Float64Array.of(values[0]!, 0);
  if ((size & (size - 1)) === 0) return realFourierInto(values, new Float64Array(size + 2));
  return chirpTransform(values);
}

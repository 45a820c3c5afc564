/**
 * Characteristic function of a sum of R codes, at the M-th roots of unity.
 *
 *     F_i = φ(2πi/M)^R,  φ(ω) = Σ p_k·e^{iωk}
 *
 * In: the codes of one position. Out: F_i and Im(F_i·(κ_i − x)), κ = −i·φ'/φ, for i = 1 … M/2, as far as they are not nothing.
 * Every shift whose modulus divides M reads the same terms, with a stride.
 */
import type { Codes } from './codes.ts';

/** The terms of one position. */
export interface Terms {
  /** Terms i = 1 … count count; |F| beyond is nothing. */
  count: number;
  /** Re F_i. */
  readonly re: Float64Array;
  /** Im F_i. */
  readonly im: Float64Array;
  /** Im(F_i·(κ_i − x)). */
  readonly moment: Float64Array;
}

/** Functions of ω = 2πi/M, i = 0 … M/2. */
export interface Circle {
  readonly cos: Float64Array;
  readonly sin: Float64Array;
  /** cot(ω/2). */
  readonly cot: Float64Array;
  /** 1/sin(ω/2). */
  readonly cosec: Float64Array;
}

/** |F| below which a term is nothing. */
const nothing = 1e-17;

/** Room for the terms of circles up to M = `size`. */
export const emptyTerms = (size: number): Terms => ({
  count: 0,
  re: new Float64Array(size / 2 + 1),
  im: new Float64Array(size / 2 + 1),
  moment: new Float64Array(size / 2 + 1),
});

const circles = new Map<number, Circle>();

/** The circle divided into `size` parts, an even number; made once for each size. */
export function circleOf(size: number): Circle {
  let circle = circles.get(size);
  if (!circle) {
    const table = (f: (half: number) => number): Float64Array =>
      Float64Array.from({ length: size / 2 + 1 }, (_, i) => f((Math.PI * i) / size));
    circle = {
      cos: table((half) => Math.cos(2 * half)),
      sin: table((half) => Math.sin(2 * half)),
      cot: table((half) => Math.cos(half) / Math.sin(half)),
      cosec: table((half) => 1 / Math.sin(half)),
    };
    circles.set(size, circle);
  }
  return circle;
}

/** Fills `terms` for a sum of `ratio` codes, a multiple of `size`, and an input `depth` LSB below the edge of code 0. */
export function termsInto(codes: Codes, depth: number, ratio: number, size: number, terms: Terms): void {
  const { cos, sin } = circleOf(size);
  const p = codes.probability;
  const base = codes.lowest - (0.5 - depth);
  let i = 1;
  for (; i <= size / 2; i++) {
    const c = cos[i]!;
    const s = sin[i]!;
    // φ, and Σ k·p_k·z^k, by Horner's rule; the lowest code counts as 0, since e^{iωR·lowest} is 1.
    let re = 0;
    let im = 0;
    let firstRe = 0;
    let firstIm = 0;
    for (let k = codes.count - 1; k >= 0; k--) {
      const t = re * c - im * s + p[k]!;
      im = re * s + im * c;
      re = t;
      const u = firstRe * c - firstIm * s + k * p[k]!;
      firstIm = firstRe * s + firstIm * c;
      firstRe = u;
    }
    const square = re * re + im * im;
    const kappaRe = (firstRe * re + firstIm * im) / square + base;
    const kappaIm = (firstIm * re - firstRe * im) / square;
    // φ^R by squaring.
    let powerRe = 1;
    let powerIm = 0;
    for (let n = ratio; ; ) {
      if (n & 1) {
        const t = powerRe * re - powerIm * im;
        powerIm = powerRe * im + powerIm * re;
        powerRe = t;
      }
      n >>= 1;
      if (n === 0) break;
      const t = re * re - im * im;
      im = 2 * re * im;
      re = t;
    }
    if (!(powerRe * powerRe + powerIm * powerIm > nothing * nothing)) break;
    terms.re[i] = powerRe;
    terms.im[i] = powerIm;
    terms.moment[i] = powerRe * kappaIm + powerIm * kappaRe;
  }
  terms.count = i - 1;
}

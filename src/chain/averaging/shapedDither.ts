/**
 * Shaped dither: what the mean of a burst is worth where the noise is helped by a signal of known shape.
 *
 * In: noise σ, the shape and span of the dither, ratio. Out: ripple, rms error and bits of the unshifted mean. Uniform and
 * triangular dither are drawn anew for each conversion. A ramp runs through its span once in each burst, in step with it: the
 * offsets of the R conversions are fixed, so it smooths the staircase and adds no noise; a steady slope of the input does the same.
 *
 * The ripple's mean square is that of the mean transfer curve, whose k-th harmonic the dither multiplies by a weight w_k:
 *
 *     Σ_{k≥1} w_k²·exp(−4π²k²σ²)/(2π²k²)
 *     uniform   w = sinc(kA)            triangle  w = sinc²(kA/2)        sinc x = sin(πx)/(πx)
 *     ramp      w = sin(πkA)/(R·sin(πkA/R))
 *
 * Without noise, or with little, the sums are slow; they are values of the periodic Bernoulli polynomials of degree 4, 6 and 2,
 * smoothed by the noise.
 */
import { between, choice, named } from '../../numbers/guard.ts';
import { normalDensity } from '../../numbers/normal.ts';
import { bitsRule } from '../quantizing.ts';
import { boxcar } from './boxcar.ts';
import { gaussLegendre } from './quadrature.ts';
import { ratioRule } from './result.ts';
import { rippleSquare } from './ripple.ts';

/** Shape of a dither. */
export type DitherShape = 'uniform' | 'triangle' | 'ramp';

/** What the unshifted mean of a dithered burst is worth. */
export interface DitheredError {
  /** Rms of the part that no averaging removes, LSB. */
  readonly rippleLsb: number;
  /** Rms error, over noise, dither and input, LSB. */
  readonly rmsErrorLsb: number;
  /** N − log2(√12·rmsErrorLsb), bits. */
  readonly effectiveBits: number;
}

const shape = {
  bits: bitsRule,
  noiseLsb: between(0, 1e6, 'LSB'),
  dither: choice(['uniform', 'triangle', 'ramp']),
  spanLsb: between(0.01, 64, 'LSB'),
  ratio: ratioRule,
};

/**
 * Error of the unshifted mean of R conversions with Gaussian noise and a shaped dither.
 *
 *     MSE = B_d² + (σ² + σ_d² + 1/12 − B²)/R,  B² = B_d² but for a ramp
 *
 * σ_d² is A²/12 for uniform, A²/24 for triangular dither; a ramp has none, and B² is that of the noise alone.
 *
 * @param bits - native bits N, 1 … 32
 * @param noiseLsb - transition noise σ, LSB rms, 0 … 1e6
 * @param dither - 'uniform' or 'triangle', drawn for each conversion; 'ramp', R even steps in step with the burst
 * @param spanLsb - span A of the dither, peak to peak, LSB, 0.01 … 64; of a ramp, R times its step
 * @param ratio - oversampling ratio R, 1 … 65536
 * @returns ripple and rms error, native LSB, and effective bits
 * @throws RangeError for an argument outside its range
 * @see [JAES1992] table 1 for one conversion
 *
 * ditheredError({ bits: 12, noiseLsb: 0, dither: 'uniform', spanLsb: 1, ratio: 1 }).rmsErrorLsb // => 0.40825
 * ditheredError({ bits: 12, noiseLsb: 0, dither: 'ramp', spanLsb: 1, ratio: 16 }).effectiveBits // => 16
 */
export function ditheredError(given: {
  bits: number;
  noiseLsb: number;
  dither: DitherShape;
  spanLsb: number;
  ratio: number;
}): DitheredError {
  const { bits, noiseLsb, dither, spanLsb, ratio } = named('ditheredError', shape, given);
  const ripple = ditheredRipple(dither, noiseLsb, spanLsb, ratio);
  const spread = noiseLsb * noiseLsb + 1 / 12;
  const single =
    dither === 'ramp'
      ? spread - rippleSquare(noiseLsb)
      : spread + spanLsb ** 2 / (dither === 'uniform' ? 12 : 24) - ripple;
  const rmsErrorLsb = Math.sqrt(ripple + single / ratio);
  const effectiveBits = bits - Math.log2(Math.sqrt(12) * rmsErrorLsb);
  return { rippleLsb: Math.sqrt(ripple), rmsErrorLsb, effectiveBits };
}

/** What a shape does to the ripple: its weight at each harmonic, and the mean square it leaves where the noise is narrow. */
interface Smoothing {
  /** w_k. */
  readonly weight: (k: number, span: number, ratio: number) => number;
  /** LSB². */
  readonly narrow: (noise: number, span: number, ratio: number) => number;
}

const sinc = (x: number): number => Math.sin(Math.PI * x) / (Math.PI * x);

const smoothing: Record<DitherShape, Smoothing> = {
  uniform: {
    weight: (k, span) => sinc(k * span),
    narrow: (noise, span) => (smoothed(4, span, noise) - smoothed(4, 0, noise)) / (12 * span ** 2),
  },
  triangle: {
    weight: (k, span) => sinc((k * span) / 2) ** 2,
    narrow: (noise, span) =>
      (smoothed(6, span, noise) - 4 * smoothed(6, span / 2, noise) + 3 * smoothed(6, 0, noise)) /
      (22.5 * span ** 4),
  },
  ramp: {
    weight: (k, span, ratio) => boxcar((k * span) / ratio, ratio),
    narrow: (noise, span, ratio) => {
      // Each pair of conversions n apart has the ripple's covariance at n steps.
      let sum = (ratio * smoothed(2, 0, noise)) / 2;
      for (let n = 1; n < ratio; n++) sum += (ratio - n) * smoothed(2, (n * span) / ratio, noise);
      return sum / ratio ** 2;
    },
  },
};

/** Noise from which the sum over harmonics is short, LSB. */
const wide = 0.05;

/** Mean square of the ripple, LSB². */
function ditheredRipple(dither: DitherShape, noise: number, span: number, ratio: number): number {
  const { weight, narrow } = smoothing[dither];
  if (noise < wide) return Math.max(0, narrow(noise, span, ratio));
  let sum = 0;
  for (let k = Math.ceil(1.05 / noise); k >= 1; k--) {
    const crest = weight(k, span, ratio) ** 2 / (2 * (Math.PI * k) ** 2);
    sum += crest * Math.exp(-4 * (Math.PI * k * noise) ** 2);
  }
  return sum;
}

/** Bernoulli polynomials of degree 2, 4 and 6, by y = x(x − 1). */
const bernoulli = {
  2: (x: number) => x * (x - 1) + 1 / 6,
  4: (x: number) => (x * (x - 1)) ** 2 - 1 / 30,
  6: (x: number) => (x * (x - 1)) ** 2 * (x * (x - 1) - 0.5) + 1 / 42,
};

const rule = gaussLegendre(12);

/** Mean of the periodic Bernoulli polynomial of a degree at x + √2·σ·Z, Z standard normal. */
function smoothed(degree: 2 | 4 | 6, x: number, noise: number): number {
  const polynomial = bernoulli[degree];
  const deviation = Math.SQRT2 * noise;
  const place = x - Math.floor(x);
  if (deviation < 1e-100) return polynomial(place);
  const clear = Math.min(place, 1 - place) > 9 * deviation;
  return degree === 2 && clear
    ? polynomial(place) + deviation ** 2
    : acrossKinks(polynomial, place, deviation);
}

/** That mean by quadrature over Z, in panels that end where the polynomial is joined to itself. */
function acrossKinks(polynomial: (x: number) => number, place: number, deviation: number): number {
  const ends = [-9, -6, -4, -2, 0, 2, 4, 6, 9];
  for (let n = -1; n <= 2; n++) {
    const kink = (n - place) / deviation;
    if (Math.abs(kink) < 9) ends.push(kink);
  }
  ends.sort((a, b) => a - b);
  let sum = 0;
  for (let p = 1; p < ends.length; p++) {
    const half = (ends[p]! - ends[p - 1]!) / 2;
    const middle = ends[p - 1]! + half;
    const whole = Math.floor(place + deviation * middle);
    for (let i = 0; i < rule.nodes.length; i++) {
      const z = middle + half * rule.nodes[i]!;
      sum += half * rule.weights[i]! * normalDensity(z) * polynomial(place + deviation * z - whole);
    }
  }
  return sum;
}

/**
 * Ripple: what averaging without end leaves of the staircase.
 *
 * The mean code of a noisy conversion, drawn against the input, is a staircase smoothed by the noise. What is left of the steps
 * is a fixed error of the input's position; no ratio removes it. The noise comes in, in LSB; the mean square of that error over
 * a code width goes out. Two sums give it, one quick for wide noise, one for narrow: they are the two sides of Poisson's
 * formula for a row of normal densities, integrated over σ².
 */
import { normalTail } from '../../numbers/normal.ts';

/** Noise from which the sum over harmonics is the shorter, LSB: either takes four terms there. */
const wide = 0.25;

/** Noise up to which the sum over neighbouring steps is less than 1e-300, LSB. */
const narrow = 0.015;

/**
 * Mean square of the ripple of the mean transfer curve, over an input spread evenly.
 *
 *     B² = Σ_{k≥1} exp(−4π²k²σ²)/(2π²k²)
 *        = 1/12 − σ/√π + σ² − Σ_{n≥1} [2σ/√π·exp(−n²/4σ²) − 2n·Q(n/(σ√2))]
 *
 * @param noise - Gaussian noise σ ahead of the quantizer, LSB rms, from 0
 * @returns B², LSB²; 1/12 at σ = 0
 */
export function rippleSquare(noise: number): number {
  let sum = 0;
  if (noise >= wide) {
    for (let k = 4; k >= 1; k--) sum += Math.exp(-4 * (Math.PI * k * noise) ** 2) / (2 * (Math.PI * k) ** 2);
    return sum;
  }
  if (noise > narrow) {
    for (let n = 3; n >= 1; n--) {
      sum += ((2 * noise) / Math.sqrt(Math.PI)) * Math.exp(-((n / (2 * noise)) ** 2));
      sum -= 2 * n * normalTail(n / (noise * Math.SQRT2));
    }
  }
  return 1 / 12 - noise / Math.sqrt(Math.PI) + noise * noise - sum;
}

/**
 * Bits by the rule of thumb: half a bit for every doubling of the ratio.
 *
 *     N + ½·log2 R
 *
 * Holds where the noise is white, wider than about half an LSB, and the shift drops no information.
 *
 * @param bits - native bits N
 * @param ratio - oversampling ratio R
 * @returns bits, uncapped
 */
export const ruleOfThumbBits = (bits: number, ratio: number): number => bits + Math.log2(ratio) / 2;

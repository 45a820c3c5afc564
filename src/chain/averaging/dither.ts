/**
 * Dither: the noise that makes averaging worth most.
 *
 * Too little noise leaves ripple, too much is averaged away slowly. In: native bits and ratio. Out: the noise at which the mean of
 * R conversions has the least error, and the bits it then has.
 */
import { named } from '../../numbers/guard.ts';
import { rootBetween } from '../../numbers/roots.ts';
import { bitsRule } from '../quantizing.ts';
import { ratioRule } from './result.ts';
import { rippleSquare } from './ripple.ts';

/** The best noise for a ratio. */
export interface BestDither {
  /** Total Gaussian noise, dither and converter together, LSB rms. */
  readonly noiseLsb: number;
  /** Bits of the mean of R conversions, unshifted. */
  readonly effectiveBits: number;
}

/**
 * Total Gaussian noise at which the unshifted mean of R conversions has the most effective bits.
 *
 *     B² + (σ² + 1/12 − B²)/R is least where 2·Σ_{k≥1} exp(−4π²k²σ²) = 1/(R − 1)
 *
 * @param bits - native bits N, 1 … 32
 * @param ratio - oversampling ratio R, 1 … 65536
 * @returns σ, LSB rms (0 for R = 1), and the effective bits
 * @throws RangeError for an argument outside its range
 *
 * bestDither({ bits: 12, ratio: 256 }).noiseLsb // => 0.3974
 * bestDither({ bits: 12, ratio: 256 }).effectiveBits // => 15.1612
 */
export function bestDither(given: { bits: number; ratio: number }): BestDither {
  const { bits, ratio } = named('bestDither', { bits: bitsRule, ratio: ratioRule }, given);
  const noiseLsb =
    ratio === 1 ? 0 : rootBetween((noise) => Math.log(2 * harmonics(noise) * (ratio - 1)), 0.05, 1);
  const ripple = rippleSquare(noiseLsb);
  const square = ripple + (noiseLsb * noiseLsb + 1 / 12 - ripple) / ratio;
  return { noiseLsb, effectiveBits: bits - Math.log2(Math.sqrt(12 * square)) };
}

/** Σ_{k≥1} exp(−4π²k²σ²), for σ from 0.05. */
function harmonics(noise: number): number {
  let sum = 0;
  for (let k = 20; k >= 1; k--) sum += Math.exp(-4 * (Math.PI * k * noise) ** 2);
  return sum;
}

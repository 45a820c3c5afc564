/**
 * Clamping: what a converter that knows no codes below 0 does to the mean of a noisy input near 0 V.
 *
 * In: the input and the noise, in LSB. Out: how much the clamp lifts the mean code. The clamp at the other end does the same the
 * other way round.
 */
import { between, named, real } from '../../numbers/guard.ts';
import { normalDensity, normalTail } from '../../numbers/normal.ts';

/** Noise from which the steps of the code no longer show in the sum, LSB. */
const wide = 16;

/**
 * Mean that a clamp at code 0 adds to the codes of a noisy converter.
 *
 *     Σ_{k≥0} Q((x + k + ½)/σ)        ≈ σ·[φ(x/σ) − (x/σ)·Q(x/σ)] for σ well above 1 LSB, σ/√(2π) at x = 0
 *
 * Codes below 0 would have balanced those above; they are read as 0. The mean of R conversions keeps all of it: it has to be avoided
 * ahead of the converter, by an input some σ above the end of the range. Where a signed mean is clamped instead, σ/√R counts in
 * place of σ.
 *
 * @param inputLsb - input x, LSB from the centre of code 0
 * @param noiseLsb - noise σ ahead of the quantizer, LSB rms, 0 … 1e6
 * @returns LSB, from 0; without noise, how many codes the input lies below code 0
 * @throws RangeError for an argument outside its range
 *
 * clampBias({ inputLsb: 0, noiseLsb: 0.5 }) // => 0.160005
 * clampBias({ inputLsb: 0, noiseLsb: 100 }) // => 39.894
 */
export function clampBias(given: { inputLsb: number; noiseLsb: number }): number {
  const shape = { inputLsb: real('LSB'), noiseLsb: between(0, 1e6, 'LSB') };
  const { inputLsb: x, noiseLsb: noise } = named('clampBias', shape, given);
  if (noise < 1e-100) return Math.max(0, -Math.floor(x + 0.5)) + 0;
  if (noise >= wide) {
    // The integral over k, and the first two terms of what the midpoint rule is off by.
    const z = x / noise;
    const density = normalDensity(z);
    const off = density / (24 * noise) - (7 * (z * z - 1) * density) / (5760 * noise ** 3);
    return Math.max(0, noise * (density - z * normalTail(z)) - off);
  }
  let sum = 0;
  // Terms below −9σ are 1 to double precision.
  const first = Math.max(0, Math.floor(-9 * noise - x - 0.5));
  const last = Math.max(first, Math.ceil(38 * noise - x));
  for (let k = last; k >= first; k--) sum += normalTail((x + k + 0.5) / noise);
  return first + sum;
}

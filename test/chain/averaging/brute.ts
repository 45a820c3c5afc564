import { normalTail } from '../../../src/numbers/normal.ts';

/**
 * A second witness of an averaged result's error: the distribution of the sum by convolution, every result code formed as the
 * hardware does, and the input put at evenly spaced places over all P codes after which the error repeats.
 */

/** Probabilities of codes lowest … for an input x, LSB from a code centre. */
function codeDistribution(x: number, noise: number): { lowest: number; p: number[] } {
  if (noise === 0) return { lowest: Math.floor(x + 0.5), p: [1] };
  const lowest = Math.floor(x - 12 * noise);
  const highest = Math.ceil(x + 12 * noise);
  const p: number[] = [];
  for (let k = lowest; k <= highest; k++) {
    const low = (k - 0.5 - x) / noise;
    const high = (k + 0.5 - x) / noise;
    p.push(low > 0 ? normalTail(low) - normalTail(high) : normalTail(-high) - normalTail(-low));
  }
  return { lowest, p };
}

function convolved(a: readonly number[], b: readonly number[]): number[] {
  const out = new Array<number>(a.length + b.length - 1).fill(0);
  for (let i = 0; i < a.length; i++) {
    if (a[i]! < 1e-40) continue;
    for (let j = 0; j < b.length; j++) out[i + j] = out[i + j]! + a[i]! * b[j]!;
  }
  return out;
}

/** Distribution of the sum of `ratio` independent codes, from `ratio·lowest`. */
function sumDistribution(p: readonly number[], ratio: number): number[] {
  if (ratio === 1) return [...p];
  const half = sumDistribution(p, Math.floor(ratio / 2));
  const even = convolved(half, half);
  return ratio % 2 ? convolved(even, p) : even;
}

/** Bias and rms of the error of C·2^s/R, in LSB, by brute force with `steps` inputs a code. */
export function bruteError(
  noise: number,
  ratio: number,
  shift: number,
  rounding: 'truncate' | 'round',
  steps: number,
): { bias: number; rms: number } {
  const step = 2 ** shift;
  const added = rounding === 'round' && shift > 0 ? step / 2 : 0;
  let common = step;
  while (ratio % common) common /= 2;
  const period = step / common;
  let mean = 0;
  let square = 0;
  for (let n = 0; n < steps; n++) {
    const fraction = (n + 0.5) / steps - 0.5;
    const { lowest, p } = codeDistribution(fraction, noise);
    const sums = sumDistribution(p, ratio);
    for (let whole = 0; whole < period; whole++) {
      for (let k = 0; k < sums.length; k++) {
        const sum = ratio * (lowest + whole) + k;
        const error = (Math.floor((sum + added) / step) * step) / ratio - (whole + fraction);
        mean += sums[k]! * error;
        square += sums[k]! * error * error;
      }
    }
  }
  mean /= steps * period;
  return { bias: mean, rms: Math.sqrt(square / (steps * period) - mean * mean) };
}

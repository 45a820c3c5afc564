/**
 * Codes of one conversion: which codes the noise reaches from one position of the input, and how often.
 *
 * The input stands `depth` below the upper edge of code 0's bin, 0 … ½ LSB (the lower half of the bin is the mirror image). In:
 * the noise and that depth. Out: probabilities, mean and variance of the code.
 */
import { normalDensity, normalTail } from '../../numbers/normal.ts';

/** The codes that the noise reaches from one position. */
export interface Codes {
  /** Lowest code of the list. */
  lowest: number;
  /** How many codes the list holds. */
  count: number;
  /** Probability of each code, from the lowest; longer than `count`. */
  readonly probability: Float64Array;
  /** Mean code less the input, LSB. */
  meanError: number;
  /** Variance of the code, LSB². */
  variance: number;
}

/** Distance of an edge, in standard deviations, from which it is out of the noise's reach: 1.1e-19 lies beyond. */
export const reachInSigmas = 9;

/** Room for the codes that noise of σ LSB reaches. */
export const emptyCodes = (noise: number): Codes => ({
  lowest: 0,
  count: 0,
  probability: new Float64Array(2 * Math.ceil(reachInSigmas * noise) + 1),
  meanError: 0,
  variance: 0,
});

/** Fills `codes` for Gaussian noise σ, LSB, and an input `depth` LSB below the upper edge of code 0. */
export function codesInto(noise: number, depth: number, codes: Codes): void {
  const reach = reachInSigmas * noise;
  const above = Math.max(0, Math.ceil(reach - depth));
  const below = Math.max(0, Math.ceil(reach - (1 - depth)));
  const p = codes.probability;
  codes.lowest = -below;
  codes.count = below + 1 + above;
  // Each code but 0 has the difference of the tails beyond its two edges; code 0 has the rest.
  let tail = below > 0 ? normalTail((1 - depth) / noise) : 0;
  p[below] = 1 - tail;
  for (let k = 1; k <= below; k++) {
    const next = k < below ? normalTail((k + 1 - depth) / noise) : 0;
    p[below - k] = tail - next;
    tail = next;
  }
  tail = above > 0 ? normalTail(depth / noise) : 0;
  p[below] = p[below]! - tail;
  for (let k = 1; k <= above; k++) {
    const next = k < above ? normalTail((k + depth) / noise) : 0;
    p[below + k] = tail - next;
    tail = next;
  }
  let mean = 0;
  let square = 0;
  for (let k = -below; k <= above; k++) {
    mean += k * p[below + k]!;
    square += k * k * p[below + k]!;
  }
  codes.meanError = mean - (0.5 - depth);
  codes.variance = square - mean * mean;
}

/** Slope of the mean code against the input, at the same position, for σ above 0. */
export function meanSlope(noise: number, depth: number): number {
  const reach = Math.ceil(reachInSigmas * noise);
  let sum = 0;
  for (let k = -reach; k <= reach; k++) sum += normalDensity((k + depth) / noise);
  return sum / noise;
}

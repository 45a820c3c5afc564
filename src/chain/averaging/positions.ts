/**
 * Positions: where within a code width the input is put, so that averages over the input are exact to rounding.
 *
 * A sum of R codes passes from below a given value to above it over a distance that shrinks with √R and differs along the code
 * width. The nodes follow it: panels of a few such distances each, with Gauss nodes in them, from the bin's edge to its middle.
 */
import { type Codes, codesInto, meanSlope, reachInSigmas } from './codes.ts';
import { gaussLegendre } from './quadrature.ts';

/** Panels of five standard deviations with twelve nodes: the averages then move by less than 1e-11 when both are refined. */
const panelInDeviations = 5;
const rule = gaussLegendre(12);

/** Noise that counts as none, LSB: densities below it would leave the range of doubles. */
const least = 1e-100;

/** Depths below the bin's upper edge, 0 … ½ LSB, with weights. */
export interface Positions {
  readonly depths: readonly number[];
  /** Weights; with `still` they sum to 1. */
  readonly weights: readonly number[];
  /** Weight of all deeper positions, from which the noise reaches no other code. */
  readonly still: number;
}

/** Nodes over half a code width for noise σ, LSB, and sums of `ratio` codes; `codes` is room to work in. */
export function positions(noise: number, ratio: number, codes: Codes): Positions {
  const depths: number[] = [];
  const weights: number[] = [];
  const end = noise > least ? Math.min(0.5, reachInSigmas * noise) : 0;
  let from = 0;
  while (from < end) {
    codesInto(noise, from, codes);
    // Where the sum's deviation is under one code, what is passed is set by the noise's own tail: some 0.4σ.
    const steepness = meanSlope(noise, from) * Math.sqrt(ratio / codes.variance) + 2.5 / noise;
    const full = panelInDeviations / steepness;
    const to = from + 1.3 * full > end ? end : from + full;
    for (let i = 0; i < rule.nodes.length; i++) {
      depths.push(from + ((to - from) * (1 + rule.nodes[i]!)) / 2);
      weights.push((to - from) * rule.weights[i]!);
    }
    from = to;
  }
  return { depths, weights, still: 1 - 2 * end };
}

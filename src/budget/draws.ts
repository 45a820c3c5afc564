/**
 * Draws: random values of an input quantity, from the distribution that its spread states.
 *
 * In come an input and a stream of random numbers of its own; values are filled into an array, so that the values of one input do
 * not depend on how many others there are, nor on how many are drawn at a time.
 */
import type { RandomStream } from '../numbers/random.ts';
import type { ReadInput } from './inputs.ts';

/** Fills `out` with the next draws of an input. */
export type Draw = (out: Float64Array) => void;

/**
 * A deviate of Student's t distribution from a point within the unit circle.
 *
 *     t = x·√(ν·(w^(−2/ν) − 1)/w), w = x² + y²
 *
 * @see [MATHCOMP1994]
 */
function studentDeviate(nu: number, stream: RandomStream): number {
  for (;;) {
    const x = 2 * stream.uniform() - 1;
    const y = 2 * stream.uniform() - 1;
    const w = x * x + y * y;
    if (w > 0 && w < 1) return x * Math.sqrt((nu * Math.expm1((-2 * Math.log(w)) / nu)) / w);
  }
}

/** The next deviate about 0 of a distribution that is not normal. */
function deviate(input: ReadInput, stream: RandomStream): () => number {
  const { standardUncertainty: u, limit: a, degreesOfFreedom: nu } = input;
  switch (input.distribution) {
    case 'rectangular':
      return () => a * (2 * stream.uniform() - 1);
    case 'triangular':
      return () => a * (stream.uniform() + stream.uniform() - 1);
    case 'arcsine':
      return () => a * Math.sin(2 * Math.PI * stream.uniform());
    case 'normal':
      return () => u * studentDeviate(nu, stream);
  }
}

/**
 * The draws of an input.
 *
 * A standard uncertainty with degrees of freedom is drawn from a t distribution scaled by u, whose own standard deviation is
 * u·√(ν/(ν − 2)); degrees of freedom of a half-width are left out.
 *
 * @see [JCGM101] 6.4.2 (rectangular), 6.4.5 (triangular), 6.4.6 (arcsine), 6.4.7 (normal), 6.4.9 (t)
 */
export function drawOf(input: ReadInput, stream: RandomStream): Draw {
  const { estimate, standardUncertainty: u } = input;
  if (input.distribution === 'normal' && !Number.isFinite(input.degreesOfFreedom)) {
    return (out) => {
      stream.fillNormal(out);
      for (let i = 0; i < out.length; i++) out[i] = estimate + u * out[i]!;
    };
  }
  const next = deviate(input, stream);
  return (out) => {
    for (let i = 0; i < out.length; i++) out[i] = estimate + next();
  };
}

/**
 * The joint draws of normal inputs that correlations join: independent normal deviates times the triangular factor.
 *
 * @see [JCGM101] 6.4.8 and C.5
 */
export function correlatedDraws(
  inputs: readonly ReadInput[],
  factor: readonly Float64Array[],
  streams: readonly RandomStream[],
): (out: readonly Float64Array[]) => void {
  return (out) => {
    out.forEach((column, i) => {
      streams[i]!.fillNormal(column);
    });
    // From the last row up: a row reads only the deviates of those before it.
    for (let i = inputs.length - 1; i >= 0; i--) {
      const row = factor[i]!;
      const { estimate, standardUncertainty: u } = inputs[i]!;
      const own = out[i]!;
      for (let n = 0; n < own.length; n++) {
        let sum = 0;
        for (let k = 0; k <= i; k++) sum += row[k]! * out[k]![n]!;
        own[n] = sum;
      }
      for (let n = 0; n < own.length; n++) own[n] = estimate + u * own[n]!;
    }
  };
}

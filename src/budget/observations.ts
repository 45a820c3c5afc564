/**
 * Observations: repeated readings of one quantity, or of two at the same time, as an input of a budget (Type A evaluation).
 *
 * In come the readings; out go their mean, its standard uncertainty with degrees of freedom, and the correlation of two means.
 */
import { named, numbers } from '../numbers/guard.ts';

/** The mean of repeated observations. */
export interface MeanOfObservations {
  /** Mean, unit of the observations. */
  readonly estimate: number;
  /** Experimental standard deviation s of one observation, divisor n − 1. */
  readonly standardDeviation: number;
  /** Standard uncertainty of the mean, s/√n. */
  readonly standardUncertainty: number;
  /** n − 1. */
  readonly degreesOfFreedom: number;
}

const meanOf = (values: ArrayLike<number>): number => {
  let sum = 0;
  for (let i = 0; i < values.length; i++) sum += values[i]!;
  return sum / values.length;
};

function crossMoment(a: ArrayLike<number>, b: ArrayLike<number>): number {
  const [meanA, meanB] = [meanOf(a), meanOf(b)];
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += (a[i]! - meanA) * (b[i]! - meanB);
  return sum / (a.length - 1);
}

/**
 * Mean of repeated, independent observations, with its standard uncertainty.
 *
 *     s² = Σ(x_k − mean)²/(n − 1),   u = s/√n,   ν = n − 1
 *
 * @param values - observations, at least 2
 * @returns mean, s and u in the unit of the observations, and ν
 * @throws RangeError if the argument is not such an array
 * @see [GUM] 4.2.1 to 4.2.3
 *
 * @example
 * meanOfObservations({ values: [1, 2, 3, 4] }).standardUncertainty // => 0.6454972
 */
export function meanOfObservations(given: { readonly values: ArrayLike<number> }): MeanOfObservations {
  const { values } = named('meanOfObservations', { values: numbers(2) }, given);
  const standardDeviation = Math.sqrt(crossMoment(values, values));
  return {
    estimate: meanOf(values),
    standardDeviation,
    standardUncertainty: standardDeviation / Math.sqrt(values.length),
    degreesOfFreedom: values.length - 1,
  };
}

/**
 * Correlation coefficient of the means of two quantities that were observed at the same time.
 *
 *     r = Σ(x_k − mean x)(y_k − mean y)/√(Σ(x_k − mean x)²·Σ(y_k − mean y)²)
 *
 * @param first - observations of one quantity, at least 2
 * @param second - as many of the other, in the same order
 * @returns r, −1 … 1; 0 where one of the two does not vary
 * @throws RangeError if an argument is not such an array
 * @see [GUM] 5.2.3
 *
 * @example
 * correlationOfMeans({ first: [1, 2, 3], second: [1, 3, 2] }) // => 0.5
 */
export function correlationOfMeans(given: {
  readonly first: ArrayLike<number>;
  readonly second: ArrayLike<number>;
}): number {
  const { first, second } = named('correlationOfMeans', { first: numbers(2), second: numbers(2) }, given);
  if (first.length !== second.length) {
    throw new RangeError(
      `correlationOfMeans.second: got an array of ${second.length}; allowed as many as in first, ${first.length}`,
    );
  }
  const size = Math.sqrt(crossMoment(first, first) * crossMoment(second, second));
  return size > 0 ? Math.max(-1, Math.min(1, crossMoment(first, second) / size)) : 0;
}

/**
 * Second-order terms of the law of propagation, which count where a model bends within the spread of its inputs.
 *
 * In come a model and its independent inputs; out go the terms, the uncertainty with them, and the shift of the mean.
 */
import { named } from '../numbers/guard.ts';
import {
  guarded,
  type Input,
  inputsRule,
  type Model,
  modelRule,
  pointOf,
  type ReadInput,
  readInputs,
} from './inputs.ts';
import { coefficients, extrapolated, stepOf } from './propagation.ts';

/** The second-order term of two inputs, or of one with itself. */
export interface SecondOrderTerm {
  /** Names of the two inputs; the same name twice for the term of one. */
  readonly names: readonly [string, string];
  /** What the term adds to the variance, square of the result's unit; may be negative. */
  readonly variance: number;
}

/** Uncertainty with the terms of second order. */
export interface SecondOrderUncertainty {
  /** Combined standard uncertainty of first order, unit of the result. */
  readonly firstOrder: number;
  /** The terms by falling size. */
  readonly terms: readonly SecondOrderTerm[];
  /** Combined standard uncertainty with the terms, unit of the result. */
  readonly combined: number;
  /** Mean of the result less the model at the estimates, unit of the result. */
  readonly shift: number;
}

/**
 * Combined standard uncertainty with the terms of second order.
 *
 *     Σ_i Σ_j [½·(∂²f/∂x_i∂x_j)² + ∂f/∂x_i · ∂³f/∂x_i∂x_j²]·u²(x_i)·u²(x_j)   is added to u_c²
 *     mean shift  ½·Σ_i ∂²f/∂x_i² · u²(x_i)
 *
 * For independent inputs; the terms of an input with itself hold for a normal one. Where terms are not small beside first order, the
 * series may not have converged: `monteCarlo` decides.
 *
 * @param model - function of one object with the inputs' values by name, returning a finite number
 * @param inputs - by name {estimate, standardUncertainty or halfWidth with distribution}
 * @returns first order, the terms (those of i with j and j with i together), the combined uncertainty and the shift of the mean
 * @throws RangeError if an argument is outside its range, or the model's result is not finite
 * @see [GUM] 5.1.2 note and H.1.7
 *
 * @example
 * secondOrderUncertainty({ model: ({ a, b }) => a * b, inputs: { a: { estimate: 0, standardUncertainty: 3 }, b: { estimate: 0, standardUncertainty: 2 } } }).combined // => 6.0000
 */
export function secondOrderUncertainty(given: {
  readonly model: Model;
  readonly inputs: Readonly<Record<string, Input>>;
}): SecondOrderUncertainty {
  const caller = 'secondOrderUncertainty';
  const a = named(caller, { model: modelRule, inputs: inputsRule }, given);
  const inputs = readInputs(caller, a.inputs);
  const model = guarded(caller, a.model);
  const slope = coefficients(model, inputs);
  const { second, third } = differences(model, inputs);
  const u = inputs.map((input) => input.standardUncertainty);

  const terms: SecondOrderTerm[] = [];
  let shift = 0;
  for (let i = 0; i < inputs.length; i++) {
    for (let j = i; j < inputs.length; j++) {
      const bend = second(i, j);
      const curved = slope[i]! * third(i, j) + (i === j ? 0 : slope[j]! * third(j, i));
      const variance = ((i === j ? 0.5 : 1) * bend * bend + curved) * u[i]! ** 2 * u[j]! ** 2;
      terms.push({ names: [inputs[i]!.name, inputs[j]!.name], variance });
      if (i === j) shift += 0.5 * bend * u[i]! ** 2;
    }
  }
  const firstOrder = Math.hypot(...slope.map((c, i) => c * u[i]!));
  const added = terms.reduce((sum, term) => sum + term.variance, 0);
  return {
    firstOrder,
    terms: terms.sort((x, y) => Math.abs(y.variance) - Math.abs(x.variance)),
    combined: Math.sqrt(Math.max(0, firstOrder ** 2 + added)),
    shift,
  };
}

/** Second derivatives ∂²f/∂x_i∂x_j and third ones ∂³f/∂x_i∂x_j², by central differences. */
function differences(model: Model, inputs: readonly ReadInput[]) {
  const centre = pointOf(inputs);
  const h = inputs.map(stepOf);
  /** The model with input i moved by p steps of its own and input j by q. */
  const at = (i: number, p: number, j: number, q: number): number => {
    const point = { ...centre };
    point[inputs[i]!.name]! += p * h[i]!;
    point[inputs[j]!.name]! += q * h[j]!;
    return model(point);
  };
  const second = (i: number, j: number): number =>
    extrapolated((s) =>
      i === j
        ? (at(i, s, j, 0) - 2 * at(i, 0, j, 0) + at(i, -s, j, 0)) / (s * h[i]!) ** 2
        : (at(i, s, j, s) - at(i, s, j, -s) - at(i, -s, j, s) + at(i, -s, j, -s)) /
          (4 * s * s * h[i]! * h[j]!),
    );
  const third = (i: number, j: number): number =>
    extrapolated((s) => {
      if (i === j) {
        return (
          (at(i, 2 * s, j, 0) - 2 * at(i, s, j, 0) + 2 * at(i, -s, j, 0) - at(i, -2 * s, j, 0)) /
          (2 * (s * h[i]!) ** 3)
        );
      }
      const bend = (p: number) => at(i, p, j, s) - 2 * at(i, p, j, 0) + at(i, p, j, -s);
      return (bend(s) - bend(-s)) / (2 * s * h[i]! * (s * h[j]!) ** 2);
    });
  return { second, third };
}

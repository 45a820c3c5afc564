/**
 * Propagation: the uncertainties of a model's inputs, carried to its result by the model's own derivatives.
 *
 * In come a model, its inputs with estimates and spreads; out go the sensitivity coefficients and what `combineUncertainty` makes of
 * them.
 */
import { maybe, named } from '../numbers/guard.ts';
import {
  guarded,
  type Input,
  inputsRule,
  type Model,
  modelRule,
  type NamedPair,
  namedPairsRule,
  placedPairs,
  pointOf,
  type ReadInput,
  readInputs,
} from './inputs.ts';
import { type CombinedUncertainty, combineUncertainty, coverageRule } from './uncertainty.ts';

/** A result with its uncertainty. */
export interface PropagatedUncertainty extends CombinedUncertainty {
  /** The model at the estimates. */
  readonly estimate: number;
  /** Sensitivity coefficient ∂f/∂x of each input by name, unit of the result over that of the input. */
  readonly sensitivities: Readonly<Record<string, number>>;
}

/** Step of the differences for an input: its standard uncertainty, the range over which the coefficient has to serve. */
export const stepOf = (input: ReadInput): number =>
  input.standardUncertainty > 0 ? input.standardUncertainty : 1e-3 * Math.max(Math.abs(input.estimate), 1e-3);

/**
 * A difference quotient whose error is even in the step, extrapolated to step 0 from the steps h, h/2 and h/4: the error is of the
 * sixth power of the step.
 */
export function extrapolated(quotient: (scale: number) => number): number {
  const [one, half, quarter] = [quotient(1), quotient(0.5), quotient(0.25)];
  const [a, b] = [(4 * half - one) / 3, (4 * quarter - half) / 3];
  return (16 * b - a) / 15;
}

const shape = { model: modelRule, inputs: inputsRule };

/** The coefficients of inputs that are read. */
export function coefficients(model: Model, inputs: readonly ReadInput[]): number[] {
  const centre = pointOf(inputs);
  return inputs.map((input) => {
    const h = stepOf(input);
    const at = (offset: number): number => model({ ...centre, [input.name]: input.estimate + offset });
    return extrapolated((scale) => (at(scale * h) - at(-scale * h)) / (2 * scale * h));
  });
}

/**
 * Sensitivity coefficients of a model: its partial derivatives at the estimates, by central differences.
 *
 *     c_i = ∂f/∂x_i
 *
 * The differences reach one standard uncertainty to either side, and are extrapolated to none, so the model must be smooth over
 * that range; a model that rounds to codes is not.
 *
 * @param model - function of one object with the inputs' values by name, returning a finite number
 * @param inputs - by name {estimate, standardUncertainty or halfWidth with distribution}
 * @returns c of each input by name, unit of the result over that of the input
 * @throws RangeError if an argument is outside its range, or the model's result is not finite
 * @see [GUM] 5.1.3 and 5.1.4
 *
 * @example
 * sensitivities({ model: ({ volts, ohms }) => volts / ohms, inputs: { volts: { estimate: 3, standardUncertainty: 0.1 }, ohms: { estimate: 2, standardUncertainty: 0.01 } } }).ohms // => -0.75000
 */
export function sensitivities(given: {
  readonly model: Model;
  readonly inputs: Readonly<Record<string, Input>>;
}): Record<string, number> {
  const a = named('sensitivities', shape, given);
  const inputs = readInputs('sensitivities', a.inputs);
  const values = coefficients(guarded('sensitivities', a.model), inputs);
  return Object.fromEntries(inputs.map((input, i) => [input.name, values[i]!]));
}

/**
 * A result, its uncertainty and its sensitivities, from a model and its inputs: the law of propagation, first order.
 *
 * @param model - function of one object with the inputs' values by name, returning a finite number
 * @param inputs - by name {estimate, standardUncertainty or halfWidth with distribution, degreesOfFreedom?}
 * @param correlations - array of [name, name, r]; those not listed are 0
 * @param coverage - coverage probability, 0.01 … 0.999999999
 * @returns estimate, sensitivities, and the fields of `combineUncertainty`
 * @throws RangeError if an argument is outside its range, the correlations cannot stand together, or the model's result is not finite
 * @see [GUM] 5.1, 5.2 and annex G
 *
 * @example
 * propagateUncertainty({ model: ({ a, b }) => a * b, inputs: { a: { estimate: 2, standardUncertainty: 0.3 }, b: { estimate: 5, standardUncertainty: 1 } }, coverage: 0.95 }).combined // => 2.5
 */
export function propagateUncertainty(given: {
  readonly model: Model;
  readonly inputs: Readonly<Record<string, Input>>;
  readonly correlations?: readonly NamedPair[] | undefined;
  readonly coverage: number;
}): PropagatedUncertainty {
  const caller = 'propagateUncertainty';
  const a = named(caller, { ...shape, correlations: maybe(namedPairsRule), coverage: coverageRule }, given);
  const inputs = readInputs(caller, a.inputs);
  const model = guarded(caller, a.model);
  const values = coefficients(model, inputs);
  const combined = combineUncertainty({
    contributions: inputs.map((input, i) => ({
      ...statement(a.inputs, input.name),
      sensitivity: values[i]!,
    })),
    correlations: placedPairs(caller, a.correlations, inputs),
    coverage: a.coverage,
  });
  return {
    estimate: model(pointOf(inputs)),
    sensitivities: Object.fromEntries(inputs.map((input, i) => [input.name, values[i]!])),
    ...combined,
  };
}

/** The spread of an input as it was stated, for a contribution. */
function statement(inputs: Readonly<Record<string, unknown>>, name: string) {
  const { estimate: _, ...spread } = inputs[name] as Input;
  return { name, ...spread };
}

/**
 * Inputs of a model: named quantities, each with its estimate and spread, and the model that makes a result of them.
 *
 * In come the inputs as a caller states them and the model, a function of one object with their values by name; out come lists in
 * one order, and the model guarded against results that are no numbers.
 */
import { named, type Rule, real, refusal, shown } from '../numbers/guard.ts';
import type { CorrelatedPair } from './correlation.ts';
import { type ReadSpread, type Spread, spreadOf, spreadShape } from './spread.ts';

/** An input quantity of a model. */
export type Input = Spread & {
  /** Estimate x of the quantity. */
  readonly estimate: number;
};

/** Values of the inputs by name. */
export type Point = Record<string, number>;

/** A measurement model: the result for given values of its inputs. */
export type Model = (values: Readonly<Point>) => number;

/** The correlation of two inputs: their names and the coefficient, −1 … 1. */
export type NamedPair = readonly [string, string, number];

/** An input, read. */
export interface ReadInput extends ReadSpread {
  readonly name: string;
  readonly estimate: number;
}

/** A function that a caller hands over. */
export const modelRule: Rule<Model> = {
  allowed: 'a function of one object of values by name',
  keeps: (v): v is Model => typeof v === 'function',
};

/** An object with at least one input. */
export const inputsRule: Rule<Readonly<Record<string, unknown>>> = {
  allowed: 'an object of at least 1 named input',
  keeps: (v): v is Readonly<Record<string, unknown>> =>
    typeof v === 'object' && v !== null && !Array.isArray(v) && Object.keys(v).length > 0,
};

/** An array that is to hold pairs of names; `placedPairs` reads them. */
export const namedPairsRule: Rule<readonly unknown[]> = {
  allowed: 'an array of [name, name, r]',
  keeps: (v): v is readonly unknown[] => Array.isArray(v),
};

/** The inputs in the order of their names in the object. */
export function readInputs(caller: string, given: Readonly<Record<string, unknown>>): ReadInput[] {
  return Object.keys(given).map((name) => {
    const place = `${caller}.inputs.${name}`;
    const fields = named(place, { estimate: real(''), ...spreadShape }, given[name]);
    return { name, estimate: fields.estimate, ...spreadOf(place, fields) };
  });
}

/** Pairs of names as pairs of places among the inputs. */
export function placedPairs(
  caller: string,
  given: readonly unknown[] | undefined,
  inputs: readonly ReadInput[],
): CorrelatedPair[] {
  const names = inputs.map((input) => input.name);
  return (given ?? []).map((pair, n) => {
    const place = `${caller}.correlations[${n}]`;
    if (!Array.isArray(pair)) throw new RangeError(refusal(place, pair, '[name, name, r]'));
    const [first, second, r] = pair as [string, string, number];
    for (const name of [first, second]) {
      if (!names.includes(name))
        throw new RangeError(`${place}: got ${shown(name)}; allowed ${names.join(', ')}`);
    }
    return [names.indexOf(first), names.indexOf(second), r];
  });
}

/** The estimates as a point. */
export const pointOf = (inputs: readonly ReadInput[]): Point =>
  Object.fromEntries(inputs.map((input) => [input.name, input.estimate]));

/** The model, refusing a result that is not a finite number. */
export function guarded(caller: string, model: Model): Model {
  return (values) => {
    const result = model(values);
    if (!Number.isFinite(result)) {
      const where = Object.keys(values).map((name) => `${name} ${values[name]}`);
      throw new RangeError(`${caller}.model: got ${result} for ${where.join(', ')}; allowed finite numbers`);
    }
    return result;
  };
}

/**
 * Assumed inputs and requirements: what a design takes for granted, within what limits, and what it has to keep.
 *
 * In come both as a caller states them, the requirements as functions of one object with the inputs' values by name; out they come
 * read, with the margin that a value leaves.
 */
import { choice, maybe, named, or, type Rule, real, refusal } from '../numbers/guard.ts';
import { inputsRule, type Model, modelRule, type Point } from './inputs.ts';
import type { LimitDistribution } from './spread.ts';

/** An input that is assumed, not measured. */
export interface AssumedInput {
  /** What is assumed. */
  readonly nominal: number;
  /** Lower end of its spread, at most `nominal`. */
  readonly low: number;
  /** Upper end of its spread, at least `nominal`. */
  readonly high: number;
  /** Distribution from board to board, about the middle of the two ends; 'normal' has them at 3 standard deviations. Default 'rectangular'. */
  readonly distribution?: LimitDistribution | 'normal' | undefined;
}

/** What the design has to keep. */
export interface Requirement {
  readonly name: string;
  /** The figure that is limited, for given values of the inputs. */
  readonly value: Model;
  /** Least allowed value. */
  readonly least?: number | undefined;
  /** Most allowed value. */
  readonly most?: number | undefined;
}

/** A requirement, read. */
export interface ReadRequirement {
  readonly name: string;
  /** The figure; throws where it is not a finite number. */
  readonly value: Model;
  /** How far a value is within the limits, in its unit; negative outside. */
  readonly margin: (value: number) => number;
}

/** An assumed input, read. */
export interface ReadAssumed {
  readonly name: string;
  readonly nominal: number;
  readonly low: number;
  readonly high: number;
  readonly distribution: LimitDistribution | 'normal';
}

const assumedShape = {
  nominal: real(''),
  low: real(''),
  high: real(''),
  distribution: or(choice(['rectangular', 'triangular', 'arcsine', 'normal']), 'rectangular'),
};
const requirementShape = {
  name: { allowed: 'a text', keeps: (v): v is string => typeof v === 'string' } as Rule<string>,
  value: modelRule,
  least: maybe(real('')),
  most: maybe(real('')),
};

/** The rules of the two arguments that every question about assumed inputs has. */
export const assumedArguments = {
  requirements: {
    allowed: 'an array of at least 1 requirement',
    keeps: (v): v is readonly unknown[] => Array.isArray(v) && v.length > 0,
  } as Rule<readonly unknown[]>,
  inputs: inputsRule,
};

/** The inputs in the order of their names in the object. */
export function readAssumed(caller: string, given: Readonly<Record<string, unknown>>): ReadAssumed[] {
  return Object.keys(given).map((name) => {
    const place = `${caller}.inputs.${name}`;
    const input = named(place, assumedShape, given[name]);
    if (!(input.low <= input.nominal && input.nominal <= input.high)) {
      const range = `${input.low} … ${input.high}, its low and high`;
      throw new RangeError(refusal(`${place}.nominal`, input.nominal, range));
    }
    return { name, ...input };
  });
}

/** The requirements, each with its margin. */
export function readRequirements(caller: string, given: readonly unknown[]): ReadRequirement[] {
  return given.map((requirement, i) => {
    const place = `${caller}.requirements[${i}]`;
    const { name, value, least, most } = named(place, requirementShape, requirement);
    if (least === undefined && most === undefined) {
      throw new RangeError(`${place}: got neither least nor most; allowed one of them, or both`);
    }
    return {
      name,
      value: (values) => {
        const result = value(values);
        if (!Number.isFinite(result)) {
          throw new RangeError(refusal(`${place}.value`, result, 'finite numbers'));
        }
        return result;
      },
      margin: (v) => Math.min((most ?? Number.MAX_VALUE) - v, v - (least ?? -Number.MAX_VALUE)),
    };
  });
}

/** All inputs at what is assumed. */
export const nominalPoint = (inputs: readonly ReadAssumed[]): Point =>
  Object.fromEntries(inputs.map((input) => [input.name, input.nominal]));

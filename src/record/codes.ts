/** Rules for recorded codes as they come into a function: whole numbers that fit a converter's width. */
import { numbers, type Rule } from '../numbers/guard.ts';

const wholeTypes = [Uint8Array, Uint16Array, Uint32Array, Int8Array, Int16Array, Int32Array];

/** Arrays of at least `least` whole numbers. */
export const codesRule = (least: number): Rule<ArrayLike<number>> => ({
  allowed: `an array of at least ${least} whole numbers`,
  keeps: (value): value is ArrayLike<number> => {
    const list = value as ArrayLike<number>;
    if (wholeTypes.some((type) => value instanceof type)) return list.length >= least;
    if (!(Array.isArray(value) || value instanceof Float64Array || value instanceof Float32Array))
      return false;
    if (list.length < least) return false;
    for (let i = 0; i < list.length; i++) if (!Number.isSafeInteger(list[i])) return false;
    return true;
  },
});

/** Lowest and highest code of a width of N bits: that of two's complement, and that of plain binary. */
export const codeLimits = (bits: number): { lowest: number; highest: number } => ({
  lowest: -(2 ** (bits - 1)),
  highest: 2 ** bits - 1,
});

/** Arrays of at least `least` counts. */
export const countsRule = (least: number): Rule<ArrayLike<number>> => ({
  allowed: `an array of at least ${least} counts from 0`,
  keeps: (value): value is ArrayLike<number> =>
    numbers(least).keeps(value) && Array.prototype.every.call(value, (count: number) => count >= 0),
});

/**
 * Marking codes: resistances, capacitances and inductances written with a letter for the decimal point, as on components.
 *
 * In comes text such as `4k7`, `R47` or `2u2` and the unit it is meant in; out goes the decimal in that unit.
 */
import type { Decimal } from './decimal.ts';

/** Powers of ten of the letters, by unit. [IEC60062] has ohms and farads; henries follow by common practice, no source. */
const letters: Readonly<Record<string, Readonly<Record<string, number>>>> = {
  ohm: { R: 0, k: 3, K: 3, M: 6, G: 9, T: 12 },
  F: { p: -12, n: -9, u: -6, m: -3 },
  H: { n: -9, u: -6, m: -3 },
};

/**
 * The value of a marking code.
 *
 * @param text - a code; micro as u
 * @param unit - 'ohm', 'F' or 'H'; others have no codes
 * @returns the value in that unit; undefined if the text is no such code
 * @see [IEC60062] marking codes for values
 */
export function markedValue(text: string, unit: string): Decimal | undefined {
  const m = /^(\d*)([A-Za-z])(\d*)$/.exec(text);
  if (m === null) return undefined;
  const [, before, letter, after] = m as unknown as [string, string, string, string];
  const power = letterPower(letter, unit);
  if (power === undefined || before + after === '') return undefined;
  return { digits: BigInt(before + after), exponent: power - after.length };
}

/** The power of ten of a letter that stands for prefix and unit together; undefined if it does not. */
export const letterPower = (letter: string, unit: string): number | undefined =>
  Object.hasOwn(letters, unit) && Object.hasOwn(letters[unit]!, letter) ? letters[unit]![letter] : undefined;

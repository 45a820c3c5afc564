/**
 * Quantities: text with a unit becomes a number, once, at the edge of the program.
 *
 * In come the text as a person wrote it and the unit it is wanted in; out goes the number in that unit, and its spread where the
 * text has one. Decimal numbers are scaled by their digits, so `100 nF` is the double nearest to 10⁻⁷. Units that are made of
 * others are read by compound.ts, once that is imported; needsCompound tells whether a text wants it.
 */
import { type Decimal, leadingDecimal, nearestDouble, scaled } from './decimal.ts';
import { named, type Rule } from './guard.ts';
import { letterPower, markedValue } from './marking.ts';
import { nearestSpelling, ownUnit, plain, type Unit, unitOf, units, writtenUnit } from './units.ts';

/** A text that is no quantity of the kind asked for. The message quotes the text and says what would do; it names no place. */
export class QuantityError extends RangeError {
  override readonly name = 'QuantityError';
}

/** How far a value may lie from the one written, half-width. */
export interface Spread {
  /** Share of the value, ≥ 0. */
  readonly relative?: number;
  /** In the unit of the value, ≥ 0. */
  readonly absolute?: number;
}

/** A number with, where the text has one, its spread. */
export interface Quantity {
  /** In the unit asked for. */
  readonly value: number;
  readonly spread?: Spread;
}

/** Reads a text whose unit, or the unit asked for, is made of others; the number in the unit asked for. */
export type CompoundReader = (text: string, unit: string) => number;

const longest = 100;
const zeroCelsius: Decimal = { digits: 27315n, exponent: -2 };
const absoluteZero = -273.15;
/** Below this a number of kelvins asked for as a temperature is taken for a difference; no sensor here reads so cold, K. */
const coldest = 70;

let compoundReader: CompoundReader | undefined;

/** Sets the reader of compound units. */
export function registerCompound(reader: CompoundReader): void {
  compoundReader = reader;
}

const isCompound = (unit: string): boolean => /[*/^·√]/.test(unit);

const textRule: Rule<string> = {
  allowed: 'text with a number and its unit',
  keeps: (v): v is string => typeof v === 'string',
};

const unitRule: Rule<string> = {
  allowed: `${units.map((u) => u.symbol).join(', ')}, a compound of these such as V/K, or a unit of your own as {bar}`,
  keeps: (v): v is string =>
    typeof v === 'string' &&
    (v.startsWith('{') ? ownUnit(v) !== undefined : unitOf(v) !== undefined || isCompound(v)),
};

/**
 * Whether a text has a unit made of others, so that compound.ts is wanted to read it.
 *
 * @param text - text of a quantity
 * @returns true where the text has a product, quotient or power of units
 *
 * @example
 * needsCompound('10 mV/K') // => true
 * needsCompound('10 kohm +/- 1 %') // => false
 */
export const needsCompound = (text: string): boolean => isCompound(text.replace(/\+\/-/g, '±'));

/**
 * The number that a text with a unit means, in the unit asked for.
 *
 * Read are decimal numbers with a decimal point, exponent or groups of three; SI prefixes; marking codes such as `4k7` where
 * ohm, F or H is asked for; and a spread after ± or +/-, as a share (`1 %`) or in the unit (`50 ohm`). The share is of the value,
 * except that a value itself written in % or ppm has its spread in the same. A temperature ('degC') is read from °C or K, its
 * spread is a difference; a temperature difference ('K') is read from K or °C, without the offset. A year is 8760 h.
 *
 * @param text - the text, at most 100 characters
 * @param unit - symbol of the unit wanted: V, A, ohm, F, H, s, Hz, K (a temperature difference), degC (a temperature), C (charge),
 *   W, J, m, LSB, bit, cycle, 1 (a ratio), or a compound of these such as V/K or 1/year; or a unit of your own in braces, as {bar},
 *   which the text then has exactly so, without prefix
 * @returns value in that unit, finite; spread where the text has one
 * @throws QuantityError if the text is no such quantity, saying what would do; RangeError if `unit` is not known; Error if a
 *   compound unit is met and compound.ts was not imported
 * @see [SIBROCHURE] 2.3.1, 3.1 and 5.4; [IEC60062]
 *
 * @example
 * quantity({ text: '100 nF', unit: 'F' }) // => { value: 1e-7 }
 * quantity({ text: '4k7 ± 1 %', unit: 'ohm' }) // => { value: 4700, spread: { relative: 0.01 } }
 * quantity({ text: '25 °C ± 0.5 K', unit: 'degC' }) // => { value: 25, spread: { absolute: 0.5 } }
 * quantity({ text: '6 bar', unit: '{bar}' }) // => { value: 6 }
 */
export function quantity(given: { text: string; unit: string }): Quantity {
  const { text, unit } = named('quantity', { text: textRule, unit: unitRule }, given);
  const parts = read(text, unit).split(/±|\+\/-/);
  if (parts.length > 2) throw new QuantityError(`${quoted(text)} has more than one spread`);
  const head = parts[0]!.trim();
  const value = numberIn(head, unit);
  if (parts.length === 1) return { value };
  return { value, spread: spreadIn(parts[1]!.trim(), unit, isShare(unit) && /[%m]$/.test(head)) };
}

/** Whether values in a unit may themselves be written in % or ppm. */
const isShare = (unit: string): boolean => unit === '1' || unit === '{%}';

/**
 * The spread that a text of its own means, for a quantity in a unit.
 *
 * @param text - a share in % or ppm, or a quantity in the unit (a difference, for a temperature); no sign
 * @param unit - symbol of the quantity's unit, as for `quantity`
 * @returns relative or absolute half-width, the latter in the unit
 * @throws as `quantity`
 *
 * @example
 * spread({ text: '1 %', unit: 'ohm' }) // => { relative: 0.01 }
 * spread({ text: '0.5 K', unit: 'degC' }) // => { absolute: 0.5 }
 */
export function spread(given: { text: string; unit: string }): Spread {
  const { text, unit } = named('spread', { text: textRule, unit: unitRule }, given);
  return spreadIn(
    read(text, unit)
      .replace(/^(?:±|\+\/-)/, '')
      .trim(),
    unit,
    false,
  );
}

/** The text without spaces round it, bounded. */
function read(text: string, unit: string): string {
  if (text.length > longest) {
    throw new QuantityError(`${quoted(text)} has ${text.length} characters; at most ${longest} are read`);
  }
  const bare = text.trim();
  if (bare === '') throw new QuantityError(`a text without characters; write ${offers('1', unit)}`);
  return bare;
}

function spreadIn(text: string, unit: string, ofRatio: boolean): Spread {
  const share = !ofRatio && /(%|ppm)$/.test(text);
  if (share && unit === 'degC') {
    throw new QuantityError(`${quoted(text)} of a temperature in °C has no meaning; write 0.5 K`);
  }
  const half = numberIn(text, share ? '1' : unit === 'degC' ? 'K' : unit);
  if (half < 0) throw new QuantityError(`${quoted(text)} is below zero; a spread is a half-width`);
  return share ? { relative: half } : { absolute: half };
}

/** The number of a text without a spread, in the unit asked for. */
function numberIn(text: string, unit: string): number {
  const bare = plain(text);
  const marked = markedValue(bare, unit);
  if (marked) return finite(nearestDouble(marked), marked, text);
  const lead = leadingDecimal(bare);
  if (lead === undefined) {
    throw new QuantityError(`${quoted(text)} has no number at its start; write ${offers('1', unit)}`);
  }
  const written = bare.slice(lead.length).trim();
  refuseBrokenNumber(text, written);
  if (written === '' && unit !== '1') {
    throw new QuantityError(`${quoted(text)} has no unit; write ${offers(text, unit)}`);
  }
  const own = ownUnit(unit);
  if (own !== undefined) {
    if (written !== plain(own))
      throw new QuantityError(`${quoted(text)} is not in ${own}; write it in ${own}`);
    return finite(nearestDouble(lead.decimal), lead.decimal, text);
  }
  if (isCompound(written) || isCompound(unit)) {
    if (compoundReader === undefined) {
      throw new Error(`${quoted(text)} takes compound units; import numbers/compound.ts to read them`);
    }
    return finite(compoundReader(text, unit), lead.decimal, text);
  }
  const inUnit = written === '' ? lead.decimal : converted(lead.decimal, written, unitOf(unit)!, text);
  return finite(nearestDouble(inUnit), inUnit, text);
}

/** A decimal number in a written unit, in the unit asked for. */
function converted(decimal: Decimal, written: string, asked: Unit, text: string): Decimal {
  const power = letterPower(written, asked.symbol);
  // K is a unit of its own; with a gap before it, it is no letter for a thousand ohms.
  if (power !== undefined && written !== 'K') return scaled(decimal, 1, power);
  const found = writtenUnit(written);
  if (found === undefined) {
    throw new QuantityError(
      `${quoted(text)}: no unit is ${quoted(written)}; the nearest is ${nearestSpelling(written, asked)}`,
    );
  }
  const size = scaled(decimal, found.factor, found.exponent);
  const { symbol, measures } = found.unit;
  if (asked.symbol === 'K' && symbol === 'degC') return size;
  if (asked.symbol === 'degC' && (symbol === 'K' || found.exponent !== 0))
    return celsius(size, written, text);
  if (symbol !== asked.symbol) {
    throw new QuantityError(
      `${quoted(text)} is ${measures}; write ${asked.measures}, ${offers('1', asked.symbol)}`,
    );
  }
  if (symbol === 'degC' && nearestDouble(size) < absoluteZero) {
    throw new QuantityError(`${quoted(text)} is below absolute zero, ${absoluteZero} degC`);
  }
  return size;
}

/** A temperature in K, in °C. */
function celsius(kelvins: Decimal, written: string, text: string): Decimal {
  const size = nearestDouble(kelvins);
  if (written !== 'K' || !(size >= coldest)) {
    throw new QuantityError(
      `${quoted(text)} looks like a difference; write a temperature, 25 degC or 298.15 K`,
    );
  }
  if (size === Number.POSITIVE_INFINITY) return kelvins;
  const exponent = Math.min(kelvins.exponent, zeroCelsius.exponent);
  const at = (d: Decimal): bigint => d.digits * 10n ** BigInt(d.exponent - exponent);
  return { digits: at(kelvins) - at(zeroCelsius), exponent };
}

function refuseBrokenNumber(text: string, rest: string): void {
  if (rest.startsWith(',')) {
    throw new QuantityError(
      `${quoted(text)} has a comma; write a decimal point, as in 2.5, and no mark between thousands`,
    );
  }
  if (/^[\d.]/.test(rest) && !/^1\s*\//.test(rest)) {
    throw new QuantityError(
      `${quoted(text)} has more than one number; write digits without gaps, as in 10000`,
    );
  }
}

function finite(value: number, decimal: Decimal, text: string): number {
  if (!Number.isFinite(value)) throw new QuantityError(`${quoted(text)} is too large for a number`);
  if (value === 0 && decimal.digits !== 0n) {
    throw new QuantityError(`${quoted(text)} is too small for a number`);
  }
  return value;
}

const quoted = (text: string): string => JSON.stringify(text.length > 40 ? `${text.slice(0, 40)}…` : text);

/** What to write for a number in a unit: `1 s, 1 min or 1 h`. */
function offers(number: string, unit: string): string {
  const list = (unitOf(unit)?.offers ?? [ownUnit(unit) ?? unit]).map((u) => `${number} ${u}`);
  return list.length < 2 ? list[0]! : `${list.slice(0, -1).join(', ')} or ${list.at(-1)}`;
}

/**
 * Amounts: the text of a quantity field becomes a number in the unit the field asks for, with its spread.
 */
import { shown } from '../numbers/guard.ts';
import { needsCompound, quantity, type Spread, spread } from '../numbers/quantity.ts';
import { plain, unitText } from '../numbers/units.ts';

/** The measurand's unit and that of its differences, as `quantity` names them. */
export interface MeasurandUnits {
  readonly measurand: string;
  readonly difference: string;
}

const units = (measurand: string, difference = measurand): MeasurandUnits => ({ measurand, difference });

/**
 * The units of a measurand whose unit the worksheet names: temperatures, volts and amperes are those of `quantity`, with its prefixes
 * and other spellings; any other unit is written exactly as it was named.
 */
export const namedUnits = (text: string): MeasurandUnits =>
  plain(text) === 'degC'
    ? units('degC', 'K')
    : text === 'V' || text === 'A'
      ? units(text)
      : units(`{${text}}`);

/** The units of what a sensor measures: those of its kind, or its own. */
export function measurandUnitsOf(sensor: { readonly kind: string; readonly unit?: string }): MeasurandUnits {
  if (sensor.unit !== undefined) return namedUnits(sensor.unit);
  if (sensor.kind === 'divider') return units('V');
  return sensor.kind === 'shunt' ? units('A') : units('degC', 'K');
}

/** The units that a field may be written in: one, or several where it depends on a sensor that is not known yet or on the writer. */
export function unitsOf(unit: string, known: readonly MeasurandUnits[]): readonly string[] {
  if (unit === 'measurand') return known.map((u) => u.measurand);
  if (unit === 'difference') return known.map((u) => u.difference);
  if (unit === 'electrical') return ['ohm', 'V'];
  if (unit === 'limit' && known.length > 0) return [...new Set([...known.map((u) => u.measurand), 'V'])];
  return unit === 'limit' ? [] : [unit];
}

/** A text that is no amount of the kind wanted; the message quotes it and says what would do. */
export class AmountError extends Error {}

/** What an amount comes to. */
export interface Amount {
  readonly value: number;
  readonly unit: string;
  /** Half-width, in `unit`, or K where that is degC. */
  readonly spread?: number;
}

const per = [
  { unit: '/K', written: /\s*\/\s*(?:K|degC|°C|\u2103)\s*$/, words: 'per kelvin' },
  { unit: '/V', written: /\s*\/\s*V\s*$/, words: 'per volt' },
] as const;

/** `text` and `unit` without the `/K` or `/V` at the end of both: the compounds that worksheets are full of need no unit library. */
function withoutPer(text: string, unit: string): { text: string; unit: string } {
  const divisor = per.find((p) => unit.endsWith(p.unit));
  if (divisor === undefined) return { text, unit };
  if (!divisor.written.test(text))
    throw new AmountError(`${JSON.stringify(text)} is not ${divisor.words}; write it in ${unit}`);
  return { text: text.replace(divisor.written, ''), unit: unit.slice(0, -2) };
}

const halfWidth = ({ relative, absolute }: Spread, value: number): number =>
  absolute ?? Math.abs(value) * relative!;

/** Most characters of an amount. */
const longest = 100;

/** The amount that a text means in the first of `units` that fits it. */
export function amount(text: string, units: readonly string[]): Amount {
  if (text.length > longest)
    throw new AmountError(`${shown(text)} has ${text.length} characters; at most ${longest} are read`);
  let first: Error | undefined;
  for (const unit of units) {
    try {
      const read = quantity(withoutPer(text, unit));
      return {
        value: read.value,
        unit,
        ...(read.spread && { spread: halfWidth(read.spread, read.value) }),
      };
    } catch (error) {
      first ??= error as Error;
    }
  }
  throw amountError(text, units, first!);
}

/** The half-width that the text of a spread means, for an amount. */
export function spreadAmount(text: string, { value, unit }: Amount): number {
  try {
    const share = /(?:%|ppm)\s*$/.test(text);
    return halfWidth(spread(share ? { text, unit } : withoutPer(text, unit)), value);
  } catch (error) {
    throw amountError(text, [unit], error as Error);
  }
}

/** Compound units are read only once numbers/compound.ts is imported; without it they are refused like any other text. */
function amountError(text: string, units: readonly string[], error: Error): AmountError {
  if (error instanceof AmountError) return error;
  if (error.name === 'QuantityError') return new AmountError(error.message);
  if (needsCompound(text)) {
    return new AmountError(
      `${JSON.stringify(text)} has a unit made of others; write it in ${units.map(unitText).join(' or ')}`,
    );
  }
  throw error;
}

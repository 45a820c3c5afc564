/**
 * Compound units: products, quotients and powers of units, as in 10 mV/K or 100 nV/Hz^0.5.
 *
 * In come a text and the compound unit it is wanted in; out goes the number in that unit. A unit library resolves the
 * structure and compares the dimensions; sizes come from the table of units, so that decimal numbers stay exact. Importing this
 * file teaches quantity.ts to read compound units. No text is evaluated: names are looked up in the table first.
 */
import { createUnitClass } from 'mathjs';
import { type Decimal, leadingDecimal, nearestDouble } from './decimal.ts';
import { QuantityError, registerCompound } from './quantity.ts';
import { nearestSpelling, plain, type WrittenUnit, writtenUnit } from './units.ts';

/** A unit as the library parses it: its parts in the order of the text. */
interface ParsedUnit {
  readonly units: readonly { readonly power: number }[];
  equalBase(other: ParsedUnit): boolean;
}

interface UnitClass {
  parse(text: string): ParsedUnit;
  createUnitSingle(name: string, options?: { definition: ParsedUnit }): unknown;
}

declare module 'mathjs' {
  export function createUnitClass(dependencies: Record<string, unknown>): UnitClass;
}

class Absent {}

const Unit = createUnitClass({
  config: { number: 'number', relTol: 1e-12, absTol: 1e-15 },
  addScalar: (a: number, b: number) => a + b,
  subtractScalar: (a: number, b: number) => a - b,
  multiplyScalar: (a: number, b: number) => a * b,
  divideScalar: (a: number, b: number) => a / b,
  pow: Math.pow,
  abs: Math.abs,
  fix: Math.trunc,
  round: Math.round,
  equal: Object.is,
  isNumeric: (x: unknown) => typeof x === 'number',
  format: String,
  number: Number,
  Complex: Absent,
  BigNumber: Absent,
  Fraction: Absent,
});

/** The library's name of each symbol; dimensions it lacks are its own from here on. */
const libraryNames: Readonly<Record<string, string>> = {
  degC: 'K',
  C: 'coulomb',
  LSB: 'codewidth',
  bit: 'binarydigit',
  cycle: 'clockcycle',
  '1': 'ratio',
};
for (const name of ['codewidth', 'binarydigit', 'clockcycle']) Unit.createUnitSingle(name);
Unit.createUnitSingle('ratio', { definition: Unit.parse('1 m/m') });

/** Powers of units beyond this are refused. */
const largestPower = 4;

/** A compound unit: its size as a product of powers, its dimension, and how it reads in plain symbols. */
interface CompoundUnit {
  readonly factors: readonly { readonly unit: WrittenUnit; readonly power: number }[];
  readonly dimension: ParsedUnit;
  readonly symbols: string;
}

function compoundUnit(written: string, text: string): CompoundUnit {
  const unreadable = (): QuantityError =>
    new QuantityError(
      `${JSON.stringify(text)}: the unit ${JSON.stringify(written)} is not like V/K or V/Hz^0.5`,
    );
  const spelled = written.replace(/[·⋅]/g, '*').replace(/√(\w+)/g, '$1^0.5');
  if (!/^[A-Za-z%*/^()\d. -]+$/.test(spelled)) throw unreadable();
  const parts: WrittenUnit[] = [];
  const rename = (name: (unit: WrittenUnit['unit']) => string): string =>
    spelled.replace(/[A-Za-z%]+/g, (spelling) => {
      const unit = writtenUnit(spelling);
      if (unit === undefined) {
        const near = nearestSpelling(spelling);
        throw new QuantityError(
          `${JSON.stringify(text)}: no unit is ${JSON.stringify(spelling)}; the nearest is ${near}`,
        );
      }
      parts.push(unit);
      return name(unit.unit);
    });
  const symbols = rename((u) => u.symbol);
  parts.length = 0;
  const structure = rename((u) => libraryNames[u.symbol] ?? u.symbol);
  const quotient = /^(?:1\s*)?\//.test(structure);
  let dimension: ParsedUnit;
  try {
    dimension = Unit.parse(quotient ? structure.replace(/^(?:1\s*)?\//, '1/') : structure);
  } catch {
    throw unreadable();
  }
  const powers = dimension.units.map((u) => u.power);
  // A digit anywhere but in a power or at the start of a quotient would make another of the library's units, as m3.
  const numbers = structure.replace(/\^\s*-?[\d.]+/g, '').replace(quotient ? /^1/ : '', '');
  if (/[\d.-]/.test(numbers)) throw unreadable();
  if (powers.some((p) => Math.abs(p) > largestPower)) throw unreadable();
  return { factors: parts.map((unit, i) => ({ unit, power: powers[i]! })), dimension, symbols };
}

/**
 * The number of a text with a compound unit, in the unit asked for.
 *
 * @param text - a number and its unit, at most 100 characters, as `quantity` hands it on
 * @param unit - the unit wanted, a compound or a symbol of the table of units
 * @returns the number in that unit; exact to the last digit where only whole powers occur
 * @throws QuantityError if the unit is not known, is no compound, or has another dimension
 *
 * @example
 * compoundNumber('10 mV/K', 'V/K') // => 0.01
 * compoundNumber('0.3 %/year', '1/year') // => 0.003
 * compoundNumber('100 nV/Hz^0.5', 'V/Hz^0.5') // => 1e-7
 */
export function compoundNumber(text: string, unit: string): number {
  const bare = plain(text);
  const lead = leadingDecimal(bare)!;
  const written = bare.slice(lead.length).trim();
  const found = compoundUnit(written, text);
  const wanted = compoundUnit(unit === '1' ? '%' : unit, text);
  if (unit === 'degC' || !found.dimension.equalBase(wanted.dimension)) {
    throw new QuantityError(`${JSON.stringify(text)} is in ${found.symbols}; write it in ${unit}`);
  }
  const inverse = unit === '1' ? [] : wanted.factors.map((f) => ({ ...f, power: -f.power }));
  return sized(lead.decimal, [...found.factors, ...inverse]);
}

/** A decimal times a product of powers of units. */
function sized(decimal: Decimal, factors: CompoundUnit['factors']): number {
  let exponent = 0;
  let rest = 1;
  let above = 1n;
  let below = 1n;
  for (const { unit, power } of factors) {
    exponent += unit.exponent * power;
    if (!Number.isInteger(power)) rest *= unit.factor ** power;
    else if (power > 0) above *= BigInt(unit.factor) ** BigInt(power);
    else below *= BigInt(unit.factor) ** BigInt(-power);
  }
  const whole = Math.floor(exponent);
  if (exponent !== whole) rest *= 10 ** (exponent - whole);
  // Forty more digits than asked for, so that the quotient rounds once.
  const digits = (decimal.digits * above * 10n ** 40n) / below;
  return nearestDouble({ digits, exponent: decimal.exponent + whole - 40 }) * rest;
}

registerCompound(compoundNumber);

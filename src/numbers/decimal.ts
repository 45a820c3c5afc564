/**
 * Decimal numbers: from the text of a number to its digits, scaled exactly, and back to text by its digits.
 *
 * In comes text or a double; a decimal in between is whole digits and a power of ten, so that a prefix, or a unit that is a
 * whole multiple of another, costs no rounding: 100 n is the double nearest to 10⁻⁷, which 100·10⁻⁹ in doubles is not.
 */

/** digits·10^exponent. */
export interface Decimal {
  readonly digits: bigint;
  readonly exponent: number;
}

const superscripts = '⁰¹²³⁴⁵⁶⁷⁸⁹';

// Sign; whole part, perhaps in groups of three; decimals; a power of ten as e-6 or as × 10⁻⁶.
const grammar =
  /^([+-]?)(?:(\d{1,3}(?:[\u202f\u2009]\d{3})+|\d+)(?:\.(\d+))?|\.(\d+))(?:[eE]([+-]?\d+)|[ \u202f]?×[ \u202f]?10(⁻?[⁰¹²³⁴-⁹]+))?/u;

/**
 * The number that a text starts with.
 *
 * @param text - text with the hyphen as minus sign
 * @returns the number as a decimal, and the text after it; undefined if no number stands at the start
 */
export function leadingDecimal(text: string): { decimal: Decimal; length: number } | undefined {
  const m = grammar.exec(text);
  if (m === null) return undefined;
  const whole = (m[2] ?? '').replace(/[\u202f\u2009]/g, '');
  const decimals = m[3] ?? m[4] ?? '';
  const power =
    m[5] ?? m[6]?.replace(/./gu, (c) => (c === '⁻' ? '-' : String(superscripts.indexOf(c)))) ?? '0';
  const digits = BigInt(whole + decimals);
  return {
    decimal: { digits: m[1] === '-' ? -digits : digits, exponent: Number(power) - decimals.length },
    length: m[0].length,
  };
}

/** A decimal times factor·10^exponent, exactly. */
export const scaled = ({ digits, exponent }: Decimal, factor: number, power: number): Decimal => ({
  digits: digits * BigInt(factor),
  exponent: exponent + power,
});

/** The double nearest to a decimal; infinite if it is too large for one. */
export const nearestDouble = ({ digits, exponent }: Decimal): number =>
  digits === 0n ? 0 : Number(`${digits}e${exponent}`);

/** The digits of a finite double, and the power of ten of the first: 1230 is 123 and 3. */
export interface Digits {
  readonly negative: boolean;
  /** Significant digits, at least one. */
  readonly digits: string;
  /** Power of ten of the first digit. */
  readonly exponent: number;
}

/**
 * The digits of a double, rounded to a number of digits, or the fewest that read back to it.
 *
 * @param value - finite
 * @param count - number of significant digits, 1 … 21; the fewest that read back when absent
 */
export function digitsOf(value: number, count?: number): Digits {
  const text =
    count === undefined ? Math.abs(value).toExponential() : Math.abs(value).toExponential(count - 1);
  const [mantissa, exponent] = text.split('e');
  return { negative: value < 0, digits: mantissa!.replace('.', ''), exponent: Number(exponent) };
}

/** The text of digits with the decimal point `places` behind the first one; no sign, no groups. */
export function placed(digits: string, places: number): string {
  if (places < 0) return `0.${'0'.repeat(-places - 1)}${digits}`;
  if (places >= digits.length - 1) return digits + '0'.repeat(places - digits.length + 1);
  return `${digits.slice(0, places + 1)}.${digits.slice(places + 1)}`;
}

/** A whole power of ten in print: × 10⁻⁶, with narrow spaces. */
export const powerOfTen = (exponent: number): string =>
  `\u202f×\u202f10${exponent < 0 ? '⁻' : ''}${[...String(Math.abs(exponent))].map((d) => superscripts[Number(d)]).join('')}`;

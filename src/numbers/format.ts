/**
 * Format: from a number in SI units to text, for print and for worksheets.
 *
 * In come the number and its unit; out goes text with an SI prefix and as many digits as asked for. Print has a narrow no-break space
 * (U+202F) before the unit and between groups of three from five digits on, the true minus, and Ω, µ, °C. Worksheet text is plain
 * ASCII. Either reads back through quantity.ts; the rounding is of the decimal digits, so nothing changes at a prefix's border.
 *
 * Trailing zeros: a number that its digits give exactly is written without them (`10 kΩ`); one that was rounded keeps them, since
 * they were measured (`10.0 kΩ` for 9.9996 kΩ).
 */
import { type Digits, digitsOf, placed, powerOfTen } from './decimal.ts';
import { between, choice, named, or, type Rule, real, whole } from './guard.ts';
import { ownUnit, prefixExponent, type Unit, unitOf, units } from './units.ts';

const gap = '\u202f';
const minus = '\u2212';

/** Print units beside those of the table, with the power of ten of each. */
const shares: Readonly<Record<string, number>> = { '%': 2, ppm: 6 };

/** Lengths of the longer units of time, longest first, s. A year is 8760 h. */
const times: readonly (readonly [string, number])[] = [
  ['year', 31_536_000],
  ['day', 86_400],
  ['h', 3600],
  ['min', 60],
];

/** A number exact to a share of this is taken as exact: it was a decimal before it was computed with. */
const noise = 1e-13;

const unitRule: Rule<string> = {
  allowed: `${units.map((u) => u.symbol).join(', ')}, %, ppm, a compound of these such as V/K, or a unit of your own as {bar}`,
  keeps: (v): v is string =>
    typeof v === 'string' &&
    (ownUnit(v) !== undefined || Object.hasOwn(shares, v) || (v.length <= 40 && splitUnit(v) !== undefined)),
};
const digitsRule = or(whole(1, 17), 3);

/** A unit as its first part, which takes the prefix, and what follows it. */
function splitUnit(unit: string): { first: Unit; rest: string } | undefined {
  const m = /^([A-Za-z]+|1)([*/^].*)?$/.exec(unit);
  const first = m === null ? undefined : unitOf(m[1]!);
  return first && { first, rest: m?.[2] ?? '' };
}

/** The digits of a number without the zeros that say nothing. */
function rounded(value: number, count: number, trailing: boolean): Digits {
  const d = digitsOf(value, count);
  const exact = Math.abs(Number(`${d.digits}e${d.exponent - count + 1}`) - Math.abs(value));
  return trailing || exact > noise * Math.abs(value)
    ? d
    : { ...d, digits: d.digits.replace(/0+$/, '') || '0' };
}

const grouped = (text: string): string => {
  const [head, decimals] = text.split('.');
  const groups = head!.length > 4 ? head!.replace(/\B(?=(?:\d{3})+$)/g, gap) : head!;
  return decimals === undefined ? groups : `${groups}.${decimals}`;
};

/** Digits in print, times ten to the power of `shift`: 0.0001 … 10¹⁵ in full, others with a power of ten. */
function printed({ negative, digits, exponent }: Digits, shift: number): string {
  // Zero is zero in whatever unit.
  const places = /[1-9]/.test(digits) ? exponent + shift : exponent;
  const text =
    places < -4 || places > 15 ? placed(digits, 0) + powerOfTen(places) : grouped(placed(digits, places));
  return (negative ? minus : '') + text;
}

/** The prefix of those allowed that brings 10^exponent into 1 … 1000, or as near as they reach; '' for none. */
function prefixFor(exponent: number, scale: string): string {
  const known = [...scale].map((p) => [p, prefixExponent[p]!] as const);
  const ladder = [...known, ['', 0] as const].sort((a, b) => a[1] - b[1]);
  return (ladder.findLast(([, power]) => power <= exponent) ?? ladder[0]!)[0];
}

/**
 * A number in print, without a unit.
 *
 * @param value - finite
 * @param digits - significant digits, 1 … 17, default 3
 * @param trailing - whether trailing zeros stay although the digits give the number exactly, default false
 * @returns text; numbers below 0.0001 or from 10¹⁶ on with a power of ten
 * @throws RangeError for an argument outside its range
 * @see [SIBROCHURE] 5.4.4
 *
 * @example
 * formatNumber({ value: 14.8376, digits: 4 }) // => '14.84'
 * formatNumber({ value: 13072, digits: 5 }) // => '13\u202f072'
 */
export function formatNumber(given: { value: number; digits?: number; trailing?: boolean }): string {
  const shape = { value: real(''), digits: digitsRule, trailing: or(choice([true, false]), false) };
  const { value, digits, trailing } = named('formatNumber', shape, given);
  return printed(rounded(value, digits, trailing), 0);
}

/**
 * A number in print with a fixed number of decimals.
 *
 * @param value - from −10²⁰ to 10²⁰
 * @param decimals - 0 … 20
 * @returns text; zero has no sign
 * @throws RangeError for an argument outside its range
 *
 * @example
 * formatFixed({ value: -0.0293, decimals: 3 }) // => '\u22120.029'
 * formatFixed({ value: -0.0002, decimals: 3 }) // => '0.000'
 */
export function formatFixed(given: { value: number; decimals: number }): string {
  const shape = { value: between(-1e20, 1e20, ''), decimals: whole(0, 20) };
  const { value, decimals } = named('formatFixed', shape, given);
  const text = grouped(Math.abs(value).toFixed(decimals));
  return (value < 0 && /[1-9]/.test(text) ? minus : '') + text;
}

/**
 * A number with its unit in print.
 *
 * A temperature difference ('K') is written in °C, as readings are: 30.1 m°C. Times from 60 s on that are whole minutes, hours, days
 * or years are written so; others in h from 2 h, days from 2 days, years from 1 year. Ratios per something are written in % or ppm.
 *
 * @param value - in `unit`, finite
 * @param unit - a symbol as for `quantity`, a compound, % or ppm for a ratio, or a unit of your own as {bar}, which takes no prefix
 * @param digits - significant digits, 1 … 17, default 3
 * @returns text that `quantity` reads as the same number to those digits
 * @throws RangeError for an argument outside its range
 * @see [SIBROCHURE] 3.1 and 5.4
 *
 * @example
 * formatQuantity({ value: 10000, unit: 'ohm' }) // => '10\u202fkΩ'
 * formatQuantity({ value: 0.0301, unit: 'K' }) // => '30.1\u202fm°C'
 * formatQuantity({ value: 60, unit: 's' }) // => '1\u202fmin'
 * formatQuantity({ value: 0, unit: 'V' }) // => '0\u202fV'
 * formatQuantity({ value: 0, unit: '%' }) // => '0\u202f%'
 * formatQuantity({ value: 0.0125, unit: '{bar}' }) // => '0.0125\u202fbar'
 */
export function formatQuantity(given: { value: number; unit: string; digits?: number }): string {
  const shape = { value: real(''), unit: unitRule, digits: digitsRule };
  const { value, unit, digits } = named('formatQuantity', shape, given);
  return withUnit(value, unit, digits);
}

/** A checked number with its unit in print. */
function withUnit(value: number, unit: string, count: number): string {
  const d = rounded(value, count, false);
  if (Object.hasOwn(shares, unit)) return `${printed(d, shares[unit]!)}${gap}${unit}`;
  const own = ownUnit(unit);
  if (own !== undefined) return `${printed(d, 0)}${gap}${own}`;
  const { first, rest } = splitUnit(unit)!;
  if (first.symbol === '1') {
    if (rest === '') return printed(d, 0);
    const share = value === 0 || Math.abs(value) >= 1e-3 ? '%' : 'ppm';
    return `${printed(d, shares[share]!)}${gap}${share}${printRest(rest)}`;
  }
  if (unit === 's') {
    const long = longTime(value, count);
    if (long !== undefined) {
      const [name, seconds] = long;
      const text = printed(rounded(value / seconds, count, false), 0);
      return `${text}${gap}${plural(name, text)}`;
    }
  }
  const name = first.symbol === 'K' && rest !== '' ? 'K' : first.print;
  const prefix = takesPrefix(rest) ? prefixFor(d.exponent, first.scale) : '';
  const text = printed(d, prefix === '' ? 0 : -prefixExponent[prefix]!);
  return `${text}${gap}${prefix === 'u' ? 'µ' : prefix}${plural(name, text)}${printRest(rest)}`;
}

/** A first part under a power takes no prefix: the power would act on it too. */
const takesPrefix = (rest: string): boolean => !rest.startsWith('^');

const plural = (name: string, text: string): string =>
  /^(bit|cycle|day|year)$/.test(name) && text !== '1' && text !== `${minus}1` ? `${name}s` : name;

const printRest = (rest: string): string =>
  rest
    .replace(/(\w+)\^0\.5/g, '√$1')
    .replace(/\bohm\b/g, 'Ω')
    .replace(/\bdegC\b/g, '°C')
    .replace(/\*/g, '·');

/** The longer unit of time that suits, with its length; undefined where seconds do. */
function longTime(value: number, digits: number): readonly [string, number] | undefined {
  const size = Math.abs(value);
  const exact = times.find(([, s]) => size >= s && size % s === 0 && size / s < 10 ** Math.max(digits, 3));
  if (exact !== undefined) return exact;
  return times.find(([name, s]) => size >= (name === 'year' ? s : 2 * s) && name !== 'min');
}

/**
 * A value and the limit it is held against, in print with the digits that decide: as many as it takes to tell them apart.
 *
 * @param value - in `unit`, finite
 * @param limit - in `unit`, finite
 * @param unit - as for `formatQuantity`, default 1 (no unit)
 * @param digits - least number of significant digits, 1 … 12, default 3; at most 12 are taken
 * @returns both texts; the same only where the two agree to 12 digits
 * @throws RangeError for an argument outside its range
 *
 * @example
 * formatDeciding({ value: 20.0088, limit: 20 }) // => { value: '20.01', limit: '20' }
 * formatDeciding({ value: 0.020008, limit: 0.02, unit: 'K', digits: 2 }) // => { value: '20.01\u202fm°C', limit: '20\u202fm°C' }
 */
export function formatDeciding(given: { value: number; limit: number; unit?: string; digits?: number }): {
  value: string;
  limit: string;
} {
  const shape = { value: real(''), limit: real(''), unit: or(unitRule, '1'), digits: or(whole(1, 12), 3) };
  const { value, limit, unit, digits } = named('formatDeciding', shape, given);
  const at = (count: number): { value: string; limit: string } => ({
    value: withUnit(value, unit, count),
    limit: withUnit(limit, unit, count),
  });
  for (let count = digits; count <= 12; count++) {
    const texts = at(count);
    if (withoutZeros(texts.value) !== withoutZeros(texts.limit)) return texts;
  }
  return at(digits);
}

/** A text without the trailing zeros of its decimals. */
const withoutZeros = (text: string): string => text.replace(/(\.\d*?)0+(?!\d)/, '$1').replace(/\.(?!\d)/, '');

/**
 * A number with its unit as worksheet text: ASCII, and the fewest digits that `quantity` reads as the same double.
 *
 * @param value - in `unit`, finite
 * @param unit - a symbol as for `quantity`, or a compound
 * @returns text with a plain space, u for micro, ohm and degC
 * @throws RangeError for an argument outside its range
 *
 * @example
 * asciiQuantity({ value: 1e-7, unit: 'F' }) // => '100 nF'
 * asciiQuantity({ value: 4700, unit: 'ohm' }) // => '4.7 kohm'
 * asciiQuantity({ value: 3600, unit: 's' }) // => '1 h'
 * asciiQuantity({ value: 5e-5, unit: '1/K' }) // => '50 ppm/K'
 */
export function asciiQuantity(given: { value: number; unit: string }): string {
  const { value, unit } = named('asciiQuantity', { value: real(''), unit: unitRule }, given);
  const d = digitsOf(value);
  const plainText = (shift: number): string => {
    const places = value === 0 ? d.exponent : d.exponent + shift;
    const text = places < -4 || places > 15 ? `${placed(d.digits, 0)}e${places}` : placed(d.digits, places);
    return d.negative ? `-${text}` : text;
  };
  if (Object.hasOwn(shares, unit)) return `${plainText(shares[unit]!)} ${unit}`;
  const own = ownUnit(unit);
  if (own !== undefined) return `${plainText(0)} ${own}`;
  const { first, rest } = splitUnit(unit)!;
  if (first.symbol === '1') {
    if (rest === '') return plainText(0);
    const share = value === 0 || Math.abs(value) >= 1e-3 ? '%' : 'ppm';
    return `${plainText(shares[share]!)} ${share}${rest}`;
  }
  if (unit === 's') {
    const long = times.find(([, s]) => Math.abs(value) >= s && value % s === 0 && Math.abs(value / s) < 1000);
    if (long !== undefined) return `${value / long[1]} ${plural(long[0], String(value / long[1]))}`;
  }
  const prefix = takesPrefix(rest) ? prefixFor(d.exponent, first.scale) : '';
  const text = plainText(prefix === '' ? 0 : -prefixExponent[prefix]!);
  return `${text} ${prefix}${plural(first.symbol, text)}${rest}`;
}

/**
 * Names and literals of C: prefixes, numbers with their suffixes, comments that nothing can break out of.
 */
import { unitText } from '../numbers/units.ts';

/** Longest prefix. */
const longest = 40;

/** Whether a text serves as the prefix of C names; __, which _ at its end would make too, C++ keeps for itself (ISO/IEC 14882, [lex.name]). */
export const isPrefix = (text: string): boolean =>
  text.length <= longest && /^[A-Za-z][A-Za-z0-9]*(_[A-Za-z0-9]+)*$/.test(text);

/**
 * The prefix that a file's name makes.
 *
 * @param name - any text
 * @returns letters, digits and _, starting with a letter, in lower case
 *
 * @example
 * prefixFrom('Beehive 2.v3') // => 'beehive_2_v3'
 */
export function prefixFrom(name: string): string {
  const words = name
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, '_')
    .replace(/^_+|_+$/g, '');
  return (/^[a-z]/.test(words) ? words : `channel_${words}`).slice(0, longest).replace(/_+$/, '');
}

/** Signs beyond ASCII that a comment has words for, as they stand after compatible decomposition. */
const words: Readonly<Record<string, string>> = {
  '\u00b0': 'deg',
  '\u2030': 'permille',
  '\u03bc': 'u',
  '\u03a9': 'ohm',
  '\u2044': '/',
  '\u2212': '-',
  '\u2013': '-',
  '\u2014': '-',
  '\u00d7': 'x',
  '\u00b7': '*',
  '\u00b1': '+-',
  '\u2018': "'",
  '\u2019': "'",
  '\u201c': '"',
  '\u201d': '"',
};

/**
 * A text as it may stand in a comment of C: one line of ASCII that neither ends nor opens a comment, nor is a trigraph or a line splice.
 *
 * @param text - any text
 * @returns printable ASCII
 *
 * @example
 * commented('3 °C ± 1 /' + '* x') // => '3 degC +- 1 / * x'
 */
export const commented = (text: string): string =>
  [...text.normalize('NFKD')]
    .map((sign) => (Object.hasOwn(words, sign) ? words[sign]! : /[\u0300-\u036f]/.test(sign) ? '' : sign))
    .join('')
    .replace(/\s+/g, ' ')
    .replace(/[^ -~]/g, '?')
    .replace(/\\/g, '/')
    .replace(/\?(?=\?)/g, '? ')
    .replace(/([*/])(?=[*/])/g, '$1 ')
    .trim();

/** A whole number of zero or above as a literal that is unsigned wherever int is 16 bits or wider. */
export function unsigned(value: number): string {
  return `${value}${value < 2 ** 16 ? 'u' : value < 2 ** 32 ? 'ul' : 'ull'}`;
}

/** A whole number as a signed literal; below zero in brackets. */
export function signed(value: number): string {
  if (value === -(2 ** 31)) return '(-2147483647l - 1l)';
  const size = Math.abs(value);
  const suffix = size < 2 ** 15 ? '' : size < 2 ** 31 ? 'l' : 'll';
  return value < 0 ? `(-${size}${suffix})` : `${size}${suffix}`;
}

/** Whole number types. */
export const unsignedType = (bits: number): string => `uint${bits <= 16 ? 16 : bits <= 32 ? 32 : 64}_t`;
export const signedType = (bits: number): string => `int${bits <= 16 ? 16 : bits <= 32 ? 32 : 64}_t`;

/** Signs of a unit that no name may have, in words. */
const inNames: Readonly<Record<string, string>> = {
  '%': 'PERCENT',
  '‰': 'PERMILLE',
  '°': 'DEG',
  µ: 'U',
  μ: 'U',
  Ω: 'OHM',
  '/': '_PER_',
  '²': '2',
  '³': '3',
};

/** A unit with a power of ten as it stands in a name: −3 and degC are MDEGC, −4 and V are 100UV, −3 and {mg/m3} are MMG_PER_M3. */
export function unitName(exponent: number, unit: string): string {
  const prefixes = ['', 'M', 'U', 'N', 'P', 'F'];
  const name = [...unitText(unit)]
    .map((sign) => inNames[sign] ?? sign.replace(/[^A-Za-z0-9]/, '_'))
    .join('')
    .replace(/_+/g, '_')
    .replace(/_$/, '')
    .toUpperCase();
  const third = Math.ceil(-exponent / 3);
  const rest = exponent + 3 * third;
  return `${rest === 0 ? '' : 10 ** rest}${prefixes[third]}${name}`;
}

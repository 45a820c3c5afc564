/** What the verdicts on a record share: from when on a difference counts, and how LSB, their uncertainty and lost bits are written. */
import { formatFixed, formatNumber, formatQuantity } from '../numbers/format.ts';

/** Bits from which on a loss matters. */
export const mattersBits = 0.1;
/** Relative difference that is none. */
export const near = 0.05;
/** Codes that are due of a code before its absence says something. */
export const due = 20;
/** Results of averaging from which on their scatter says something. */
export const fewest = 16;

/** A number of LSB in print. */
export const lsb = (value: number): string =>
  value < 0.001 ? '<\u202f0.001\u202fLSB' : formatQuantity({ value, unit: 'LSB' });

/** A number of LSB and its expanded uncertainty: two standard uncertainties, to one digit, or two where the first is a 1. */
export function lsbParts(value: number, uncertainty: number): { value: string; within: string } {
  const two = 2 * uncertainty;
  if (!(two > 0)) return { value: lsb(value), within: '' };
  const leading = two / 10 ** Math.floor(Math.log10(two));
  const decimals = Math.min(6, Math.max(0, (leading < 2 ? 1 : 0) - Math.floor(Math.log10(two))));
  const text = (x: number): string => formatFixed({ value: x, decimals });
  return { value: `${text(value)}\u202fLSB`, within: text(Math.max(two, 10 ** -decimals)) };
}

/** `1.31 ± 0.02 LSB`. */
export function lsbWithin(value: number, uncertainty: number): string {
  const parts = lsbParts(value, uncertainty);
  return parts.within === ''
    ? parts.value
    : parts.value.replace('\u202fLSB', `\u202f±\u202f${parts.within}\u202fLSB`);
}

/** `1.2 bits less at ratio 64`. */
export const lossWords = (bits: number, ratio: number): string =>
  `${formatNumber({ value: Math.abs(bits), digits: Math.abs(bits) < 1 ? 1 : 2 })} bits ${bits < 0 ? 'more' : 'less'} at ratio ${ratio}`;

/** `code 1987 never occurs`, or the first six of several. */
export function absentWords(codes: readonly number[]): string {
  const list = codes.slice(0, 6).join(', ');
  return codes.length === 1
    ? `code ${list} never occurs`
    : `codes ${list}${codes.length > 6 ? ' …' : ''} never occur`;
}

/** Bits between two errors. */
export const bitsLost = (found: number, assumed: number): number => Math.log2(found / assumed);

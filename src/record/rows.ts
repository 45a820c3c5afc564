/**
 * Plain rows of a recorded file, byte by byte: the loop that nearly all of a long file passes through.
 *
 * Bytes of whole lines and the plan of a line come in; codes and times go out. A line that is not plain (a comment, a gap, a code out of
 * range, an exponent …) ends the loop, and is left to whoever called.
 */
import type { RecordClock } from './clock.ts';
import type { Expectation, Layout } from './line.ts';

/** What to look for in a line, told once from the layout. */
export interface RowPlan {
  /** Part of each column up to the last that matters: −2 time, −1 none, else a channel. */
  readonly parts: Int8Array;
  /** Value of each character as a digit, −1 for none. */
  readonly digits: Int8Array;
  readonly radix: 10 | 16;
  /** Byte between columns, −1 for none. */
  readonly between: number;
  readonly prefixed: boolean;
  readonly hasTime: boolean;
  readonly lowest: number;
  readonly highest: number;
}

/** What has been taken so far. */
export interface Taking {
  /** Codes of each channel. */
  out: Float64Array[];
  /** Codes in each. */
  filled: number;
  /** Lines passed. */
  lines: number;
  /** Lines that gave codes. */
  rows: number;
  /** Fewest characters of a code. */
  shortest: number;
}

const newline = 10;
const carriageReturn = 13;
const space = 32;
/** Most digits of a code that are read here. */
const mostDigits = 12;

const powersOfTen = Float64Array.from({ length: 16 }, (_, n) => 10 ** n);

/** The plan for a layout. */
export function planOf(layout: Layout, { lowest, highest }: Expectation): RowPlan {
  const { separator, codes, time, base, prefixed } = layout;
  const radix = base === 16 || prefixed ? 16 : 10;
  const parts = new Int8Array(Math.max(...codes, time === 'none' ? 0 : time) + 1).fill(-1);
  codes.forEach((column, channel) => {
    parts[column] = channel;
  });
  if (time !== 'none') parts[time] = -2;
  const digits = Int8Array.from({ length: 256 }, (_, c) => {
    const value = '0123456789abcdef'.indexOf(String.fromCharCode(c).toLowerCase());
    return value < radix ? value : -1;
  });
  const between = separator === 'none' ? -1 : separator === 'spaces' ? space : separator.charCodeAt(0);
  return { parts, digits, radix, between, prefixed, hasTime: time !== 'none', lowest, highest };
}

/**
 * Reads plain rows.
 *
 * @param bytes - bytes, of which those before `limit` are whole lines
 * @param at - where the first line begins
 * @param limit - past the last line end
 * @param plan - what to look for
 * @param taking - receives codes and counts; has room for a code every other byte
 * @param clock - receives times
 * @returns where the first line begins that is not plain; `limit` if all are
 */
export function plainRows(
  bytes: Uint8Array,
  at: number,
  limit: number,
  plan: RowPlan,
  taking: Taking,
  clock: RecordClock,
): number {
  const { parts, digits, radix, between, prefixed, hasTime, lowest, highest } = plan;
  const { out } = taking;
  const last = parts.length - 1;
  const isNegative = lowest < 0;
  // Hexadecimal two's complement stands in the register as a large number: not plain.
  if (isNegative && radix === 16) return at;
  const isSingle = last === 0 && !prefixed && !isNegative;
  const first = out[0]!;
  let { filled, lines, shortest } = taking;
  let start = at;
  line: for (let i = at; i < limit; start = i) {
    let width = 0;
    let time = 0;
    if (isSingle) {
      while (bytes[i] === space) i++;
      const begin = i;
      let value = 0;
      let digit = digits[bytes[i]!]!;
      while (digit >= 0) {
        value = value * radix + digit;
        digit = digits[bytes[++i]!]!;
      }
      width = i - begin;
      if (width === 0 || width > mostDigits || value > highest) break;
      first[filled] = value;
      while (bytes[i] === space) i++;
    } else {
      for (let column = 0; ; column++) {
        while (bytes[i] === space) i++;
        const part = parts[column]!;
        if (part >= 0) {
          let isMinus = false;
          if (isNegative && bytes[i] === 45) {
            isMinus = true;
            i++;
          }
          if (prefixed) {
            if (bytes[i] !== 48 || (bytes[i + 1]! | 32) !== 120) break line;
            i += 2;
          }
          const begin = i;
          let value = 0;
          let digit = digits[bytes[i]!]!;
          while (digit >= 0) {
            value = value * radix + digit;
            digit = digits[bytes[++i]!]!;
          }
          width = i - begin;
          if (isMinus) value = 0 - value;
          if (width === 0 || width > mostDigits || value > highest || value < lowest) break line;
          if (prefixed) width += 2;
          out[part]![filled] = value;
        } else if (part === -2) {
          const begin = i;
          let mantissa = 0;
          let point = -1;
          for (; ; i++) {
            const c = bytes[i]!;
            if (c >= 48 && c <= 57) mantissa = mantissa * 10 + (c - 48);
            else if (point < 0 && (c === 46 || (c === 44 && between !== 44))) point = i;
            else break;
          }
          // Up to 15 digits, exact, and one division: the nearest double.
          if (i === begin || i - begin > (point < 0 ? 15 : 16)) break line;
          time = point < 0 ? mantissa : mantissa / powersOfTen[i - point - 1]!;
        } else {
          while (bytes[i] !== between && bytes[i] !== newline && bytes[i] !== carriageReturn) i++;
        }
        while (bytes[i] === space && (between !== space || column === last)) i++;
        if (column === last) break;
        if (bytes[i] !== between) break line;
        i++;
      }
    }
    let c = bytes[i];
    if (c !== newline && c !== carriageReturn) {
      // Further columns are passed over; what begins none is looked at.
      if (between < 0 || (c !== between && bytes[i - 1] !== between)) break;
      while (c !== newline && c !== carriageReturn) c = bytes[++i];
    }
    i++;
    if (c === carriageReturn && bytes[i] === newline) i++;
    if (width < shortest) shortest = width;
    filled++;
    lines++;
    if (hasTime) clock.tick(time, lines);
  }
  taking.rows += filled - taking.filled;
  taking.filled = filled;
  taking.lines = lines;
  taking.shortest = shortest;
  return start;
}

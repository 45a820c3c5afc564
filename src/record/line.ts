/**
 * One line of a recorded file: what it holds, whatever way it is written.
 *
 * The text of a line and the layout of the file come in; the codes and the time it holds go out, or why it holds none. The layout is
 * told from the first line with numbers: one number, or several set apart by semicolons, tabs, commas or spaces.
 */

/** How the lines of a file are laid out. Columns are counted from 0. */
export interface Layout {
  /** What stands between columns; 'none' for one column, 'spaces' for any run of them. */
  readonly separator: ';' | '\t' | ',' | 'spaces' | 'none';
  /** Columns of codes, one for each channel. */
  readonly codes: readonly number[];
  /** Column of time; 'none' if there is none. */
  readonly time: number | 'none';
  /** Whether times are written as of a clock, with hours, minutes and seconds. */
  readonly isClock: boolean;
  /** Base that codes without a prefix are read in. */
  readonly base: 10 | 16;
  /** Whether the first line's codes had the prefix 0x. */
  readonly prefixed: boolean;
}

/** What the reader was told of the file. Columns are counted from 1. */
export interface Expectation {
  readonly codeColumns: readonly number[] | undefined;
  readonly timeColumn: number | 'none' | undefined;
  readonly base: 10 | 16;
  /** Number of bits N. */
  readonly bits: number;
  readonly lowest: number;
  readonly highest: number;
}

/** Why a line gave no codes. */
export type Refusal = 'missing' | 'out of range' | 'unparsable';

/** Codes and time of a line; the time is NaN where there is none, and stays inside. */
export interface Row {
  readonly codes: readonly number[];
  readonly time: number;
  /** Characters of the last code. */
  readonly width: number;
}

const absent = new Set(['', '-', '--', 'nan', 'na', 'n/a', 'null', 'none']);
const timeName = /time|stamp|date|zeit|datum|temps|tiempo|tempo|^t$|^t\W|^\[?m?u?s\]?$|sec/i;
/** Names that are of time wherever they stand. */
const surelyTime = /^(time|timestamp|zeit|t)(?![a-z])/i;
const indexName = /^(#|n|i|no|nr|idx|index|sample|samples|count)\.?$/i;

/** A line without what stands about its fields. */
const bare = (text: string): string =>
  text
    .trim()
    .replace(/^"(.*)"$/, '$1')
    .trim();

/** The fields of a line. */
export function fieldsOf(text: string, separator: Layout['separator']): string[] {
  if (separator === 'none') return [bare(text)];
  if (separator === 'spaces') return text.trim().split(/\s+/).map(bare);
  return text.split(separator).map(bare);
}

const separatorOf = (text: string): Layout['separator'] =>
  text.includes(';')
    ? ';'
    : text.includes('\t')
      ? '\t'
      : text.includes(',')
        ? ','
        : /\S\s+\S/.test(text.trim())
          ? 'spaces'
          : 'none';

/** The whole number a field holds; why not, if it holds none. */
function codeOf(field: string, base: 10 | 16, { bits, lowest, highest }: Expectation): number | Refusal {
  if (absent.has(field.toLowerCase())) return 'missing';
  const hex = /^0x([0-9a-f]+)$/i.exec(field) ?? (base === 16 ? /^([0-9a-f]+)h?$/i.exec(field) : null);
  let value: number;
  if (hex) {
    value = Number.parseInt(hex[1]!, 16);
    // Two's complement is written as it stands in the register.
    if (lowest < 0 && value > highest && value < 2 ** bits) value -= 2 ** bits;
  } else {
    if (base === 16 || !/^[-+]?(\d+\.?\d*|\.\d+)(e[-+]?\d+)?$/i.test(field)) return 'unparsable';
    value = Number(field);
    if (!Number.isInteger(value)) return 'unparsable';
  }
  return value < lowest || value > highest ? 'out of range' : value + 0;
}

/** The number a field of time holds, NaN if none; a comma is a point where it does not stand between columns. */
const numberOf = (field: string, separator: Layout['separator']): number =>
  field === '' ? Number.NaN : Number(separator === ',' ? field : field.replace(',', '.'));

/** A time of day, perhaps after a date and with a fraction and a zone, as ISO 8601 writes them. */
const clock =
  /^(?:(\d{4})-(\d\d)-(\d\d)[T ])?(\d{1,2}):(\d\d):(\d\d(?:[.,]\d{1,9})?)(?:Z|[+-]\d\d(?::?\d\d)?)?$/;

/** Days of the Gregorian calendar from a fixed one on; years are counted from March, so that the leap day is their last. */
function dayNumber(year: number, month: number, day: number): number {
  const years = month > 2 ? year : year - 1;
  const months = (month + 9) % 12;
  const leaps = Math.floor(years / 4) - Math.floor(years / 100) + Math.floor(years / 400);
  return 365 * years + leaps + Math.floor((306 * months + 5) / 10) + day;
}

/** Seconds that a field of a clock tells, NaN if none. A zone changes no step. */
function clockSeconds(field: string): number {
  const [, year, month, day, hours, minutes, seconds] = clock.exec(field) ?? [];
  if (seconds === undefined) return Number.NaN;
  const days = year === undefined ? 0 : dayNumber(Number(year), Number(month), Number(day));
  return ((days * 24 + Number(hours)) * 60 + Number(minutes)) * 60 + Number(seconds.replace(',', '.'));
}

/** The time in a field, NaN if none. */
const timeOf = (field: string, { separator, isClock }: Pick<Layout, 'separator' | 'isClock'>): number =>
  isClock ? clockSeconds(field) : numberOf(field, separator);

/**
 * The layout that a line with numbers shows, given what is known of the file.
 *
 * @param text - the line
 * @param header - names of the columns, if there was a line of them
 * @param expected - what the reader was told
 * @returns the layout; undefined if the line holds no codes in any
 */
export function layoutOf(text: string, header: readonly string[], expected: Expectation): Layout | undefined {
  const separator = separatorOf(text);
  const fields = fieldsOf(text, separator);
  const isNumber = (field: string): boolean => !Number.isNaN(numberOf(field, separator));
  const clockColumn = fields.findIndex((field) => !Number.isNaN(clockSeconds(field)));
  let time: number | 'none';
  if (expected.timeColumn !== undefined)
    time = expected.timeColumn === 'none' ? 'none' : expected.timeColumn - 1;
  else if (clockColumn >= 0) time = clockColumn;
  else {
    const name = header[0] ?? '';
    const named = timeName.test(name) || indexName.test(name);
    // Without names, a fraction or a count from 0 or 1 in the first column is taken as time.
    const looks = header.length > 0 ? named : /[.,e]/i.test(fields[0]!) || /^[01]$/.test(fields[0]!);
    const dated =
      fields.length > 1 && !isNumber(fields[0]!) && !/^0x/i.test(fields[0]!) && expected.base === 10;
    const further = header.length === fields.length ? header.findIndex((n) => surelyTime.test(n)) : -1;
    time = fields.length > 1 && (looks || dated) ? 0 : further > 0 ? further : 'none';
  }
  const told = expected.codeColumns?.map((column) => column - 1);
  // What is told to be codes is no time.
  if (time !== 'none' && told?.includes(time)) time = 'none';
  const isClock = time !== 'none' && time === clockColumn;
  // A date ahead of the time of day is no channel, nor is a number that is no whole one: volts, or a temperature.
  const isOther = (field: string, i: number): boolean =>
    field === '' ||
    i === time ||
    (isClock && /^\d{4}-\d\d-\d\d$/.test(field)) ||
    (isNumber(field) && !Number.isInteger(numberOf(field, separator)));
  const codes = told ?? fields.flatMap((field, i) => (isOther(field, i) ? [] : [i]));
  const values = codes.map((i) => codeOf(fields[i] ?? '', expected.base, expected));
  if (codes.length === 0 || values.some((v) => v === 'unparsable' || v === 'missing')) return undefined;
  return {
    separator,
    codes,
    // A date alone is no number: its column is passed over.
    time: time !== 'none' && (isClock || isNumber(fields[time] ?? '')) ? time : 'none',
    isClock,
    base: expected.base,
    prefixed: codes.every((i) => /^0x/i.test(fields[i]!)),
  };
}

/**
 * What a line holds.
 *
 * @param text - the line, without comment
 * @param layout - how the file is laid out
 * @param expected - what the reader was told
 * @returns codes and time, or why there are none
 */
export function rowOf(text: string, layout: Layout, expected: Expectation): Row | Refusal {
  const fields = fieldsOf(text, layout.separator);
  if (layout.separator === 'none' && /\s/.test(fields[0]!)) return 'unparsable';
  const codes: number[] = [];
  let worst: Refusal | undefined;
  for (const column of layout.codes) {
    const code = codeOf(fields[column] ?? '', layout.base, expected);
    if (typeof code === 'number') codes.push(code);
    else if (worst === undefined || code === 'unparsable') worst = code;
  }
  if (worst) return worst;
  const time = layout.time === 'none' ? Number.NaN : timeOf(fields[layout.time] ?? '', layout);
  return { codes, time, width: fields[layout.codes.at(-1)!]!.length };
}

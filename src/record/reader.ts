/**
 * Reader of recorded codes: bytes of a text file in, in pieces of any size; codes out.
 *
 * One code a line, or columns with a time and several channels; decimal or hexadecimal; header or not; comments; any line ends, also
 * mixed. Nothing is dropped in silence: each line that gives no code is counted, and the first of them are kept with number and text.
 * Memory does not grow with the file. Plain lines are read by `rows.ts`, whatever that does not know by `line.ts`.
 */
import { bitsRule } from '../chain/quantizing.ts';
import { choice, maybe, named, or, type Rule, whole } from '../numbers/guard.ts';
import { RecordClock } from './clock.ts';
import { type Expectation, fieldsOf, type Layout, layoutOf, type Refusal, rowOf } from './line.ts';
import { plainRows, planOf, type RowPlan, type Taking } from './rows.ts';

/** Why a line is listed. */
export type RecordProblemKind = Refusal | 'too long' | 'cut short' | 'time jump';

/** A line that gave no code, or whose time does not follow. */
export interface RecordProblem {
  /** Number of the line, from 1. */
  readonly line: number;
  readonly kind: RecordProblemKind;
  /** The line, at most 80 characters of it; empty for a jump of time. */
  readonly text: string;
}

/** What was found in a file so far. */
export interface RecordReport {
  /** Lines ended so far, and the last one if the file ended without a line end. */
  readonly lines: number;
  /** Lines that gave codes: codes of each channel. */
  readonly rows: number;
  /** Channels; 0 before the first line with codes. */
  readonly channels: number;
  /** Fields of the last line before the first with codes, the names of the columns; empty if there was no such line. */
  readonly header: readonly string[];
  /** Lines without codes before the first with codes, comments and empty ones apart; at most 100, further ones are refused. */
  readonly headerLines: number;
  /** Lines of comment only. */
  readonly comments: number;
  /** Empty lines. */
  readonly blank: number;
  /** Lines by what was wrong with them. */
  readonly problems: Readonly<Record<RecordProblemKind, number>>;
  /** The first of those lines. */
  readonly listed: readonly RecordProblem[];
  /** Rows per unit of the column of time (per second if it is in seconds), jumps left out; 'none' without such a column. */
  readonly rate: number | 'none';
  /** Whether the file ended without a line end: its last line may be cut. It is taken unless its code is shorter than any before. */
  readonly openEnd: boolean;
}

/** Reads a file in pieces. */
export interface RecordReader {
  /** Takes the next bytes; the codes of the lines they complete, an array for each channel, good until the next call. */
  push(bytes: Uint8Array): readonly Float64Array[];
  /** Says that there are no more bytes; the codes of a last line without a line end. */
  end(): readonly Float64Array[];
  /** What was found so far. */
  report(): RecordReport;
}

/** Longest line that is looked at, bytes. */
const longest = 4096;
/** Lines that may stand before the first with codes. */
const longestHeader = 100;
const newline = 10;
const carriageReturn = 13;

const columnRule = whole(1, 256);
const columnsRule: Rule<readonly number[]> = {
  allowed: 'an array of whole numbers 1 … 256',
  keeps: (value): value is readonly number[] =>
    Array.isArray(value) && value.length > 0 && value.every(columnRule.keeps),
};
const timeRule: Rule<number | 'none'> = {
  allowed: `${columnRule.allowed} or 'none'`,
  keeps: (value): value is number | 'none' => value === 'none' || columnRule.keeps(value),
};

const shape = {
  bits: bitsRule,
  signed: or(choice([false, true]), false),
  codeColumns: maybe(columnsRule),
  timeColumn: maybe(timeRule),
  base: or(choice([10, 16]), 10),
  keep: or(whole(0, 10000), 20),
};

class Reader implements RecordReader {
  private readonly expected: Expectation;
  private readonly keep: number;
  private layout: Layout | undefined;
  private plan: RowPlan | undefined;
  private header: readonly string[] = [];
  private headerLines = 0;
  private readonly taking: Taking = {
    out: [],
    filled: 0,
    lines: 0,
    rows: 0,
    shortest: Number.POSITIVE_INFINITY,
  };
  private comments = 0;
  private blank = 0;
  private readonly problems: Record<RecordProblemKind, number> = {
    missing: 0,
    'out of range': 0,
    unparsable: 0,
    'too long': 0,
    'cut short': 0,
    'time jump': 0,
  };
  private readonly listed: RecordProblem[] = [];
  private readonly clock = new RecordClock((line) => this.note(line, 'time jump', ''));
  /** Bytes of a line begun in an earlier piece. */
  private readonly begun = new Uint8Array(longest);
  private begunLength = 0;
  private isTooLong = false;
  /** Whether the last byte was a carriage return: a line feed that follows is part of that line end. */
  private afterReturn = false;
  private openEnd = false;

  constructor(expected: Expectation, keep: number) {
    this.expected = expected;
    this.keep = keep;
  }

  push(bytes: Uint8Array): readonly Float64Array[] {
    this.taking.filled = 0;
    this.makeRoom(bytes.length / 2 + 2);
    let from = 0;
    if (this.afterReturn && bytes.length > 0) {
      if (bytes[0] === newline) from = 1;
      this.afterReturn = false;
    }
    if (this.begunLength > 0 || this.isTooLong) from = this.finishBegun(bytes, from);
    let end = bytes.length;
    while (end > from && bytes[end - 1] !== newline && bytes[end - 1] !== carriageReturn) end--;
    for (let at = from; at < end; )
      at = this.layout ? this.readRows(bytes, at, end) : this.readLine(bytes, at, end);
    if (end > from) this.afterReturn = end === bytes.length && bytes[end - 1] === carriageReturn;
    this.begin(bytes, Math.max(from, end));
    return this.taken();
  }

  end(): readonly Float64Array[] {
    this.taking.filled = 0;
    this.makeRoom(1);
    if (this.isTooLong) this.refuse('too long', this.textOf(this.begun, 0, 80));
    else if (this.begunLength > 0) {
      this.openEnd = true;
      this.take(this.textOf(this.begun, 0, this.begunLength), true);
    }
    this.isTooLong = false;
    this.begunLength = 0;
    return this.taken();
  }

  report(): RecordReport {
    const { header, headerLines, comments, blank, openEnd } = this;
    const { lines, rows } = this.taking;
    // Judges the first steps, if that has not been done, so before the problems are listed.
    const rate = this.clock.rate();
    return {
      lines,
      rows,
      channels: this.layout?.codes.length ?? 0,
      header,
      headerLines,
      comments,
      blank,
      problems: { ...this.problems },
      listed: [...this.listed],
      rate,
      openEnd,
    };
  }

  private makeRoom(count: number): void {
    const channels = this.layout?.codes.length ?? 1;
    while (this.taking.out.length < channels) this.taking.out.push(new Float64Array(0));
    for (let i = 0; i < channels; i++) {
      if (this.taking.out[i]!.length < count) {
        const wider = new Float64Array(Math.ceil(count));
        wider.set(this.taking.out[i]!.subarray(0, this.taking.filled));
        this.taking.out[i] = wider;
      }
    }
  }

  private taken(): readonly Float64Array[] {
    return this.taking.out
      .slice(0, this.layout?.codes.length ?? 1)
      .map((codes) => codes.subarray(0, this.taking.filled));
  }

  /** Completes the line begun earlier; where the next one begins. */
  private finishBegun(bytes: Uint8Array, from: number): number {
    let end = from;
    while (end < bytes.length && bytes[end] !== newline && bytes[end] !== carriageReturn) end++;
    this.begin(bytes.subarray(0, end), from);
    if (end === bytes.length) return end;
    if (this.isTooLong) this.refuse('too long', this.textOf(this.begun, 0, 80));
    else this.take(this.textOf(this.begun, 0, this.begunLength), false);
    this.begunLength = 0;
    this.isTooLong = false;
    return this.lineEnd(bytes, end);
  }

  /** Keeps the bytes from `from` on as the beginning, or more, of a line. */
  private begin(bytes: Uint8Array, from: number): void {
    const count = bytes.length - from;
    if (count <= 0) return;
    const room = longest - this.begunLength;
    if (count > room) this.isTooLong = true;
    this.begun.set(bytes.subarray(from, from + Math.min(count, room)), this.begunLength);
    this.begunLength += Math.min(count, room);
  }

  /** Past a line end that begins at `at`. */
  private lineEnd(bytes: Uint8Array, at: number): number {
    if (bytes[at] !== carriageReturn) return at + 1;
    if (at + 1 === bytes.length) this.afterReturn = true;
    return bytes[at + 1] === newline ? at + 2 : at + 1;
  }

  /** Reads the line at `at` whatever it is; past its end. */
  private readLine(bytes: Uint8Array, at: number, limit: number): number {
    let end = at;
    while (end < limit && bytes[end] !== newline && bytes[end] !== carriageReturn) end++;
    if (end - at > longest) this.refuse('too long', this.textOf(bytes, at, at + 80));
    else this.take(this.textOf(bytes, at, end), false);
    return this.lineEnd(bytes, end);
  }

  private textOf(bytes: Uint8Array, from: number, to: number): string {
    return String.fromCharCode(...bytes.subarray(from, to));
  }

  /** Takes the text of one line. */
  private take(line: string, isOpen: boolean): void {
    // A mark of byte order stands before the first line only.
    const whole = this.taking.lines === 0 ? line.replace(/^\xef\xbb\xbf/, '') : line;
    const text = whole.replace(/(#|\/\/|%).*$/, '');
    if (text.trim() === '') {
      this.taking.lines++;
      if (whole.trim() === '') this.blank++;
      else this.comments++;
      return;
    }
    if (!this.layout && !this.findLayout(text, whole)) return;
    const row = rowOf(text, this.layout!, this.expected);
    const isCut =
      isOpen && typeof row !== 'string' && this.taking.rows > 0 && row.width < this.taking.shortest;
    if (isCut || typeof row === 'string') {
      this.refuse(isCut ? 'cut short' : (row as Refusal), whole);
      return;
    }
    this.taking.lines++;
    if (row.width < this.taking.shortest) this.taking.shortest = row.width;
    for (let i = 0; i < row.codes.length; i++) this.taking.out[i]![this.taking.filled] = row.codes[i]!;
    this.taking.filled++;
    this.taking.rows++;
    if (this.layout!.time !== 'none') this.clock.tick(row.time, this.taking.lines);
  }

  /** Whether the layout is known after this line; lines before it are the header. */
  private findLayout(text: string, line: string): boolean {
    const layout = layoutOf(text, this.header, this.expected);
    if (!layout) {
      if (this.headerLines === longestHeader) this.refuse('unparsable', line);
      else {
        this.taking.lines++;
        this.headerLines++;
        const separator = text.includes(';') ? ';' : text.includes('\t') ? '\t' : ',';
        this.header = fieldsOf(text, separator);
      }
      return false;
    }
    this.layout = layout;
    this.plan = planOf(layout, this.expected);
    this.makeRoom(this.taking.out[0]!.length);
    return true;
  }

  private note(line: number, kind: RecordProblemKind, text: string): void {
    this.problems[kind]++;
    if (this.listed.length < this.keep) this.listed.push({ line, kind, text: text.slice(0, 80) });
  }

  private refuse(kind: RecordProblemKind, text: string): void {
    this.taking.lines++;
    this.note(this.taking.lines, kind, text);
  }

  /** Reads plain lines from `at` on, and the first that is not plain; past the last. */
  private readRows(bytes: Uint8Array, at: number, limit: number): number {
    const next = plainRows(bytes, at, limit, this.plan!, this.taking, this.clock);
    return next < limit ? this.readLine(bytes, next, limit) : next;
  }
}

/**
 * A reader of recorded codes.
 *
 * Without being told, a file of one column holds codes; of several, one is time where its name says so, or the first by its look, the others
 * are channels. A line of which any channel is refused gives no code at all, so that channels stay in step. Comments begin with #, % or //.
 *
 * @param bits - number of bits N of a code, 1 … 32
 * @param signed - true for two's complement, −2^(N−1) … 2^(N−1) − 1; else 0 … 2^N − 1
 * @param codeColumns - columns of codes, counted from 1; told from the file unless given
 * @param timeColumn - column of time, counted from 1, or 'none'; told from the file unless given
 * @param base - 10, or 16 for hexadecimal without a prefix; a prefix 0x is known in either
 * @param keep - how many refused lines are kept, 0 … 10000; 20 unless given
 * @returns a reader to push bytes into
 * @throws RangeError for an argument outside its range
 *
 * recordReader({ bits: 12 }).push(Uint8Array.of(50, 48, 52, 56, 10))[0]?.[0] // => 2048
 */
export function recordReader(given: {
  bits: number;
  signed?: boolean;
  codeColumns?: readonly number[];
  timeColumn?: number | 'none';
  base?: 10 | 16;
  keep?: number;
}): RecordReader {
  const { bits, signed, codeColumns, timeColumn, base, keep } = named('recordReader', shape, given);
  const limits = signed
    ? { lowest: -(2 ** (bits - 1)), highest: 2 ** (bits - 1) - 1 }
    : { lowest: 0, highest: 2 ** bits - 1 };
  return new Reader({ codeColumns, timeColumn, base, bits, ...limits }, keep);
}

/**
 * Analysis of a recorded file: bytes in, in pieces; out go the figures of one channel and the report on the lines.
 *
 * What a command, a page and a worker share. Memory does not grow with the file.
 */
import { bitsRule } from '../chain/quantizing.ts';
import { choice, maybe, named, or, whole } from '../numbers/guard.ts';
import { type RecordFigures, recordFigures } from './figures.ts';
import { type RecordReport, recordReader } from './reader.ts';

/** What a file of codes came to. Plain data. */
export interface RecordAnalysis {
  readonly report: RecordReport;
  /** Figures of the channel at one code a second; 'none' where no line gave a code. */
  readonly figures: RecordFigures | 'none';
}

/** Analyses a file in pieces. */
export interface RecordAnalysisStream {
  /** Takes the next bytes. */
  push(bytes: Uint8Array): void;
  /** Says that there are no more bytes. */
  end(): RecordAnalysis;
}

/**
 * An analysis of a file of codes.
 *
 * @param bits - number of bits N of a code, 1 … 32
 * @param column - column of the codes, counted from 1; the first that holds codes unless given
 * @param base - 10, or 16 for hexadecimal without a prefix
 * @returns an analysis to push bytes into
 * @throws RangeError for an argument outside its range
 *
 * recordAnalysis({ bits: 12 }).end().figures // => 'none'
 */
export function recordAnalysis(given: {
  bits: number;
  column?: number | undefined;
  base?: 10 | 16;
}): RecordAnalysisStream {
  const { bits, column, base } = named(
    'recordAnalysis',
    { bits: bitsRule, column: maybe(whole(1, 256)), base: or(choice([10, 16]), 10) },
    given,
  );
  const reader = recordReader({ bits, base, ...(column !== undefined && { codeColumns: [column] }) });
  const figures = recordFigures({ bits });
  const take = ([first]: readonly Float64Array[]): void => {
    if (first) figures.add(first);
  };
  return {
    push: (bytes) => take(reader.push(bytes)),
    end() {
      take(reader.end());
      return { report: reader.report(), figures: figures.figures() };
    },
  };
}

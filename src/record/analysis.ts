/**
 * Analysis of a recorded file: bytes in, in pieces; out go the figures of one channel and the report on the lines.
 *
 * What a command, a page and a worker share. Memory does not grow with the file.
 */
import { bitsRule } from '../chain/quantizing.ts';
import { choice, maybe, named, or, whole } from '../numbers/guard.ts';
import { type Dependence, type RecordFigures, recordDependence, recordFigures } from './figures.ts';
import { type RecordReport, recordReader } from './reader.ts';

/** What a file of codes came to. Plain data. */
export interface RecordAnalysis {
  readonly report: RecordReport;
  /** Figures of the channel at one code a second; 'none' where no line gave a code. */
  readonly figures: RecordFigures | 'none';
}

/** How a file is read. */
export interface RecordReading {
  /** Bits N of a code, 1 … 32. */
  bits: number;
  /** Column of the codes, counted from 1. */
  column?: number | undefined;
  /** 10, or 16 for hexadecimal without a prefix. */
  base?: 10 | 16;
}

/** Analyses a file in pieces. */
export interface RecordAnalysisStream {
  /** Takes the next bytes. */
  push(bytes: Uint8Array): void;
  /** Says that there are no more bytes. `found` is the dependence that was taken elsewhere. */
  end(found?: Dependence): RecordAnalysis;
}

/** Reads a file in pieces for how its codes hang together alone: the half that a second thread may take. */
export interface DependenceAnalysisStream {
  /** Takes the next bytes. */
  push(bytes: Uint8Array): void;
  /** Says that there are no more bytes. */
  end(): Dependence;
}

const reading = { bits: bitsRule, column: maybe(whole(1, 256)), base: or(choice([10, 16]), 10) };

/** A reader of one column; hands on what it reads of it. */
function columnReader(
  { bits, column, base }: RecordReading,
  take: (codes: Float64Array) => void,
): Pick<ReturnType<typeof recordReader>, 'report'> & { push(bytes: Uint8Array): void; end(): void } {
  const reader = recordReader({
    bits,
    ...(base && { base }),
    ...(column !== undefined && { codeColumns: [column] }),
  });
  const hand = ([first]: readonly Float64Array[]): void => {
    if (first) take(first);
  };
  return {
    push: (bytes) => hand(reader.push(bytes)),
    end: () => hand(reader.end()),
    report: () => reader.report(),
  };
}

/**
 * An analysis of a file of codes.
 *
 * @param bits - number of bits N of a code, 1 … 32
 * @param column - column of the codes, counted from 1; the first that holds codes unless given
 * @param base - 10, or 16 for hexadecimal without a prefix
 * @param dependence - 'here', or 'elsewhere' where `dependenceAnalysis` reads the same bytes and what it found is handed to `end`; 'here' unless given
 * @returns an analysis to push bytes into
 * @throws RangeError for an argument outside its range
 *
 * recordAnalysis({ bits: 12 }).end().figures // => 'none'
 */
export function recordAnalysis(
  given: RecordReading & { dependence?: 'here' | 'elsewhere' },
): RecordAnalysisStream {
  const shape = { ...reading, dependence: or(choice(['here', 'elsewhere']), 'here') };
  const { bits, column, base, dependence } = named('recordAnalysis', shape, given);
  const figures = recordFigures({ bits, dependence });
  const reader = columnReader({ bits, column, base }, (codes) => figures.add(codes));
  return {
    push: reader.push,
    end(found) {
      reader.end();
      return { report: reader.report(), figures: figures.figures(found) };
    },
  };
}

/**
 * The half of an analysis that a second thread may take, from the same bytes.
 *
 * @param bits - number of bits N of a code, 1 … 32
 * @param column - column of the codes, counted from 1; the first that holds codes unless given
 * @param base - 10, or 16 for hexadecimal without a prefix
 * @returns an analysis to push bytes into
 * @throws RangeError for an argument outside its range
 *
 * dependenceAnalysis({ bits: 12 }).end().allan // => []
 */
export function dependenceAnalysis(given: RecordReading): DependenceAnalysisStream {
  const stream = recordDependence();
  const reader = columnReader(named('dependenceAnalysis', reading, given), (codes) => stream.add(codes));
  return {
    push: reader.push,
    end() {
      reader.end();
      return stream.dependence();
    },
  };
}

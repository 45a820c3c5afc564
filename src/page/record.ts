/** Records on a page: the file of codes that a page carries along, and what its content is given of a record. */
import { type RecordAnalysis, recordAnalysis } from '../record/analysis.ts';
import type { Evaluation } from '../worksheet/evaluate.ts';
import { recordCodes } from '../worksheet/recordOf.ts';

/** A file of codes inside a page. */
export interface CarriedRecord {
  /** Name of the file, without folder. */
  readonly name: string;
  readonly text: string;
  /** Why the text is not there, where it is not. */
  readonly absent?: string;
}

/** A record as the content of a page is given it. */
export interface PageRecord {
  readonly name: string;
  /** 'none' where the file could not be read. */
  readonly analysis: RecordAnalysis | 'none';
  /** Why it could not. */
  readonly absent?: string;
}

/** Most characters of a record that a page carries. */
export const mostCarried = 256 * 1024;

/** How the codes are read: what an analysis depends on besides the file. */
export interface ReadingAs {
  readonly bits: number;
  readonly column: number | undefined;
}

/** How a worksheet has its record read. */
export function readingAs(evaluation: Evaluation): ReadingAs {
  const { bits, column } = recordCodes(evaluation);
  return { bits, column };
}

/** The last that was made of each carried record. */
const made = new WeakMap<CarriedRecord, { key: string; record: PageRecord }>();

/** A carried record, analysed as the worksheet has its codes. */
export function carriedRecord(carried: CarriedRecord, evaluation: Evaluation): PageRecord {
  const as = readingAs(evaluation);
  const key = JSON.stringify(as);
  const before = made.get(carried);
  if (before?.key === key) return before.record;
  const { name, text, absent } = carried;
  let record: PageRecord;
  if (absent !== undefined) record = { name, analysis: 'none', absent };
  else {
    const analysis = recordAnalysis(as);
    analysis.push(new TextEncoder().encode(text));
    record = { name, analysis: analysis.end() };
  }
  made.set(carried, { key, record });
  return record;
}

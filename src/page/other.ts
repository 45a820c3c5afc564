/** The other worksheet of a page that compares: as a page's file carries it, and as the content of the page is given it. */
import { type Evaluation, evaluate } from '../worksheet/evaluate.ts';
import { WorksheetError } from '../worksheet/problem.ts';
import { readWorksheet } from '../worksheet/read.ts';
import type { Profiles } from '../worksheet/schema/converter.ts';

/** A second worksheet inside a page. */
export interface CarriedWorksheet {
  readonly name: string;
  readonly text: string;
  /** Whether it is the one before; the page's own is then the one after. */
  readonly before: boolean;
}

/** A second worksheet as the content of a page is given it. */
export interface OtherWorksheet {
  readonly name: string;
  readonly evaluation: Evaluation;
  readonly before: boolean;
}

/** Most bytes of a file that is read as a worksheet at all. */
export const mostOfOther = 1 << 20;

/**
 * A carried worksheet, read and evaluated.
 *
 * @throws Error that says where and why it is refused
 */
export function readOther({ name, text, before }: CarriedWorksheet, profiles: Profiles): OtherWorksheet {
  try {
    return { name, evaluation: evaluate({ worksheet: readWorksheet({ text, profiles }) }), before };
  } catch (error) {
    if (!(error instanceof WorksheetError)) throw error;
    const { line, column, message } = error.problems[0]!;
    const more = error.problems.length - 1;
    const others = more === 0 ? '' : ` (and ${more} more)`;
    throw new Error(`line ${line}, column ${column}: ${message.replace(/[.]$/, '')}${others}`);
  }
}

/** The worksheet as its file has it, ahead of the changes made on a page. */
export const asFiled = (name: string, filed: Evaluation): OtherWorksheet => ({
  name: `${name}, as its file has it`,
  evaluation: filed,
  before: true,
});

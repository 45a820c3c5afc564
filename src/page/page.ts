/** A page: its question, and the script that answers it. */
import type { Evaluation } from '../worksheet/evaluate.ts';
import type { Witness } from '../worksheet/witnessOf.ts';
import type { Content } from './blocks.ts';
import { chainOf, type Stage } from './chain.ts';
import type { PageView } from './desk.ts';
import type { PageRecord } from './record.ts';
import type { PageNames, Session } from './session.ts';

/** What a page script in notebooks/ gives. */
export interface PageScript {
  /** Its place among the sheets, from 1. */
  readonly place: number;
  /** Its name in the line of pages, in a few words. */
  readonly short: string;
  /** Its question, in the reader's words. */
  readonly question: string;
  /** The answer and the sections, from what was computed; `drawn` are many draws, where there was time to make them. */
  readonly content: (evaluation: Evaluation, record?: PageRecord, drawn?: Witness) => Content;
  /** Whether it is about recorded codes: it carries the worksheet's, and takes a file of others. */
  readonly takesRecord?: true;
  /** Whether it shows draws, and takes many in place of the few it makes itself. */
  readonly takesDraws?: true;
}

/** A page script with its name, which is the name of its file. */
export interface Page extends PageScript {
  readonly name: string;
}

/** A page script, checked by its type. */
export const page = (script: PageScript): PageScript => script;

/** What was made of an evaluation and a record. */
interface Made {
  readonly record?: PageRecord | undefined;
  readonly drawn?: Witness | undefined;
  readonly content: Content;
  readonly chain: readonly Stage[];
}

/** What was made, so that a page shown again without a change is not computed again. */
const made = new WeakMap<Evaluation, Map<string, Made>>();

function contentOf(of: Page, evaluation: Evaluation, record?: PageRecord, drawn?: Witness): Made {
  const byPage = made.get(evaluation) ?? new Map<string, Made>();
  made.set(evaluation, byPage);
  const before = byPage.get(of.name);
  if (before && before.record === record && before.drawn === drawn) return before;
  const found = { record, drawn, content: of.content(evaluation, record, drawn), chain: chainOf(evaluation) };
  byPage.set(of.name, found);
  return found;
}

/** The page as renderers need it, for the session's present worksheet and, where the page takes them, a record and many draws. */
export function pageView(
  of: Page,
  session: Session,
  pages: PageNames,
  record?: PageRecord,
  drawn?: Witness,
): PageView {
  const { evaluation } = session;
  const { inputs, hash } = evaluation.worksheet;
  const { content, chain } = contentOf(of, evaluation, record, drawn);
  return {
    name: of.name,
    question: content.question ?? of.question,
    worksheet: { name: session.name, title: inputs.title, changes: session.changes.size, hash },
    profile: evaluation.worksheet.profile.title,
    content,
    chain,
    sheet: { number: pages.pages.findIndex((p) => p.name === of.name) + 1, of: pages.pages.length },
    pages: pages.pages,
    field: (path) => session.field(path),
  };
}

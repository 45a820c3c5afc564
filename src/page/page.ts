/** A page: its question, and the script that answers it. */
import type { Evaluation } from '../worksheet/evaluate.ts';
import type { Content } from './blocks.ts';
import { chainOf, type Stage } from './chain.ts';
import type { PageView } from './desk.ts';
import type { PageNames, Session } from './session.ts';

/** What a page script in notebooks/ gives. */
export interface PageScript {
  /** Its place among the sheets, from 1. */
  readonly place: number;
  /** Its name in the line of pages, in a few words. */
  readonly short: string;
  /** Its question, in the reader's words. */
  readonly question: string;
  /** The answer and the sections, from what was computed. */
  readonly content: (evaluation: Evaluation) => Content;
}

/** A page script with its name, which is the name of its file. */
export interface Page extends PageScript {
  readonly name: string;
}

/** A page script, checked by its type. */
export const page = (script: PageScript): PageScript => script;

/** What was made of an evaluation, so that a page shown again without a change is not computed again. */
const made = new WeakMap<Evaluation, Map<string, { content: Content; chain: readonly Stage[] }>>();

function contentOf(of: Page, evaluation: Evaluation): { content: Content; chain: readonly Stage[] } {
  const byPage = made.get(evaluation) ?? new Map<string, { content: Content; chain: readonly Stage[] }>();
  made.set(evaluation, byPage);
  const found = byPage.get(of.name) ?? { content: of.content(evaluation), chain: chainOf(evaluation) };
  byPage.set(of.name, found);
  return found;
}

/** The page as renderers need it, for the session's present worksheet. */
export function pageView(of: Page, session: Session, pages: PageNames): PageView {
  const { evaluation } = session;
  const { inputs, hash } = evaluation.worksheet;
  const { content, chain } = contentOf(of, evaluation);
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

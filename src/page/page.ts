/** A page: its question, and the script that answers it. */
import type { Evaluation } from '../worksheet/evaluate.ts';
import type { Witness } from '../worksheet/witnessOf.ts';
import type { Content } from './blocks.ts';
import { chainOf, type Stage } from './chain.ts';
import type { PageView } from './desk.ts';
import type { OtherWorksheet } from './other.ts';
import type { PageRecord } from './record.ts';
import type { PageNames, Session } from './session.ts';

/** What a page's content is given beside the evaluation. */
export interface Beside {
  /** Name of the worksheet, without folder and ending. */
  readonly name: string;
  /** The record, where the page takes one and there is one. */
  readonly record?: PageRecord | undefined;
  /** The worksheet to compare with, where the page compares. */
  readonly other?: OtherWorksheet | undefined;
  /** Many draws, where the page takes them and there was time to make them. */
  readonly drawn?: Witness | undefined;
  /** Whether inputs come faster than what takes longer than one evaluation could follow; it is left for later. */
  readonly hurried?: boolean | undefined;
  /** Paths of the inputs that were changed on the page. */
  readonly changed: readonly string[];
}

/** What a page script in notebooks/ gives. */
export interface PageScript {
  /** Its place among the sheets, from 1. */
  readonly place: number;
  /** Its name in the line of pages, in a few words. */
  readonly short: string;
  /** Its question, in the reader's words. */
  readonly question: string;
  /** The answer and the sections, from what was computed. */
  readonly content: (evaluation: Evaluation, beside: Beside) => Content;
  /** Whether it is about recorded codes: it carries the worksheet's, and takes a file of others. */
  readonly takesRecord?: true;
  /** Whether it compares: it carries another worksheet, and takes a file of one. */
  readonly takesOther?: true;
  /** Whether it shows draws, and takes many in place of the few it makes itself. */
  readonly takesDraws?: true;
}

/** A page script with its name, which is the name of its file. */
export interface Page extends PageScript {
  readonly name: string;
}

/** A page script, checked by its type. */
export const page = (script: PageScript): PageScript => script;

/** What was made of an evaluation and what stood beside it. */
interface Made {
  readonly beside: Beside;
  readonly content: Content;
  readonly chain: readonly Stage[];
}

/** What was made, so that a page shown again without a change is not computed again. */
const made = new WeakMap<Evaluation, Map<string, Made>>();

function contentOf(of: Page, evaluation: Evaluation, beside: Beside): Made {
  const byPage = made.get(evaluation) ?? new Map<string, Made>();
  made.set(evaluation, byPage);
  const before = byPage.get(of.name);
  const same = (key: keyof Beside): boolean => before?.beside[key] === beside[key];
  if (before && same('name') && same('record') && same('other') && same('drawn') && same('hurried'))
    return before;
  const found = { beside, content: of.content(evaluation, beside), chain: chainOf(evaluation) };
  byPage.set(of.name, found);
  return found;
}

/** The page as renderers need it, for the session's present worksheet and what the page takes beside it. */
export function pageView(
  of: Page,
  session: Session,
  pages: PageNames,
  beside: Partial<Beside> = {},
): PageView {
  const { evaluation } = session;
  const { inputs, hash } = evaluation.worksheet;
  const { content, chain } = contentOf(of, evaluation, {
    ...beside,
    name: session.name,
    changed: [...session.changes.keys()],
  });
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

/** The review of a worksheet: what is asked, what is answered, and what nobody has looked at. */
import type { AssumedInput, Evaluation, Finding, Reviewed } from '../../worksheet/evaluation.ts';
import { findingLabel } from '../../worksheet/findingNames.ts';
import { isUnreviewed } from '../../worksheet/findings.ts';
import { subjectLabel } from '../../worksheet/review.ts';
import * as b from '../blocks.ts';
import { type Inline, missed, type Prose, prose, reviewSpot, type Section } from '../blocks.ts';
import { fieldOf } from '../field.ts';

const capital = (words: string): string => words.charAt(0).toUpperCase() + words.slice(1);

const counted = (count: number, one: string, more: string): string =>
  `${count === 1 ? 'one' : count} ${count === 1 ? one : more}`;

/** How many questions are open, as a sentence; empty where none is. */
export function openSentence({ review }: Evaluation): string {
  const open = review.filter((r) => r.state === 'open').length;
  return open === 0 ? '' : `${capital(counted(open, 'question is', 'questions are'))} open in the review.`;
}

/** A finding with what it says, and its mark. */
const findingWords = (f: Finding): Prose =>
  f.kind === 'missed' ? prose`${missed('')}${f.text}` : prose`${f.text}`;

/** What a note is on: an input with its value and where it comes from, a finding with what it says. */
function subjectWords({ worksheet, findings }: Evaluation, { on, label, subject }: Reviewed): Prose {
  if (subject === 'gone') return prose`${capital(label)}: no longer found.`;
  if (subject === 'finding') return findingWords(findings.find((f) => f.name === on)!);
  const { text, from } = fieldOf(worksheet, on);
  return prose`${capital(label)}: ${text}${from && from !== text ? `, ${from}` : ''}.`;
}

const noted =
  (e: Evaluation) =>
  (r: Reviewed): Prose =>
    prose`${subjectWords(e, r)} ${reviewSpot({ on: r.on, label: r.label, entry: { note: r.note, state: r.state } })}`;

/** Assumed inputs that a note is on, or that none is on; those that share a label with another are told apart by their place. */
function assumedWhere(e: Evaluation, isNoted: boolean): AssumedInput[] {
  const noted = new Set(e.review.map((r) => r.on));
  return e.assumed
    .filter((a) => noted.has(a.path) === isNoted)
    .map(({ path, label }) => {
      const alone = e.assumed.filter((a) => a.label === label).length === 1;
      return { path, label: alone ? label : subjectLabel(e.worksheet, path) };
    });
}

const unreviewedHead = (count: number): string =>
  `${capital(counted(count, 'input is', 'inputs are'))} assumed and not reviewed:`;

const names = (inputs: readonly AssumedInput[]): string => inputs.map((a) => a.label).join(', ');

/** The inputs that are assumed and not reviewed, in one line for a person; empty where there is none. */
export function unreviewedWords(e: Evaluation): string {
  const inputs = assumedWhere(e, false);
  return inputs.length === 0 ? '' : `${unreviewedHead(inputs.length)} ${names(inputs)}.`;
}

/** The assumed inputs that a note is on, in one line; empty where there is none. */
export function reviewedWords(e: Evaluation): string {
  const inputs = assumedWhere(e, true);
  return inputs.length === 0 ? '' : `Assumed, with a review note: ${names(inputs)}.`;
}

/** The inputs that are assumed and not reviewed, with a note to be written on each. */
function unreviewedSentence(e: Evaluation): Prose {
  const inputs = assumedWhere(e, false);
  if (inputs.length === 0) return [];
  const spots = inputs.flatMap(({ path, label }, i): Inline[] => [
    ...(i > 0 ? [', '] : []),
    reviewSpot({ on: path, label: subjectLabel(e.worksheet, path), words: label }),
  ]);
  return prose`${unreviewedHead(inputs.length)} ${spots}.`;
}

/** The open questions as text: an input with its value and source, a finding by what it is about, then the question. */
export const openQuestions = (e: Evaluation): string[] =>
  e.review
    .filter((r) => r.state === 'open')
    .map(({ on, label, note, subject }) => {
      const { text, from } = subject === 'input' ? fieldOf(e.worksheet, on) : { text: '', from: '' };
      const more = subject === 'gone' ? 'no longer found' : [text, from].filter(Boolean).join(', ');
      return `${capital(label)}${more && ` (${more})`}: ${note}`;
    });

/** The review: open questions, answered ones, and what nobody has reviewed. */
export function reviewSection(e: Evaluation): Section {
  const of = (state: Reviewed['state']): Prose[] => e.review.filter((r) => r.state === state).map(noted(e));
  const [open, answered] = [of('open'), of('answered')];
  const noteOn = new Set(e.review.map((r) => r.on));
  const left = e.findings
    .filter((f) => !isUnreviewed(f) && !noteOn.has(f.name))
    .map((f) => prose`${findingWords(f)} ${reviewSpot({ on: f.name, label: findingLabel(f.name)! })}`);
  const inputs = unreviewedSentence(e);
  const list = (heading: string, items: readonly Prose[]): b.Notes[] =>
    items.length > 0 ? [b.notes(heading, items)] : [];
  return {
    ...(open.length === 0 && { claim: 'Review: no question is open' }),
    body: [
      ...list(`Review: ${counted(open.length, 'question is', 'questions are')} open`, open),
      ...list('Answered', answered),
      ...list('Not reviewed', [...left, ...(inputs.length > 0 ? [inputs] : [])]),
    ],
  };
}

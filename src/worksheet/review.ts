/**
 * Review: what a note can be on, what is wrong with one, and how it is written in a single line of text.
 *
 * A note is on an input, by its path, or on a finding, by its name. It is kept when its finding is gone.
 */
import { nearest, shown } from '../numbers/guard.ts';
import { findingLabel, findingNames } from './findingNames.ts';
import type { Loose, Refuse } from './problem.ts';
import { type Profile, profileSchema } from './schema/converter.ts';
import { fieldAt, pathsOf } from './schema/lookup.ts';
import { type Inputs, worksheetSchema } from './schema/worksheet.ts';

/** A note as the worksheet has it. */
export type ReviewEntry = NonNullable<Inputs['review']>[number];

/** Inputs, and the profile where it was read. */
interface Document {
  readonly inputs: Loose<Inputs>;
  readonly profile?: Profile | undefined;
}

/** What says which document this is, not what the channel is. */
const noInputs = /^(?:\$schema|halfbit|title|about|review)(?:\.|$)/;

/** The paths of all inputs, those of the profile where the worksheet could override them. */
function inputPaths({ inputs, profile }: Document): string[] {
  const own = [...pathsOf(worksheetSchema, inputs), 'sensor.kind'].filter((path) => !noInputs.test(path));
  return [...own, ...(profile ? pathsOf(profileSchema, profile, 'converter') : [])];
}

/** The label of an input with its place in each list, as `calibration temperature 2`. */
function inputLabel({ inputs, profile }: Document, path: string): string {
  const places = path.split('.').filter((key) => /^\d+$/.test(key));
  const field =
    fieldAt(worksheetSchema, path, inputs) ??
    fieldAt(profileSchema, path.replace(/^converter\./, ''), profile);
  return [field?.label ?? path, ...places.map((place) => Number(place) + 1)].join(' ');
}

/** What a note is on, in a few words: an input, or a finding. */
export const subjectLabel = (document: Document, on: string): string =>
  findingLabel(on) ?? inputLabel(document, on);

/** Whether a note can be on this: it is an input or a finding. */
export const isSubject = (document: Document, on: string): boolean =>
  findingLabel(on) !== undefined || inputPaths(document).includes(on);

/** The path of an input, or name of a finding, nearest to what was meant. */
export const nearestSubject = (document: Document, on: string): string =>
  nearest(on, [...inputPaths(document), ...findingNames])!;

/** Adds a problem for each note that is on nothing, on what another is on already, or empty. */
export function checkReview(document: Document, refuse: Refuse): void {
  if (!document.inputs.review?.length) return;
  const paths = new Set(inputPaths(document));
  const before = new Map<string, number>();
  for (const [i, entry] of document.inputs.review.entries()) {
    const { on, note } = (entry ?? {}) as Partial<ReviewEntry>;
    if (on !== undefined) {
      const first = before.get(on);
      if (findingLabel(on) === undefined && !paths.has(on)) {
        const near = nearestSubject(document, on);
        const allowed = 'the path of an input or the name of a finding';
        refuse(
          `review.${i}.on`,
          shown(on),
          allowed,
          `${shown(on)} is no input and no finding; the nearest is ${near}`,
        );
      } else if (first !== undefined) {
        const reason = `${shown(on)} has a note already, review.${first}; make them one`;
        refuse(`review.${i}.on`, shown(on), 'one note on each input or finding', reason);
      } else before.set(on, i);
    }
    if (note?.trim() === '')
      refuse(
        `review.${i}.note`,
        shown(note),
        'text',
        'the note is empty; write what is asked, or take it out',
      );
  }
}

/** A note as one line, as it stands in a link: `open: at which temperature?`. */
export const reviewText = ({ state, note }: Pick<ReviewEntry, 'state' | 'note'>): string =>
  `${state}: ${note}`;

/**
 * A note from one line; undefined where there is none in it. Without a word for its state, that stays, and a new note is open.
 *
 * @param text - `open: …`, `answered: …`, or the note alone
 * @param before - the note that it takes the place of
 */
export function reviewFrom(
  text: string,
  before?: Pick<ReviewEntry, 'state'>,
): Pick<ReviewEntry, 'state' | 'note'> | undefined {
  const [, state, rest] = /^\s*(open|answered)\s*:(.*)$/s.exec(text) ?? [];
  const note = (rest ?? text).trim();
  if (note === '') return undefined;
  return { state: (state as ReviewEntry['state'] | undefined) ?? before?.state ?? 'open', note };
}

/** What the path of a change says that a note is on; undefined where it is the path of an input. */
export const reviewOn = (path: string): string | undefined => /^review\.(.+)$/s.exec(path)?.[1];

/** The path that changes the note on an input or a finding. */
export const reviewPath = (on: string): string => `review.${on}`;

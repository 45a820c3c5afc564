/**
 * The session: the worksheet as the file has it, the changes made since, and the way back. It keeps the last worksheet that was
 * good; a change that is refused leaves it as it was and gives the reason.
 */
import { type Evaluation, evaluate } from '../worksheet/evaluate.ts';
import { WorksheetError } from '../worksheet/problem.ts';
import { readProfile } from '../worksheet/profile.ts';
import { readWorksheet, type Worksheet } from '../worksheet/read.ts';
import { reviewOn } from '../worksheet/review.ts';
import { figureOf, withValues } from '../worksheet/write.ts';
import { withReview } from '../worksheet/writeReview.ts';
import type { Field } from './desk.ts';
import { fieldOf, leavesOut, steppedText, withoutCounted } from './field.ts';
import type { CarriedWorksheet } from './other.ts';
import type { CarriedRecord } from './record.ts';

/** The names of all pages, in their order. */
export interface PageNames {
  readonly pages: readonly { readonly name: string; readonly short: string }[];
}

/** What a page's file carries: the worksheet, the profiles, the other pages, and where it takes one, a record or another worksheet. */
export interface SessionData extends PageNames {
  readonly name: string;
  readonly text: string;
  readonly profiles: Readonly<Record<string, string>>;
  readonly record?: CarriedRecord;
  readonly other?: CarriedWorksheet;
}

/** Worksheet paths and the text written at each, in the order of writing. */
type Changes = ReadonlyMap<string, string>;

interface State {
  readonly changes: Changes;
  readonly worksheet: Worksheet;
  /** What was done to come here, in words. */
  readonly words: string;
  /** The changes that were there when the field was entered; a longer edit of one field is one step. */
  readonly since?: Changes | undefined;
}

/** Part of an address as it was before it was encoded; as it is where it never was. */
function decoded(part: string): string {
  try {
    return decodeURIComponent(part);
  } catch {
    return part;
  }
}

/** Longest address that is read. */
const longestAddress = 32_000;

/** The worksheet with what was typed at each path: inputs, and review notes on them. */
function withTyped(worksheet: Worksheet, values: Readonly<Record<string, string>>): Worksheet {
  const inputs: Record<string, string | undefined> = {};
  const notes: Record<string, string> = {};
  for (const [path, text] of Object.entries(values)) {
    const on = reviewOn(path);
    if (on !== undefined) notes[on] = text;
    else inputs[path] = leavesOut(path, text) ? undefined : withoutCounted(path, text.trim());
  }
  return withReview(withValues(worksheet, inputs), notes);
}

/** What a step did to one input, in words; of a review note only that it did. */
const stepWords = (from: Field, to: Field): string =>
  reviewOn(to.path) === undefined ? `${to.label} ${to.text} to ${from.text}` : to.label;

export class Session {
  readonly name: string;
  readonly #file: Worksheet;
  #states: State[];
  #at = 0;
  #filed: Evaluation | undefined;
  #evaluated: { worksheet: Worksheet; evaluation: Evaluation } | undefined;

  constructor({ name, text, profiles }: SessionData) {
    this.name = name;
    const read = Object.fromEntries(
      Object.entries(profiles).map(([key, profile]) => [key, readProfile({ text: profile })]),
    );
    this.#file = readWorksheet({ text, profiles: read });
    this.#states = [{ changes: new Map(), worksheet: this.#file, words: '' }];
  }

  get #state(): State {
    return this.#states[this.#at]!;
  }

  get changes(): Changes {
    return this.#state.changes;
  }

  get worksheet(): Worksheet {
    return this.#state.worksheet;
  }

  get text(): string {
    return this.worksheet.text;
  }

  get evaluation(): Evaluation {
    const { worksheet } = this;
    if (this.#evaluated?.worksheet !== worksheet) {
      this.#evaluated = { worksheet, evaluation: evaluate({ worksheet }) };
    }
    return this.#evaluated.evaluation;
  }

  /** What follows from the worksheet as its file has it, without the changes. */
  get filed(): Evaluation {
    this.#filed ??= this.changes.size === 0 ? this.evaluation : evaluate({ worksheet: this.#file });
    return this.#filed;
  }

  /** The input at a path, as it stands on the page. */
  field(path: string): Field {
    const now = fieldOf(this.worksheet, path);
    if (!this.changes.has(path)) return now;
    const before = fieldOf(this.#file, path);
    return before.text === now.text ? now : { ...now, changedFrom: before.text };
  }

  /** The text of the next allowed value, up or down. */
  stepped(path: string, direction: 1 | -1): string | undefined {
    return steppedText(this.worksheet, path, direction);
  }

  /**
   * Writes values at their paths. Returns nothing, or the reason why they are refused; then nothing is changed. A path that is
   * no input is a RangeError.
   * With `since` (the changes at the time a field was entered) the steps made there become one.
   */
  write(values: Readonly<Record<string, string>>, since?: Changes): string | undefined {
    const changes = new Map(this.changes);
    for (const path of Object.keys(values)) fieldOf(this.worksheet, path);
    try {
      let worksheet = withTyped(this.worksheet, values);
      for (const [path, text] of Object.entries(values)) {
        changes.delete(path);
        changes.set(path, text);
      }
      for (const path of Object.keys(values)) {
        if (fieldOf(worksheet, path).text === fieldOf(this.#file, path).text) changes.delete(path);
      }
      // Everything taken back by hand is the file again, to the byte.
      if (changes.size === 0) worksheet = this.#file;
      // What follows from the inputs must be computable too.
      const evaluation = evaluate({ worksheet });
      if (worksheet.text === this.text) return undefined;
      // Source and note go with their figure, without a word.
      const words = Object.keys(values)
        .filter((path) => figureOf(worksheet, path) === undefined)
        .map((path) => {
          const [from, to] = [
            fieldOf(since ? this.#before(since) : this.worksheet, path),
            fieldOf(worksheet, path),
          ];
          return stepWords(from, to);
        })
        .join(', ');
      this.#evaluated = { worksheet, evaluation };
      const merge = since !== undefined && this.#state.since === since;
      this.#states.length = merge ? this.#at : this.#at + 1;
      this.#states.push({ changes, worksheet, words, since });
      this.#at = this.#states.length - 1;
      return undefined;
    } catch (error) {
      return this.#reason(error, values);
    }
  }

  /** The worksheet as it was with these changes. */
  #before(since: Changes): Worksheet {
    return this.#states.findLast((s) => s.changes === since)?.worksheet ?? this.worksheet;
  }

  #reason(error: unknown, values: Readonly<Record<string, string>>): string {
    const path = Object.keys(values)[0]!;
    const { label, text } = fieldOf(this.worksheet, path);
    const name = label.charAt(0).toUpperCase() + label.slice(1);
    const note = reviewOn(path) !== undefined;
    const still = note
      ? 'The worksheet keeps the note it had.'
      : `The figures still use the last good value, ${text}.`;
    if (error instanceof WorksheetError) {
      const problem = error.problems.find((p) => p.path === path) ?? error.problems[0]!;
      const where =
        problem.path === path ? name : problem.label.charAt(0).toUpperCase() + problem.label.slice(1);
      return `${where}: ${problem.reason.replace(/[.]$/, '')}. ${still}`;
    }
    if (error instanceof RangeError) return `${name}: ${error.message.replace(/[.]$/, '')}. ${still}`;
    throw error;
  }

  /** What the next step back takes back, in words; empty if there is none. */
  get undo(): string {
    return this.#at > 0 ? this.#state.words : '';
  }

  /** What the next step forward does again, in words; empty if there is none. */
  get redo(): string {
    const next = this.#states[this.#at + 1];
    return next ? next.words.replace(/^(.*) (\S+) to (\S+)$/, '$1') : '';
  }

  goBack(): void {
    if (this.#at > 0) this.#at--;
  }

  goForward(): void {
    if (this.#at + 1 < this.#states.length) this.#at++;
  }

  /** Goes back to the state that had these changes, when a field was entered. */
  takeBack(since: Changes): void {
    const at = this.#states.findLastIndex((s) => s.changes === since);
    if (at >= 0 && at < this.#at) this.#at = at;
  }

  /** The changes as they stand in the address. */
  address(): string {
    return [...this.changes]
      .map(([path, text]) => `${encodeURIComponent(path)}=${encodeURIComponent(text)}`)
      .join('&');
  }

  /** Why values are refused, a path that is no input among the reasons; nothing if they were written. */
  #refusal(values: Readonly<Record<string, string>>): string | undefined {
    try {
      return this.write(values);
    } catch (error) {
      if (!(error instanceof RangeError)) throw error;
      return error.message;
    }
  }

  /** Starts from the file with the changes of an address; returns a reason for each that is refused. */
  goTo(address: string): string[] {
    const refused: string[] = [];
    if (address === this.address()) return refused;
    this.#states = [{ changes: new Map(), worksheet: this.#file, words: '' }];
    this.#at = 0;
    if (address.length > longestAddress) return [`the link is longer than ${longestAddress} characters`];
    const parts = address
      .split('&')
      .filter((p) => p !== '')
      .map((part) => part.split('=').map(decoded));
    const whole = parts.filter(([path, text]) => path !== undefined && text !== undefined);
    // Changes that belong together may be good only together; where they are not, each is tried alone.
    if (this.#refusal(Object.fromEntries(whole)) === undefined && whole.length === parts.length)
      return refused;
    for (const [path, text] of parts) {
      const reason = text === undefined ? 'this is no change of an input' : this.#refusal({ [path!]: text });
      if (reason !== undefined)
        refused.push(
          `${path!.slice(0, 80)}: ${reason.replace(/ The (?:figures still|worksheet keeps).*$/, '')}`,
        );
    }
    return refused;
  }
}

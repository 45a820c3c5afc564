/** The other worksheet of a page at work: the one it carries, a file that the reader hands in, or its own as the file has it. */
import type { Evaluation } from '../../worksheet/evaluate.ts';
import { type Carried, otherOf } from '../beside.ts';
import type { Way } from '../html/prose.tsx';
import { asFiled, mostOfOther, type OtherWorksheet, readOther } from '../other.ts';
import type { Beside } from '../page.ts';
import type { Session } from '../session.ts';
import { plain } from '../text/lines.ts';
import type { HandedIn } from './handedIn.ts';

/** Longest name of a file that is told, characters. */
const longestName = 80;

/** How long an input must rest until the causes are looked for, ms. */
const rest = 250;

/** Holds the other worksheet of a page, and tells when there is news. */
export class Others implements HandedIn {
  readonly reading = '';
  readonly #carried: Carried;
  readonly #changed: () => void;
  /** The one that the page carries; its own as the file has it where it carries none, or a bad one. */
  #own: OtherWorksheet | undefined;
  #now: OtherWorksheet | undefined;
  #refused = '';
  /** What was last shown, and what waits until the input rests. */
  #shown: Evaluation | undefined;
  #waiting: ReturnType<typeof setTimeout> | undefined;

  constructor(carried: Carried, changed: () => void) {
    this.#carried = carried;
    this.#changed = changed;
  }

  get refused(): string {
    return this.#refused;
  }

  #present(session: Session): OtherWorksheet {
    if (this.#now) return this.#now;
    try {
      this.#own = otherOf(this.#carried, session);
    } catch (error) {
      this.#now = this.#own = asFiled(session.name, session.filed);
      this.#refuse(this.#carried.other!.name, (error as Error).message);
    }
    this.#now = this.#own;
    return this.#now;
  }

  #refuse(name: string, reason: string): void {
    this.#refused = `${name} is refused: ${reason.replace(/[.]$/, '')}. The page compares with ${this.#now!.name}.`;
  }

  #put(other: OtherWorksheet): void {
    this.#now = other;
    this.#refused = '';
    this.#changed();
  }

  given(session: Session): Partial<Beside> {
    const { evaluation } = session;
    if (this.#shown !== undefined && this.#shown !== evaluation) {
      clearTimeout(this.#waiting);
      this.#waiting = setTimeout(() => {
        this.#waiting = undefined;
        this.#changed();
      }, rest);
    }
    this.#shown = evaluation;
    return { other: this.#present(session), hurried: this.#waiting !== undefined };
  }

  carried(session: Session): Carried {
    const { name, evaluation, before } = this.#present(session);
    // In the copy it is no longer what the file has.
    const had = evaluation === session.filed ? `${session.name}, as its file had it` : name;
    return { other: { name: had, text: evaluation.worksheet.text, before } };
  }

  async take(file: File, session: Session): Promise<void> {
    const name = plain(file.name).slice(0, longestName);
    try {
      if (file.size > mostOfOther) throw new Error(`got ${file.size} bytes; allowed up to ${mostOfOther}`);
      const text = await file.text();
      this.#put(readOther({ name, text, before: false }, session.worksheet.profiles));
    } catch (error) {
      // Whatever is wrong with it, the page stays as it is.
      this.#refuse(name, (error as Error).message);
      this.#changed();
    }
  }

  ways(session: Session): readonly Way[] {
    const now = this.#present(session);
    const own = this.#own!;
    return [
      { words: 'swap the two', act: () => this.#put({ ...now, before: !now.before }) },
      ...(now.evaluation === session.filed
        ? []
        : [
            {
              words: 'compare with the worksheet as its file has it',
              act: () => this.#put(asFiled(session.name, session.filed)),
            },
          ]),
      ...(now.evaluation === own.evaluation
        ? []
        : [{ words: `go back to ${own.name}`, act: () => this.#put(own) }]),
    ];
  }
}

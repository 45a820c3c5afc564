/**
 * The many draws of a page at work. Once the reader has asked for them they are made beside the page, in a worker or, where there is
 * none, in idle time; and made again after each change. Until they are there the page shows the few that it makes itself.
 */
import { type Witness, witnessRun } from '../../worksheet/witnessOf.ts';
import type { DrawHand } from '../html/draws.tsx';
import type { Session, SessionData } from '../session.ts';
import type { DrawNews } from './drawWorker.ts';

/** Time without a further change before draws begin anew, ms. */
const rest = 300;

/** Longest stretch of draws on the page's own thread, ms. */
const stretch = 8;

/** Time between two words on how far the draws are, ms; longer for those who want little to move. */
const pause = globalThis.matchMedia?.('(prefers-reduced-motion: reduce)').matches ? 1000 : 150;

/** Draws under way: for which worksheet, how far, and how to end them. */
interface Under {
  readonly text: string;
  done: number;
  end: () => void;
}

/** When there is nothing else to do. */
const whenIdle = (act: () => void): void => {
  if ('requestIdleCallback' in globalThis) requestIdleCallback(act);
  else setTimeout(act);
};

/** Holds the many draws of a page, and tells when there is news. */
export class Draws {
  readonly #script: string;
  readonly #data: SessionData;
  readonly #changed: () => void;
  #wanted = false;
  #said = '';
  #problem: string | undefined;
  #made: { readonly text: string; readonly witness: Witness } | undefined;
  #under: Under | undefined;
  #told = 0;

  /** `script` draws when it runs as a worker; `data` is what the page's file carries. */
  constructor(script: string, data: SessionData, changed: () => void) {
    this.#script = script;
    this.#data = data;
    this.#changed = changed;
  }

  /** The many draws for the session's worksheet; undefined while they are not wanted or not there, and then begun. */
  drawn(session: Session): Witness | undefined {
    if (!this.#wanted) return undefined;
    const { text } = session;
    if (this.#made?.text === text) {
      this.#end();
      return this.#made.witness;
    }
    if (this.#under?.text !== text) {
      const wait = setTimeout(() => this.#begin(session, under), this.#made || this.#under ? rest : 0);
      const under: Under = { text, done: 0, end: () => clearTimeout(wait) };
      this.#end();
      this.#under = under;
    }
    return undefined;
  }

  /** What the reader sees of it, and may do. */
  get hand(): DrawHand {
    return {
      wanted: this.#wanted,
      ...(this.#under && { done: this.#under.done }),
      said: this.#said,
      ...(this.#problem !== undefined && { problem: this.#problem }),
      turn: () => {
        this.#end();
        this.#wanted = !this.#wanted;
        this.#problem = undefined;
        this.#say(this.#wanted ? 'under way' : 'given up');
      },
    };
  }

  #say(words: string): void {
    this.#said = words;
    this.#changed();
  }

  #end(): void {
    this.#under?.end();
    this.#under = undefined;
  }

  #begin(session: Session, under: Under): void {
    const hear = (news: DrawNews): void => {
      if (this.#under !== under) return;
      if ('done' in news) {
        under.done = news.done;
        if (performance.now() - this.#told < pause) return;
        this.#told = performance.now();
        this.#changed();
        return;
      }
      this.#end();
      if ('witness' in news) {
        this.#made = { text: under.text, witness: news.witness };
        this.#say('made');
      } else {
        this.#wanted = false;
        this.#problem = news.problem;
        this.#say('not made');
      }
    };
    const here = (): void => {
      if (this.#under === under) this.#drawHere(session, under, hear);
    };
    try {
      this.#drawBeside(under, hear, here);
    } catch {
      here();
    }
  }

  /** In a worker; `otherwise` where it does not run. */
  #drawBeside(under: Under, hear: (news: DrawNews) => void, otherwise: () => void): void {
    const url = URL.createObjectURL(new Blob([this.#script], { type: 'text/javascript' }));
    const worker = new Worker(url);
    under.end = () => {
      worker.terminate();
      URL.revokeObjectURL(url);
    };
    worker.onmessage = ({ data }: MessageEvent<DrawNews>) => hear(data);
    worker.onerror = () => {
      under.end();
      otherwise();
    };
    const { name, profiles, pages } = this.#data;
    worker.postMessage({ name, text: under.text, profiles, pages } satisfies SessionData);
  }

  /** On the page's own thread, a little at a time. */
  #drawHere(session: Session, under: Under, hear: (news: DrawNews) => void): void {
    const run = witnessRun(session.evaluation);
    const some = (): void => {
      if (this.#under !== under) return;
      const until = performance.now() + stretch;
      try {
        while (run.advance()) {
          if (performance.now() < until) continue;
          hear({ done: run.drawn / run.draws });
          whenIdle(some);
          return;
        }
        hear({ witness: run.witness() });
      } catch (error) {
        hear({ problem: (error as Error).message });
      }
    };
    whenIdle(some);
  }
}

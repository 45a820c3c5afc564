/**
 * Problems: what is wrong with a document, each at its place, and the error that carries them all.
 */

/** One thing that is wrong. */
export interface Problem {
  /** Where: keys and list places joined by dots, as `averaging.ratio`; empty for the document itself. */
  readonly path: string;
  /** Short English name of what stands there; the path where it has none. */
  readonly label: string;
  /** Line of the text, from 1. */
  readonly line: number;
  /** Column of the line, from 1. */
  readonly column: number;
  /** What stands there, as `48` or `"10"`; empty where something is missing. */
  readonly got: string;
  /** What may stand there. */
  readonly allowed: string;
  /** What is wrong and what would do, without the path. */
  readonly reason: string;
  /** `path: reason`. */
  readonly message: string;
}

/** A document that is refused, with all that is wrong with it, in the order of the text. */
export class WorksheetError extends Error {
  readonly problems: readonly Problem[];

  constructor(problems: readonly Problem[]) {
    super(
      problems.map(({ line, column, message }) => `line ${line}, column ${column}: ${message}`).join('\n'),
    );
    this.name = 'WorksheetError';
    this.problems = problems;
  }
}

/** A place in a document: its path, its name, and the offset of its characters. */
export interface Place {
  readonly path: string;
  readonly label: string;
  readonly offset: number;
}

/** Most problems that are told; a document with more is none. */
const most = 100;

/** Problems as they are found in a text. */
export class Problems {
  readonly #text: string;
  readonly #found: (Omit<Problem, 'line' | 'column'> & { readonly offset: number })[] = [];

  constructor(text: string) {
    this.#text = text;
  }

  get any(): boolean {
    return this.#found.length > 0;
  }

  /** Whether more problems are passed over. */
  get full(): boolean {
    return this.#found.length >= most;
  }

  /** Whether one stands at a path, or within it. */
  at(path: string): boolean {
    return this.#found.some((p) => p.path === path || p.path.startsWith(`${path}.`));
  }

  add({ path, label, offset }: Place, got: string, allowed: string, reason: string): undefined {
    const message = path === '' ? reason : `${path}: ${reason}`;
    if (!this.full) this.#found.push({ path, label, got, allowed, reason, message, offset });
  }

  /** The error that carries them, in the order of the text. */
  error(): WorksheetError {
    const inOrder = this.#found.toSorted((a, b) => a.offset - b.offset);
    return new WorksheetError(
      inOrder.map(({ offset, ...problem }) => {
        const before = this.#text.slice(0, offset).split(/\r\n|\r|\n/);
        return { ...problem, line: before.length, column: before.at(-1)!.length + 1 };
      }),
    );
  }
}

/** The path of a key or list place within another. */
export const within = (path: string, key: string | number): string =>
  path === '' ? `${key}` : `${path}.${key}`;

/** Adds a problem at a path: what stands there, what is allowed, what is wrong. */
export type Refuse = (path: string, got: string, allowed: string, reason: string) => void;

/** Inputs of which any may be missing, because it was refused. */
export type Loose<T> = T extends readonly (infer E)[]
  ? readonly E[]
  : T extends object
    ? { readonly [K in keyof T]?: Loose<T[K]> }
    : T;

/**
 * Blocks: what a page script returns. They are data; the renderers turn them into HTML (still or live), Markdown and terminal text.
 *
 * Text is `Prose`: plain strings and a few inline pieces, written with the tag `prose`, so that a page holds no markup:
 *
 *     prose`The converter gives ${entry('sampling.bits')}, and its codes jitter by ${entry('converter.noise')} rms.`
 */

/** An input that the reader may change, where it is read; `path` is its place in the worksheet. */
export interface Entry {
  readonly type: 'entry';
  readonly path: string;
}

/** Something the reader may do: words, and the changes that they make (worksheet path → text). */
export interface Action {
  readonly type: 'action';
  readonly words: string;
  readonly changes: Readonly<Record<string, string>>;
}

/** A file that the reader may hand in, and the way back to the one that the page carries. */
export interface FileChoice {
  readonly type: 'file';
  readonly words: string;
}

/** Many draws that the reader may ask for, where a page at work can make them, in place of the few it shows. */
export interface DrawChoice {
  readonly type: 'draw';
  readonly many: number;
  readonly few: number;
}

/** A run of text with a role. */
export interface Run {
  readonly type: 'strong' | 'emphasis' | 'symbol' | 'missed' | 'met';
  readonly words: string;
}

/** A way to another page. */
export interface PageLink {
  readonly type: 'page';
  readonly page: string;
  readonly words: string;
}

/** Where a review note on an input or a finding is read and written. */
export interface ReviewSpot {
  readonly type: 'review';
  /** Path of the input or name of the finding. */
  readonly on: string;
  readonly label: string;
  /** Words that stand there in any case. */
  readonly words?: string;
  /** The note; absent where there is none yet. */
  readonly entry?: { readonly note: string; readonly state: 'open' | 'answered' };
}

/** Words for the screen alone, where something can be done; paper and text leave them out. */
export interface OnScreen {
  readonly type: 'screen';
  readonly text: Prose;
}

export type Inline =
  | string
  | Entry
  | Action
  | FileChoice
  | DrawChoice
  | Run
  | PageLink
  | OnScreen
  | ReviewSpot;
export type Prose = readonly Inline[];

/** Prose from a template; numbers are not formatted here, pass text. */
export function prose(strings: TemplateStringsArray, ...values: readonly (Inline | Prose)[]): Prose {
  const out: Inline[] = [];
  const add = (piece: Inline): void => {
    if (piece === '') return;
    const last = out.at(-1);
    if (typeof piece === 'string' && typeof last === 'string') out[out.length - 1] = last + piece;
    else out.push(piece);
  };
  strings.forEach((text, i) => {
    add(text.replace(/\s+/g, (gap) => (gap.includes('\n') ? ' ' : gap)));
    const value = values[i];
    if (value === undefined) return;
    if (Array.isArray(value)) for (const piece of value as Prose) add(piece);
    else add(value as Inline);
  });
  return out;
}

/** The input at `path`, to be changed by the reader where it stands. */
export const entry = (path: string): Entry => ({ type: 'entry', path });

/** Words that change inputs when chosen. */
export const action = (words: string, changes: Readonly<Record<string, string>>): Action => ({
  type: 'action',
  words,
  changes,
});

/** Words that ask for a file when chosen. */
export const fileChoice = (words: string): FileChoice => ({ type: 'file', words });

/** Many draws to ask for, in place of few. */
export const drawChoice = (many: number, few: number): DrawChoice => ({ type: 'draw', many, few });

/** Words for the screen alone. */
export const onScreen = (text: Prose): OnScreen => ({ type: 'screen', text });

/** The verdict of a sentence, in bold. */
export const strong = (words: string): Run => ({ type: 'strong', words });

/** A word in italics. */
export const emphasis = (words: string): Run => ({ type: 'emphasis', words });

/** A quantity's symbol, in italics: `symbol('σ')`. */
export const symbol = (words: string): Run => ({ type: 'symbol', words });

/** Words of something missed, with the cross. */
export const missed = (words: string): Run => ({ type: 'missed', words });

/** Words of something met, with the tick. */
export const met = (words: string): Run => ({ type: 'met', words });

/** Where a review note is read and written. */
export const reviewSpot = (spot: Omit<ReviewSpot, 'type'>): ReviewSpot => ({ type: 'review', ...spot });

/** A way to another page. */
export const toPage = (page: string, words: string): PageLink => ({ type: 'page', page, words });

/** A paragraph. */
export interface Paragraph {
  readonly type: 'paragraph';
  readonly text: Prose;
}

/** A small table of inputs: what, the value (an input's path or words), where it comes from. */
export interface Inputs {
  readonly type: 'inputs';
  readonly rows: readonly { readonly what: string; readonly value: Prose; readonly from?: string }[];
}

/** How a result came about: formula, numbers put in, source. */
export interface Working {
  readonly type: 'working';
  readonly result: string;
  readonly steps: readonly (
    | Prose
    | { readonly formula: string; readonly with?: Readonly<Record<string, string>> }
  )[];
  readonly source?: string;
  /** The page's main working stands open. */
  readonly open?: boolean;
}

/** One column of a table. */
export interface Column {
  readonly head: string;
  readonly unit?: string;
  /** Words are set left and may wrap; figures are set right. */
  readonly words?: boolean;
  /** Left out on narrow screens. */
  readonly minor?: boolean;
}

/** A cell that is more than its text. */
export interface Cell {
  readonly text: string;
  /** It holds the figure that fails. */
  readonly miss?: true;
  /** It is the input at this path, which the reader may change here; of the text, `tail` stands after it. */
  readonly path?: string;
  readonly tail?: string;
  /** What the reader may do with it. */
  readonly act?: Action;
}

/** One row of a table; one with `choose` can be taken by the reader. */
export interface Row {
  readonly cells: readonly (string | Cell)[];
  /** 'open' is neither; what has no mark is left out on narrow screens. */
  readonly verdicts?: readonly { readonly mark?: 'miss' | 'met' | 'open'; readonly text: string }[];
  readonly standing?: 'fails' | 'recommended' | 'chosen';
  /** First row of a group: a hairline above. */
  readonly group?: boolean;
  readonly choose?: { readonly label: string; readonly changes: Readonly<Record<string, string>> };
}

/** A table over the full width, with its claim; rows that matter less may wait behind "show all". */
export interface Table {
  readonly type: 'table';
  readonly name: string;
  readonly claim: string;
  readonly text?: Prose;
  readonly columns: readonly Column[];
  readonly rows: readonly Row[];
  /** Indices of the rows shown at first; absent: all. */
  readonly shown?: readonly number[];
}

/** A list of remarks under a heading. */
export interface Notes {
  readonly type: 'notes';
  readonly heading: string;
  readonly items: readonly Prose[];
}

/** The usual caution, where the work can hurt someone. */
export interface Caution {
  readonly type: 'caution';
  readonly text: Prose;
}

/** An axis: its quantity and unit, its span, and how it is divided. */
export interface Axis {
  readonly label: string;
  readonly scale: 'linear' | 'log';
  readonly from: number;
  readonly to: number;
  /** Values that are written; absent: round ones. */
  readonly ticks?: readonly number[];
}

/** A line of a plot, through `points` [x, y]. */
export interface Curve {
  readonly type: 'curve';
  readonly name: string;
  readonly points: readonly (readonly [number, number])[];
  readonly style: 'first' | 'second' | 'thin';
  /** Dots at real settings. */
  readonly dots?: boolean;
  /** Words on the line (along it, at the point of this index) or beside it (a leader from `from` in data units). */
  readonly label?: {
    readonly text: string;
    readonly at: number;
    readonly place: 'along above' | 'along below' | readonly [number, number];
    readonly end?: 'left' | 'right';
  };
}

/** A requirement: a level with its words, hatched on the forbidden side. */
export interface Limit {
  readonly type: 'limit';
  readonly y: number;
  readonly text: string;
  readonly forbidden: 'above' | 'below';
  /** Where its words stand, where a curve crosses the line at its right end; absent: right, on the allowed side. */
  readonly place?: 'above left' | 'above right' | 'below left';
}

/** A marked point with its figure. */
export interface Point {
  readonly type: 'point';
  readonly x: number;
  readonly y: number;
  readonly standing: 'recommended' | 'chosen' | 'worst' | 'plain';
  readonly text: string;
  readonly place: 'above right' | 'below right' | 'right' | 'left' | 'above left' | 'below left';
}

/** A stretch of the x axis as a dimension line. */
export interface Span {
  readonly type: 'span';
  readonly from: number;
  readonly to: number;
  /** Height of the line, as a share of the plot's height from the bottom. */
  readonly height: number;
  readonly text: string;
}

/** A plot: one claim, its axes, and what is drawn. */
export interface Plot {
  readonly type: 'plot';
  readonly name: string;
  readonly claim: string;
  readonly text?: Prose;
  /** The plot in a sentence, for those who do not see it. */
  readonly description: string;
  readonly x: Axis;
  readonly y: Axis;
  /** A second reading of the y axis at the right edge: y values and their words. */
  readonly right?: {
    readonly label: string;
    readonly ticks: readonly { readonly y: number; readonly text: string }[];
  };
  readonly marks: readonly (Curve | Limit | Point | Span)[];
  /** The figures behind the plot. */
  readonly figures: { readonly heads: readonly string[]; readonly rows: readonly (readonly string[])[] };
}

/** A register as it is drawn: its width, and the bits of the value that stand in it. */
export interface Register {
  /** What it is, in a few words. */
  readonly name: string;
  /** What it holds, in figures: decimal and hexadecimal. */
  readonly figures: string;
  readonly value: number;
  readonly width: number;
  /** Lowest bit in use, and how many are; the others are struck out. */
  readonly from: number;
  readonly bits: number;
  /** Lowest bits that a shift drops; none unless given. */
  readonly dropped?: number;
  /** How not to read it: its name carries the cross. */
  readonly wrong?: true;
}

/** Registers one below the other, bit under bit. */
export interface BitField {
  readonly type: 'bitField';
  readonly name: string;
  readonly registers: readonly Register[];
}

/** Files that the reader may save. */
export interface Files {
  readonly type: 'files';
  readonly files: readonly {
    readonly name: string;
    /** Its text, made when it is asked for. */
    readonly text: () => string;
    /** What it is, in a sentence. */
    readonly what: Prose;
    /** What gives the same file in the terminal. */
    readonly command: string;
  }[];
}

export type Block = Paragraph | Inputs | Working | Table | Notes | Caution | Plot | BitField | Files;

/** A section: what it says, and its margin. `claim` is its heading where no plot or table brings one. */
export interface Section {
  readonly claim?: string;
  readonly body: readonly Block[];
  readonly margin?: readonly (Working | Paragraph)[];
}

/** What a page returns: the answer in one line, what else should be known at once, and the sections in reading order. */
export interface Content {
  /** The question as it stands for this worksheet, where it differs from the page's own. */
  readonly question?: string;
  readonly answer: Prose;
  readonly also: Prose;
  readonly sections: readonly Section[];
}

export const paragraph = (text: Prose): Paragraph => ({ type: 'paragraph', text });
export const inputs = (rows: Inputs['rows']): Inputs => ({ type: 'inputs', rows });
export const working = (w: Omit<Working, 'type'>): Working => ({ type: 'working', ...w });
export const table = (t: Omit<Table, 'type'>): Table => ({ type: 'table', ...t });
export const notes = (heading: string, items: readonly Prose[]): Notes => ({ type: 'notes', heading, items });
export const caution = (text: Prose): Caution => ({ type: 'caution', text });
export const plot = (p: Omit<Plot, 'type'>): Plot => ({ type: 'plot', ...p });
export const curve = (c: Omit<Curve, 'type'>): Curve => ({ type: 'curve', ...c });
export const limit = (l: Omit<Limit, 'type'>): Limit => ({ type: 'limit', ...l });
export const point = (p: Omit<Point, 'type'>): Point => ({ type: 'point', ...p });
export const span = (s: Omit<Span, 'type'>): Span => ({ type: 'span', ...s });
export const files = (f: Files['files']): Files => ({ type: 'files', files: f });
export const bitField = (f: Omit<BitField, 'type'>): BitField => ({ type: 'bitField', ...f });

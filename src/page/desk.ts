/**
 * The desk: what a renderer asks of whoever holds the worksheet. Still renderers get a desk that nothing can be written on.
 */
import type { Content, Inline, Paragraph, Prose, ReviewSpot, Section } from './blocks.ts';
import type { Stage } from './chain.ts';

/** One input as it stands on the page. */
export interface Field {
  readonly path: string;
  /** What the input is, in a few words: "reading period". */
  readonly label: string;
  /** Its value as shown, with its unit. */
  readonly text: string;
  /** No source given yet: a dotted line. */
  readonly assumed: boolean;
  /** Where the value comes from, in words. */
  readonly from: string;
  /** Arrow keys step through allowed values. */
  readonly steps: boolean;
  /** What the worksheet file has, where it differs. */
  readonly changedFrom?: string;
  /** What is allowed, in words. */
  readonly hint: string;
  /** The review note on it; absent where it has none. */
  readonly review?: { readonly note: string; readonly state: 'open' | 'answered' };
}

/** A page as every renderer needs it: what it says, the chain at its head, and who it is about. */
export interface PageView {
  readonly name: string;
  readonly question: string;
  readonly worksheet: {
    readonly name: string;
    readonly title: string;
    readonly changes: number;
    readonly hash: string;
  };
  readonly profile: string;
  readonly content: Content;
  readonly chain: readonly Stage[];
  readonly sheet: { readonly number: number; readonly of: number };
  readonly pages: readonly { readonly name: string; readonly short: string }[];
  readonly field: (path: string) => Field;
}

/** The inputs that stand in some prose, in order. */
export const entriesOf = (text: Prose): string[] =>
  text.flatMap((piece: Inline) => (typeof piece !== 'string' && piece.type === 'entry' ? [piece.path] : []));

/** What a review note can be put on in some prose. */
export const spotsOf = (text: Prose): ReviewSpot[] =>
  text.flatMap((piece: Inline) => (typeof piece !== 'string' && piece.type === 'review' ? [piece] : []));

/** The inputs that stand in a section, each once, in order. */
export function sectionEntries(section: Section): string[] {
  const paths = section.body.flatMap((block) => {
    switch (block.type) {
      case 'paragraph':
      case 'caution':
        return entriesOf(block.text);
      case 'inputs':
        return block.rows.flatMap((row) => entriesOf(row.value));
      case 'notes':
        return block.items.flatMap(entriesOf);
      case 'plot':
      case 'table':
        return block.text ? entriesOf(block.text) : [];
      default:
        return [];
    }
  });
  return [...new Set(paths)];
}

const capital = (words: string): string => words.charAt(0).toUpperCase() + words.slice(1);

/** What the margin says of a section's inputs: which were changed here, and where each comes from. */
export function provenance(section: Section, field: (path: string) => Field): Paragraph[] {
  const out: Paragraph[] = [];
  // A table of inputs says itself where each comes from.
  const tabled = new Set(
    section.body.flatMap((b) => (b.type === 'inputs' ? b.rows.flatMap((r) => entriesOf(r.value)) : [])),
  );
  const fields = sectionEntries(section).map(field);
  for (const f of fields) {
    if (f.changedFrom !== undefined) {
      out.push({
        type: 'paragraph',
        text: [
          { type: 'strong', words: '△' },
          ` ${capital(f.label)} changed here: the worksheet file has ${f.changedFrom}.`,
        ],
      });
    }
  }
  const from = new Map<string, string[]>();
  for (const f of fields) {
    if (tabled.has(f.path)) continue;
    const source = f.assumed ? 'assumed' : f.from;
    from.set(source, [...(from.get(source) ?? []), f.label]);
  }
  if (from.size > 0) {
    const list = [...from].map(([source, labels]) => `${capital(labels.join(', '))}: ${source}.`).join(' ');
    out.push({ type: 'paragraph', text: [{ type: 'strong', words: 'From.' }, ` ${list}`] });
  }
  return out;
}

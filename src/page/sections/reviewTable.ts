/** Review notes of two worksheets side by side. */
import type { ReviewDifference } from '../../worksheet/reviewDifferences.ts';
import * as b from '../blocks.ts';

/** Longest note that is shown whole; of two that begin alike, what differs may come later. */
const longest = 90;

const short = (text: string): string => (text.length > longest ? `${text.slice(0, longest - 1)}…` : text);

/** What became of a note from A to B, in words. */
function change({ a, b: other }: ReviewDifference): string {
  if (a === 'none') return `new, ${other === 'none' ? '' : other.state}`;
  if (other === 'none') return `taken out, was ${a.state}`;
  const state = a.state === other.state ? other.state : `${a.state} → ${other.state}`;
  return a.note === other.note ? state : `${state}, other words`;
}

/** The notes that differ: which, what became of each, and what it says; no table where none does. */
export function reviewTable(notes: readonly ReviewDifference[]): b.Table[] {
  if (notes.length === 0) return [];
  const differ = notes.length === 1 ? 'One review note differs' : `${notes.length} review notes differ`;
  return [
    b.table({
      name: 'review',
      claim: `${differ}; notes change no result.`,
      columns: [
        { head: 'note on', words: true },
        { head: 'from A to B', words: true },
        { head: 'note', words: true },
      ],
      rows: notes.map((n) => ({
        cells: [n.label, change(n), short(n.b !== 'none' ? n.b.note : n.a !== 'none' ? n.a.note : '')],
      })),
    }),
  ];
}

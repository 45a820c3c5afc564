/**
 * Writing a review: notes put in, changed or taken out. As with every edit, the rest of the file stays as somebody wrote it, and the
 * result is read again, so it is checked.
 */
import type { Node } from 'jsonc-parser';
import { Problems } from './problem.ts';
import type { Worksheet } from './read.ts';
import { type ReviewEntry, reviewFrom } from './review.ts';
import { childOf, treeOf } from './source.ts';
import { gapIn, inserted, removed, replaced, reread } from './write.ts';

/** Longest line that a note is put on whole, as in the canonical form. */
const width = 120;

/**
 * The worksheet with review notes changed. The first one makes the list, the last one taken out takes it away.
 *
 * @param worksheet - as read; not modified
 * @param notes - lines as `reviewFrom` takes them, by what they are on: the path of an input or the name of a finding; an empty one
 *   takes the note out
 * @returns the changed worksheet
 * @throws WorksheetError where a note is refused, or the worksheet with all of them
 */
export function withReview(worksheet: Worksheet, notes: Readonly<Record<string, string>>): Worksheet {
  let { text } = worksheet;
  for (const [on, line] of Object.entries(notes)) text = withNote(text, on, line);
  return text === worksheet.text ? worksheet : reread(worksheet, text);
}

function withNote(text: string, on: string, line: string): string {
  const root = treeOf(text, new Problems(text))!;
  const list = childOf(root, 'review');
  const node = list?.children?.find((item) => childOf(item, 'on')!.value === on);
  const before = node && (childOf(node, 'state')!.value as ReviewEntry['state']);
  const after = reviewFrom(line, before && { state: before });
  if (node === undefined) return after ? withEntry(text, root, list, { on, ...after }) : text;
  if (after === undefined) return removed(text, list!.children!.length === 1 ? list!.parent! : node);
  // The later one first, so that the place of the other holds.
  const parts = (['note', 'state'] as const).map((key) => ({ at: childOf(node, key)!, value: after[key] }));
  return parts
    .filter(({ at, value }) => at.value !== value)
    .sort((a, b) => b.at.offset - a.at.offset)
    .reduce((out, { at, value }) => replaced(out, at, JSON.stringify(value)), text);
}

/** The text with a note put in, laid out as the notes beside it are, or where it is the first, as the file is. */
function withEntry(text: string, root: Node, list: Node | undefined, entry: ReviewEntry): string {
  if (list !== undefined && list.children!.length > 0) {
    const gap = gapIn(text, list);
    const [first] = list.children!;
    const inner = gapIn(text, first!);
    const literal = laidOut(entry, gap, inner === ' ' ? undefined : inner);
    return inserted(text, root, ['review', String(list.children!.length)], literal);
  }
  const outer = gapIn(text, root);
  const indent = outer.replace(/^.*[\r\n]/s, '');
  const gap = outer === ' ' ? outer : outer + indent;
  const literal = laidOut(entry, gap, undefined);
  const whole = outer === ' ' ? `[${literal}]` : `[${gap}${literal}${outer}]`;
  return list === undefined ? inserted(text, root, ['review'], whole) : replaced(text, list, whole);
}

/** A note as JSON: on one line where it fits, else, or where its neighbour is, a key on each. */
function laidOut(entry: ReviewEntry, gap: string, inner: string | undefined): string {
  const keys = (['on', 'note', 'state'] as const).map((key) => `"${key}": ${JSON.stringify(entry[key])}`);
  const line = `{ ${keys.join(', ')} }`;
  const indent = gap.replace(/^.*[\r\n]/s, '');
  const fits = gap === ' ' || indent.length + 1 + line.length <= width;
  if (inner === undefined && fits) return line;
  // Two levels deep: half of the indentation is one level.
  const deeper = inner ?? gap + indent.slice(indent.length / 2);
  return `{${deeper}${keys.join(`,${deeper}`)}${gap}}`;
}

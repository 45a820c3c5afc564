/** Lines of text: prose as plain words, wrapped to a width; columns set left or right. */
import type { Inline, Inputs, Prose, Row, Table } from '../blocks.ts';
import { entriesOf, type Field } from '../desk.ts';

const narrow = /[\u202f\u2009]/g;

/** Narrow spaces as plain ones, for terminals whose fonts lack them. */
export const plain = (text: string): string => text.replace(narrow, ' ');

/** An inline piece as words. */
function words(piece: Inline, field: (path: string) => Field): string {
  if (typeof piece === 'string') return piece;
  switch (piece.type) {
    case 'entry':
      return field(piece.path).text;
    case 'missed':
      return `✗ ${piece.words}`;
    case 'met':
      return `✓ ${piece.words}`;
    case 'action':
    case 'screen':
      return '';
    default:
      return piece.words;
  }
}

/** Prose as one line of words. Words to act on have no place where nothing can be acted on. */
export const proseWords = (text: Prose, field: (path: string) => Field): string =>
  text
    .map((piece) => words(piece, field))
    .join('')
    .replace(/ +/g, ' ')
    .trim();

/** Wraps words to a width; a number and its unit, joined by a narrow space, stay together. */
export function wrap(text: string, width: number, indent = ''): string[] {
  const lines: string[] = [];
  let line = '';
  for (const word of text.split(/ |\n/).filter((w) => w !== '')) {
    if (line !== '' && indent.length + line.length + 1 + word.length > width) {
      lines.push(indent + line);
      line = word;
    } else line = line === '' ? word : `${line} ${word}`;
  }
  if (line !== '') lines.push(indent + line);
  return lines.map(plain);
}

/** A table in columns; `right` says which are set right; the last column takes what room is left and wraps. */
export function columns(
  rows: readonly (readonly string[])[],
  right: readonly boolean[],
  width: number,
): string[] {
  const count = Math.max(...rows.map((row) => row.length));
  const widths = Array.from({ length: count }, (_, i) =>
    Math.max(...rows.map((row) => plain(row[i] ?? '').length)),
  );
  const taken = widths.slice(0, -1).reduce((a, b) => a + b + 2, 0);
  const last = Math.max(12, width - taken);
  return rows.flatMap((row) => {
    const cells = row.map(plain);
    const head = cells
      .slice(0, count - 1)
      .map((cell, i) => (right[i] ? cell.padStart(widths[i]!) : cell.padEnd(widths[i]!)))
      .join('  ');
    if (right[count - 1])
      return [`${head}  ${(cells[count - 1] ?? '').padStart(widths[count - 1]!)}`.trimEnd()];
    const tail = wrap(cells[count - 1] ?? '', last);
    if (tail.length === 0) return [head.trimEnd()];
    return tail.map((line, i) => `${i === 0 ? head : ' '.repeat(head.length)}  ${line}`.trimEnd());
  });
}

/** The rows of a table that are shown at first. */
export const shownRows = ({ rows, shown }: Table): readonly Row[] =>
  shown ? shown.map((i) => rows[i]!) : rows;

const marks = { miss: '✗ ', met: '✓ ' } as const;

/** A row's verdict in words. */
export const verdictWords = ({ verdicts = [] }: Row): string =>
  verdicts.map(({ mark, text }) => `${mark ? marks[mark] : ''}${text}`).join('; ');

/** A table of inputs: what, value, where from. */
export const inputCells = ({ rows }: Inputs, field: (path: string) => Field): string[][] =>
  rows.map((row) => {
    const [path] = entriesOf(row.value);
    return [
      row.what,
      proseWords(row.value, field),
      row.from ?? (path === undefined ? '' : sourceWords(field(path))),
    ];
  });

/** Where an input comes from, in words. */
export const sourceWords = ({ assumed, from }: Field): string => (assumed ? 'assumed' : from);

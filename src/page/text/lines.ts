/** Lines of text: prose as plain words, wrapped to a width; columns set left or right. */
import type { Inline, Inputs, Prose, ReviewSpot, Row, Table } from '../blocks.ts';
import { entriesOf, type Field } from '../desk.ts';

const narrow = /[\u202f\u2009]/g;

/** Characters that would steer a terminal or turn the direction of text; line ends are not among them. */
// biome-ignore lint/suspicious/noControlCharactersInRegex: they are what is taken out
const steering = /[\u0000-\u0009\u000b-\u001f\u007f-\u009f\u200e\u200f\u202a-\u202e\u2066-\u2069]/g;

/** Narrow spaces as plain ones, for terminals whose fonts lack them; what a stranger's worksheet could steer a terminal with is left out. */
export const plain = (text: string): string => text.replace(narrow, ' ').replace(steering, '');

const capital = (words: string): string => words.charAt(0).toUpperCase() + words.slice(1);

/** What a review note can be put on, and the note where there is one. */
const reviewWords = ({ words = '', entry }: ReviewSpot): string =>
  entry ? `${words} ${capital(entry.state)}: ${entry.note}` : words;

/** An inline piece as words. */
function words(piece: Inline, field: (path: string) => Field): string {
  if (typeof piece === 'string') return piece;
  switch (piece.type) {
    case 'entry':
      return field(piece.path).text;
    case 'review':
      return reviewWords(piece);
    case 'missed':
      return `✗ ${piece.words}`;
    case 'met':
      return `✓ ${piece.words}`;
    case 'action':
    case 'file':
    case 'draw':
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

/** Least width of a last column of words where the first one can give way to it. */
const leastTail = 16;

/** A table in columns; `right` says which are set right; the last column takes what room is left and wraps, the first where it must. */
export function columns(
  rows: readonly (readonly string[])[],
  right: readonly boolean[],
  width: number,
): string[] {
  const count = Math.max(...rows.map((row) => row.length));
  const widths = Array.from({ length: count }, (_, i) =>
    Math.max(...rows.map((row) => plain(row[i] ?? '').length)),
  );
  const takenBy = (): number => widths.slice(0, -1).reduce((a, b) => a + b + 2, 0);
  const tailNeeds = right[count - 1] ? widths[count - 1]! : Math.min(leastTail, widths[count - 1]!);
  const over = takenBy() + tailNeeds - width;
  if (over > 0 && !right[0] && widths[0]! > leastTail) widths[0] = Math.max(leastTail, widths[0]! - over);
  const last = Math.max(12, width - takenBy());
  return rows.flatMap((row) => {
    const cells = row.map(plain);
    const first = right[0] ? [cells[0]!] : wrapped(cells[0] ?? '', widths[0]!);
    const tail = right[count - 1]
      ? [(cells[count - 1] ?? '').padStart(widths[count - 1]!)]
      : wrapped(cells[count - 1] ?? '', last);
    return Array.from({ length: Math.max(first.length, tail.length) }, (_, line) =>
      cells
        .slice(0, count - 1)
        .map((cell, i) => {
          const text = i === 0 ? (first[line] ?? '') : line === 0 ? cell : '';
          return right[i] ? text.padStart(widths[i]!) : text.padEnd(widths[i]!);
        })
        .concat(tail[line] ?? '')
        .join('  ')
        .trimEnd(),
    );
  });
}

/** Words as lines of at most `width` characters; at least one. */
const wrapped = (text: string, width: number): string[] =>
  text.length <= width ? [text] : wrap(text, width);

/** The rows of a table that are shown at first. */
export const shownRows = ({ rows, shown }: Table): readonly Row[] =>
  shown ? shown.map((i) => rows[i]!) : rows;

const marks = { miss: '✗ ', met: '✓ ', open: '' } as const;

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

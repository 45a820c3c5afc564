/** Registers in characters: a bit a column, four to a group; `-` is a bit not in use, `^` one that a shift drops. */
import type { BitField, Register } from '../blocks.ts';
import { plain, wrap } from './lines.ts';

/** A column for each bit, highest first, with a gap ahead of each group of four. */
const spread = (width: number, sign: (bit: number) => string): string =>
  Array.from({ length: width }, (_, i) => {
    const bit = width - 1 - i;
    return (i > 0 && bit % 4 === 3 ? ' ' : '') + sign(bit);
  }).join('');

/** The number of the highest bit of each whole group, above it. */
function numbers(width: number): string {
  const line: string[] = [];
  let column = 0;
  for (let bit = width - 1; bit >= 0; bit--) {
    if (bit % 4 === 3) {
      if (bit < width - 1) column++;
      for (const [i, digit] of [...String(bit)].entries()) line[column + i] = digit;
    }
    column++;
  }
  return Array.from(line, (sign) => sign ?? ' ').join('');
}

const signOf =
  ({ value, width, from, bits }: Register) =>
  (bit: number): string => {
    if (bit >= width) return ' ';
    return bit < from || bit >= from + bits ? '-' : String(Math.floor(value / 2 ** bit) % 2);
  };

/** The registers as lines of at most `width` characters. */
export function bitLines({ registers }: BitField, width: number): string[] {
  const most = Math.max(...registers.map((r) => r.width));
  return [
    `  ${numbers(most)}`,
    ...registers.flatMap((register) => {
      const dropped = register.dropped ?? 0;
      return [
        ...wrap(`${register.wrong ? '✗ ' : ''}${register.name}: ${register.figures}`, width),
        `  ${spread(most, signOf(register))}`,
        ...(dropped > 0 ? [`  ${spread(most, (bit) => (bit < dropped ? '^' : ' '))} dropped`] : []),
      ];
    }),
  ].map((line) => plain(line).trimEnd());
}

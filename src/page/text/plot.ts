/** A plot in characters: curves, limits and marked points on a grid of letters, with its axes written out. */
import type { Axis, Plot } from '../blocks.ts';
import { plain } from './lines.ts';

const place = (axis: Axis, value: number): number =>
  axis.scale === 'log'
    ? Math.log(value / axis.from) / Math.log(axis.to / axis.from)
    : (value - axis.from) / (axis.to - axis.from);

const written = (value: number): string => String(Number(value.toPrecision(3))).replace('-', '−');

/** The plot as lines of at most `width` characters. */
export function plotLines(block: Plot, width: number): string[] {
  const height = 16;
  const left = 8;
  const across = width - left - 1;
  const cells: string[][] = Array.from({ length: height }, () => Array.from({ length: across }, () => ' '));
  const put = (x: number, y: number, sign: string): void => {
    const column = Math.round(place(block.x, x) * (across - 1));
    const row = Math.round((1 - place(block.y, y)) * (height - 1));
    if (row >= 0 && row < height && column >= 0 && column < across) cells[row]![column] = sign;
  };
  const legend: string[] = [];
  const signs = { first: '*', thin: '·', second: 'o' } as const;
  for (const mark of block.marks) {
    if (mark.type === 'limit') {
      const row = Math.round((1 - place(block.y, mark.y)) * (height - 1));
      if (row >= 0 && row < height) cells[row]!.fill('-');
      legend.push(`---  ${mark.text}`);
    }
  }
  for (const mark of block.marks) {
    if (mark.type !== 'curve') continue;
    const sign = signs[mark.style];
    for (let i = 0; i + 1 < mark.points.length; i++) {
      const [x0, y0] = mark.points[i]!;
      const [x1, y1] = mark.points[i + 1]!;
      const parts = Math.max(1, Math.ceil(Math.abs(place(block.x, x1) - place(block.x, x0)) * across));
      for (let k = 0; k <= parts; k++) {
        const t = k / parts;
        const x = block.x.scale === 'log' ? x0 * (x1 / x0) ** t : x0 + (x1 - x0) * t;
        const y = block.y.scale === 'log' ? y0 * (y1 / y0) ** t : y0 + (y1 - y0) * t;
        put(x, y, sign);
      }
    }
    if (mark.style !== 'thin') legend.push(`${sign}    ${mark.name}`);
  }
  for (const mark of block.marks) {
    if (mark.type !== 'point') continue;
    const sign = { recommended: 'R', chosen: 'C', worst: 'W', plain: '+' }[mark.standing];
    put(mark.x, mark.y, sign);
    legend.push(`${sign}    ${mark.text}`);
  }
  const ends: Readonly<Record<number, string>> = {
    0: written(block.y.to),
    [height - 1]: written(block.y.from),
  };
  const rows = cells.map((row, i) => `${(ends[i] ?? '').padStart(left - 1)}|${row.join('')}`.trimEnd());
  const from = written(block.x.from);
  const to = written(block.x.to);
  const label = ` ${block.x.label} `;
  const gap = Math.max(0, across - from.length - to.length);
  const middle = label
    .padStart(Math.floor((gap + label.length) / 2))
    .padEnd(gap)
    .slice(0, gap);
  return [
    block.y.label,
    ...rows,
    `${' '.repeat(left - 1)}+${'-'.repeat(across)}`,
    `${' '.repeat(left)}${from}${middle}${to}`,
    ...legend.map((line) => `${' '.repeat(left)}${line}`),
  ].map(plain);
}

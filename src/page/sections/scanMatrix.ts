/** The crosstalk matrix of a scan: what each channel would receive from each other if it came right after it. */
import type { ScanResult } from '../../worksheet/scanOf.ts';
import * as b from '../blocks.ts';
import { prose, type Section } from '../blocks.ts';
import { receivedCell } from './scanTurns.ts';
import { lsb } from './settling.ts';

/** Most channels whose whole matrix is shown; of more, the worst of each. */
const mostShown = 6;

/** The matrix, of single conversions; `allowed` where a single conversion is judged. */
export function scanMatrix({ matrix, asListed }: ScanResult, allowed = Number.MAX_VALUE): Section {
  const names = matrix.map((m) => m.name);
  const worst = matrix
    .flatMap(({ name, from }) => from.map((value, j) => ({ name, after: names[j]!, value })))
    .reduce((a, c) => (Math.abs(c.value) > Math.abs(a.value) ? c : a));
  const whole = names.length <= mostShown;
  const cell = (value: number) => receivedCell(value, allowed);
  const most = (from: readonly number[]): number =>
    from.reduce((at, v, j) => (Math.abs(v) > Math.abs(from[at]!) ? j : at), 0);
  const columns = whole
    ? names.map((_, j) => ({ head: `after ${j + 1}`, unit: 'LSB', minor: j > 2 }))
    : [
        { head: 'at most', unit: 'LSB' },
        { head: 'after', words: true },
      ];
  return {
    body: [
      b.table({
        name: 'crosstalk',
        claim: `At worst ${worst.name} would receive ${lsb(worst.value, 2)} from ${worst.after}, right after it.`,
        text: prose`Signed, in the first conversion that counts${allowed < Number.MAX_VALUE ? `; ${lsb(allowed)} are allowed` : ', before a burst averages it'}. The order listed uses ${asListed.map((c) => `${names.indexOf(c.name) + 1} after ${names.indexOf(c.previous) + 1}`).join(', ')}.`,
        columns: [{ head: 'channel', words: true }, ...columns],
        rows: matrix.map(({ name, from }, i) => ({
          cells: [
            `${i + 1} ${name}`,
            ...(whole ? from.map(cell) : [cell(from[most(from)]!), names[most(from)]!]),
          ],
        })),
      }),
    ],
  };
}

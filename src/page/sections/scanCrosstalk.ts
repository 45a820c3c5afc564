/** Crosstalk of a scan: what each channel receives from the one before it, and what another order or one conversion more left out does. */
import { formatNumber } from '../../numbers/format.ts';
import type { ScanError, ScanResult } from '../../worksheet/scanOf.ts';
import * as b from '../blocks.ts';
import { prose, type Section } from '../blocks.ts';
import { lsb } from './settling.ts';

/** LSB without sign and unit. */
const short = (value: number): string =>
  Math.abs(value) < 1e-4 ? '< 0.0001' : formatNumber({ value: Math.abs(value), digits: 2 });

/** What each channel of the scan receives from the one before it. */
export function scanCrosstalk(scan: ScanResult): Section {
  const worst = (errors: readonly ScanError[]): string =>
    lsb(Math.max(...errors.map((c) => Math.abs(c.lsb))), 2);
  const found = (errors: readonly ScanError[], name: string) =>
    short(errors.find((c) => c.name === name)!.lsb);
  return {
    body: [
      b.table({
        name: 'scan',
        claim: `In the scan a channel receives up to ${worst(scan.asListed)} from the one before it.`,
        text: prose`One conversion a channel, ${scan.discard === 0 ? 'none' : String(scan.discard)} left out. With one more left out it is ${worst(scan.oneMore)}; in the ${scan.exhaustive ? 'best' : 'best order found'} order, ${scan.best.map((c) => c.name).join(', ')}, ${worst(scan.best)}. The mean of this channel’s burst receives ${lsb(scan.mean, 2)}.`,
        columns: [
          { head: 'channel', words: true },
          { head: 'after', words: true, minor: true },
          { head: 'as listed', unit: 'LSB' },
          { head: 'one more out', unit: 'LSB' },
          { head: 'best order', unit: 'LSB' },
        ],
        rows: scan.asListed.map((c) => ({
          cells: [c.name, c.previous, short(c.lsb), found(scan.oneMore, c.name), found(scan.best, c.name)],
        })),
      }),
    ],
  };
}

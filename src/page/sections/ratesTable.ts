/** The table of resolutions and ratios: bits, rate, band and charge of each, its verdict, and the row to take. */
import { formatFixed } from '../../numbers/format.ts';
import type { RequirementName } from '../../plan/requirements.ts';
import type { RateRow, WorksheetRates } from '../../worksheet/ratesOf.ts';
import { prose, type Row, type Table, table } from '../blocks.ts';
import { bitsText, rateWords } from './rateEdge.ts';
import { failureWords } from './settingsTable.ts';
import { number, type Told } from './told.ts';

/** The changes that take a resolution, ratio and shift. */
export const rateChanges = ({ bits, ratio, shift }: RateRow): Record<string, string> => ({
  'sampling.bits': String(bits),
  'averaging.ratio': String(ratio),
  'averaging.shift': String(shift),
});

/** A rate in the table: whole numbers from 1000 on. */
const rateFigure = (rate: number): string =>
  rate >= 1000 ? formatFixed({ value: rate, decimals: 0 }) : number(rate);

function verdicts(row: RateRow): NonNullable<Row['verdicts']> {
  if (row.failures.length > 0) {
    const failures = row.failures.map((f) => ({ mark: 'miss' as const, text: failureWords(f) }));
    return row.chosen ? [{ text: 'chosen' }, ...failures] : failures;
  }
  if (row.recommended)
    return [
      {
        mark: 'met',
        text: `${row.chosen ? 'chosen and ' : ''}recommended: the fastest that meets everything`,
      },
    ];
  return row.chosen ? [{ mark: 'met', text: 'chosen; meets everything' }] : [{ text: 'meets everything' }];
}

/** The table of rates; shown at first: the edge, one conversion of each resolution, and what is chosen or recommended. */
export function ratesTable({ inSmall, small }: Told, { rows, edge, recommended }: WorksheetRates): Table {
  const [charge, perCharge] = rows.every((r) => r.charge < 1e-5) ? ['nC', 1e9] : ['µC', 1e6];
  const row = (r: RateRow, i: number): Row => {
    const figure = (text: string, ...names: RequirementName[]) =>
      r.failures.some((f) => names.includes(f.name)) ? { text, miss: true as const } : text;
    const standing = r.chosen
      ? 'chosen'
      : r.recommended
        ? 'recommended'
        : r.failures.length > 0
          ? 'fails'
          : undefined;
    return {
      cells: [
        String(r.bits),
        String(r.ratio),
        String(r.shift),
        bitsText(r.effectiveBits),
        r.onEdge ? '•' : '',
        figure(String(r.resultBits), 'overflow'),
        figure(rateFigure(r.outputRate), 'period', 'latency'),
        r.signalBand === 'any' ? '–' : number(r.signalBand),
        figure(number(inSmall(r.rms)), 'resolution'),
        number(r.charge * perCharge),
      ],
      verdicts: verdicts(r),
      ...(standing && { standing }),
      group: rows[i - 1]?.bits !== r.bits,
      choose: { label: rateWords(r), changes: rateChanges(r) },
    };
  };
  return table({
    name: 'rates',
    claim: recommended
      ? `${recommended.ratio === 1 ? `One conversion of ${recommended.bits} bits is` : `${recommended.ratio} conversions of ${recommended.bits} bits are`} the fastest that meet${recommended.ratio === 1 ? 's' : ''} everything.`
      : 'No setting of this converter meets everything.',
    text: prose`Each ratio with the least shift whose result fits the register. A dot marks the ${String(edge.length)} on the edge. Choose a row to work with it.`,
    columns: [
      { head: 'native', unit: 'bits' },
      { head: 'ratio' },
      { head: 'shift' },
      { head: 'effective', unit: 'bits' },
      { head: 'edge', minor: true },
      { head: 'result', unit: 'bits', minor: true },
      { head: 'results', unit: '1/s' },
      { head: '−3 dB', unit: 'Hz', minor: true },
      { head: 'noise rms', unit: small },
      { head: 'charge', unit: charge!, minor: true },
    ],
    rows: rows.map(row),
    shown: rows.flatMap((r, i) => (r.onEdge || r.chosen || r.recommended || r.ratio === 1 ? [i] : [])),
  });
}

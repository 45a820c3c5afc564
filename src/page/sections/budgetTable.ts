/** The uncertainty budget at one place as a table, line by line. */
import { formatNumber, formatQuantity } from '../../numbers/format.ts';
import type { UncertaintyLine, UncertaintyPoint } from '../../worksheet/evaluate.ts';
import * as b from '../blocks.ts';
import { prose, type Row, type Section, symbol, type Working } from '../blocks.ts';
import { number, type Told } from './told.ts';

/** Share of the variance below which lines stand together. */
const small = 5e-4;

/** A share in whole per cent; tenths below ten. */
export const percent = (share: number): string =>
  `${formatNumber({ value: 100 * share, digits: share < 0.0995 ? 1 : 2 })}\u202f%`;

/** A quantity as the budget states it: `±1 %`, `0.09 LSB rms`. */
export function statedText({ size, unit, distribution }: UncertaintyLine): string {
  const text = formatQuantity({ value: size, unit: unit === '1' ? '%' : unit });
  return distribution === 'normal' ? `${text} rms` : `±${text}`;
}

/** What a sensitivity is per: a per cent, a code, a nanoampere, a millivolt. */
const per: Readonly<Record<string, readonly [number, string]>> = {
  '1': [0.01, '%'],
  LSB: [1, 'LSB'],
  A: [1e-9, 'nA'],
  V: [1e-3, 'mV'],
  ohm: [1, 'Ω'],
  K: [1, 'K'],
  'V/V': [1e-3, 'mV/V'],
};

/** Whether a line is of the circuit although its unit is that of readings: volts, amperes, the cold junction's kelvins. */
const ofCircuit = ({ unit, path }: UncertaintyLine): boolean =>
  unit === 'V' || unit === 'A' || path === 'sensor.coldJunction';

/** Degrees of freedom in print. */
export const freedomText = (nu: number | 'any'): string => (nu === 'any' || nu > 9999 ? '∞' : number(nu));

/** How the budget at one place comes to its expanded uncertainty. */
export const budgetWorking = ({ difference }: Told, at: UncertaintyPoint): Working =>
  b.working({
    result: `±${difference(at.expanded)}, coverage 95\u202f%`,
    open: true,
    steps: [
      { formula: 'u_c^2 = sum(i=1; n; (c_i u_i)^2)' },
      prose`with ${symbol('u')} = half-width/√3 where rectangular, /√2 where arcsine. Degrees of freedom:`,
      { formula: 'ν = u_c^4/(sum(i=1; n; (c_i u_i)^4/ν_i))' },
      prose`${symbol('ν')} = ${freedomText(at.degreesOfFreedom)}, so ${symbol('k')} = ${number(at.coverageFactor, 4)}:`,
      {
        formula: 'U = k u_c',
        with: {
          U: difference(at.expanded),
          k: number(at.coverageFactor, 4),
          u_c: difference(at.combined),
        },
      },
    ],
    source:
      'JCGM 100:2008, 5.1.2, 4.3.7 and G.6.4. Figures that are assumed count as known to a quarter: 8 degrees of freedom, G.4.2.',
  });

/** The budget where the uncertainty is largest, the largest lines first. */
export function budgetTable(
  { e, difference, measurand, small: unit, inSmall }: Told,
  at: UncertaintyPoint,
): Section {
  const shown = at.lines.filter((l) => l.share >= small);
  const rest = at.lines.filter((l) => l.share < small);
  const figure = (value: number): string => number(inSmall(value));
  const sensitivityText = (l: UncertaintyLine): string => {
    if (l.unit === e.units.difference && !ofCircuit(l)) return '1';
    const [of, name] = per[l.unit] ?? [1, ''];
    return `${figure(l.sensitivity * of)} / ${name}`;
  };
  const row = (l: UncertaintyLine): Row => ({
    cells: [
      l.name,
      statedText(l),
      l.distribution,
      freedomText(l.degreesOfFreedom),
      sensitivityText(l),
      figure(l.uncertainty),
      figure(l.limit),
      percent(l.share),
    ],
  });
  const rows: Row[] = shown.map(row);
  if (rest.length > 0) {
    const together = rest.reduce((sum, l) => Math.hypot(sum, l.uncertainty), 0);
    const limit = rest.reduce((sum, l) => sum + l.limit, 0);
    const share = rest.reduce((sum, l) => sum + l.share, 0);
    const name = rest.length === 1 ? rest[0]!.name : `${rest.length} others together`;
    const cells = [
      name,
      '',
      '',
      '',
      '',
      figure(together),
      figure(limit),
      share < small ? `<\u202f0.1\u202f%` : percent(share),
    ];
    rows.push({ cells });
  }
  rows.push({
    group: true,
    standing: 'recommended',
    cells: [
      'combined',
      '',
      'normal',
      freedomText(at.degreesOfFreedom),
      '',
      figure(at.combined),
      figure(at.worstCase),
      '100\u202f%',
    ],
  });
  const [first, second, third] = at.lines as [UncertaintyLine, UncertaintyLine?, UncertaintyLine?];
  const top = [first, second, third].filter((l) => l !== undefined && l.share >= 0.01);
  return {
    body: [
      b.table({
        name: 'budget',
        claim: `At ${measurand(at.measurand)} ${first.name} carries ${percent(first.share)} of the variance${
          top.length > 1
            ? `, ${top
                .slice(1)
                .map((l) => `${l!.name} ${percent(l!.share)}`)
                .join(', ')}`
            : ''
        }.`,
        text: prose`Noise and quantization stand as the averaging of ${String(e.averaging.ratio)} leaves them, once; there is no further line for quantization. Without ${first.name} ${difference(at.coverageFactor * Math.sqrt(Math.max(0, at.combined ** 2 - first.uncertainty ** 2)))} would be left.`,
        columns: [
          { head: 'contribution', words: true },
          { head: 'stated' },
          { head: 'distribution', words: true, minor: true },
          { head: 'ν', minor: true },
          { head: 'sensitivity', unit: `${unit} /`, minor: true },
          { head: 'u', unit },
          { head: 'limit', unit, minor: true },
          { head: 'share' },
        ],
        rows,
      }),
    ],
  };
}

/** What averaging makes of a record: the Allan deviation with its lowest point, and bits against ratio, expected and measured. */
import { formatQuantity } from '../../numbers/format.ts';
import type { WorksheetRecord } from '../../worksheet/recordOf.ts';
import { lsb } from '../../worksheet/recordWords.ts';
import { decadeSpan, roundSpan, thinned } from '../axes.ts';
import * as b from '../blocks.ts';
import { prose, type Section, symbol } from '../blocks.ts';
import { number, type Told } from './told.ts';

/** Results of averaging whose scatter is worth drawing. */
const fewest = 8;

/** The Allan deviation and its lowest point. */
export function allan({ time }: Told, r: WorksheetRecord): Section[] {
  const points = r.figures.allan.filter((p) => p.deviation > 0);
  if (points.length < 3 || r.minimum === 'none') return [];
  const at = (y: (p: (typeof points)[number]) => number) => points.map((p) => [p.tau, y(p) * r.lsb] as const);
  const found = at((p) => p.deviation);
  const one = points[0]!;
  const white = at((p) => one.deviation / Math.sqrt(p.factor / one.factor));
  const least = points.reduce((a, p) => (p.deviation < a.deviation ? p : a));
  const turns = !r.minimum.atEnd;
  const thin = points.some((p) => p.stride > 1);
  const last = points.at(-1)!;
  // A point whose band reaches down to the lowest tells of no turn.
  const certain = turns && last.low > least.high;
  const codes = r.averaged ? 'results' : 'codes';
  return [
    {
      body: [
        b.plot({
          name: 'allan',
          claim: certain
            ? `Averaging helps up to ${time(least.tau)}, ${number(least.factor, 9)} ${codes}, and no further.`
            : `Averaging helps as far as this record tells: ${time(last.tau)}, ${number(last.factor, 9)} ${codes}.`,
          text: prose`How far the means of neighbouring spans differ, against the length of the span. White noise falls by half for four times the length, 1/f noise stays level, drift rises.${thin ? ' Beyond 65\u202f536 codes spans start less densely.' : ''}`,
          description: `Allan deviation from ${time(one.tau)} to ${time(last.tau)}: ${lsb(one.deviation * r.lsb)} falling to ${lsb(least.deviation * r.lsb)} at ${time(least.tau)}`,
          x: { label: 'averaging time, s', scale: 'log', from: one.tau / 1.15, to: last.tau * 1.15 },
          y: {
            label: 'LSB',
            scale: 'log',
            ...decadeSpan([...found.map((p) => p[1]), ...at((p) => p.low).map((p) => p[1])]),
          },
          marks: [
            b.curve({
              name: 'white noise',
              points: white,
              style: 'second',
              label: { text: 'white noise', at: Math.round(0.3 * points.length), place: 'along below' },
            }),
            b.curve({ name: 'low end', points: at((p) => p.low), style: 'thin' }),
            b.curve({ name: 'high end', points: at((p) => p.high), style: 'thin' }),
            b.curve({ name: 'record', points: found, style: 'first', dots: true }),
            ...(certain
              ? [
                  b.point({
                    x: least.tau,
                    y: least.deviation * r.lsb,
                    standing: 'recommended',
                    text: `least: ${lsb(least.deviation * r.lsb)} at ${time(least.tau)}`,
                    place: 'below left',
                  }),
                ]
              : []),
          ],
          figures: {
            heads: ['time', codes, 'LSB', 'low', 'high'],
            rows: points.map((p) => [
              time(p.tau),
              number(p.factor, 9),
              ...[p.deviation, p.low, p.high].map((y) => number(y * r.lsb)),
            ]),
          },
        }),
      ],
      margin: [
        b.working({
          result: `${lsb(least.deviation * r.lsb)} at ${time(least.tau)}`,
          steps: [
            prose`Overlapping, with ${symbol('X')} the running sums of the codes and ${symbol('m')} the averaging factor:`,
            { formula: 'σ^2 = sum(n; ; (X_(n+2m) − 2X_(n+m) + X_n)^2)/(2m^2 (M − 2m + 1))' },
            prose`Thin lines: where the deviation lies with 95\u202f% confidence.`,
          ],
          source: 'NIST Special Publication 1065, 5.2.4 and 5.4 (clauses from memory).',
        }),
      ],
    },
  ];
}

/** Bits against ratio: by the worksheet, and by really averaging the record. */
export function bitsAgainstRatio({ e, small, inSmall, difference }: Told, r: WorksheetRecord): Section[] {
  const rows = r.ratios.filter((x) => x.results >= fewest);
  if (rows.length < 3) return [];
  const { ratio } = e.averaging;
  const { bits } = e.quantizing;
  const expected = rows.map((x) => [x.ratio, x.expectedBits] as const);
  const measured = rows.map((x) => [x.ratio, x.measuredBits] as const);
  const band = (s: number) => rows.map((x) => [x.ratio, x.measuredBits + 2 * s * x.uncertaintyBits] as const);
  const here = r.averaged ? rows[0]! : rows.findLast((x) => x.ratio <= ratio)!;
  const lost = here.expectedBits - here.measuredBits;
  const { inl, resolutions } = e.worksheet.profile;
  const inlLsb = inl.value / 2 ** (resolutions[0]!.bits - bits);
  const span = roundSpan([...expected, ...measured].map((p) => p[1]));
  const whole = Array.from({ length: 40 }, (_, i) => i).filter((v) => v >= span.from && v <= span.to);
  const inBits = (value: number): number =>
    inSmall(e.channel.worst.perCode) * (2 ** (bits - value) / Math.sqrt(12));
  const what = r.averaged ? 'results averaged' : 'oversampling ratio';
  const off = number(Math.abs(lost), 2);
  const { reading } = r;
  return [
    {
      body: [
        b.plot({
          name: 'bits',
          claim:
            Math.abs(lost) < 0.1
              ? `Averaging ${here.ratio} gives the bits that the worksheet says: ${number(here.measuredBits)}.`
              : `Averaging ${here.ratio} gives ${off} bits ${lost > 0 ? 'less' : 'more'} than the worksheet says: ${number(here.measuredBits)}.`,
          text: prose`The codes of the record really averaged, bit by bit as the hardware does. One reading is good to ±${difference(reading.twoSigma)} (2${symbol('σ')}) by the record, to ±${difference(reading.expectedTwoSigma)} by the worksheet; INL of ${lsb(inlLsb)} stays at any ratio, so this is resolution and not accuracy.`,
          description: `Effective bits against ratio: at ${here.ratio} ${number(here.measuredBits)} measured, ${number(here.expectedBits)} by the worksheet`,
          x: {
            label: what,
            scale: 'log',
            from: 0.85,
            to: rows.at(-1)!.ratio * 1.18,
            ticks: thinned(
              rows.map((x) => x.ratio),
              11,
            ),
          },
          y: { label: 'effective bits', scale: 'linear', ...span, ticks: whole },
          right: { label: `${small} rms`, ticks: whole.map((y) => ({ y, text: number(inBits(y), 2) })) },
          marks: [
            b.curve({
              name: 'worksheet',
              points: expected,
              style: 'second',
              label: {
                text: 'worksheet',
                at: rows.length - 2,
                place: lost > 0 ? 'along above' : 'along below',
              },
            }),
            b.curve({ name: 'low end', points: band(-1), style: 'thin' }),
            b.curve({ name: 'high end', points: band(1), style: 'thin' }),
            b.curve({
              name: 'record',
              points: measured,
              style: 'first',
              dots: true,
              label: { text: 'record', at: 1, place: lost > 0 ? 'along below' : 'along above' },
            }),
            b.point({
              x: here.ratio,
              y: here.measuredBits,
              standing: 'chosen',
              text: `here: ${number(here.measuredBits)} bits`,
              place: lost > 0 ? 'below right' : 'above left',
            }),
          ],
          figures: {
            heads: ['ratio', 'worksheet, bits', 'record, bits', '±, 2σ', 'record, LSB', 'results'],
            rows: rows.map((x) => [
              number(x.ratio, 9),
              number(x.expectedBits, 4),
              number(x.measuredBits, 4),
              number(2 * x.uncertaintyBits, 2),
              number(x.measuredLsb),
              number(x.results, 9),
            ]),
          },
        }),
      ],
      margin: [
        b.working({
          result: `${number(here.measuredBits)} bits at ${here.ratio}`,
          steps: [
            prose`From the scatter ${symbol('s')} of the averaged codes and the steps ${symbol('B')} that the noise leaves:`,
            { formula: 'b = N − log_2(sqrt(12 (s^2 + B^2)))' },
            prose`With ${symbol('s')} = ${number(here.measuredLsb)}\u202fLSB; the worksheet has ${number(here.expectedLsb)}\u202fLSB. A result counts as recorded, ${formatQuantity({ value: r.rate, unit: 'Hz' })} apart.`,
          ],
        }),
      ],
    },
  ];
}

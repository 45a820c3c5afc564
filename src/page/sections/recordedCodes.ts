/** The record over time, and its histogram beside the expected one. */
import { formatQuantity } from '../../numbers/format.ts';
import type { Envelope } from '../../record/envelope.ts';
import { codeProbabilities } from '../../record/histogram.ts';
import type { WorksheetRecord } from '../../worksheet/recordOf.ts';
import { lsb } from '../../worksheet/recordWords.ts';
import { roundSpan, thinned } from '../axes.ts';
import * as b from '../blocks.ts';
import { prose, type Section } from '../blocks.ts';
import { number, type Told } from './told.ts';

type Points = readonly (readonly [number, number])[];

/** Stretches that are drawn, at most. */
const drawn = 128;

/** An envelope of at most so many stretches that can be told apart. */
function coarser(envelope: Envelope, count: number): Envelope {
  if (envelope.mean.length <= drawn) return envelope;
  const { stretch, mean, lowest, highest } = envelope;
  const length = Math.ceil(mean.length / 2);
  const pair = (values: Float64Array, of: (a: number, b: number) => number): Float64Array =>
    Float64Array.from({ length }, (_, i) => of(values[2 * i]!, values[2 * i + 1] ?? values[2 * i]!));
  // The last stretch may be shorter than the others.
  const last = count - (mean.length - 1) * stretch;
  const weight = (i: number): number => (i === mean.length - 1 ? last : stretch);
  const means = Float64Array.from({ length }, (_, i) => {
    const [a, c] = [2 * i, 2 * i + 1];
    if (c >= mean.length) return mean[a]!;
    return (mean[a]! * weight(a) + mean[c]! * weight(c)) / (weight(a) + weight(c));
  });
  const half = {
    stretch: 2 * stretch,
    mean: means,
    lowest: pair(lowest, Math.min),
    highest: pair(highest, Math.max),
  };
  return coarser(half, count);
}

/** Codes over time: the mean of each stretch, and between which ends it lies. */
export function overTime({ e, time }: Told, r: WorksheetRecord): Section {
  const { envelope, summary, rate } = r.figures;
  const { stretch, mean, lowest, highest } = coarser(envelope, summary.count);
  const scale = summary.count / rate < 1 ? 1e3 : 1;
  const at = (i: number): number => ((i + 0.5) * stretch * scale) / rate;
  const line = (values: Float64Array): Points => Array.from(values, (y, i) => [at(i), y] as const);
  const end = (summary.count * scale) / rate;
  const { measurand } = r.reading;
  const where =
    measurand === 'none'
      ? ''
      : `, ${formatQuantity({ value: measurand, unit: e.units.measurand, digits: 4 })} at the mean`;
  const unit = scale === 1 ? 's' : 'ms';
  return {
    body: [
      b.plot({
        name: 'record',
        claim: `Codes ${summary.lowest} to ${summary.highest} in ${time(summary.count / rate)}${where}.`,
        text:
          stretch === 1
            ? prose`Each code.`
            : prose`Lowest, mean and highest of every ${number(stretch, 9)} codes.`,
        description: `Codes over ${time(summary.count / rate)}, from ${summary.lowest} to ${summary.highest}, mean ${number(summary.mean, 7)}`,
        x: { label: `time, ${unit}`, scale: 'linear', from: 0, to: end },
        y: { label: 'code', scale: 'linear', ...roundSpan([summary.lowest, summary.highest]) },
        marks: [
          ...(stretch === 1
            ? []
            : [
                b.curve({ name: 'lowest', points: line(lowest), style: 'thin' }),
                b.curve({ name: 'highest', points: line(highest), style: 'thin' }),
              ]),
          ...(stretch === 1
            ? [b.curve({ name: 'code', points: line(mean), style: 'thin' })]
            : r.sine === 'none'
              ? [b.curve({ name: 'mean', points: line(mean), style: 'first' })]
              : []),
        ],
        figures: {
          heads: [`time, ${unit}`, 'lowest', 'mean', 'highest'],
          rows: thinned(
            Array.from(mean, (_, i) => i),
            24,
          ).map((i) => [number(at(i)), String(lowest[i]), number(mean[i]!, 7), String(highest[i])]),
        },
      }),
    ],
  };
}

/** Widest histogram that is drawn code by code. */
const widest = 400;

/** How often each code occurs, by the record, by the noise found in it, and by the worksheet's. */
export function histogram(_: Told, r: WorksheetRecord): Section[] {
  const { summary } = r.figures;
  const { counts, count, lowest, highest, transitionNoise: found } = summary;
  if (counts === 'none' || highest - lowest > widest) return [];
  const first = lowest - 1;
  const length = highest - lowest + 3;
  const share = (k: number): number => (k < lowest || k > highest ? 0 : (100 * counts[k - lowest]!) / count);
  const codes = Array.from({ length }, (_unused, i) => first + i);
  const mean = found === 'none' ? summary.mean : found.mean;
  const expected = (noiseLsb: number): Points => {
    const p = codeProbabilities({ mean, noiseLsb, first, count: length });
    return codes.map((k, i) => [k, 100 * p[i]!] as const);
  };
  const seen: Points = codes.map((k) => [k, share(k)] as const);
  const assumed = expected(r.assumedLsb / r.lsb);
  const isFitted = found !== 'none' && found.noiseLsb > 0;
  const fitted = isFitted ? expected(found.noiseLsb) : [];
  const most = seen.reduce((a, p, i) => (p[1] > seen[a]![1] ? i : a), 0);
  const top = roundSpan([0, ...[seen, assumed, fitted].flat().map((p) => p[1])]).to;
  const side = (points: Points): number =>
    Math.max(
      1,
      points.findIndex((p) => p[1] > 2),
    );
  return [
    {
      body: [
        b.plot({
          name: 'histogram',
          claim: isFitted
            ? `The codes are spread by ${lsb(found.noiseLsb * r.lsb)} rms of noise; the worksheet has ${lsb(r.assumedLsb)}.`
            : `The codes tell no more than that the noise is under ${lsb(r.noise.atMostLsb)} rms; the worksheet has ${lsb(r.assumedLsb)}.`,
          text: prose`How many of ${number(count, 9)} codes were each code. The noise is that of greatest likelihood ahead of the quantizer; the spread of the codes less 1/12 would not tell it.${isFitted ? ' The thin line is what it would give.' : ''}`,
          description: `Histogram of the codes ${lowest} to ${highest}; most are ${seen[most]![0]}, ${number(seen[most]![1])} per cent`,
          x: {
            label: 'code',
            scale: 'linear',
            from: first,
            to: highest + 1,
            ...(length <= 24 && { ticks: thinned(codes, 9) }),
          },
          y: {
            label: '% of codes',
            scale: 'linear',
            from: 0,
            to: top,
          },
          marks: [
            ...(isFitted ? [b.curve({ name: 'by the noise found', points: fitted, style: 'thin' })] : []),
            b.curve({ name: 'record', points: seen, style: 'first', dots: length <= 60 }),
            b.curve({
              name: 'by the worksheet',
              points: assumed,
              style: 'second',
              label: {
                text: 'by the worksheet',
                at: side(assumed),
                place: [first + 0.06 * (length - 1), 0.86 * top],
                end: 'left',
              },
            }),
          ],
          figures: {
            heads: ['code', 'record, %', 'noise found, %', 'worksheet, %'],
            rows: codes
              .map((k, i) => [
                String(k),
                number(seen[i]![1]),
                isFitted ? number(fitted[i]![1]) : '–',
                number(assumed[i]![1]),
              ])
              .slice(0, 60),
          },
        }),
      ],
    },
  ];
}

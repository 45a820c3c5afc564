/** The spectrum of a record: its noise beside that of the worksheet, and the lines that stand out of it. */
import { formatQuantity } from '../../numbers/format.ts';
import type { Spectrum } from '../../record/spectrum.ts';
import { expectedScatter } from '../../worksheet/recordNoise.ts';
import type { WorksheetRecord } from '../../worksheet/recordOf.ts';
import { lsb } from '../../worksheet/recordWords.ts';
import { decadeSpan, thinned } from '../axes.ts';
import * as b from '../blocks.ts';
import { prose, type Section } from '../blocks.ts';
import { number, type Told } from './told.ts';

type Points = readonly (readonly [number, number])[];

/** Points of a curve at most, and bins that each holds at least. */
const most = 160;

/** Density against frequency, bins that lie close on a logarithmic axis put together by their mean power. */
function density({ frequencies, power, noiseBandwidth }: Spectrum, scale: number): Points {
  const points: [number, number][] = [];
  const last = frequencies.length - 1;
  const factor = Math.max(1, last / 2) ** (1 / most);
  for (let from = 2; from < last; ) {
    const to = Math.min(last, Math.max(from + 1, Math.floor(from * factor)));
    let sum = 0;
    for (let k = from; k < to; k++) sum += power[k]!;
    const middle = (frequencies[from]! + frequencies[to - 1]!) / 2;
    points.push([middle, scale * Math.sqrt(sum / (to - from) / noiseBandwidth)]);
    from = to;
  }
  return points.filter((p) => p[1] > 0);
}

/** Spectrum of the noise of a still input. */
export function noiseSpectrum({ e }: Told, r: WorksheetRecord): Section[] {
  const { spectrum } = r.figures;
  if (spectrum === 'none') return [];
  const found = density(spectrum, r.lsb);
  if (found.length < 8) return [];
  const timing = { rate: r.rate, averaged: r.averaged, count: r.figures.summary.count };
  const white = Math.SQRT2 * (expectedScatter(e, timing, 1) / Math.sqrt(r.rate));
  const { lines } = r.noise;
  const height = (frequency: number): number =>
    found.reduce((best, p) => (Math.abs(p[0] - frequency) < Math.abs(best[0] - frequency) ? p : best))[1];
  const [first, last] = [found[0]!, found.at(-1)!];
  const line = lines[0];
  const levels = found.map((p) => p[1]).sort((a, c) => a - c);
  const floor = levels[levels.length >> 1]!;
  const hz = (value: number): string => formatQuantity({ value, unit: 'Hz' });
  const per = (value: number): string => `${number(value)}\u202fLSB/√Hz`;
  const low = levels[Math.floor(levels.length / 50)]!;
  // Clear of the record: on the far side of the line, or below both.
  const where =
    white > 1.5 * floor
      ? ({ place: 'along above' } as const)
      : white < floor / 1.5
        ? ({ place: 'along below' } as const)
        : ({ place: [first[0] * 2, low / 1.7], end: 'left' } as const);
  const span = decadeSpan([low / 2, ...(white > 0 ? [white / 2, white] : []), levels.at(-1)! * 1.3]);
  return [
    {
      body: [
        b.plot({
          name: 'spectrum',
          claim: line
            ? `A line at ${hz(line.frequency)} stands out: ${lsb(line.rms)} rms.`
            : `No line of the mains stands out; the noise is about ${per(floor)}.`,
          text: line
            ? prose`${lines
                .slice(0, 3)
                .map((l) => `${hz(l.frequency)} may be ${l.names.slice(0, 3).join(' or ')} of the mains`)
                .join('; ')}.`
            : prose`White noise is level; 1/f noise and drift rise to the left.`,
          description: `Noise density from ${hz(first[0])} to ${hz(last[0])}: ${per(floor)} in the middle; the worksheet has ${per(white)}${line ? `; a line at ${hz(line.frequency)}` : ''}`,
          x: { label: 'frequency, Hz', scale: 'log', from: first[0] / 1.05, to: last[0] * 1.05 },
          y: { label: 'LSB/√Hz', scale: 'log', ...span },
          marks: [
            ...(white > 0
              ? [
                  b.curve({
                    name: 'worksheet',
                    points: [first[0], Math.sqrt(first[0] * last[0]), last[0]].map(
                      (x) => [x, white] as const,
                    ),
                    style: 'second',
                    label: { text: 'worksheet', at: 1, ...where },
                  }),
                ]
              : []),
            b.curve({ name: 'record', points: found, style: 'first' }),
            ...lines.slice(0, 3).map((l) =>
              b.point({
                x: l.frequency,
                y: height(l.frequency),
                standing: 'worst',
                text: `${hz(l.frequency)}: ${lsb(l.rms)}`,
                place: l.frequency > Math.sqrt(first[0] * last[0]) ? 'above left' : 'above right',
              }),
            ),
          ],
          figures: {
            heads: ['Hz', 'record, LSB/√Hz', 'worksheet'],
            rows: thinned(
              found.map((_, i) => i),
              24,
            ).map((i) => [number(found[i]![0]), number(found[i]![1]), number(white)]),
          },
        }),
      ],
      margin: [
        b.working({
          result: `${per(white)} by the worksheet`,
          steps: [
            prose`One-sided, from half-overlapped segments under a Hann window, each less its mean:`,
            { formula: 'S = sqrt(2 s^2/f_s)' },
            {
              formula: 'S = sqrt(2 s^2/f_s)',
              with: { s: number(expectedScatter(e, timing, 1)), f_s: number(r.rate) },
            },
          ],
          source: 'Averaged periodograms: IEEE Trans. Audio Electroacoust. AU-15 (1967) 70, from memory.',
        }),
      ],
    },
  ];
}

/** Spectrum of a sine, in dB under it. */
export function sineSpectrum(_: Told, r: WorksheetRecord): Section[] {
  const { sine, figures } = r;
  const { fine } = figures;
  if (sine === 'none' || fine === 'none') return [];
  const carrier = (sine.fit.amplitude ** 2 / 2) * 1;
  const every = Math.max(1, Math.ceil(fine.power.length / 600));
  const points: [number, number][] = [];
  for (let k = 1; k < fine.power.length; k += every) {
    let top = k;
    for (let j = k; j < Math.min(k + every, fine.power.length); j++)
      if (fine.power[j]! > fine.power[top]!) top = j;
    if (fine.power[top]! > 0)
      points.push([fine.frequencies[top]!, 10 * Math.log10(fine.power[top]! / carrier)]);
  }
  const { tone } = sine;
  const hz = (value: number): string => formatQuantity({ value, unit: 'Hz', digits: 4 });
  const db = (value: number | 'any' | 'none'): string =>
    typeof value === 'number' ? `${number(value)}\u202fdB` : value;
  const lowest = points.reduce((a, p) => Math.min(a, p[1]), 0);
  const harmonics = [...tone.harmonics].sort((a, c) => c.level - a.level).slice(0, 3);
  const bits = sine.effectiveBits === 'any' ? 'any' : number(sine.effectiveBits);
  return [
    {
      body: [
        b.plot({
          name: 'spectrum',
          claim: `ENOB ${bits} bits from the sine; noise and quantization would leave ${number(sine.expectedBits)}.`,
          text: prose`SINAD ${db(tone.sinadDb)}, SNR ${db(tone.snrDb)}, THD ${db(tone.thdDb)}, SFDR ${db(tone.sfdrDb)} at an amplitude of ${number(sine.fit.amplitude, 4)} codes.`,
          description: `Spectrum of a sine of ${hz(sine.fit.frequency)}; the largest harmonic is ${harmonics[0] ? db(harmonics[0].level) : 'none'}`,
          x: { label: 'frequency, Hz', scale: 'linear', from: 0, to: r.rate / 2 },
          y: {
            label: 'dB under the sine',
            scale: 'linear',
            from: Math.max(-160, 20 * Math.floor(lowest / 20)),
            to: 10,
          },
          marks: [
            b.curve({ name: 'record', points, style: 'thin' }),
            b.point({
              x: sine.fit.frequency,
              y: 0,
              standing: 'plain',
              text: hz(sine.fit.frequency),
              place: 'right',
            }),
            ...harmonics.map((h) =>
              b.point({
                x: h.frequency,
                y: h.level,
                standing: 'worst',
                text: `${h.order} ×: ${db(h.level)}`,
                place: 'above right',
              }),
            ),
          ],
          figures: {
            heads: ['Hz', 'dB'],
            rows: [
              [hz(sine.fit.frequency), '0'],
              ...tone.harmonics.map((h) => [hz(h.frequency), number(h.level)]),
            ],
          },
        }),
      ],
      margin: [
        b.working({
          result: `${bits} bits`,
          steps: [
            prose`From the rms that a four-parameter sine fit leaves:`,
            { formula: 'ENOB = N − log_2(sqrt(12) r)' },
            {
              formula: 'ENOB = N − log_2(x)',
              with: { N: String(r.figures.bits), x: number(Math.sqrt(12) * sine.residualLsb, 4) },
            },
          ],
          source: 'IEEE Std 1241, effective number of bits, from memory.',
        }),
      ],
    },
  ];
}

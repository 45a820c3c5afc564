/** What gets through, over frequency: the mean of the burst, the low-pass at the pin, and both; where the disturbances stand. */
import { formatFixed, formatQuantity } from '../../numbers/format.ts';
import type { ResponsePoint, WorksheetResponse } from '../../worksheet/responseOf.ts';
import { decadeSpan, thinned } from '../axes.ts';
import * as b from '../blocks.ts';
import { entry, type Prose, paragraph, prose, type Section, symbol } from '../blocks.ts';
import { decadeTicks } from './scaled.ts';
import type { Told } from './told.ts';

/** A frequency in print. */
export const hertz = (value: number, digits = 3): string => formatQuantity({ value, unit: 'Hz', digits });

/** Gain below which what is left is rounding. */
const nothing = 1e-7;

/** A gain in dB, no lower than what matters. */
const decibels = (gain: number): number => Math.max(-140, 20 * Math.log10(Math.max(gain, nothing)));

/** A gain in print, in dB. */
export const gainText = (gain: number): string => {
  if (gain < nothing) return 'nulled';
  const db = 20 * Math.log10(gain);
  return db > -0.05 ? '0\u202fdB' : `${formatFixed({ value: db, decimals: db > -10 ? 1 : 0 })}\u202fdB`;
};

/** A part in print, as %. */
export const partText = (gain: number): string =>
  gain > 0.995
    ? 'all'
    : gain < 5e-4
      ? '<\u202f0.05\u202f%'
      : formatQuantity({ value: gain, unit: '%', digits: 2 });

/** The most that a part may be, in print. */
export const mostText = (gain: number): string =>
  `${gain > 0.995 || gain < 5e-4 ? '' : 'up to '}${partText(gain)}`;

/** Lowest level drawn, dB. */
const floor = -80;

/** The chain that the response depends on, with its inputs. */
function chainWords({ e, time }: Told, r: WorksheetResponse): Prose {
  const { inputs } = e.worksheet;
  const spaced = inputs.sampling.interval
    ? prose`a timer starts one every ${entry('sampling.interval')}`
    : prose`back to back, one every ${time(e.sampling.interval)}`;
  const ohms = formatQuantity({ value: e.sampling.sourceResistance, unit: 'ohm' });
  const farads = formatQuantity({ value: e.sampling.pinCapacitance, unit: 'F' });
  const board = inputs.conditioning.capacitor
    ? prose`, of which ${entry('conditioning.capacitor')} on the board`
    : '';
  return prose`A reading is the mean of ${entry('averaging.ratio')}, ${spaced}: a window of ${time(r.window)}. Ahead of it up to ${ohms} charge ${farads} at the pin${board}, ${time(r.timeConstant)}.`;
}

/** The response as a plot. */
export function frequencyResponse(t: Told, r: WorksheetResponse): Section {
  const { e, time } = t;
  const { ratio } = e.averaging;
  const rate = 1 / e.sampling.interval;
  // Beyond, the mean goes on alike.
  const last = 4.5 * rate;
  const line = (pick: (p: ResponsePoint) => number, to = Number.MAX_VALUE) =>
    r.curve
      .filter((p) => p.frequency <= to)
      .map((p) => [p.frequency, Math.max(floor, decibels(pick(p)))] as const);
  const x = decadeSpan([r.curve[0]!.frequency * 1.2, r.curve.at(-1)!.frequency / 1.2]);
  const middle = (x.from * x.to) ** 0.5;
  const marks = r.aliases.map((a) =>
    b.point({
      x: a.frequency,
      y: Math.max(floor, decibels(a.gain)),
      standing: 'plain',
      text: `${hertz(a.frequency)}: ${gainText(a.gain)}`,
      place: a.frequency > middle && a.frequency < last ? 'below left' : 'below right',
    }),
  );
  const corner = r.corner === 'none' ? 'every frequency' : `up to ${hertz(r.corner)}`;
  return {
    body: [
      paragraph(chainWords(t, r)),
      b.plot({
        name: 'response',
        claim:
          ratio === 1
            ? `A single conversion passes ${corner}; the pin alone filters.`
            : `The mean of ${ratio} passes ${corner}, and all again at ${hertz(rate)}.`,
        text: prose`At every multiple of the rate of conversions a sine looks the same to each of them, so the mean leaves it whole; only the low-pass at the pin stands in its way, and leaves ${partText(r.atRate)} at ${hertz(rate)}. Between its nulls at multiples of ${hertz(1 / r.window)} the mean is drawn as its lobes reach, up to four times that rate; it goes on alike.`,
        description: `Gain in dB against frequency: −3\u202fdB at ${r.corner === 'none' ? 'no frequency' : hertz(r.corner)}, ${r.aliases.map((a) => `${a.name} ${gainText(a.gain)}`).join(', ')}`,
        x: { label: 'frequency, Hz', scale: 'log', ...x, ...decadeTicks(x.from, x.to) },
        y: { label: 'dB', scale: 'linear', from: floor, to: 5, ticks: [0, -20, -40, -60, -80] },
        marks: [
          b.curve({ name: 'low-pass at the pin', points: line((p) => p.lowPass), style: 'second' }),
          ...(ratio > 1
            ? [b.curve({ name: `mean of ${ratio}`, points: line((p) => p.boxcar, last), style: 'thin' })]
            : []),
          b.curve({ name: 'both', points: line((p) => p.boxcar * p.lowPass, last), style: 'first' }),
          ...marks,
        ],
        figures: {
          heads: ['dB at', 'mean', 'low-pass', 'both'],
          rows: thinned([...r.curve.keys()], 16)
            .map((i) => r.curve[i]!)
            .map((p) => [
              hertz(p.frequency),
              ...[p.boxcar, p.lowPass, p.boxcar * p.lowPass].map((g) =>
                formatFixed({ value: decibels(g), decimals: 1 }),
              ),
            ]),
        },
      }),
    ],
    margin: [
      b.working({
        result: `−3\u202fdB at ${r.corner === 'none' ? '–' : hertz(r.corner)}`,
        open: true,
        steps: [
          prose`Mean of ${symbol('R')} conversions, ${symbol('T')} apart:`,
          { formula: 'H = (sin(π f R T))/(R sin(π f T))' },
          prose`Low-pass of source and pin, ${symbol('τ')} = ${time(r.timeConstant)}:`,
          { formula: '|H| = 1/sqrt(1 + (2π f τ)^2)' },
          prose`The nulls stand at multiples of`,
          {
            formula: '1/(R T) = f',
            with: { R: String(ratio), T: time(e.sampling.interval), f: hertz(1 / r.window) },
          },
        ],
        source: 'Own derivation; agrees with adding up the samples.',
      }),
      paragraph(
        prose`Solid: both; thin: the mean; dashed: the low-pass. What the worksheet names as interference stands at the pin already, so its points lie on the mean alone.`,
      ),
    ],
  };
}

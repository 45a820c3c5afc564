/** Ways to dither, each with what it is worth, and how a triangle is led to the pin. */
import { formatQuantity } from '../../numbers/format.ts';
import type { DitherChoice, WorksheetNoise } from '../../worksheet/noiseOf.ts';
import * as b from '../blocks.ts';
import { paragraph, prose, type Section, symbol } from '../blocks.ts';
import { number, type Told } from './told.ts';

/** Resistors that one can buy end here, Ω. */
const largestResistor = 1e8;

const names: Readonly<Record<DitherChoice['kind'], string>> = {
  none: 'as it is',
  noise: 'noise added to the best',
  uniform: 'steps at random, evenly',
  triangle: 'sum of two such steps',
  ramp: 'ramp in step with the burst',
  wave: 'triangle, one period a burst',
  slope: 'the input’s own change',
};

/** The table of dithers and how one of them is led to the pin; where the noise is enough, a sentence. */
export function dithers(
  { e: { quantizing, channel, sampling }, small, inSmall, time }: Told,
  { dithers: choices, triangle, ratio, standing, best }: WorksheetNoise,
): Section[] {
  if (standing === 'enough') {
    return [
      {
        claim: 'Dither has nothing to add.',
        body: [
          paragraph(
            prose`At ${String(ratio)} conversions ${number(best.noiseLsb)}\u202fLSB rms in all would do. More noise only has to be averaged away.`,
          ),
        ],
      },
    ];
  }
  const volts = (value: number): string => formatQuantity({ value, unit: 'V' });
  const most = choices.reduce((a, c) => (c.effectiveBits > a.effectiveBits + 1e-9 ? c : a));
  const { resistor, squarePeriod, period } = triangle;
  const buyable = resistor !== 'none' && resistor <= largestResistor;
  const through = buyable ? formatQuantity({ value: resistor, unit: 'ohm', digits: 2 }) : '';
  const swing = volts(quantizing.reference);
  const led = buyable
    ? prose`It swings ${swing} peak to peak at ${formatQuantity({ value: 1 / period, unit: 'Hz' })}, whole periods in each burst, and comes to ${volts(quantizing.codeBinWidth)} at the pin; a capacitor in series keeps its mean out.`
    : prose`No resistor that one can buy brings so little of ${swing} to this pin: a divider must go ahead of it.`;
  const square =
    squarePeriod > 2 * sampling.interval
      ? 'and so may be sampled at several heights'
      : `less than two conversions: what is sampled has hardly more than two heights, unless its duty steps through the burst`;
  const table: Section = {
    body: [
      b.table({
        name: 'dithers',
        claim: `Of the dithers, ${most.kind === 'ramp' || most.kind === 'wave' ? 'one in step with the burst' : 'noise'} is worth most: ${number(most.effectiveBits)} bits.`,
        text: prose`Each on top of the noise that is there, at ${String(ratio)} conversions, the whole sum kept. What is in step with the burst smooths the steps, and its own mean is nulled by the boxcar; what is drawn at random has to be averaged away itself.`,
        columns: [
          { head: 'dither', words: true },
          { head: 'span', unit: 'LSB' },
          { head: 'at the pin', unit: 'mV', minor: true },
          { head: 'error', unit: `${small} rms` },
          { head: 'bits' },
        ],
        rows: choices.map((c) => ({
          cells: [
            names[c.kind],
            c.kind === 'none' ? '–' : `${number(c.spanLsb)}${c.kind === 'noise' ? ' rms' : ''}`,
            c.kind === 'none' ? '–' : number(c.spanLsb * quantizing.codeBinWidth * 1e3),
            number(inSmall(c.rmsErrorLsb * channel.worst.perCode)),
            number(c.effectiveBits),
          ],
          ...(c === most && { standing: 'recommended' as const }),
        })),
      }),
    ],
  };
  const wave: Section = {
    claim: buyable ? `A triangle does it through ${through}.` : 'A triangle has to be divided down first.',
    body: [
      paragraph(
        prose`${led} A square wave from a timer’s pin becomes a triangle on the way only if its period is at most 2${symbol('τ')} = ${time(squarePeriod)} of source and pin capacitor, ${square}.`,
      ),
    ],
    margin: [
      b.working({
        result: 'whole periods in the burst',
        steps: [
          prose`Of a wave with ${symbol('m')} whole periods in the burst, ${symbol('f')} = ${symbol('m')}/(${symbol('R')}${symbol('T')}), the mean is nothing:`,
          { formula: '|H| = |sin(πfRT)|/(R |sin(πfT)|) = 0' },
          prose`A ramp of span ${symbol('A')} leaves of the ripple’s harmonic ${symbol('k')}`,
          { formula: 'w_k = (sin(πkA))/(R sin(πkA/R))' },
          prose`which is nothing for a whole ${symbol('A')}, up to ${symbol('k')} = ${symbol('R')}. An odd ${symbol('m')} meets as many heights as ${symbol('m')} = 1. Resistor for ${symbol('A')} = 1\u202fLSB, slow against ${symbol('R_s')}${symbol('C_p')}:`,
          { formula: 'R_d = R_s (V/(A q) − 1)' },
        ],
        source: 'Own derivation; agrees with simulation.',
      }),
    ],
  };
  return [table, wave];
}

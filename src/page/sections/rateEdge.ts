/** Effective bits against output rate: every resolution and ratio, the edge that none of them beats, the requirement as a line. */
import { formatFixed, formatNumber, formatQuantity } from '../../numbers/format.ts';
import type { RateRow, WorksheetRates } from '../../worksheet/ratesOf.ts';
import { decadeSpan } from '../axes.ts';
import * as b from '../blocks.ts';
import { paragraph, prose, type Section, symbol } from '../blocks.ts';
import { number, type Told } from './told.ts';

/** A rate in print: `1.42 kHz` reads as a frequency; results are counted. */
export const perSecond = (rate: number): string => `${number(rate)} a second`;

/** Bits in print, two decimals. */
export const bitsText = (bits: number): string => formatFixed({ value: bits, decimals: 2 });

/** A resolution, ratio and shift in words. */
export const rateWords = ({ bits, ratio, shift }: Pick<RateRow, 'bits' | 'ratio' | 'shift'>): string =>
  ratio === 1 && shift === 0 ? `${bits} bits alone` : `${bits} bits × ${ratio}, shift ${shift}`;

/** What one bit costs between two settings, as a factor of the rate; undefined where the bits do not rise. */
const costOfBit = (from: RateRow, to: RateRow): number | undefined => {
  const bits = to.effectiveBits - from.effectiveBits;
  return bits > 0.1 ? (from.outputRate / to.outputRate) ** (1 / bits) : undefined;
};

/** The claim: what a bit costs of the converter, and of averaging. */
function claimOf({ rows, edge }: WorksheetRates): string {
  const alone = rows.filter((r) => r.ratio === 1);
  const [finest, coarsest] = [alone[0], alone.at(-1)];
  const ofConverter = finest && coarsest && costOfBit(coarsest, finest);
  const averaged = edge.filter((r) => r.bits === edge.at(-1)!.bits);
  const ofAveraging = averaged.length > 1 ? costOfBit(averaged[0]!, averaged.at(-1)!) : undefined;
  const share = (factor: number): string =>
    factor < 1.005
      ? 'no rate'
      : `${formatNumber({ value: 100 * (1 - 1 / factor), digits: 2 })}\u202f% of the rate`;
  const parts = [
    ...(ofConverter === undefined ? [] : [`a bit of the converter costs ${share(ofConverter)}`]),
    ...(ofAveraging === undefined
      ? []
      : [
          `${ofConverter === undefined ? 'a bit from averaging costs' : 'one from averaging'} a factor of ${number(ofAveraging, 2)}`,
        ]),
  ];
  const claim = parts.join(', ');
  return claim === ''
    ? 'This converter has one setting.'
    : `${claim.charAt(0).toUpperCase()}${claim.slice(1)}.`;
}

/** rms values of the 1-2-5 series that stand at the right edge. */
const roundRms = Array.from({ length: 3 * 40 }, (_, i) => [1, 2, 5][i % 3]! * 10 ** (Math.floor(i / 3) - 24));

/** The plot of bits against rate. */
export function rateEdge({ e, small, inSmall }: Told, rates: WorksheetRates): Section {
  const { rows, edge, chosen, recommended, wantedBits } = rates;
  const { channel, quantizing, worksheet } = e;
  const timed = worksheet.inputs.sampling.interval;
  const point = (r: RateRow): readonly [number, number] => [r.outputRate, r.effectiveBits];
  const drawn = rows.filter((r) => !r.overflows);
  const x = decadeSpan(drawn.flatMap((r) => [r.outputRate / 1.3, r.outputRate * 2]));
  const all = drawn.map((r) => r.effectiveBits).concat(wantedBits ?? [], chosen.effectiveBits);
  const y = { from: Math.floor(Math.min(...all) - 0.2), to: Math.ceil(Math.max(...all) + 0.25) };
  const bitsOf = (rms: number): number =>
    quantizing.bits - Math.log2((Math.sqrt(12) * rms) / channel.worst.perCode);
  const ticks = roundRms
    .map((rms) => ({ y: bitsOf(rms), text: number(inSmall(rms)) }))
    .filter((t) => t.y >= y.from && t.y <= y.to);
  // Two figures a bit fit; on a long axis one of three is kept.
  const right = ticks.length > 14 ? ticks.filter((_, i) => i % 3 === ticks.length % 3) : ticks;
  const resolutions = [...new Set(drawn.map((r) => r.bits))].map((bits) => ({
    bits,
    // Of each ratio the least shift, which comes first.
    own: drawn.filter(
      (r, i) => r.bits === bits && !(drawn[i - 1]?.bits === bits && drawn[i - 1]?.ratio === r.ratio),
    ),
  }));
  /** Most bits that this rate, or a faster one, gives. */
  const edgeAt = (rate: number): number =>
    edge.findLast((of) => of.outputRate > rate * 0.999)?.effectiveBits ?? 0;
  const mark = (r: RateRow, standing: 'recommended' | 'chosen'): b.Point =>
    b.point({
      x: r.outputRate,
      y: r.effectiveBits,
      standing,
      text: `${standing}: ${r.ratio === 1 && r.shift === 0 ? 'alone' : `× ${r.ratio}${r.shift === 0 ? '' : `, shift ${r.shift}`}`}`,
      place: r.effectiveBits > edgeAt(r.outputRate) - 0.3 ? 'above right' : 'below left',
    });
  const fits = edge.find((r) => r.bits === chosen.bits && r.ratio === chosen.ratio);
  const dropped = fits ? fits.effectiveBits - chosen.effectiveBits : 0;
  const hum = worksheet.inputs.conditioning.interference;
  return {
    body: [
      b.plot({
        name: 'edge',
        claim: claimOf(rates),
        text: prose`The heavy line is the edge: no setting gives more bits at its rate. ${
          dropped < 0.02
            ? ''
            : `The chosen shift drops ${bitsText(dropped)} bits that the register has room for. `
        }${
          timed ? 'A timer starts each conversion, so a finer resolution takes nothing off the rate. ' : ''
        }${hum ? 'Interference is not in these bits; the verdicts below count it.' : ''}`,
        description: `Effective bits against results per second: on the edge ${edge.map((r) => `${bitsText(r.effectiveBits)} at ${number(r.outputRate)}`).join(', ')}`,
        x: { label: 'results per second', scale: 'log', ...x },
        y: {
          label: 'effective bits',
          scale: 'linear',
          ...y,
          ticks: Array.from({ length: y.to - y.from + 1 }, (_, i) => y.from + i).filter(
            (v) => y.to - y.from <= 8 || v % 2 === 0,
          ),
        },
        right: { label: `${small} rms`, ticks: right },
        marks: [
          ...(wantedBits === undefined
            ? []
            : [
                b.limit({
                  y: wantedBits,
                  text: `wanted: ${bitsText(wantedBits)} bits`,
                  forbidden: 'below',
                  place: 'below left',
                }),
              ]),
          ...resolutions.map(({ bits, own }) =>
            b.curve({ name: `${bits} bits`, points: own.map(point), style: 'thin', dots: true }),
          ),
          b.curve({ name: 'most bits', points: edge.map(point), style: 'first', dots: true }),
          ...resolutions.map(({ bits, own }) =>
            b.point({
              x: own[0]!.outputRate,
              y: own[0]!.effectiveBits,
              standing: 'plain',
              text: `${bits} bits`,
              place: 'right',
            }),
          ),
          ...(recommended && !recommended.chosen ? [mark(recommended, 'recommended')] : []),
          mark(chosen, 'chosen'),
        ],
        figures: {
          heads: ['setting', 'a second', 'bits'],
          rows: edge.map((r) => [rateWords(r), number(r.outputRate, 4), bitsText(r.effectiveBits)]),
        },
      }),
    ],
    margin: [
      b.working({
        result: `${bitsText(chosen.effectiveBits)} bits, ${perSecond(chosen.outputRate)}`,
        open: true,
        steps: [
          prose`Effective bits, from the error ${symbol('u')} of a result in native LSB:`,
          { formula: 'n = N − log_2(sqrt(12) u)' },
          {
            formula: 'n = N − log_2(sqrt(12) u)',
            with: {
              N: String(chosen.bits),
              u: number(chosen.rmsErrorLsb),
            },
          },
          timed
            ? prose`Results per second, conversions ${symbol('T')} = ${formatQuantity({ value: chosen.interval, unit: 's' })} apart:`
            : prose`Results per second, back to back, ${symbol('t')} = ${formatQuantity({ value: chosen.conversionTime, unit: 's', digits: 4 })} a conversion:`,
          {
            formula: timed ? 'f = 1/(R T)' : 'f = 1/(R t)',
            with: {
              f: number(chosen.outputRate),
              R: String(chosen.ratio),
              [timed ? 'T' : 't']: formatQuantity({
                value: timed ? chosen.interval : chosen.conversionTime,
                unit: 's',
                digits: 4,
              }),
            },
          },
        ],
        source: 'u: own derivation, exact; see Which ratio?',
      }),
      paragraph(
        prose`At the right the same as noise of a reading, where a code is widest. Averaging four times as long gains a bit while the noise is white and the shift drops none of it.`,
      ),
    ],
  };
}

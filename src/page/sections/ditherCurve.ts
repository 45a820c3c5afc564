/** Bits against noise at the ratio and shift looked at: what is there, what would be best, and what the half-bit rule says. */
import { formatQuantity } from '../../numbers/format.ts';
import type { WorksheetNoise } from '../../worksheet/noiseOf.ts';
import { roundSpan } from '../axes.ts';
import * as b from '../blocks.ts';
import { prose, type Section, symbol } from '../blocks.ts';
import { settingWords } from './settingsTable.ts';
import { number, type Told } from './told.ts';

const lsb = (value: number): string => formatQuantity({ value, unit: 'LSB' });

/** Bits of the mean against the noise of one conversion. */
export function ditherCurve(
  { e: { quantizing, channel, noise }, small, inSmall }: Told,
  found: WorksheetNoise,
): Section {
  const { bits, bestHere, ratio, shift, ruleOfThumbBits, effectiveBits, addLsb } = found;
  const here = noise.independentLsb;
  const most = bits.at(-1)!.noiseLsb;
  const exact = bits.map((p) => [p.noiseLsb, p.effectiveBits] as const);
  const span = roundSpan([...exact.map((p) => p[1]), effectiveBits, ruleOfThumbBits + 0.4]);
  const ceiling = bits
    .filter((p) => p.ceilingBits < span.to + 2)
    .map((p) => [p.noiseLsb, p.ceilingBits] as const);
  const rule = [0, 0.75 * most, most].map((x) => [x, ruleOfThumbBits] as const);
  const inBits = (value: number): number =>
    inSmall(channel.worst.perCode) * (2 ** (quantizing.bits - value) / Math.sqrt(12));
  const middle = (span.from + span.to) / 2;
  const whole = Array.from({ length: 40 }, (_, i) => i).filter((v) => v >= span.from && v <= span.to);
  const near = (x: number): number => bits.findIndex((p) => p.noiseLsb >= x);
  const setting = settingWords({ ratio, shift });
  const off = Math.abs(bestHere.effectiveBits - effectiveBits);
  const lacks = addLsb > 0 && found.standing !== 'enough';
  const slow = noise.slowLsb(ratio);
  const still = bestHere.noiseLsb === 0;
  const worth = `${number(bestHere.effectiveBits)} bits ${still ? 'without noise' : `at ${lsb(bestHere.noiseLsb)} rms`}`;
  return {
    body: [
      b.plot({
        name: 'dither',
        claim: lacks
          ? `${lsb(addLsb)} rms of dither would be worth ${number(off, 2)} bits.`
          : off < 0.05
            ? slow.source + slow.flicker > 0
              ? 'White noise is not what limits the mean.'
              : 'The noise is about the best there can be.'
            : `There is more noise than the mean needs: it costs ${number(off, 2)} bits.`,
        text: prose`At ${setting} the mean has ${number(effectiveBits)} bits, and would have ${worth}; the half-bit rule knows of no noise and promises ${number(ruleOfThumbBits)}. ${still ? 'The shift drops what averaging would resolve.' : 'Too little leaves steps, too much has to be averaged away.'}`,
        description: `Effective bits at ${setting} against noise: ${number(effectiveBits)} at ${lsb(here)} rms, most, ${worth}`,
        x: { label: 'noise of one conversion, LSB rms', scale: 'linear', from: 0, to: most },
        y: { label: 'effective bits', scale: 'linear', ...span, ticks: whole },
        right: {
          label: `${small} rms`,
          ticks: whole.map((y) => ({ y, text: number(inBits(y), 2) })),
        },
        marks: [
          b.curve({
            name: 'half-bit rule',
            points: rule,
            style: 'second',
            label: { text: `half-bit rule: ${number(ruleOfThumbBits)}`, at: 1, place: 'along above' },
          }),
          b.curve({
            name: 'at any ratio',
            points: ceiling,
            style: 'thin',
            label: {
              text: 'at any ratio',
              at: ceiling.findIndex((p) => p[1] > middle),
              place: 'along above',
            },
          }),
          b.curve({
            name: 'exact',
            points: exact,
            style: 'first',
            label: { text: `exact, at ${setting}`, at: near(0.7 * most), place: 'along below' },
          }),
          b.point({
            x: bestHere.noiseLsb,
            y: bestHere.effectiveBits,
            standing: 'recommended',
            text: `best: ${number(bestHere.noiseLsb)} LSB`,
            place: 'above right',
          }),
          b.point({
            x: here,
            y: effectiveBits,
            standing: 'chosen',
            text: `here: ${number(effectiveBits)} bits`,
            place: here < bestHere.noiseLsb ? 'below right' : 'above right',
          }),
        ],
        figures: {
          heads: ['noise, LSB', 'bits', `${small} rms`, 'bits at any ratio'],
          rows: bits
            .filter((_, i) => i % 4 === 0 || i > 28)
            .map((p) => [
              number(p.noiseLsb),
              number(p.effectiveBits, 4),
              number(inBits(p.effectiveBits)),
              p.ceilingBits > 32 ? '> 32' : number(p.ceilingBits, 4),
            ]),
        },
      }),
    ],
    margin: [
      b.working({
        result: `${number(found.best.noiseLsb)}\u202fLSB are best at ${ratio}`,
        steps: [
          prose`The mean’s error is least where the ripple falls as fast as the scatter grows:`,
          { formula: '2 sum(k=1; ∞; e^(−4π^2 k^2 σ^2)) = 1/(R − 1)' },
          prose`With ${symbol('R')} = ${String(ratio)}: ${symbol('σ')} = ${number(found.best.noiseLsb, 4)}\u202fLSB and ${number(found.best.effectiveBits, 4)} bits, the whole sum kept${shift === 0 ? '' : `; the shift by ${shift} leaves ${number(bestHere.effectiveBits, 4)}`}.`,
          prose`From the rms error ${symbol('u')} in LSB to bits:`,
          { formula: 'b = N − log_2(sqrt(12) u)' },
          {
            formula: 'b = N − log_2(x)',
            with: {
              N: String(quantizing.bits),
              x: number(Math.sqrt(12) * found.rmsLsb, 4),
            },
          },
        ],
        source: 'Own derivation; agrees with simulation.',
      }),
    ],
  };
}

/** What averaging leaves where it is: INL, the shift's bias, the clamp at 0 V. */
import { formatDeciding, formatQuantity } from '../../numbers/format.ts';
import type { WorksheetNoise } from '../../worksheet/noiseOf.ts';
import * as b from '../blocks.ts';
import { paragraph, prose, type Section, symbol } from '../blocks.ts';
import { number, type Told } from './told.ts';

const lsb = (value: number): string => formatQuantity({ value, unit: 'LSB' });

/** Errors that no ratio lowers, each with its figure and what to do about it. */
export function untouched({ e, difference }: Told, { inlLsb, clamp }: WorksheetNoise): Section {
  const { averaging, reading, channel, quantizing } = e;
  const { perCode } = channel.worst;
  const { shift, rounding, resultLsb, biasLsb } = averaging;
  const inl = formatDeciding({ value: inlLsb * perCode, limit: reading.rms, unit: e.units.difference });
  const constant = 2 ** (shift - 1);
  const bias =
    shift === 0
      ? prose`The whole sum is kept, so nothing is dropped and there is no bias to put right.`
      : rounding === 'round'
        ? prose`The shift by ${String(shift)} rounds: what is left of its bias is ${number(biasLsb / resultLsb)} of a result code. Truncating would cost ${number((2 ** shift - 1) / 2 ** (shift + 1), 4)}.`
        : prose`The shift by ${String(shift)} truncates: results read ${number(Math.abs(biasLsb / resultLsb))} of a result code low, ${difference(Math.abs(biasLsb) * perCode)}. Add ${String(constant)} to the sum ahead of the shift, or ${number(Math.abs(biasLsb / resultLsb))} to the result.`;
  const volts = (codes: number): string =>
    formatQuantity({ value: codes * quantizing.codeBinWidth, unit: 'V' });
  return {
    claim: `INL of ${lsb(inlLsb)} stays, ${inl.value}: resolution yes, accuracy no.`,
    body: [
      paragraph(
        prose`Readings scatter by ${inl.limit} rms; a code may be off by ${inl.value} from nonlinearity alone, at any ratio.`,
      ),
      paragraph(bias),
      paragraph(
        prose`Codes stop at 0: an input of 0\u202fV would read ${volts(clamp.atZeroLsb)} too high on average, ${lsb(clamp.atZeroLsb)}, since what noise would put below is lost. ${clamp.biasLsb < 1e-6 ? `The range comes no nearer than code ${number(Math.round(clamp.inputLsb), 8)}, where it is nothing.` : `At code ${number(clamp.inputLsb)}, where the range comes nearest, it is ${lsb(clamp.biasLsb)}.`}`,
      ),
    ],
    margin: [
      b.working({
        result: 'bias of shift and clamp',
        steps: [
          { formula: 'b = (r − (2^s − 1)/2)/R' },
          prose`where the noise of the sum spans several results; ${symbol('r')} = 0 truncating, and rounding`,
          { formula: 'r = 2^(s − 1)' },
          prose`The clamp lifts the mean of an input ${symbol('x')} by`,
          { formula: 'c = sum(k=0; ∞; Q((x + k + 1/2)/σ))' },
          prose`${symbol('σ')}/√(2π) at 0\u202fV for wide noise.`,
        ],
      }),
    ],
  };
}

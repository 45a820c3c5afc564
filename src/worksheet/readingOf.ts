/**
 * The reading of a worksheet: what the averaged result comes to in the measurand's unit.
 */

import { boxcarGain } from '../budget/boxcar.ts';
import { addedBeforeShift } from '../chain/averaging/result.ts';
import type {
  AveragingResult,
  ChannelResult,
  Contribution,
  NoiseResult,
  QuantizingResult,
  ReadingResult,
} from './evaluation.ts';
import type { Worksheet } from './read.ts';

/** What is left of each interference after averaging, rms, in native LSB. */
export function interferenceLsb(
  { inputs }: Worksheet,
  codeBinWidth: number,
  interval: number,
  ratio: number,
) {
  return (inputs.conditioning.interference ?? []).map(({ frequency, amplitude }) => ({
    name: `interference at ${frequency.text}`,
    lsb:
      (amplitude.value / Math.SQRT2 / codeBinWidth) *
      boxcarGain({ frequency: frequency.value, interval, ratio }),
  }));
}

/** The reading where one code is widest, and the way between result codes and the measurand. */
export function readingOf(
  worksheet: Worksheet,
  channel: ChannelResult,
  { codeBinWidth }: QuantizingResult,
  noise: NoiseResult,
  interval: number,
  averaging: Pick<
    AveragingResult,
    'ratio' | 'shift' | 'rounding' | 'registerBits' | 'rmsErrorLsb' | 'resultLsb' | 'biasLsb' | 'largestCode'
  >,
): ReadingResult {
  const { perCode } = channel.worst;
  const { ratio, shift, rounding, registerBits } = averaging;
  const slow = noise.slowLsb(ratio);
  const contributions: Contribution[] = [
    { name: 'noise and quantization', rms: averaging.rmsErrorLsb * perCode },
    ...(noise.sourceLsb > 0 ? [{ name: 'slow noise of the source', rms: slow.source * perCode }] : []),
    ...(slow.flicker > 0 ? [{ name: '1/f noise', rms: slow.flicker * perCode }] : []),
    ...interferenceLsb(worksheet, codeBinWidth, interval, ratio).map(({ name, lsb }) => ({
      name,
      rms: lsb * perCode,
    })),
  ];
  const one = noise.slowLsb(1);
  const alone = interferenceLsb(worksheet, codeBinWidth, interval, 1).map(({ lsb }) => lsb);
  // C stands for sums centred on C·2^s − r + (2^s − 1)/2.
  const width = 2 ** shift;
  const centre = (width - 1) / 2 - addedBeforeShift(shift, rounding);
  const top = Math.min(averaging.largestCode, 2 ** registerBits - 1);
  return {
    rms: Math.hypot(...contributions.map((c) => c.rms)),
    contributions,
    step: averaging.resultLsb * perCode,
    biasMeasurand: averaging.biasLsb * perCode * (channel.falling ? -1 : 1),
    rmsOfOne:
      Math.hypot(noise.independentLsb, 1 / Math.sqrt(12), one.source, one.flicker, ...alone) * perCode,
    codeAt: (measurand) => {
      const code = Math.round((channel.codeOf(measurand) * ratio - centre) / width);
      return Math.min(Math.max(code, 0), top);
    },
    measurandAt: (code) => channel.measurandOf((code * width + centre) / ratio),
  };
}

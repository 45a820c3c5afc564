/**
 * The reading of a worksheet: what the averaged result comes to in the measurand's unit.
 */

import { boxcarGain, largestBoxcarGain } from '../chain/averaging/boxcar.ts';
import { addedBeforeShift } from '../chain/averaging/result.ts';
import type {
  AveragingResult,
  ChannelResult,
  Contribution,
  NoiseResult,
  QuantizingResult,
  ReadingResult,
} from './evaluation.ts';
import { clockToleranceOf } from './humOf.ts';
import type { Worksheet } from './read.ts';

/** What is left of one interference after averaging. */
export interface InterferenceLeft {
  readonly name: string;
  /** Of its amplitude: the most over the tolerances of its frequency and of the clock, which is what counts. */
  readonly gain: number;
  /** The same, rms in native LSB. */
  readonly lsb: number;
  /** Where frequency and clock are exact. */
  readonly exactGain: number;
  readonly exactLsb: number;
}

/** What is left of each interference after averaging. A null is met only as far as the tolerances let it be. */
export function interferenceLsb(
  worksheet: Worksheet,
  codeBinWidth: number,
  interval: number,
  ratio: number,
): InterferenceLeft[] {
  const clock = clockToleranceOf(worksheet).value;
  return (worksheet.inputs.conditioning.interference ?? []).map(({ frequency: f, amplitude, tolerance }) => {
    const whole = amplitude.value / Math.SQRT2 / codeBinWidth;
    const own = tolerance?.value ?? 0;
    const band = { low: f.value * (1 - own) * (1 - clock), high: f.value * (1 + own) * (1 + clock) };
    const gain = largestBoxcarGain({ ...band, interval, ratio });
    const exactGain = Math.abs(boxcarGain({ frequency: f.value, interval, ratio }));
    return {
      name: `interference at ${f.text}`,
      gain,
      lsb: whole * gain,
      exactGain,
      exactLsb: whole * exactGain,
    };
  });
}

/** Nearness to the middle between two codes within which it counts as the upper: a few roundings of decimals. */
const snap = 2 ** -50;

/** The whole code, 0 … top, nearest to a fractional one; of two as near the upper, as a transition belongs to the code above it. */
export function nearestCode(code: number, top: number): number {
  const above = Math.round(code + 0.5);
  const nearest = Math.abs(code + 0.5 - above) <= snap * Math.max(1, above) ? above : Math.floor(code + 0.5);
  return Math.min(Math.max(nearest, 0), top);
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
  const codeOfMean = (mean: number): number => nearestCode((mean * ratio - centre) / width, top);
  const meanOfCode = (code: number): number => (code * width + centre) / ratio;
  return {
    rms: Math.hypot(...contributions.map((c) => c.rms)),
    contributions,
    step: averaging.resultLsb * perCode,
    biasMeasurand: averaging.biasLsb * perCode * (channel.falling ? -1 : 1),
    rmsOfOne:
      Math.hypot(noise.independentLsb, 1 / Math.sqrt(12), one.source, one.flicker, ...alone) * perCode,
    codeOfMean,
    meanOfCode,
    codeAt: (measurand) => codeOfMean(channel.codeOf(measurand)),
    measurandAt: (code) => channel.measurandOf(meanOfCode(code)),
  };
}

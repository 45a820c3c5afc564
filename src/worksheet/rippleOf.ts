/**
 * Ripple on the reference of a worksheet: what it does to the code, to the mean of the burst and to the reading.
 */
import { boxcarGain } from '../chain/averaging/boxcar.ts';
import type { Evaluation } from './evaluation.ts';

/** Ripple on the reference. */
export interface ReferenceRipple {
  /** Amplitude that moves the code of the range's top end by one LSB, V. */
  readonly perLsb: number;
  /** What the worksheet's ripple does there: amplitudes in native LSB, of one conversion and after averaging, and in the reading. */
  readonly lsb?: number;
  readonly averagedLsb?: number;
  readonly measurand?: number;
  /** Time constant of a low-pass at the reference that brings it to a quarter LSB, s; 0 where it is there already, absent without a frequency. */
  readonly filter?: number;
}

/** Ripple that is let pass, native LSB. */
const quarter = 0.25;

/** The ripple of a worksheet, at the end of the range where the pin is highest. */
export function rippleOf(e: Evaluation): ReferenceRipple {
  const { worksheet, channel, quantizing, sampling, averaging } = e;
  const { ripple, rippleFrequency } = worksheet.inputs.converter.reference;
  const { low, high } = channel.range;
  const [at, most] = [low, high]
    .map((m) => [m, channel.fraction(m)] as const)
    .reduce((a, b) => (b[1] > a[1] ? b : a));
  const perLsb = quantizing.reference / (Math.max(most, 2 ** -quantizing.bits) * 2 ** quantizing.bits);
  if (ripple === undefined) return { perLsb };
  const lsb = ripple.value / perLsb;
  const frequency = rippleFrequency?.value;
  const gain =
    frequency === undefined
      ? 1
      : Math.abs(boxcarGain({ frequency, interval: sampling.interval, ratio: averaging.ratio }));
  const averagedLsb = lsb * gain;
  const excess = averagedLsb / quarter;
  return {
    perLsb,
    lsb,
    averagedLsb,
    measurand: averagedLsb * channel.perCode(at),
    ...(frequency !== undefined && {
      filter: excess <= 1 ? 0 : Math.sqrt(excess ** 2 - 1) / (2 * Math.PI * frequency),
    }),
  };
}

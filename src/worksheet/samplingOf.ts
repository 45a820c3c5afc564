/**
 * Sampling of a worksheet: timing of one conversion, and how far the sampling capacitor settles.
 */
import { requirePeriod } from '../chain/sampling/arguments.ts';
import { burstError } from '../chain/sampling/burst.ts';
import { missingParts } from '../chain/sampling/gain.ts';
import { type Modes, modes } from '../chain/sampling/network.ts';
import { maxSourceResistance, minSampleTime } from '../chain/sampling/sampleTime.ts';
import { conversionTime } from '../chain/sampling/timing.ts';
import { rootBetween } from '../numbers/roots.ts';
import { settlingUnit } from '../plan/requirements.ts';
import type { ChannelResult, QuantizingResult, SamplingResult } from './evaluation.ts';
import type { Worksheet } from './read.ts';

/** Places of the range at which settling is looked at, both ends among them. */
const places = 9;

/** Longest sample time that is looked at, s. */
const longest = 1e3;

/** Settling error allowed where the worksheet does not say, LSB of the result. */
export const defaultSettlingLsb = 0.25;

/** What settling asks of the worksheet: the network at one place, without sample time, period and ratio. */
export function networkAt(
  { inputs, profile }: Worksheet,
  channel: ChannelResult,
  reference: number,
  measurand: number,
) {
  return {
    sourceResistance: channel.sourceResistance(measurand),
    pinCapacitance: profile.pinCapacitance.value + (inputs.conditioning.capacitor?.value ?? 0),
    switchResistance: profile.switchResistance.value,
    sampleCapacitance: profile.sampleCapacitance.value,
    previousVoltage: profile.previousVoltage.value,
    sourceVoltage: channel.fraction(measurand) * reference,
    startsAt: profile.capacitorStarts,
  };
}

/** One conversion's times, s, and the interval between conversions, for a number of sample cycles and bits. */
export function timesOf({ inputs, profile }: Worksheet, sampleCycles: number, bits: number) {
  const clock = profile.clock.source.value / inputs.sampling.clockDivider.value;
  const { conversionCycles } = profile.resolutions.find((r) => r.bits === bits)!;
  const whole = conversionTime({ clock, sampleCycles, conversionCycles });
  return {
    clock,
    conversionCycles,
    sampleTime: sampleCycles / clock,
    conversionTime: whole,
    interval: inputs.sampling.interval?.value ?? whole,
  };
}

/** The settling error of the mean of a burst, native LSB, signed, at one place of the range. */
export function settlingAt(
  worksheet: Worksheet,
  channel: ChannelResult,
  { reference, codeBinWidth }: QuantizingResult,
  burst: {
    readonly measurand: number;
    readonly sampleTime: number;
    readonly period: number;
    readonly ratio: number;
  },
): number {
  const { measurand, ...times } = burst;
  return burstError({ ...networkAt(worksheet, channel, reference, measurand), ...times }) / codeBinWidth;
}

/** The places of the range at which settling is looked at. */
const placesOf = ({ range: { low, high } }: ChannelResult): number[] =>
  Array.from({ length: places }, (_, i) =>
    i === places - 1 ? high : low + ((high - low) * i) / (places - 1),
  );

/** The network at one place of the range, without its times. */
export interface SettlingPlace {
  readonly measurand: number;
  /** What C_s starts from less what it should come to, V. */
  readonly volts: number;
  readonly startsAt: 'previous' | 'own';
  readonly modes: Modes;
}

/** The network at every place; it depends neither on the clock nor on the sample time. */
export const settlingPlaces = (
  worksheet: Worksheet,
  channel: ChannelResult,
  { reference }: QuantizingResult,
): SettlingPlace[] =>
  placesOf(channel).map((measurand) => {
    const n = networkAt(worksheet, channel, reference, measurand);
    return {
      measurand,
      volts: n.previousVoltage - n.sourceVoltage,
      startsAt: n.startsAt,
      modes: modes(n.sourceResistance, n.pinCapacitance, n.switchResistance, n.sampleCapacitance),
    };
  });

/** Where over the range a burst is furthest from settled, and its mean error there, native LSB, signed. */
interface Settling {
  readonly measurand: number;
  readonly error: number;
}

/** That of bursts of several ratios; as `burstError` gives it, without reading its arguments anew each time. */
export function worstSettlings(
  places: readonly SettlingPlace[],
  { sampleTime, interval }: { readonly sampleTime: number; readonly interval: number },
  codeBinWidth: number,
  ratios: readonly number[],
): Settling[] {
  requirePeriod('settling', interval, sampleTime);
  const worst = ratios.map(() => ({ measurand: places[0]!.measurand, error: 0 }));
  for (const { measurand, volts, startsAt, modes: m } of places) {
    const parts = missingParts(m, sampleTime, interval, startsAt, { discard: 0, ratios });
    for (let i = 0; i < parts.length; i++) {
      const error = (volts * parts[i]!) / codeBinWidth;
      const worstYet = worst[i]!;
      if (Math.abs(error) > Math.abs(worstYet.error)) {
        worstYet.measurand = measurand;
        worstYet.error = error;
      }
    }
  }
  return worst;
}

/** That of bursts of one ratio, with a number of sample cycles. */
export function worstSettling(
  worksheet: Worksheet,
  channel: ChannelResult,
  quantizing: QuantizingResult,
  ratio: number,
  sampleCycles = worksheet.inputs.sampling.sampleCycles.value,
): Settling {
  const times = timesOf(worksheet, sampleCycles, quantizing.bits);
  const at = settlingPlaces(worksheet, channel, quantizing);
  return worstSettlings(at, times, quantizing.codeBinWidth, [ratio])[0]!;
}

/** The fewest sample cycles of the profile that keep an error over the whole range, native LSB, at this clock and trigger. */
export function fewestCycles(
  worksheet: Worksheet,
  channel: ChannelResult,
  quantizing: QuantizingResult,
  ratio: number,
  allowedErrorLsb: number,
): number | 'none' {
  const places = settlingPlaces(worksheet, channel, quantizing);
  const keeps = (cycles: number): boolean => {
    const times = timesOf(worksheet, cycles, quantizing.bits);
    if (times.interval < times.conversionTime) return false;
    const [worst] = worstSettlings(places, times, quantizing.codeBinWidth, [ratio]);
    return Math.abs(worst!.error) <= allowedErrorLsb;
  };
  return worksheet.profile.sampleCycles.find(keeps) ?? 'none';
}

/** Sampling, for bursts of `ratio` conversions whose result has codes of `resultLsb` native LSB. */
export function samplingOf(
  worksheet: Worksheet,
  channel: ChannelResult,
  quantizing: QuantizingResult,
  ratio: number,
  resultLsb: number,
): SamplingResult {
  const { inputs } = worksheet;
  const { bits, reference } = quantizing;
  const sampleCycles = inputs.sampling.sampleCycles.value;
  const times = timesOf(worksheet, sampleCycles, bits);
  const { measurand, error } = worstSettling(worksheet, channel, quantizing, ratio);
  const allowedErrorLsb =
    (inputs.requirement.settling?.value ?? defaultSettlingLsb) * settlingUnit(resultLsb);
  const { sourceResistance, ...fixed } = networkAt(worksheet, channel, reference, measurand);
  const demand = { allowedErrorLsb, bits, reference, ratio };
  const converting = times.conversionTime - times.sampleTime;
  const backToBack = (sampleTime: number): number =>
    Math.abs(
      settlingAt(worksheet, channel, quantizing, {
        measurand,
        sampleTime,
        period: sampleTime + converting,
        ratio,
      }),
    );
  return {
    ...times,
    clockDivider: inputs.sampling.clockDivider.value,
    sampleCycles,
    sourceResistance: Math.max(...placesOf(channel).map((m) => channel.sourceResistance(m))),
    pinCapacitance: fixed.pinCapacitance,
    worstAt: measurand,
    settlingErrorLsb: error,
    settlingErrorMeasurand: error * channel.perCode(measurand) * (channel.falling ? -1 : 1),
    allowedErrorLsb,
    minSampleTime: inputs.sampling.interval
      ? minSampleTime({ sourceResistance, ...fixed, ...demand, period: times.interval })
      : shortest(backToBack, allowedErrorLsb),
    minSampleCycles: fewestCycles(worksheet, channel, quantizing, ratio, allowedErrorLsb),
    maxSourceResistance: maxSourceResistance({
      ...fixed,
      ...demand,
      sampleTime: times.sampleTime,
      period: times.interval,
    }),
  };
}

/** The shortest sample time whose error is allowed where conversions follow back to back, so that the interval grows with it. */
function shortest(error: (sampleTime: number) => number, allowed: number): number | 'none' | 'any' {
  let high = 1e-12;
  if (error(high) <= allowed) return 'any';
  while (error(high) > allowed) {
    high *= 2;
    if (high > longest) return 'none';
  }
  return rootBetween((t) => Math.log(Math.max(error(t), Number.MIN_VALUE) / allowed), high / 2, high, 1e-9);
}

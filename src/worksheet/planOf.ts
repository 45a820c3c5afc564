/**
 * From a worksheet to the plan that a search over ratios and shifts takes.
 */
import type { Plan } from '../plan/settings.ts';
import { addedNoise } from './addedNoise.ts';
import type { ChannelResult, QuantizingResult } from './evaluation.ts';
import {
  averageOf,
  burstSupplyCurrent,
  coreCurrent,
  drawsOf,
  lifeOf,
  phasesOf,
  startTimeOf,
} from './phasesOf.ts';
import { ratiosOf } from './profile.ts';
import type { Worksheet } from './read.ts';
import { interferenceLsb } from './readingOf.ts';
import { defaultSettlingLsb, settlingPlaces, timesOf, worstSettlings } from './samplingOf.ts';
import { scanCycle, scanShare } from './scanShare.ts';

/** The life of the worksheet's battery for a burst; undefined where no battery is given, or nothing empties it. */
function lifeFor(worksheet: Worksheet, channel: ChannelResult, period: number): NonNullable<Plan['life']> {
  const draws = drawsOf(worksheet, channel);
  return (burst) => {
    const life = lifeOf(worksheet, averageOf(phasesOf(worksheet, channel, burst), draws, period));
    return typeof life === 'number' ? life : undefined;
  };
}

/** The plan of a worksheet, for one channel and one way of making codes; what settles at the places may be known already. */
export function planOf(
  worksheet: Worksheet,
  channel: ChannelResult,
  quantizing: QuantizingResult,
  places = settlingPlaces(worksheet, channel, quantizing),
): Plan {
  const { inputs, profile } = worksheet;
  const { resolution, step, settling, period, latency, batteryLife } = inputs.requirement;
  const times = timesOf(worksheet, inputs.sampling.sampleCycles.value, quantizing.bits);
  const { conversionTime, interval } = times;
  const { codeBinWidth } = quantizing;
  const noise = addedNoise(worksheet, channel, quantizing, interval);
  const ratios = [1, ...ratiosOf(profile)];
  const settled = new Map<number, number>();
  return {
    bits: quantizing.bits,
    noiseLsb: noise.independentLsb,
    rounding: inputs.averaging.rounding ?? profile.averaging.rounding[0]!,
    registerBits: profile.averaging.registerBits,
    ratios,
    largestShift: profile.averaging.largestShift,
    perCode: channel.worst.perCode,
    otherLsb: (ratio) => {
      const { source, flicker } = noise.slowLsb(ratio);
      const interference = interferenceLsb(worksheet, codeBinWidth, interval, ratio);
      return Math.hypot(source, flicker, ...interference.map(({ lsb }) => lsb));
    },
    settlingLsb: (ratio) => {
      if (!settled.has(ratio)) {
        // All at once, or the one that is none of the profile's.
        const asked = ratios.includes(ratio) ? ratios : [ratio];
        worstSettlings(places, times, codeBinWidth, asked).forEach(({ error }, i) => {
          settled.set(asked[i]!, error);
        });
      }
      return settled.get(ratio)!;
    },
    startTime: startTimeOf(worksheet, channel),
    conversionTime,
    interval,
    ...(inputs.scan?.channels && { scan: scanCycle(scanShare(worksheet, quantizing.bits)) }),
    converterCurrent: profile.currents.converter.value,
    coreCurrent: coreCurrent(worksheet),
    excitationCurrent: burstSupplyCurrent(worksheet, channel),
    ...(batteryLife && { life: lifeFor(worksheet, channel, period.value) }),
    demands: {
      ...(resolution && { resolution: resolution.value }),
      ...(step && { step: step.value }),
      settlingLsb: settling?.value ?? defaultSettlingLsb,
      period: period.value,
      ...(latency && { latency: latency.value }),
      ...(batteryLife && { batteryLife: batteryLife.value }),
      unit: channel.unit,
    },
  };
}

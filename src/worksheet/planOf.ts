/**
 * From a worksheet to the plan that a search over ratios and shifts takes.
 */
import type { Plan } from '../plan/settings.ts';
import { addedNoise } from './addedNoise.ts';
import type { ChannelResult, QuantizingResult } from './evaluation.ts';
import { ratiosOf } from './profile.ts';
import type { Worksheet } from './read.ts';
import { interferenceLsb } from './readingOf.ts';
import { defaultSettlingLsb, timesOf, worstSettling } from './samplingOf.ts';

/** Time ahead of the first conversion, s: whatever of converter, excitation and internal reference takes longest. */
function startTimeOf({ inputs, profile }: Worksheet): number {
  const internal = inputs.converter.reference.source === 'internal';
  const { excitation } = inputs.conditioning;
  return Math.max(
    profile.times.converterStart.value,
    internal ? profile.internalReference.startup.value : 0,
    excitation?.switched ? (excitation.settle?.value ?? 0) : 0,
  );
}

/** What a burst draws, A. */
function currentsOf({ inputs, profile }: Worksheet, { largestExcitationCurrent }: ChannelResult) {
  const { currents, averaging } = profile;
  const core = inputs.sampling.core ?? (averaging.by === 'hardware' ? 'asleep' : 'running');
  return {
    converterCurrent: currents.converter.value,
    coreCurrent: core === 'asleep' ? currents.coreAsleep.value : currents.coreRunning.value,
    excitationCurrent: inputs.conditioning.excitation?.switched ? largestExcitationCurrent : 0,
  };
}

/** The plan of a worksheet, for one channel and one way of making codes. */
export function planOf(worksheet: Worksheet, channel: ChannelResult, quantizing: QuantizingResult): Plan {
  const { inputs, profile } = worksheet;
  const { resolution, step, settling, period, latency } = inputs.requirement;
  const { conversionTime, interval } = timesOf(
    worksheet,
    inputs.sampling.sampleCycles.value,
    quantizing.bits,
  );
  const { codeBinWidth } = quantizing;
  const noise = addedNoise(worksheet, channel, quantizing, interval);
  const settled = new Map<number, number>();
  return {
    bits: quantizing.bits,
    noiseLsb: noise.independentLsb,
    rounding: inputs.averaging.rounding ?? profile.averaging.rounding[0]!,
    registerBits: profile.averaging.registerBits,
    ratios: [1, ...ratiosOf(profile)],
    largestShift: profile.averaging.largestShift,
    perCode: channel.worst.perCode,
    otherLsb: (ratio) => {
      const { source, flicker } = noise.slowLsb(ratio);
      const interference = interferenceLsb(worksheet, codeBinWidth, interval, ratio);
      return Math.hypot(source, flicker, ...interference.map(({ lsb }) => lsb));
    },
    settlingLsb: (ratio) => {
      const known = settled.get(ratio);
      if (known !== undefined) return known;
      const { error } = worstSettling(worksheet, channel, quantizing, ratio);
      settled.set(ratio, error);
      return error;
    },
    startTime: startTimeOf(worksheet),
    conversionTime,
    interval,
    ...currentsOf(worksheet, channel),
    demands: {
      ...(resolution && { resolution: resolution.value }),
      ...(step && { step: step.value }),
      settlingLsb: settling?.value ?? defaultSettlingLsb,
      period: period.value,
      ...(latency && { latency: latency.value }),
      unit: channel.unit,
    },
  };
}

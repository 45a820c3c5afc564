/**
 * Added noise: what a worksheet says of noise besides the converter's own, in native LSB.
 *
 * In come the inputs of `noise` and the converter's transition noise; out goes how much of it all is independent from conversion to
 * conversion, and so smooths the staircase and is averaged away, and what is left of the rest.
 */
import { averagedNoise } from '../chain/averaging/noise.ts';
import { rippleSquare } from '../chain/averaging/ripple.ts';
import type { ChannelResult, NoiseResult, QuantizingResult } from './evaluation.ts';
import type { Worksheet } from './read.ts';

/** Observation time where the worksheet gives none, s. */
const hour = 3600;

/** The noise of a worksheet's channel, for conversions an interval apart. */
export function addedNoise(
  { inputs: { noise, conditioning }, profile }: Worksheet,
  channel: ChannelResult,
  { noiseLsb, codeBinWidth }: QuantizingResult,
  interval: number,
): NoiseResult {
  const { low, high } = channel.range;
  const resistance = Math.max(channel.sourceResistance(low), channel.sourceResistance(high));
  const capacitance = profile.pinCapacitance.value + (conditioning.capacitor?.value ?? 0);
  const sourceLsb = (noise?.sourceRms?.value ?? 0) / codeBinWidth;
  const sourceTime = noise?.sourceTime?.value ?? resistance * capacitance;
  const correlation = Math.exp(-interval / sourceTime);
  // Two conversions n apart differ by source noise of variance 2·s²(1 − ρⁿ), at the least that of neighbours: so much of it is
  // independent for certain.
  const independent = sourceLsb ** 2 * (1 - correlation);
  const independentLsb = Math.sqrt(noiseLsb ** 2 + independent);
  const ripple = rippleSquare(independentLsb);
  const white = Math.sqrt(noiseLsb ** 2 + 1 / 12 - ripple);
  const slopeLsb = (noise?.drift?.value ?? 0) / 60 / channel.worst.perCode;
  const correlated = { rms: sourceLsb, time: sourceTime };
  const rate = 1 / interval;
  const observationTime = Math.max(noise?.observation?.value ?? hour, 10 * interval);
  const flickerCorner = noise?.flickerCorner?.value ?? 0;
  return {
    independentLsb,
    sourceLsb,
    sourceTime,
    correlation,
    rippleLsb: Math.sqrt(ripple),
    slopeLsb,
    sources: {
      white,
      // 1/f noise is as dense as the converter's white noise at the corner, quantization apart.
      flickerCorner: white > 0 ? flickerCorner * (noiseLsb / white) ** 2 : 0,
      driftPerSecond: slopeLsb,
      correlated,
      steady: Math.sqrt(ripple),
      rate,
      observationTime,
    },
    slowLsb: (ratio) => {
      if (sourceLsb === 0 && flickerCorner === 0) return { source: 0, flicker: 0 };
      const { correlated: all, flicker } = averagedNoise({
        white: noiseLsb,
        flickerCorner,
        driftPerSecond: 0,
        correlated,
        ratio,
        rate,
        observationTime: Math.max(observationTime, 10 * ratio * interval),
      });
      return { source: Math.sqrt(Math.max(0, all ** 2 - independent / ratio)), flicker };
    },
  };
}

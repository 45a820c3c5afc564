/**
 * Settling of a worksheet's scan: how far the result of each channel is off because the sampling capacitor comes to it from elsewhere,
 * from the channel before or from where the converter puts it.
 */
import { burstError } from '../chain/sampling/burst.ts';
import { crosstalk } from '../chain/sampling/crosstalk.ts';
import type { Evaluated } from './evaluation.ts';
import { type ScanError, scanNetworks } from './scanOf.ts';
import type { ScanTimes } from './scanTimesOf.ts';

/**
 * The error that each channel's result carries, native LSB, signed, in the order listed.
 *
 * Where a turn is a burst: the mean of the burst, every pin settled ahead of it. Where it is one conversion and the capacitor keeps its
 * charge: the steady state of the scan going round. Where it starts afresh: the mean over the rounds; with conversions left out as if
 * they followed one another without a pause, which is no better.
 */
export function scanSettlingOf(e: Evaluated, times: ScanTimes): ScanError[] {
  const { worksheet, quantizing, sampling, averaging } = e;
  const { names, channels, own } = scanNetworks(e);
  const discard = channels.length > 1 ? (worksheet.inputs.scan?.discard ?? 0) : 0;
  const { switchResistance, sampleCapacitance, startsAt, previousVoltage } = own;
  const lsb = (error: number): number => error / quantizing.codeBinWidth;
  const previous = (i: number): string => names.at(i - 1)!;
  if (channels.length > 1 && times.turn === 'conversion' && startsAt === 'own') {
    const errors = crosstalk({
      channels,
      switchResistance,
      sampleCapacitance,
      holdTime: sampling.conversionTime - sampling.sampleTime,
      period: times.roundTime,
      dummy: discard,
    });
    return errors.map(({ error }, i) => ({ name: names[i]!, previous: previous(i), lsb: lsb(error) }));
  }
  return channels.map((c, i) => {
    const { slot } = times.visits[i]!;
    const error = burstError({
      sourceResistance: c.sourceResistance,
      pinCapacitance: c.pinCapacitance,
      switchResistance,
      sampleCapacitance,
      startsAt,
      sourceVoltage: c.voltage,
      previousVoltage:
        startsAt === 'own' && channels.length > 1 ? channels.at(i - 1)!.voltage : previousVoltage,
      sampleTime: c.sampleTime,
      period: times.turn === 'burst' || discard > 0 ? slot : times.roundTime,
      ratio: averaging.ratio,
      discard,
    });
    return { name: names[i]!, previous: previous(i), lsb: lsb(error) };
  });
}

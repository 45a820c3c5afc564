/**
 * The scan of a worksheet: what each channel leaves in the next through the sampling capacitor, in the order listed and in the
 * best one. This worksheet's channel comes first; it stands at the end of its range that lies furthest from the channel before it.
 */
import { burstError } from '../chain/sampling/burst.ts';
import { type ChannelError, crosstalk, type ScanChannel } from '../chain/sampling/crosstalk.ts';
import { bestScanOrder } from '../chain/sampling/scanOrder.ts';
import type { Evaluation } from './evaluation.ts';
import { networkAt, timesOf } from './samplingOf.ts';

/** What one channel receives, native LSB, signed. */
export interface ScanError {
  readonly name: string;
  /** Name of the channel converted before it. */
  readonly previous: string;
  readonly lsb: number;
}

/** The scan; one conversion a channel, unless said otherwise. */
export interface ScanResult {
  /** Conversions that the worksheet leaves out after each change of channel. */
  readonly discard: number;
  readonly asListed: readonly ScanError[];
  /** With one conversion more left out. */
  readonly oneMore: readonly ScanError[];
  /** In the order whose largest error is least. */
  readonly best: readonly ScanError[];
  /** Whether every order was tried. */
  readonly exhaustive: boolean;
  /** Error of the mean of this channel's burst, taken after the channel before it, native LSB, signed. */
  readonly mean: number;
}

/** The scan; undefined where the worksheet has none, or C_s is put to the same voltage before every conversion. */
export function scanOf(e: Evaluation): ScanResult | undefined {
  const { worksheet, channel, quantizing, sampling, averaging } = e;
  const { inputs, profile } = worksheet;
  if (inputs.scan === undefined || profile.capacitorStarts === 'previous') return undefined;
  const { codeBinWidth, reference, bits } = quantizing;
  const others = inputs.scan.channels;
  const before = others.at(-1)!.voltage.value;
  const { low, high } = channel.range;
  const networks = [low, high].map((m) => networkAt(worksheet, channel, reference, m));
  const own = networks.reduce((a, b) =>
    Math.abs(b.sourceVoltage - before) > Math.abs(a.sourceVoltage - before) ? b : a,
  );
  const channels: ScanChannel[] = [
    {
      voltage: own.sourceVoltage,
      sourceResistance: own.sourceResistance,
      pinCapacitance: own.pinCapacitance,
      sampleTime: sampling.sampleTime,
    },
    ...others.map((c) => ({
      voltage: c.voltage.value,
      sourceResistance: c.sourceResistance.value,
      pinCapacitance: profile.pinCapacitance.value + (c.capacitance?.value ?? 0),
      sampleTime: timesOf(worksheet, c.sampleCycles ?? sampling.sampleCycles, bits).sampleTime,
    })),
  ];
  const names = ['this channel', ...others.map((c) => c.name)];
  const told = (errors: readonly ChannelError[]): ScanError[] =>
    errors.map(({ channel: c, previous, error }) => ({
      name: names[c]!,
      previous: names[previous]!,
      lsb: error / codeBinWidth,
    }));
  const discard = inputs.scan.discard ?? 0;
  const scan = {
    channels,
    switchResistance: own.switchResistance,
    sampleCapacitance: own.sampleCapacitance,
    holdTime: sampling.conversionTime - sampling.sampleTime,
  };
  const best = bestScanOrder({ ...scan, dummy: discard });
  return {
    discard,
    asListed: told(crosstalk({ ...scan, dummy: discard })),
    oneMore: told(crosstalk({ ...scan, dummy: Math.min(16, discard + 1) })),
    best: told(best.channels),
    exhaustive: best.exhaustive,
    mean:
      burstError({
        ...own,
        previousVoltage: before,
        sampleTime: sampling.sampleTime,
        period: sampling.interval,
        ratio: averaging.ratio,
        discard,
      }) / codeBinWidth,
  };
}

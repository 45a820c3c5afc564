/**
 * The scan of a worksheet: what each channel leaves in the next through the sampling capacitor, in the order listed and in the
 * best one. This worksheet's channel comes first; it stands at the end of its range that lies furthest from the channel before it.
 */
import { burstError } from '../chain/sampling/burst.ts';
import { type ChannelError, crosstalk, type ScanChannel } from '../chain/sampling/crosstalk.ts';
import { bestScanOrder } from '../chain/sampling/scanOrder.ts';
import type { Evaluated, Evaluation } from './evaluation.ts';
import { networkAt, timesOf } from './samplingOf.ts';

/** How the worksheet's own channel is called among the others. */
export const thisChannel = 'this channel';

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
  /** What each channel would receive from each other if it came right after it, native LSB, signed; 0 from itself. In the order listed. */
  readonly matrix: readonly { readonly name: string; readonly from: readonly number[] }[];
  /** With one conversion more left out. */
  readonly oneMore: readonly ScanError[];
  /** In the order whose largest error is least. */
  readonly best: readonly ScanError[];
  /** Whether every order was tried. */
  readonly exhaustive: boolean;
  /** Error of the mean of this channel’s burst, taken after the channel before it, native LSB, signed. */
  readonly mean: number;
}

/** The channels of a scan as the sampling capacitor meets them, this worksheet's first. */
export interface ScanNetworks {
  readonly names: readonly string[];
  readonly channels: readonly ScanChannel[];
  /** Of this worksheet's channel, with what all share. */
  readonly own: ReturnType<typeof networkAt>;
}

/** The channels of a worksheet's scan; its own one stands at the end of its range that lies furthest from what it starts from. */
export function scanNetworks({ worksheet, channel, quantizing, sampling }: Evaluated): ScanNetworks {
  const { inputs, profile } = worksheet;
  const others = inputs.scan?.channels ?? [];
  const { reference, bits } = quantizing;
  const last = others.at(-1)?.voltage.value;
  const before =
    profile.capacitorStarts === 'own' && last !== undefined ? last : profile.previousVoltage.value;
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
  return { names: [thisChannel, ...others.map((c) => c.name)], channels, own };
}

/** The scan; undefined where the worksheet has none, or C_s is put to the same voltage before every conversion. */
export function scanOf(e: Evaluation): ScanResult | undefined {
  const { worksheet, quantizing, sampling, averaging } = e;
  const { inputs, profile } = worksheet;
  if (!inputs.scan?.channels || profile.capacitorStarts === 'previous') return undefined;
  const { codeBinWidth } = quantizing;
  const { names, channels, own } = scanNetworks(e);
  const told = (errors: readonly ChannelError[]): ScanError[] =>
    errors.map(({ channel: c, previous, error }) => ({
      name: names[c]!,
      previous: names[previous]!,
      lsb: error / codeBinWidth,
    }));
  const discard = inputs.scan?.discard ?? 0;
  const scan = {
    channels,
    switchResistance: own.switchResistance,
    sampleCapacitance: own.sampleCapacitance,
    holdTime: sampling.conversionTime - sampling.sampleTime,
  };
  const best = bestScanOrder({ ...scan, dummy: discard });
  const listed = crosstalk({ ...scan, dummy: discard });
  return {
    discard,
    asListed: told(listed),
    matrix: listed.map(({ channel: i, coupling }) => ({
      name: names[i]!,
      from: channels.map(({ voltage }) => (coupling * (voltage - channels[i]!.voltage)) / codeBinWidth + 0),
    })),
    oneMore: told(crosstalk({ ...scan, dummy: Math.min(16, discard + 1) })),
    best: told(best.channels),
    exhaustive: best.exhaustive,
    mean:
      burstError({
        ...own,
        previousVoltage: channels.at(-1)!.voltage,
        sampleTime: sampling.sampleTime,
        period: sampling.interval,
        ratio: averaging.ratio,
        discard,
      }) / codeBinWidth,
  };
}

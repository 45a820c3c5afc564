/**
 * What a worksheet's scan makes of a reading's time: the turns that the channels take, until this channel has its result and until
 * every channel has.
 *
 * A hardware averager takes a channel's whole burst before it goes on; where firmware averages, the scan goes round once for each
 * conversion of the ratio.
 */
import type { ScanCycle } from '../plan/plan.ts';
import type { Worksheet } from './read.ts';
import { timesOf } from './samplingOf.ts';

/** The turns of a scan, of this worksheet's channel alone where no other is given. */
export interface ScanShare {
  /** Whether a turn is a whole burst, or one conversion of it. */
  readonly turn: 'burst' | 'conversion';
  /** Conversions left out at the start of each turn; none where no channel changes. */
  readonly leftOut: number;
  /** In the order listed, this channel first. */
  readonly channels: readonly {
    readonly sampleCycles: number;
    readonly sampleTime: number;
    readonly conversionTime: number;
    /** From the start of one of its conversions to that of the next, s. */
    readonly slot: number;
  }[];
}

/** The turns of a worksheet's scan, at its own sample time and its timer's interval unless others are given. */
export function scanShare(
  worksheet: Worksheet,
  bits: number,
  { interval }: { readonly interval?: number } = {},
): ScanShare {
  const { inputs, profile } = worksheet;
  const sampleCycles = inputs.sampling.sampleCycles.value;
  const timed = interval ?? inputs.sampling.interval?.value;
  const others = inputs.scan?.channels ?? [];
  return {
    turn: profile.averaging.by === 'hardware' ? 'burst' : 'conversion',
    leftOut: others.length > 0 ? (inputs.scan?.discard ?? 0) : 0,
    channels: [{ sampleCycles }, ...others].map((c) => {
      const cycles = c.sampleCycles ?? sampleCycles;
      const { sampleTime, conversionTime } = timesOf(worksheet, cycles, bits);
      // A timer that comes while a conversion runs is missed; the next one counts.
      const slot = timed === undefined ? conversionTime : Math.ceil(conversionTime / timed - 1e-12) * timed;
      return { sampleCycles: cycles, sampleTime, conversionTime, slot };
    }),
  };
}

/** Once round with `count` conversions of each channel that count, s. */
export const roundTime = ({ channels, leftOut }: ScanShare, count: number): number =>
  channels.reduce((sum, { slot }) => sum + (leftOut + count) * slot, 0);

/** The times of a scan for a ratio, s. */
export function scanCycle(share: ScanShare): ScanCycle {
  const { turn, leftOut, channels } = share;
  const { slot, conversionTime } = channels[0]!;
  return {
    cycle: (ratio) => (turn === 'burst' ? roundTime(share, ratio) : ratio * roundTime(share, 1)),
    result: (ratio) =>
      turn === 'burst'
        ? (leftOut + ratio - 1) * slot + conversionTime
        : (ratio - 1) * roundTime(share, 1) + leftOut * slot + conversionTime,
  };
}

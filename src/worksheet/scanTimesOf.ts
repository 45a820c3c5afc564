/**
 * Times of a worksheet's scan: when each channel is converted, how far apart the channels are, and how often all of them have a result.
 */
import type { Evaluated } from './evaluation.ts';
import { thisChannel } from './scanOf.ts';
import { roundTime, scanCycle, scanShare } from './scanShare.ts';

/** One channel in its turn. Times since the start of the scan, s. */
export interface ScanVisit {
  readonly name: string;
  readonly input: 'external' | 'internal';
  readonly sampleCycles: number;
  readonly sampleTime: number;
  readonly conversionTime: number;
  /** What its data sheet asks for at the least, s. */
  readonly leastSampleTime?: number;
  /** Whether its own sample time is shorter than that. */
  readonly short: boolean;
  readonly start: number;
  /** From the start of one of its conversions to that of the next, s. */
  readonly slot: number;
  /** Conversions of one turn, those left out among them. */
  readonly conversions: number;
  /** Mean of the instants at which the conversions that count stop sampling. */
  readonly at: number;
  /** `at` less that of this worksheet's channel, s. */
  readonly skew: number;
}

/** The times of a scan; of this worksheet's channel alone where no other is given. */
export interface ScanTimes {
  /** Whether a turn is a whole burst, or one conversion of it. */
  readonly turn: 'burst' | 'conversion';
  /** In the order listed. */
  readonly visits: readonly ScanVisit[];
  /** Times that the scan goes round for one result of each channel. */
  readonly rounds: number;
  /** Once round, s. */
  readonly roundTime: number;
  /** From the start of the scan until every channel has its result, s; start-ups come ahead. */
  readonly readingTime: number;
  /** From one scan to the next, s. */
  readonly period: number;
  /** Where scans follow one another without a pause, s. */
  readonly leastPeriod: number;
  readonly fits: boolean;
  /** Between the first and the last of the channels' instants, s. */
  readonly spread: number;
}

/**
 * When each channel of a worksheet's scan is converted.
 *
 * @param evaluation - of the worksheet
 * @returns one visit a channel, in the order listed, this worksheet's channel first
 */
export function scanTimesOf({ worksheet, quantizing, averaging }: Evaluated): ScanTimes {
  const { inputs } = worksheet;
  const { scan, sensor } = inputs;
  const share = scanShare(worksheet, quantizing.bits);
  const { turn, leftOut } = share;
  const rounds = turn === 'burst' ? 1 : averaging.ratio;
  const counting = turn === 'burst' ? averaging.ratio : 1;
  const own = {
    name: thisChannel,
    input: sensor.kind === 'die' ? ('internal' as const) : ('external' as const),
    leastSampleTime: undefined,
  };
  let start = 0;
  const placed = [own, ...(scan?.channels ?? [])].map(({ name, input = 'external', leastSampleTime }, i) => {
    const channel = share.channels[i]!;
    const { sampleTime, slot } = channel;
    const conversions = leftOut + counting;
    const visit = {
      name,
      input,
      ...channel,
      ...(leastSampleTime && { leastSampleTime: leastSampleTime.value }),
      short: leastSampleTime !== undefined && sampleTime < leastSampleTime.value * (1 - 1e-12),
      start,
      conversions,
      at: start + leftOut * slot + ((counting - 1) / 2) * slot + sampleTime,
    };
    start += conversions * slot;
    return visit;
  });
  const once = roundTime(share, counting);
  const later = ((rounds - 1) / 2) * once;
  const visits = placed.map((v) => ({ ...v, at: v.at + later, skew: v.at - placed[0]!.at }));
  const last = placed.at(-1)!;
  const leastPeriod = scanCycle(share).cycle(averaging.ratio);
  const period = (scan?.period ?? inputs.requirement.period).value;
  const instants = placed.map((v) => v.at);
  return {
    turn,
    visits,
    rounds,
    roundTime: once,
    readingTime: leastPeriod - last.slot + last.conversionTime,
    period,
    leastPeriod,
    fits: leastPeriod <= period * (1 + 1e-12),
    spread: Math.max(...instants) - Math.min(...instants),
  };
}

/**
 * Buffer: results of a scan that the hardware stores in memory by itself (DMA), in two halves that the core takes in turn.
 *
 * In come the scan's channels and times and what the core spends on an interrupt; out go length, interrupts, share of the core's
 * time, and how long an interrupt may wait before a result is lost.
 */
import { between, choice, maybe, named, or, type Rule, refusal, whole } from '../numbers/guard.ts';

/** What the core does to keep up. */
export interface InterruptLoad {
  /** Interrupts per second on average, Hz. */
  readonly rate: number;
  /** Part of the core's time, 0 … ; above 1 it can't keep up at all. */
  readonly share: number;
  /** From an interrupt until the first result that it tells of is overwritten, s. */
  readonly latency: number;
  /** Part of the core's time while the conversions of a scan run, 0 … ; above 1 it can't keep up. */
  readonly busyShare: number;
}

/** A buffer of two halves, each of whole scans. */
export interface ScanBuffer {
  /** Results that it holds: 2·scans·channels, so that a channel always stands in the same place. */
  readonly length: number;
  readonly bytes: number;
  /** From one interrupt (half full, full) to the next, s. */
  readonly halfTime: number;
  /** At an interrupt, since the scan of the oldest result was started, s. */
  readonly oldest: number;
  /** With an interrupt at half full and at full. */
  readonly buffered: InterruptLoad;
  /** With an interrupt for each result and no buffer. */
  readonly each: InterruptLoad;
  /** The line of C that declares it: half, scan, channel. */
  readonly declaration: string;
}

const identifier: Rule<string> = {
  allowed: 'a C identifier of up to 48 characters',
  keeps: (v): v is string => typeof v === 'string' && /^[A-Za-z_]\w{0,47}$/.test(v),
};

const shape = {
  channels: whole(1, 4096),
  scans: whole(1, 65536),
  scanPeriod: between(1e-9, 1e9, 's'),
  resultInterval: between(1e-9, 1e9, 's'),
  firstToLast: maybe(between(0, 1e9, 's')),
  toFirst: maybe(between(0, 1e9, 's')),
  bytes: choice([1, 2, 4]),
  interruptTime: or(between(0, 1, 's'), 0),
  resultTime: or(between(0, 1, 's'), 0),
  name: or(identifier, 'scan_buffer'),
};

/**
 * The buffer of a scan, with its interrupts, against one interrupt for each result.
 *
 *     length = 2·S·n      half = S·T      interrupts a second = 1/(S·T) against n/T
 *     latency = (S + 1)·T − d     from the last result of a half until its first one is overwritten, d = (n − 1)·t from first to last of a scan
 *     share = (t_int/S + n·t_res)/T       against n·(t_int + t_res)/T
 *
 * Without a buffer a result has to be read before the next one is there, t later. The bus cycles that storing takes from the core are
 * not counted.
 *
 * @param channels - results of one scan, n, 1 … 4096
 * @param scans - scans in each half of the buffer, S, 1 … 65536
 * @param scanPeriod - from one scan to the next, T, s, at least d + t
 * @param resultInterval - from one result to the next, the shortest where they differ, t, s
 * @param firstToLast - from the first result of a scan to its last, d, s; (n − 1)·t if absent
 * @param toFirst - from the start of a scan to its first result, s; t if absent
 * @param bytes - of one result in memory: 1, 2 or 4
 * @param interruptTime - core time of an interrupt without the results, s, 0 … 1, 0 if absent
 * @param resultTime - core time that a result takes, s, 0 … 1, 0 if absent
 * @param name - of the buffer in C; 'scan_buffer' if absent
 * @returns length, bytes, times in s, rates in Hz, shares of the core's time
 * @throws RangeError if an argument is out of range, or the results of a scan take longer than its period
 * @see common practice, no source
 *
 * @example
 * scanBuffer({ channels: 1, scans: 128, scanPeriod: 1e-4, resultInterval: 1e-4, bytes: 2 }).halfTime // => 0.0128
 * scanBuffer({ channels: 3, scans: 8, scanPeriod: 1e-3, resultInterval: 1e-5, bytes: 2 }).declaration // => 'static volatile uint16_t scan_buffer[2][8][3];'
 */
export function scanBuffer(given: {
  channels: number;
  scans: number;
  scanPeriod: number;
  resultInterval: number;
  firstToLast?: number | undefined;
  toFirst?: number | undefined;
  bytes: 1 | 2 | 4;
  interruptTime?: number | undefined;
  resultTime?: number | undefined;
  name?: string | undefined;
}): ScanBuffer {
  const a = named('scanBuffer', shape, given);
  const { channels, scans, scanPeriod, resultInterval, bytes, interruptTime, resultTime } = a;
  const spread = a.firstToLast ?? (channels - 1) * resultInterval;
  // One part in 1e12 for the rounding of times that just fit.
  if (spread + resultInterval > scanPeriod * (1 + 1e-12)) {
    const allowed = `from ${Number((spread + resultInterval).toPrecision(6))} s, the results of one scan`;
    throw new RangeError(refusal('scanBuffer.scanPeriod', scanPeriod, allowed));
  }
  const length = 2 * scans * channels;
  const halfTime = scans * scanPeriod;
  const results = channels / scanPeriod;
  return {
    length,
    bytes: length * bytes,
    halfTime,
    oldest: (scans - 1) * scanPeriod + spread + (a.toFirst ?? resultInterval),
    buffered: {
      rate: 1 / halfTime,
      share: interruptTime / halfTime + resultTime * results,
      latency: halfTime + scanPeriod - spread,
      // Within a scan the core only has to be done by the time the half is overwritten.
      busyShare: (interruptTime + resultTime * channels * scans) / (halfTime + scanPeriod - spread),
    },
    each: {
      rate: results,
      share: (interruptTime + resultTime) * results,
      latency: resultInterval,
      busyShare: (interruptTime + resultTime) / resultInterval,
    },
    declaration: `static volatile uint${8 * bytes}_t ${a.name}[2][${scans}][${channels}];`,
  };
}

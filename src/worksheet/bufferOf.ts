/**
 * The buffer of a worksheet's scan: how long, how many interrupts, what they cost, how long one may wait.
 *
 * Where hardware averages, results are stored, one a channel and scan. Where firmware does, every conversion is, and the figures are
 * those while the scan goes round; between readings nothing happens.
 */
import { type ScanBuffer, scanBuffer } from '../budget/buffer.ts';
import type { Evaluation } from './evaluation.ts';
import { type ScanTimes, scanTimesOf } from './scanTimesOf.ts';

/** One length of the buffer. */
export interface BufferRow extends ScanBuffer {
  /** In each half. */
  readonly scans: number;
  readonly chosen: boolean;
  /** Whether a half ends with a reading; where firmware averages, what is over waits for the next one. */
  readonly whole: boolean;
}

/** The buffer, and others beside it. */
export interface WorksheetBuffer extends BufferRow {
  /** Results of one scan, those left out among them: the hardware stores them too. */
  readonly channels: number;
  /** Of one result in memory. */
  readonly bytes1: 1 | 2 | 4;
  /** From one scan (once round) to the next while it runs, s; and the shortest from one result to the next. */
  readonly scanPeriod: number;
  readonly resultInterval: number;
  /** Part of the time that it runs, 0 … 1: 1 where results of hardware are stored. */
  readonly duty: number;
  /** Whether the worksheet says what interrupts cost; else no share is told. */
  readonly costsGiven: boolean;
  readonly rows: readonly BufferRow[];
}

/** Bytes that hold a code of so many bits. */
const bytesFor = (bits: number): 1 | 2 | 4 => (bits <= 8 ? 1 : bits <= 16 ? 2 : 4);

/**
 * When the results of a scan are stored, since its start, s. Of a turn the last `counting` conversions make one result; each one that is
 * left out ahead of them is a result of its own, which the hardware stores too.
 */
const storedAt = ({ visits }: ScanTimes, counting: number): number[] =>
  visits.flatMap(({ start, slot, conversions, conversionTime }) => {
    const leftOut = Array.from(
      { length: conversions - counting },
      (_, i) => start + i * slot + conversionTime,
    );
    return [...leftOut, start + (conversions - 1) * slot + conversionTime];
  });

/** Lengths that are looked at beside the present one, scans in each half; where firmware averages, those that end with a reading. */
const lengths = [1, 4, 16, 64, 256];

/**
 * The buffer of a worksheet's scan.
 *
 * @param evaluation - of the worksheet
 * @param times - of its scan
 * @returns the buffer that the worksheet asks for, one scan in each half unless it says so; 'none' where the scan does not fit its period
 */
export function bufferOf(e: Evaluation, times: ScanTimes = scanTimesOf(e)): WorksheetBuffer | 'none' {
  if (!times.fits) return 'none';
  const { averaging, quantizing, worksheet } = e;
  const { buffer } = worksheet.inputs.scan ?? {};
  const burst = times.turn === 'burst';
  const scanPeriod = burst ? times.period : times.roundTime;
  const stored = storedAt(times, burst ? averaging.ratio : 1);
  const channels = stored.length;
  const [first, last] = [stored[0]!, stored.at(-1)!];
  const intervals = stored.map((at, i) => (stored[i + 1] ?? first + scanPeriod) - at);
  const resultInterval = Math.min(...intervals);
  const bytes1 = bytesFor(burst ? averaging.resultBits : quantizing.bits);
  const present = buffer?.scans?.value ?? 1;
  const offered = burst ? lengths : [...lengths, times.rounds].filter((s) => times.rounds % s === 0);
  const row = (scans: number): BufferRow => ({
    ...scanBuffer({
      channels,
      scans,
      scanPeriod,
      resultInterval,
      firstToLast: last - first,
      toFirst: first,
      bytes: bytes1,
      interruptTime: buffer?.interruptTime?.value,
      resultTime: buffer?.resultTime?.value,
    }),
    scans,
    chosen: scans === present,
    whole: times.rounds % scans === 0 || burst,
  });
  return {
    ...row(present),
    channels,
    bytes1,
    scanPeriod,
    resultInterval,
    duty: burst ? 1 : times.leastPeriod / times.period,
    costsGiven: buffer?.interruptTime !== undefined || buffer?.resultTime !== undefined,
    rows: [...new Set([...offered, present])].sort((a, b) => a - b).map(row),
  };
}

/**
 * Hum in the readings of a worksheet: what its burst leaves of the mains over the tolerances, and the timer settings and ratios
 * whose windows null it.
 */
import { type HumRejection, humRejection, nullingWindows } from '../budget/hum.ts';
import { triggerRate } from '../chain/sampling/triggerRate.ts';
import type { Evaluation } from './evaluation.ts';
import { ratiosOf } from './profile.ts';
import type { Worksheet } from './read.ts';
import { scanCycle, scanShare } from './scanShare.ts';

/** Mains frequencies, Hz. */
const mains = [50, 60] as const;

/** Tolerance of a frequency or clock where nothing gives one. */
const unknownTolerance = 0.01;

/** A tolerance, and whether something gives it. */
export interface Tolerance {
  /** Relative half-width. */
  readonly value: number;
  readonly given: boolean;
}

/** What is left of one mains frequency. */
export interface HumRow {
  /** Hz */
  readonly frequency: number;
  readonly tolerance: Tolerance;
  /** Both met exactly; with the mains off; with the clock off; with both: what the mean leaves at most. */
  readonly exact: HumRejection;
  readonly mainsOff: HumRejection;
  readonly clockOff: HumRejection;
  readonly both: HumRejection;
}

/** A window that nulls the mains, as the timer can make it. */
export interface HumWindow {
  readonly ratio: number;
  /** From one conversion to the next, s. */
  readonly interval: number;
  readonly prescaler: number;
  readonly count: number;
  /** R·T, s. */
  readonly window: number;
  /** What it is made for, Hz. */
  readonly nulls: readonly number[];
  /** Largest amplitude left of 50 and of 60 Hz, relative to it, tolerances included. */
  readonly left: readonly [number, number];
  /** Why it does not serve, in a few words; absent where it does. */
  readonly fails?: string;
}

/** Hum, and what to do about it. */
export interface WorksheetHum {
  readonly rows: readonly HumRow[];
  /** Of whatever times the conversions. */
  readonly clockTolerance: Tolerance;
  /** By window, then ratio. */
  readonly windows: readonly HumWindow[];
  /** The shortest that serves and nulls the mains that the worksheet names, or both; absent if none does. */
  readonly best?: HumWindow;
}

/** The tolerance of what times the conversions: a timer, or the converter's own clock. */
export function clockToleranceOf({ inputs, profile }: Worksheet): Tolerance {
  const own = profile.clock.tolerance;
  const found = inputs.sampling.interval ? (profile.timer?.tolerance ?? own) : own;
  return { value: found?.value ?? unknownTolerance, given: found !== undefined };
}

/** The tolerance of a mains frequency: that of the interference of this frequency. */
function mainsTolerance({ inputs }: Worksheet, frequency: number): Tolerance {
  const found = inputs.conditioning.interference?.find((i) => i.frequency.value === frequency)?.tolerance;
  return { value: found?.value ?? unknownTolerance, given: found !== undefined };
}

/** The mains frequencies that the worksheet names as interference; both where it names none. */
export function namedMains({ inputs }: Worksheet): readonly number[] {
  const named = mains.filter((f) => inputs.conditioning.interference?.some((i) => i.frequency.value === f));
  return named.length > 0 ? named : mains;
}

/** Windows that are tried: whole periods of 60, of 50, of both. */
const targets = [
  { window: 1 / 60, nulls: [60] },
  { window: 1 / 50, nulls: [50] },
  { window: 1 / 10, nulls: [50, 60] },
] as const;

/** Why a window does not serve; undefined where it does. */
function failing(
  { worksheet, sampling, averaging, quantizing: { bits } }: Evaluation,
  interval: number,
  ratio: number,
) {
  const { period, latency } = worksheet.inputs.requirement;
  if (interval < sampling.conversionTime) return 'conversions too long for it';
  const burst = (ratio - 1) * interval + sampling.conversionTime;
  const scan = worksheet.inputs.scan?.channels && scanCycle(scanShare(worksheet, bits, { interval }));
  if ((scan?.cycle(ratio) ?? burst) > period.value) return 'longer than the period';
  const result = averaging.startTime + (scan?.result(ratio) ?? burst);
  if (latency && result > latency.value) return 'result too late';
  return undefined;
}

/** Hum of a worksheet. */
export function humOf(e: Evaluation): WorksheetHum {
  const { worksheet, sampling, averaging } = e;
  const { profile } = worksheet;
  const clock = clockToleranceOf(worksheet);
  const chain = { interval: sampling.interval, ratio: averaging.ratio };
  const rows = mains.map((frequency): HumRow => {
    const tolerance = mainsTolerance(worksheet, frequency);
    const of = (frequencyTolerance: number, clockTolerance: number): HumRejection =>
      humRejection({ ...chain, frequency, frequencyTolerance, clockTolerance });
    return {
      frequency,
      tolerance,
      exact: of(0, 0),
      mainsOff: of(tolerance.value, 0),
      clockOff: of(0, clock.value),
      both: of(tolerance.value, clock.value),
    };
  });
  const timer = {
    clock: (profile.timer?.clock ?? profile.clock.source).value,
    prescalers: profile.timer?.prescalers ?? [1],
    largestCount: 2 ** (profile.timer?.counterBits ?? 16) - 1,
  };
  const timed = (profile.timer?.tolerance ?? profile.clock.tolerance)?.value ?? unknownTolerance;
  const windows = targets.flatMap(({ window, nulls }) =>
    [...new Set([...ratiosOf(profile), averaging.ratio])]
      .filter((ratio) => ratio > 1 && ratio / window < timer.clock)
      .sort((a, b) => a - b)
      .map((ratio): HumWindow => {
        const { rate, prescaler, count } = triggerRate({ ...timer, rate: ratio / window });
        const interval = 1 / rate;
        const left = rows.map(({ frequency, tolerance }) => {
          const [found] = nullingWindows({
            intervals: [interval],
            ratios: [ratio],
            frequencies: [frequency],
            frequencyTolerance: tolerance.value,
            clockTolerance: timed,
          });
          return found!.gain;
        });
        const fails = failing(e, interval, ratio);
        return {
          ratio,
          interval,
          prescaler,
          count,
          window: ratio * interval,
          nulls,
          left: [left[0]!, left[1]!],
          ...(fails !== undefined && { fails }),
        };
      }),
  );
  const best = bestOf(windows, namedMains(worksheet), averaging.ratio);
  return { rows, clockTolerance: clock, windows, ...(best && { best }) };
}

/** The shortest window that serves and nulls what is wanted, by the ratio chosen where that is among them. */
function bestOf(
  windows: readonly HumWindow[],
  wanted: readonly number[],
  ratio: number,
): HumWindow | undefined {
  const serve = windows.filter((w) => w.fails === undefined && wanted.every((f) => w.nulls.includes(f)));
  const shortest = Math.min(...serve.map((w) => w.window));
  const equal = serve.filter((w) => w.window < 1.5 * shortest);
  return equal.find((w) => w.ratio === ratio) ?? equal.at(-1);
}

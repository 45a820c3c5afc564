/**
 * Step: how long a reading takes to follow a sudden change, whatever the moment it happens at.
 *
 * In come the low-pass ahead of the converter and the burst; out goes the time from the step to the end of the first burst whose
 * mean has followed it.
 */
import { between, maybe, named, or, whole } from '../numbers/guard.ts';

/** Times from a step to the end of the first reading that has followed it. */
export interface StepTime {
  /** The step falls just too late for a burst, s. */
  readonly worst: number;
  /** The step falls just in time for one, s. */
  readonly best: number;
  /** The rule: a period, a burst, and the low-pass's own time to settle, s; never less than `worst`. */
  readonly rule: number;
}

const shape = {
  interval: between(1e-30, 1e12, 's'),
  ratio: whole(1, 65536),
  timeConstant: or(between(0, 1e12, 's'), 0),
  period: maybe(between(1e-30, 1e12, 's')),
  settled: or(between(0.01, 0.999999, ''), 0.99),
};

/** What the mean of a burst still lacks of a step of 1, the burst's first conversion `start` after the step. */
function lacking(start: number, interval: number, ratio: number, tau: number): number {
  const before = Math.min(ratio, Math.max(0, Math.ceil(-start / interval)));
  const after = ratio - before;
  if (tau === 0 || after === 0) return before / ratio;
  const first = start + before * interval;
  const sum = (Math.exp(-first / tau) * Math.expm1((-after * interval) / tau)) / Math.expm1(-interval / tau);
  return (before + sum) / ratio;
}

/**
 * Part of a step that the mean of a burst shows, the burst's first conversion `start` after the step.
 *
 *     0 for conversions before the step, 1 − e^(−t/τ) for those a time t after it, averaged
 *
 * @param start - from the step to the first conversion, s, −1e12 … 1e12; negative where the burst had begun
 * @param interval - T, from one conversion to the next, s, 1e-30 … 1e12
 * @param ratio - conversions averaged R, 1 … 65536
 * @param timeConstant - τ of the low-pass ahead of the converter, s, 0 … 1e12; 0 if absent
 * @returns 0 … 1
 * @throws RangeError if an argument is outside its range
 * @see own derivation: the sum of a geometric series
 *
 * @example
 * stepShown({ start: -2e-3, interval: 1e-3, ratio: 4 }) // => 0.5
 * stepShown({ start: 1e-3, interval: 1e-3, ratio: 1, timeConstant: 1e-3 }) // => 0.632121
 */
export function stepShown(given: {
  readonly start: number;
  readonly interval: number;
  readonly ratio: number;
  readonly timeConstant?: number | undefined;
}): number {
  const { period: _, settled: __, ...chain } = shape;
  const a = named('stepShown', { start: between(-1e12, 1e12, 's'), ...chain }, given);
  return 1 - lacking(a.start, a.interval, a.ratio, a.timeConstant);
}

/**
 * Time from a step at the input until a reading has followed it, worst and best over the moment of the step.
 *
 *     worst ≤ period + R·T + τ·ln(1/(1 − settled))   (2·R·T + 4.6·τ for 99 % and bursts that follow each other)
 *
 * A reading is there R·T after its burst began. All later readings are settled too.
 *
 * @param interval - T, from one conversion to the next, s, 1e-30 … 1e12
 * @param ratio - conversions averaged R, 1 … 65536
 * @param timeConstant - τ of the low-pass ahead of the converter, s, 0 … 1e12; 0 if absent
 * @param period - from the start of one burst to that of the next, s, at least R·T; R·T if absent
 * @param settled - part of the step that the reading has to show, 0.01 … 0.999999; 0.99 if absent
 * @returns worst, best, and what the rule says, s
 * @throws RangeError if an argument is outside its range
 * @see own derivation: the mean of the low-pass's answer over the burst
 *
 * @example
 * stepTime({ interval: 1e-3, ratio: 100 }).worst // => 0.199
 * stepTime({ interval: 1e-3, ratio: 100, timeConstant: 0.05 }).rule // => 0.43026
 */
export function stepTime(given: {
  readonly interval: number;
  readonly ratio: number;
  readonly timeConstant?: number | undefined;
  readonly period?: number | undefined;
  readonly settled?: number | undefined;
}): StepTime {
  const { interval, ratio, timeConstant, settled, ...a } = named('stepTime', shape, given);
  const burst = ratio * interval;
  const period = a.period ?? burst;
  if (period < burst * (1 - 1e-12)) {
    throw new RangeError(`stepTime.period: got ${period}; allowed from ratio·interval, ${burst} s`);
  }
  const allowed = (1 - settled) * (1 + 1e-12);
  const own = timeConstant * Math.log(1 / (1 - settled));
  // The later a burst begins, the less it lacks: halve down to the earliest that serves.
  let early = -burst;
  let late = own;
  for (let i = 0; i < 100; i++) {
    const middle = (early + late) / 2;
    if (lacking(middle, interval, ratio, timeConstant) <= allowed) late = middle;
    else early = middle;
  }
  return { worst: late + period + burst, best: late + burst, rule: period + burst + own };
}

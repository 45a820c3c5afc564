/**
 * The trigger of a worksheet: the timer that starts its conversions or its readings, and how near it comes to the rate wanted.
 */
import { type TriggerRate, triggerRate } from '../chain/sampling/triggerRate.ts';
import type { Evaluation } from './evaluation.ts';

/** A setting of the timer. */
export interface TriggerSetting extends TriggerRate {
  /** The nearest one, the one before it, and the one that stands in the register where somebody forgets the "+ 1". */
  readonly is: 'one less' | 'nearest' | 'one more';
}

export interface WorksheetTrigger {
  /** What the timer starts. */
  readonly starts: 'conversion' | 'reading';
  /** Hz */
  readonly clock: number;
  readonly counterBits: number;
  /** Starts per second that are wanted, Hz. */
  readonly wanted: number;
  /** Overflows of the timer per start: 1 unless the timer is too fast to wait that long. */
  readonly every: number;
  /** Longest time that the timer can wait, s. */
  readonly longest: number;
  /** Settings by count; what they give and their error are those of one overflow of the timer. */
  readonly settings: readonly TriggerSetting[];
  readonly nearest: TriggerSetting;
}

/**
 * How near the timer of the worksheet's profile comes to what the worksheet asks of it.
 *
 * Where a timer starts each conversion it is asked for the interval; else it starts a reading once a period. What it starts must
 * be over before the next start: a count too short for that is passed by.
 *
 * @param evaluation - of the worksheet
 * @returns the nearest setting, with its neighbours
 */
export function triggerOf({ worksheet, sampling, averaging }: Evaluation): WorksheetTrigger {
  const { inputs, profile } = worksheet;
  const { interval } = inputs.sampling;
  const clock = (profile.timer?.clock ?? profile.clock.source).value;
  const prescalers = profile.timer?.prescalers ?? [1];
  const counterBits = profile.timer?.counterBits ?? 16;
  const largestCount = 2 ** counterBits - 1;
  const longest = ((largestCount + 1) * Math.max(...prescalers)) / clock;
  const wanted = 1 / (interval ?? inputs.requirement.period).value;
  const every = Math.ceil(1 / (wanted * longest) - 1e-9);
  const found = triggerRate({ clock, rate: wanted * every, prescalers, largestCount });
  const at = (prescaler: number, count: number): TriggerRate => {
    const rate = clock / (prescaler * (count + 1));
    return { rate, prescaler, count, errorPpm: (rate / (wanted * every) - 1) * 1e6 };
  };
  const busy = interval ? sampling.conversionTime : averaging.burstTime / every;
  const overrun = found.rate * busy > 1 + 1e-12 && found.count < largestCount;
  const nearest = overrun ? at(found.prescaler, found.count + 1) : found;
  const settings = (['one less', 'nearest', 'one more'] as const).flatMap((is, i) => {
    const count = nearest.count + i - 1;
    return count < 0 || count > largestCount ? [] : [{ is, ...at(nearest.prescaler, count) }];
  });
  return {
    starts: interval ? 'conversion' : 'reading',
    clock,
    counterBits,
    wanted,
    every,
    longest,
    settings,
    nearest: settings.find((s) => s.is === 'nearest')!,
  };
}

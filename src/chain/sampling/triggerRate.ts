/**
 * Trigger rates: those that a timer can start conversions with.
 *
 * In come the timer's clock and dividers and the wanted rate; out go the nearest rate, its setting, and how far off it is.
 */
import { between, named, numbers, or, refusal, whole } from '../../numbers/guard.ts';

/** A rate that the timer can give. */
export interface TriggerRate {
  /** clock/(prescaler·(count + 1)), Hz. */
  rate: number;
  /** Divider ahead of the counter. */
  prescaler: number;
  /** What the counter counts to before it starts again from 0. */
  count: number;
  /** (rate − wanted)/wanted, parts per million. */
  errorPpm: number;
}

const divider = whole(1, 2 ** 32);
const triggerShape = {
  clock: between(1e-3, 1e15, 'Hz'),
  rate: between(1e-9, 1e15, 'Hz'),
  prescalers: or(numbers(1), [1] as ArrayLike<number>),
  largestCount: or(whole(0, 2 ** 32 - 1), 65535),
};

/**
 * The rate nearest to the wanted one that a timer can start conversions with.
 *
 *     f = clock/(prescaler·(n + 1)),  n = 0 … largestCount
 *
 * Of settings equally near, the smallest prescaler.
 *
 * @param clock - the timer's clock, Hz, 1e-3 … 1e15
 * @param rate - wanted rate, Hz, 1e-9 … 1e15
 * @param prescalers - dividers that the timer offers, whole numbers 1 … 2^32; [1] if absent; not modified
 * @param largestCount - largest n, 0 … 2^32 − 1; 65535 if absent
 * @returns the rate, its setting, and the error in ppm
 * @throws RangeError if an argument is out of range
 * @see common practice, no source
 *
 * @example
 * triggerRate({ clock: 32768, rate: 1000 }) // => { rate: 32768 / 33, prescaler: 1, count: 32, errorPpm: (32768 / 33 / 1000 - 1) * 1e6 }
 */
export function triggerRate(given: {
  clock: number;
  rate: number;
  prescalers?: ArrayLike<number> | undefined;
  largestCount?: number | undefined;
}): TriggerRate {
  const a = named('triggerRate', triggerShape, given);
  const prescalers = Array.from(a.prescalers).sort((p, q) => p - q);
  for (const p of prescalers) {
    if (!divider.keeps(p)) throw new RangeError(refusal('triggerRate.prescalers', p, divider.allowed));
  }
  let best: TriggerRate | undefined;
  for (const prescaler of prescalers) {
    const steps = a.clock / (prescaler * a.rate);
    for (const n of [Math.floor(steps) - 1, Math.floor(steps)]) {
      const count = Math.min(Math.max(n, 0), a.largestCount);
      const rate = a.clock / (prescaler * (count + 1));
      const errorPpm = (rate / a.rate - 1) * 1e6;
      if (best === undefined || Math.abs(errorPpm) < Math.abs(best.errorPpm)) {
        best = { rate, prescaler, count, errorPpm };
      }
    }
  }
  return best!;
}

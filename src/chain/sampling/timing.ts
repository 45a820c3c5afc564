/**
 * Timing: how long a conversion takes, and how often a result comes.
 *
 * In come clocks, cycles and counts; out go seconds and hertz.
 */
import { between, choice, maybe, named, refusal, whole } from '../../numbers/guard.ts';

const cycles = between(0, 1e9, 'clock cycles');
const conversionShape = { clock: between(1e-3, 1e15, 'Hz'), sampleCycles: cycles, conversionCycles: cycles };

/**
 * The time of one conversion, its sample time included.
 *
 *     t = (sampleCycles + conversionCycles)/clock
 *
 * @param clock - converter clock, Hz, 1e-3 … 1e15
 * @param sampleCycles - clock cycles that the switch is closed, 0 … 1e9, fractions allowed
 * @param conversionCycles - clock cycles that the conversion takes after that, 0 … 1e9, fractions allowed
 * @returns s
 * @throws RangeError if an argument is out of range
 * @see common practice, no source
 *
 * @example
 * conversionTime({ clock: 16e6, sampleCycles: 1.5, conversionCycles: 12.5 }) // => 8.75e-7
 */
export function conversionTime(given: {
  clock: number;
  sampleCycles: number;
  conversionCycles: number;
}): number {
  const a = named('conversionTime', conversionShape, given);
  return (a.sampleCycles + a.conversionCycles) / a.clock;
}

const outputShape = {
  ratio: whole(1, 65536),
  conversionTime: between(1e-30, 1e12, 's'),
  start: choice(['back-to-back', 'conversion', 'burst']),
  rate: maybe(between(1e-9, 1e15, 'Hz')),
};

/**
 * How often a result comes.
 *
 *     back to back                       1/(R·conversionTime)
 *     a timer starts each conversion     rate/R,  if conversionTime ≤ 1/rate
 *     a timer starts each burst          rate,    if R·conversionTime ≤ 1/rate
 *
 * @param ratio - conversions per result, R, 1 … 65536
 * @param conversionTime - of one conversion, sample time included, s, 1e-30 … 1e12
 * @param start - what starts a conversion: 'back-to-back' the end of the last, 'conversion' a timer each, 'burst' a timer each burst
 * @param rate - the timer's rate, Hz; not with 'back-to-back'
 * @returns results per second, Hz
 * @throws RangeError if an argument is out of range, or what the timer starts takes longer than 1/rate (the message says by how much)
 * @see common practice, no source
 *
 * @example
 * outputRate({ ratio: 16, conversionTime: 8.75e-7, start: 'back-to-back' }) // => 71428.571
 */
export function outputRate(given: {
  ratio: number;
  conversionTime: number;
  start: 'back-to-back' | 'conversion' | 'burst';
  rate?: number | undefined;
}): number {
  const a = named('outputRate', outputShape, given);
  if (a.start === 'back-to-back') {
    if (a.rate !== undefined) {
      throw new RangeError(refusal('outputRate.rate', a.rate, "only with a timer, not 'back-to-back'"));
    }
    return 1 / (a.ratio * a.conversionTime);
  }
  if (a.rate === undefined) {
    throw new RangeError(
      refusal('outputRate.rate', a.rate, "finite numbers above 0 Hz, with a timer's start"),
    );
  }
  const busy = a.start === 'burst' ? a.ratio * a.conversionTime : a.conversionTime;
  // One part in 1e12 for the rounding of times that just fit.
  if (busy * a.rate > 1 + 1e-12) {
    const longer = Number((busy - 1 / a.rate).toPrecision(6));
    const allowed = `up to ${Number((1 / busy).toPrecision(6))} Hz; the ${a.start} takes ${longer} s longer than 1/rate`;
    throw new RangeError(refusal('outputRate.rate', a.rate, allowed));
  }
  return a.start === 'burst' ? a.rate : a.rate / a.ratio;
}

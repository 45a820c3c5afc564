/**
 * The boxcar: what the mean of R conversions at even intervals leaves of a sine.
 */
import { between, named, whole } from '../numbers/guard.ts';

const shape = {
  frequency: between(0, 1e15, 'Hz'),
  interval: between(1e-30, 1e12, 's'),
  ratio: whole(1, 65536),
};

/**
 * Amplitude that the mean of R conversions leaves of a sine, relative to it.
 *
 *     |H| = |sin(π·f·R·T)/(R·sin(π·f·T))|
 *
 * It is 1 again at every multiple of 1/T, where the sine aliases to a constant.
 *
 * @param frequency - f, Hz, 0 … 1e15
 * @param interval - T, from one conversion to the next, s, 1e-30 … 1e12
 * @param ratio - R, 1 … 65536
 * @returns 0 … 1
 * @throws RangeError if an argument is outside its range
 * @see own derivation: the sum of a geometric series
 *
 * @example
 * boxcarGain({ frequency: 60, interval: 20e-3 / 256, ratio: 256 }) // => 0.15592
 * boxcarGain({ frequency: 1000, interval: 1e-3, ratio: 7 }) // => 1.0000
 */
export function boxcarGain(given: { frequency: number; interval: number; ratio: number }): number {
  const { frequency, interval, ratio } = named('boxcarGain', shape, given);
  // The distance from the nearest multiple of 1/T is what counts; without it large arguments lose their digits.
  const turns = frequency * interval;
  const rest = Math.PI * (turns - Math.round(turns));
  const one = Math.sin(rest);
  return Math.abs(one) < 1e-12 ? 1 : Math.abs(Math.sin(rest * ratio) / (ratio * one));
}

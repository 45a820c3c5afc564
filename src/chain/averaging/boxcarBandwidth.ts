/**
 * Boxcar bandwidth: up to which frequency the mean of a burst follows its input.
 *
 * In: ratio and interval between conversions. Out: the frequency at which the gain of the boxcar has fallen by 3 dB.
 */
import { between, named } from '../../numbers/guard.ts';
import { rootBetween } from '../../numbers/roots.ts';
import { boxcar } from './boxcar.ts';
import { ratioRule } from './result.ts';

/**
 * Frequency at which the mean of R conversions has half the power of its input.
 *
 *     |sin(πfRT)/(R·sin(πfT))| = 1/√2,  the root below 1/(R·T);  about 0.443/(R·T) for many conversions
 *
 * @param ratio - oversampling ratio R, 1 … 65536
 * @param interval - time T from one conversion to the next, s, 1e-30 … 1e12
 * @returns Hz; 'any' for a single conversion, which follows every frequency (above half its rate as an alias)
 * @throws RangeError for an argument outside its range
 *
 * boxcarBandwidth({ ratio: 2, interval: 1e-3 }) // => 250.0000
 * boxcarBandwidth({ ratio: 1000, interval: 1e-6 }) // => 442.947
 * boxcarBandwidth({ ratio: 1, interval: 1e-3 }) // => 'any'
 */
export function boxcarBandwidth(given: { ratio: number; interval: number }): number | 'any' {
  const shape = { ratio: ratioRule, interval: between(1e-30, 1e12, 's') };
  const { ratio, interval } = named('boxcarBandwidth', shape, given);
  if (ratio === 1) return 'any';
  // In cycles per burst, so that the ends bracket the root alike for every ratio.
  return rootBetween((x) => boxcar(x / ratio, ratio) - Math.SQRT1_2, 0.25, 0.75) / (ratio * interval);
}

/**
 * Boxcar: what the mean of a burst does to an input that moves while the burst lasts.
 *
 * In: ratio, interval between conversions, and how the input moves. Out: the gain for a sine, and the lag behind a slope. The mean
 * of a burst belongs to the middle of it.
 */
import { between, named, positive, real } from '../../numbers/guard.ts';
import { ratioRule } from './result.ts';

/**
 * Gain of the mean of R samples, one apart, at `cycles` cycles a sample; 1 at 0, signed with respect to the burst's middle.
 *
 *     H = sin(πRy)/(R·sin(πy))
 *
 * @param cycles - y = f·T, cycles of the sine from one sample to the next
 * @param ratio - number of samples R
 * @returns H, −1 … 1
 */
export function boxcar(cycles: number, ratio: number): number {
  const turns = Math.round(cycles);
  const y = cycles - turns;
  // Rounding may bring the quotient a digit above 1.
  const gain = y === 0 ? 1 : Math.min(1, Math.sin(Math.PI * ratio * y) / (ratio * Math.sin(Math.PI * y)));
  return turns % 2 !== 0 && ratio % 2 === 0 ? -gain : gain;
}

/**
 * Gain of a burst's mean for a sine, with respect to the middle of the burst; 1 less it is the droop.
 *
 *     H(f) = sin(πfRT)/(R·sin(πfT))
 *
 * Its magnitude is 1 again at every multiple of 1/T, where the sine aliases to a constant.
 *
 * @param frequency - f, Hz, 0 … 1e15
 * @param ratio - oversampling ratio R, 1 … 65536
 * @param interval - time T from one conversion to the next, seconds, 1e-30 … 1e12
 * @returns H, −1 … 1; 1 at f = 0, negative where the mean moves against the input
 * @throws RangeError for an argument outside its range
 * @see own derivation: the sum of a geometric series
 *
 * boxcarGain({ frequency: 49.5, ratio: 20, interval: 1e-3 }) // => 0.010140
 * boxcarGain({ frequency: 60, ratio: 256, interval: 20e-3 / 256 }) // => -0.15592
 */
export function boxcarGain(given: { frequency: number; ratio: number; interval: number }): number {
  const shape = {
    frequency: between(0, 1e15, 'Hz'),
    ratio: ratioRule,
    interval: between(1e-30, 1e12, 's'),
  };
  const { frequency, ratio, interval } = named('boxcarGain', shape, given);
  return boxcar(frequency * interval, ratio);
}

/** Steps to the top of a lobe: each brings it 20 times nearer at least. */
const stepsToTop = 8;

/**
 * The most that a burst's mean leaves of a sine whose frequency is known between two limits only. A null of the mean is met by no
 * real frequency and clock: this is what counts beside it.
 *
 * The tops of the lobes fall with their distance from the multiples of 1/T, so the highest is among the two next to either limit.
 * A top is where tan(πRy) = R·tan(πy), y = f·T.
 *
 * @param low - lowest frequency, Hz, 0 … 1e15
 * @param high - highest frequency, Hz, `low` … 1e15
 * @param ratio - oversampling ratio R, 1 … 65536
 * @param interval - time T from one conversion to the next, seconds, 1e-30 … 1e12
 * @returns largest |H|, 0 … 1
 * @throws RangeError for an argument outside its range
 * @see own derivation: the largest of |H| over a band
 *
 * largestBoxcarGain({ low: 49, high: 51, ratio: 256, interval: 20e-3 / 256 }) // => 0.020395
 */
export function largestBoxcarGain(given: {
  low: number;
  high: number;
  ratio: number;
  interval: number;
}): number {
  const frequency = between(0, 1e15, 'Hz');
  const shape = { low: frequency, high: frequency, ratio: ratioRule, interval: between(1e-30, 1e12, 's') };
  const { low, high, ratio, interval } = named('largestBoxcarGain', shape, given);
  const turns = Math.floor(low * interval);
  const [from, to] = [low * interval - turns, high * interval - turns];
  if (from === 0 || to >= 1) return 1;
  let most = Math.max(Math.abs(boxcar(from, ratio)), Math.abs(boxcar(to, ratio)));
  const [first, last] = [Math.floor(from * ratio), Math.floor(to * ratio)];
  for (const lobe of new Set([first, first + 1, last - 1, last])) {
    // The first and the last are halves of the lobes at the multiples, and have their tops there.
    if (lobe < 1 || lobe > ratio - 2 || lobe < first || lobe > last) continue;
    let x = ((lobe + 0.5) * Math.PI) / ratio;
    for (let i = 0; i < stepsToTop; i++) {
      const turned = Math.atan(ratio * Math.tan(x));
      x = (lobe * Math.PI + (turned < 0 ? turned + Math.PI : turned)) / ratio;
    }
    const top = x / Math.PI;
    if (top > from && top < to) most = Math.max(most, Math.abs(boxcar(top, ratio)));
  }
  return most;
}

/**
 * Lag of a burst's mean behind its last conversion, for an input that moves steadily: a known error, with the slope's sign.
 *
 *     slope·(R − 1)·T/2
 *
 * @param slope - change of the input, its unit per second
 * @param ratio - oversampling ratio R, 1 … 65536
 * @param interval - time T from one conversion to the next, seconds, above 0
 * @returns how far the input is past the mean at the last conversion, in the input's unit
 * @throws RangeError for an argument outside its range
 *
 * burstLag({ slope: 10, ratio: 101, interval: 1e-3 }) // => 0.5
 */
export function burstLag(given: { slope: number; ratio: number; interval: number }): number {
  const shape = { slope: real('unit/s'), ratio: ratioRule, interval: positive('s') };
  const { slope, ratio, interval } = named('burstLag', shape, given);
  return (slope * (ratio - 1) * interval) / 2;
}

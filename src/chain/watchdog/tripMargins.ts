/**
 * Margins for a wanted time between false trips: how far the threshold must stand, how much hysteresis, how many in a row.
 *
 * In come noise, rate and the mean time that is wanted; out go margin and hysteresis in LSB, and the count. The same assumptions as in
 * `falseTripRate`.
 */
import { between, named } from '../../numbers/guard.ts';
import { rootBetween } from '../../numbers/roots.ts';
import { logAlarms, sigmas, tripShape } from './falseTrips.ts';

const { marginLsb, noiseLsb, rate, consecutive } = tripShape;
const interval = between(1e-15, 1e300, 's');
const marginShape = { interval, noiseLsb, rate, consecutive };
const countShape = { interval, marginLsb, noiseLsb, rate };

/** Beyond these distances, in standard deviations, it trips at every chance, or once in 10³⁰⁰ s of the fastest rate at most. */
const [nearest, farthest] = [-40, 40];

/** Distance z at which the mean number of values between alarms is exp(`logValues`); undefined where it always is more. */
function distanceFor(logValues: number, consecutive: number): number | undefined {
  const over = (z: number): number => -logAlarms(z, consecutive) - logValues;
  return over(nearest) >= 0 ? undefined : rootBetween(over, nearest, farthest);
}

/**
 * Smallest margin for which the mean time between false trips is at least the one wanted.
 *
 * @param interval - mean time wanted, s, 10⁻¹⁵ … 10³⁰⁰; a year is 3.2·10⁷ s
 * @param noiseLsb - noise σ of one compared value, LSB rms, 0 … 10⁶
 * @param rate - compared values per second, Hz, 10⁻⁹ … 10¹⁵
 * @param consecutive - values beyond the threshold, one after the other, that make an alarm, 1 … 1000; 1 unless given
 * @returns margin from the input to the transition, LSB; below 0 for a short time; 'any' if even an input far beyond trips seldom enough
 * @throws RangeError for an argument outside its range
 *
 * @example
 * marginForInterval({ interval: 3.156e7, noiseLsb: 0.5, rate: 1, consecutive: 1 }) // => 2.70451
 */
export function marginForInterval(given: {
  interval: number;
  noiseLsb: number;
  rate: number;
  consecutive?: number | undefined;
}): number | 'any' {
  const { interval, noiseLsb, rate, consecutive } = named('marginForInterval', marginShape, given);
  const z = distanceFor(Math.log(interval) + Math.log(rate), consecutive);
  return z === undefined ? 'any' : z * noiseLsb + 0;
}

/**
 * Hysteresis for which a steady input, wherever it stands, makes the alarm come and go no more often than wanted.
 *
 * The alarm is set by c values in a row beyond the threshold and cleared by c in a row within the release threshold, which stands
 * back by the hysteresis h. At a distance a from the one the mean time from alarm to alarm is 1/r(a) + 1/r(h − a), r the rate of
 * false trips; it is shortest half way, so h is twice the margin for half the time. In codes: rounded up.
 *
 * @param interval - mean time from alarm to alarm that is wanted, s, 10⁻¹⁵ … 10³⁰⁰
 * @param noiseLsb - noise σ of one compared value, LSB rms, 0 … 10⁶
 * @param rate - compared values per second, Hz, 10⁻⁹ … 10¹⁵
 * @param consecutive - values in a row that set, and that clear, the alarm, 1 … 1000; 1 unless given
 * @returns hysteresis h, LSB; 0 if none is needed
 * @throws RangeError for an argument outside its range
 *
 * @example
 * hysteresisForInterval({ interval: 3.156e7, noiseLsb: 0.5, rate: 1, consecutive: 1 }) // => 5.28349
 */
export function hysteresisForInterval(given: {
  interval: number;
  noiseLsb: number;
  rate: number;
  consecutive?: number | undefined;
}): number {
  const { interval, noiseLsb, rate, consecutive } = named('hysteresisForInterval', marginShape, given);
  const z = distanceFor(Math.log(interval / 2) + Math.log(rate), consecutive);
  return z === undefined ? 0 : Math.max(0, 2 * z * noiseLsb);
}

/**
 * Fewest values in a row that must make an alarm for the mean time between false trips to be at least the one wanted.
 *
 * @param interval - mean time wanted, s, 10⁻¹⁵ … 10³⁰⁰
 * @param marginLsb - from the input to the transition, LSB, −10⁹ … 10⁹
 * @param noiseLsb - noise σ of one compared value, LSB rms, 0 … 10⁶
 * @param rate - compared values per second, Hz, 10⁻⁹ … 10¹⁵
 * @returns count, 1 … 1000; 'none' if not even 1000 serve
 * @throws RangeError for an argument outside its range
 *
 * @example
 * consecutiveForInterval({ interval: 3.156e7, marginLsb: 1, noiseLsb: 0.5, rate: 1 }) // => 5
 */
export function consecutiveForInterval(given: {
  interval: number;
  marginLsb: number;
  noiseLsb: number;
  rate: number;
}): number | 'none' {
  const { interval, marginLsb, noiseLsb, rate } = named('consecutiveForInterval', countShape, given);
  const z = sigmas(marginLsb, noiseLsb);
  const wanted = Math.log(interval) + Math.log(rate);
  const serves = (count: number): boolean => -logAlarms(z, count) >= wanted;
  if (!serves(1000)) return 'none';
  // The time grows with the count: halve between one that does not serve and one that does.
  let [fails, least] = [0, 1000];
  while (least - fails > 1) {
    const middle = (fails + least) >> 1;
    if (serves(middle)) least = middle;
    else fails = middle;
  }
  return least;
}

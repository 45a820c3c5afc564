/**
 * Detection delay: how long an input beyond the threshold waits for its alarm.
 *
 * In come how far beyond it stands, the noise, the rate of compared values and how many in a row make an alarm; out go the mean delay and
 * the delay that is kept with a wanted probability.
 */
import { between, named, or } from '../../numbers/guard.ts';
import { normalTail } from '../../numbers/normal.ts';
import { logAlarms, sigmas, tripShape } from './falseTrips.ts';

/** Delay from the start of the first value that sees the input beyond the threshold to the end of the value that makes the alarm. */
export interface DetectionDelay {
  /** Mean, s; 'none' if above 10³⁰⁰ s. */
  readonly mean: number | 'none';
  /** Kept with the probability asked for, s; 'none' if above 10³⁰⁰ s. */
  readonly confident: number | 'none';
}

const delayShape = { ...tripShape, confidence: or(between(0, 1 - 2 ** -40, ''), 0.99) };

/** Mean number of values from which on the distribution is taken from its slowest part. */
const many = 1e5;

/**
 * Delay until an input beyond the threshold makes an alarm.
 *
 *     mean = (1 − p^c)/(p^c(1 − p)) values,  p = Q(margin/σ)
 *
 * The mean is that of `falseTripInterval`. Without noise both are c values. A change may come just after a value began: that adds up to
 * one more.
 *
 * @param marginLsb - from the input to the transition, LSB, −10⁹ … 10⁹: below 0 for an input beyond it
 * @param noiseLsb - noise σ of one compared value, LSB rms, 0 … 10⁶
 * @param rate - compared values per second, Hz, 10⁻⁹ … 10¹⁵
 * @param consecutive - values c beyond the threshold, one after the other, that make an alarm, 1 … 1000; 1 unless given
 * @param confidence - probability that the alarm has come by `confident`, 0 … 1 − 2⁻⁴⁰; 0.99 unless given
 * @returns delays, s
 * @throws RangeError for an argument outside its range
 *
 * @example
 * detectionDelay({ marginLsb: -1, noiseLsb: 0.5, rate: 10, consecutive: 3 }) // => { mean: 0.3142303…, confident: 0.6 }
 */
export function detectionDelay(given: {
  marginLsb: number;
  noiseLsb: number;
  rate: number;
  consecutive?: number | undefined;
  confidence?: number | undefined;
}): DetectionDelay {
  const { marginLsb, noiseLsb, rate, consecutive, confidence } = named('detectionDelay', delayShape, given);
  const z = sigmas(marginLsb, noiseLsb);
  const logMean = -logAlarms(z, consecutive);
  const left = 1 - confidence;
  const logCount =
    logMean < Math.log(many)
      ? Math.log(countUntil(left, z, consecutive))
      : logCountOfSlowest(left, z, consecutive, logMean);
  const seconds = (logValues: number): number | 'none' => {
    const log = logValues - Math.log(rate);
    return log > 300 * Math.LN10 ? 'none' : Math.exp(log);
  };
  return { mean: seconds(logMean), confident: seconds(logCount) };
}

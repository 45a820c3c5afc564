/**
 * Detection delay: how long an input beyond the threshold waits for its alarm.
 *
 * In come how far beyond it stands, the noise, the rate of compared values and how many in a row make an alarm; out go the mean delay and
 * the delay that is kept with a wanted probability.
 */
import { between, named, or } from '../../numbers/guard.ts';
import { logNormalTail, normalTail } from '../../numbers/normal.ts';
import { alarms, logAlarms, sigmas, smallest, tripShape } from './falseTrips.ts';

/** Delay from the start of the first value that sees the input beyond the threshold to the end of the value that makes the alarm. */
export interface DetectionDelay {
  /** Mean, s; 'none' if above 10³⁰⁰ s. */
  readonly mean: number | 'none';
  /** Kept with the probability asked for, s; 'none' if above 10³⁰⁰ s. */
  readonly confident: number | 'none';
}

const delayShape = { ...tripShape, confidence: or(between(0.5, 1 - 2 ** -40, ''), 0.99) };

/** Mean number of values from which on only the slowest part of the distribution is taken. */
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
 * @param confidence - probability that the alarm has come by `confident`, 0.5 … 1 − 2⁻⁴⁰; 0.99 unless given
 * @returns delays, s
 * @throws RangeError for an argument outside its range
 *
 * @example
 * detectionDelay({ marginLsb: -1, noiseLsb: 0.5, rate: 10, consecutive: 3 }).mean // => 0.31
 * detectionDelay({ marginLsb: -1, noiseLsb: 0.5, rate: 10, consecutive: 3 }).confident // => 0.6
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
  const seconds = (logValues: number): number | 'none' => {
    const log = logValues - Math.log(rate);
    return log > 300 * Math.LN10 ? 'none' : Math.exp(log);
  };
  const each = alarms(z, consecutive);
  return {
    mean: each > smallest ? 1 / (each * rate) : seconds(logMean),
    confident:
      logMean < Math.log(many)
        ? valuesUntil(left, z, consecutive) / rate
        : seconds(logValuesUntil(left, z, consecutive)),
  };
}

/**
 * Number of values by which the probability S(n) of no alarm yet has fallen to `left`.
 *
 * S(n) = 1 for n < c, S(c) = 1 − p^c, then S(n) = S(n − 1) − (1 − p)·p^c·S(n − c − 1): the alarm at n needs a value within the threshold
 * at n − c, no alarm before it, and c beyond.
 */
export function valuesUntil(left: number, z: number, consecutive: number): number {
  const run = Math.exp(consecutive * logNormalTail(z));
  const fresh = normalTail(-z) * run;
  const earlier = new Float64Array(consecutive + 1).fill(1);
  let n = consecutive;
  let none = -Math.expm1(consecutive * logNormalTail(z));
  while (none > left) {
    // The place of S(n − c − 1) for the next n is that of S(n) after it.
    const at = n % (consecutive + 1);
    earlier[at] = none;
    n++;
    none -= fresh * earlier[n % (consecutive + 1)]!;
  }
  return n;
}

/**
 * Logarithm of the same number where it is large: S(n) = A·x^−n, x the root above 1 of x = 1 + (1 − p)·p^c·x^(c + 1) next to 1, and
 * A = (1 − p·x)/((1 − p)(c + 1 − c·x)·x); the other roots of the recurrence have died out.
 */
export function logValuesUntil(left: number, z: number, consecutive: number): number {
  const logTrip = logNormalTail(z);
  const quiet = normalTail(-z);
  const logFresh = Math.log(quiet) + consecutive * logTrip;
  // ln(x − 1); the correction is below a hundredth at the start, and each step makes its error that much smaller.
  let logStep = logFresh;
  for (let i = 0; i < 10; i++) logStep = logFresh + (consecutive + 1) * Math.log1p(Math.exp(logStep));
  const step = Math.exp(logStep);
  const logA =
    Math.log1p((-Math.exp(logTrip) * step) / quiet) - Math.log1p(-consecutive * step) - Math.log1p(step);
  const logLogX = step > 1e-290 ? Math.log(Math.log1p(step)) : logStep;
  return Math.log(logA - Math.log(left)) - logLogX;
}

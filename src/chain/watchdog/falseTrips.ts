/**
 * False trips: how often noise alone carries a steady input over a threshold.
 *
 * In come the margin from the input to the transition, the noise, the rate of compared values and how many in a row make an alarm; out
 * goes the rate of alarms, and the mean time between them. Successive values are independent, and the counter starts again at an alarm.
 */
import { between, named, or, whole } from '../../numbers/guard.ts';
import { logNormalTail, normalTail } from '../../numbers/normal.ts';

/** Rules of the arguments; the questions about margins and delays share them. */
export const tripShape = {
  marginLsb: between(-1e9, 1e9, 'LSB'),
  noiseLsb: between(0, 1e6, 'LSB'),
  rate: between(1e-9, 1e15, 'Hz'),
  consecutive: or(whole(1, 1000), 1),
};

/**
 * Distance in standard deviations; past ±10¹⁵⁰ it counts as that. Without noise an input at the transition is taken to be on either side
 * equally often, which is what ever smaller noise gives.
 */
export function sigmas(marginLsb: number, noiseLsb: number): number {
  if (marginLsb === 0) return 0;
  return Math.min(1e150, Math.max(-1e150, marginLsb / noiseLsb));
}

/** 1 + p + … + p^(c − 1), which is (1 − p^c)/(1 − p) without the cancellation for p near 1; p = Q(z). */
function sumOfRuns(z: number, consecutive: number): number {
  const quiet = normalTail(-z);
  return quiet > 0 ? -Math.expm1(consecutive * logNormalTail(z)) / quiet : consecutive;
}

/** Below this `alarms` loses digits, as the power in it may be too small for a double; `logAlarms` does not. */
export const smallest = 1e-290;

/** Alarms per compared value, p^c(1 − p)/(1 − p^c) with p = Q(z). Of power and logarithm that which keeps more digits of p^c. */
export function alarms(z: number, consecutive: number): number {
  const run = z < 0 ? Math.exp(consecutive * logNormalTail(z)) : normalTail(z) ** consecutive;
  return run / sumOfRuns(z, consecutive);
}

/** The natural logarithm of the same. */
export const logAlarms = (z: number, consecutive: number): number =>
  consecutive * logNormalTail(z) - Math.log(sumOfRuns(z, consecutive));

/**
 * Rate of false trips: alarms per second that noise makes while the input stands still.
 *
 *     rate·p^c(1 − p)/(1 − p^c),  p = Q(margin/σ)
 *
 * A window adds its two sides. The margin runs from the input to the transition where the threshold acts (`typicalAt` or, averaged,
 * `noisyAt` of `thresholdCodes`), the noise is that of what is compared, in the same LSB. Relative error below 2·10⁻¹³ down to 10⁻³⁰⁰.
 *
 * @param marginLsb - from the input to the transition, LSB, −10⁹ … 10⁹; below 0 the input lies beyond it
 * @param noiseLsb - noise σ of one compared value, LSB rms, 0 … 10⁶; with 0 it trips always beyond the transition and never within
 * @param rate - compared values per second, Hz, 10⁻⁹ … 10¹⁵
 * @param consecutive - values c beyond the threshold, one after the other, that make an alarm, 1 … 1000; 1 unless given
 * @returns alarms per second, 1/s; 0 where it is too small for a double
 * @throws RangeError for an argument outside its range
 *
 * @example
 * falseTripRate({ marginLsb: 1, noiseLsb: 0.5, rate: 1000, consecutive: 2 }) // => 0.506056
 */
export function falseTripRate(given: {
  marginLsb: number;
  noiseLsb: number;
  rate: number;
  consecutive?: number | undefined;
}): number {
  const { marginLsb, noiseLsb, rate, consecutive } = named('falseTripRate', tripShape, given);
  const z = sigmas(marginLsb, noiseLsb);
  const each = alarms(z, consecutive);
  return each > smallest ? rate * each : Math.exp(Math.log(rate) + logAlarms(z, consecutive));
}

/**
 * Mean time between false trips, as its logarithm, which does not overflow.
 *
 *     log10 of 1/falseTripRate
 *
 * With a margin below 0 it is the mean time until an input beyond the threshold makes an alarm.
 *
 * @param marginLsb - from the input to the transition, LSB, −10⁹ … 10⁹; below 0 the input lies beyond it
 * @param noiseLsb - noise σ of one compared value, LSB rms, 0 … 10⁶
 * @param rate - compared values per second, Hz, 10⁻⁹ … 10¹⁵
 * @param consecutive - values beyond the threshold, one after the other, that make an alarm, 1 … 1000; 1 unless given
 * @returns log10 of seconds; 'none' if it never trips, which is so without noise within the threshold
 * @throws RangeError for an argument outside its range
 *
 * @example
 * falseTripInterval({ marginLsb: 10, noiseLsb: 0.2, rate: 1000 }) // => 541.96634
 * falseTripInterval({ marginLsb: 10, noiseLsb: 0, rate: 1000 }) // => 'none'
 */
export function falseTripInterval(given: {
  marginLsb: number;
  noiseLsb: number;
  rate: number;
  consecutive?: number | undefined;
}): number | 'none' {
  const { marginLsb, noiseLsb, rate, consecutive } = named('falseTripInterval', tripShape, given);
  if (noiseLsb === 0 && marginLsb > 0) return 'none';
  return -(Math.log(rate) + logAlarms(sigmas(marginLsb, noiseLsb), consecutive)) / Math.LN10;
}

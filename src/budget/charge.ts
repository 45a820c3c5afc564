/**
 * Charge: what the conversions of one reading take from the battery.
 *
 * In come currents and times; out go the time of the burst and its charge. Wake-up, start-up and arithmetic are not in it.
 */
import { between, named, notNegative, whole } from '../numbers/guard.ts';

/** The conversions of one reading. */
export interface BurstCharge {
  /** From the start of the first conversion to the end of the last, s. */
  readonly time: number;
  /** Drawn meanwhile, C. */
  readonly charge: number;
}

const seconds = between(1e-30, 1e12, 's');
const shape = {
  ratio: whole(1, 65536),
  conversionTime: seconds,
  interval: seconds,
  converterCurrent: notNegative('A'),
  coreCurrent: notNegative('A'),
  excitationCurrent: notNegative('A'),
};

/**
 * Time and charge of a burst of R conversions.
 *
 *     t = (R − 1)·T + t_c,   Q = I_converter·R·t_c + (I_core + I_excitation)·t
 *
 * The converter draws while it converts; core and excitation draw throughout.
 *
 * @param ratio - conversions R, 1 … 65536
 * @param conversionTime - of one conversion t_c, sample time included, s, > 0
 * @param interval - from the start of one conversion to that of the next T, s, at least `conversionTime`
 * @param converterCurrent - I_converter, A, ≥ 0
 * @param coreCurrent - of the core, running or asleep as it is meanwhile, A, ≥ 0
 * @param excitationCurrent - of the sensor's divider where it is switched on for the burst, A, ≥ 0
 * @returns time in s, charge in C
 * @throws RangeError if an argument is outside its range
 *
 * @example
 * burstCharge({ ratio: 8, conversionTime: 10e-6, interval: 10e-6, converterCurrent: 0.4e-3, coreCurrent: 0.2e-3, excitationCurrent: 0 }).charge // => 4.8e-8
 */
export function burstCharge(given: {
  ratio: number;
  conversionTime: number;
  interval: number;
  converterCurrent: number;
  coreCurrent: number;
  excitationCurrent: number;
}): BurstCharge {
  const { ratio, conversionTime, interval, ...currents } = named('burstCharge', shape, given);
  // One part in 1e12 for the rounding of back-to-back conversions.
  if (interval < conversionTime * (1 - 1e-12)) {
    throw new RangeError(
      `burstCharge.interval: got ${interval}; allowed from conversionTime, ${conversionTime} s`,
    );
  }
  const time = (ratio - 1) * interval + conversionTime;
  const charge =
    currents.converterCurrent * ratio * conversionTime +
    (currents.coreCurrent + currents.excitationCurrent) * time;
  return { time, charge };
}

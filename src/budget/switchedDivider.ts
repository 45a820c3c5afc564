/**
 * Switched divider: whether it pays to switch a divider off between readings.
 *
 * In come the divider and what its switching costs; out go the average currents of both ways and the reading period from which
 * switching takes less.
 */
import { named, notNegative, or, positive } from '../numbers/guard.ts';

/** Both ways of powering a divider. */
export interface SwitchedDivider {
  /** Average current with the divider always on, A. */
  readonly alwaysOn: number;
  /** Average current with the divider switched on for each reading, A. */
  readonly switched: number;
  /** Reading period above which switching takes less, s; 'none' where it never does. */
  readonly breakEvenPeriod: number | 'none';
}

const shape = {
  supply: positive('V'),
  resistance: positive('Ω'),
  onTime: positive('s'),
  awakeCurrent: or(notNegative('A'), 0),
  switchCharge: or(notNegative('C'), 0),
  leakageCurrent: or(notNegative('A'), 0),
  period: positive('s'),
};

/**
 * Average current of a divider that is always on, and of one that is switched on for each reading.
 *
 *     always on: V/R      switched: ((V/R + I_awake)·t + Q + I_leak·(T − t))/T
 *     break-even: T = t + (I_awake·t + Q)/(V/R − I_leak)
 *
 * @param supply - across the divider V, V, > 0
 * @param resistance - of the whole divider R, Ω, > 0
 * @param onTime - how long it is on for a reading t, settling included, s, > 0
 * @param awakeCurrent - what the controller draws because it waits for the divider to settle, averaged over `onTime`, A, ≥ 0; 0 if absent
 * @param switchCharge - of the switch and of the capacitors that it charges, each time Q, C, ≥ 0; 0 if absent
 * @param leakageCurrent - of the switch while off, A, ≥ 0; 0 if absent
 * @param period - from one reading to the next T, s, at least `onTime`
 * @returns both average currents in A, and the break-even period in s
 * @throws RangeError if an argument is outside its range
 * @see own derivation: equal charge over a period
 *
 * @example
 * switchedDivider({ supply: 3, resistance: 3e6, onTime: 0.1, awakeCurrent: 9e-6, period: 10 }).breakEvenPeriod // => 1.000
 */
export function switchedDivider(given: {
  readonly supply: number;
  readonly resistance: number;
  readonly onTime: number;
  readonly awakeCurrent?: number | undefined;
  readonly switchCharge?: number | undefined;
  readonly leakageCurrent?: number | undefined;
  readonly period: number;
}): SwitchedDivider {
  const a = named('switchedDivider', shape, given);
  if (a.period < a.onTime) {
    throw new RangeError(`switchedDivider.period: got ${a.period}; allowed from onTime, ${a.onTime} s`);
  }
  const alwaysOn = a.supply / a.resistance;
  const perReading = a.awakeCurrent * a.onTime + a.switchCharge;
  const saved = alwaysOn - a.leakageCurrent;
  return {
    alwaysOn,
    switched: (alwaysOn * a.onTime + perReading + a.leakageCurrent * (a.period - a.onTime)) / a.period,
    breakEvenPeriod: saved > 0 ? a.onTime + perReading / saved : 'none',
  };
}

/**
 * Bursts: the settling error that the mean of several conversions in a row carries.
 *
 * In come the network, the period and the number of conversions; out goes their mean error. It is neither the first
 * conversion's error nor the steady one.
 */
import { named } from '../../numbers/guard.ts';
import {
  discard,
  fixedParts,
  pinCapacitance,
  ratio,
  requirePeriod,
  seconds,
  sourceResistance,
  step,
} from './arguments.ts';
import { missingPart } from './gain.ts';
import { modes } from './network.ts';
import type { SettleNetwork } from './settle.ts';

const burstShape = {
  sourceResistance,
  pinCapacitance,
  ...fixedParts,
  sampleTime: seconds,
  ...step,
  period: seconds,
  ratio,
  discard,
};

/**
 * The mean error of the conversions discard + 1 … discard + ratio of a row that starts with the pin settled on the source.
 *
 *     'previous':  e_n = e_∞ + (e_1 − e_∞)·λ^(n−1),  mean (R of them) e_∞ + (e_1 − e_∞)·(1 − λ^R)/(R·(1 − λ))
 *     'own':       e_n = e_0·[M^n]_yy, M the map of one period; the sum of its powers by its two factors
 *
 * @param sourceResistance - R_s, Ω, 0 … 1e30
 * @param pinCapacitance - C_p, pin plus external, F, 0 … 1e6
 * @param switchResistance - R_sw, Ω, 0 … 1e30
 * @param sampleCapacitance - C_s, F, 1e-24 … 1e6
 * @param sampleTime - time that the switch is closed, s, 1e-30 … 1e40
 * @param previousVoltage - what C_s starts from, V; 0 if absent
 * @param sourceVoltage - V_s, V
 * @param startsAt - 'previous': C_s is put to previousVoltage before every conversion; 'own': only before the first
 * @param period - start to start, s, at least sampleTime
 * @param ratio - conversions averaged, R, 1 … 65536
 * @param discard - conversions left out ahead of them, 0 … 65536; 0 if absent
 * @returns mean of held voltage − sourceVoltage, V
 * @throws RangeError if an argument is out of range or `period` is shorter than `sampleTime`
 * @see the derivation at the head of network.ts; checked against [SETTLING-SERIES]
 *
 * @example
 * burstError({ sourceResistance: 150e3, pinCapacitance: 2.2e-9, switchResistance: 1.2e3, sampleCapacitance: 6e-12, sampleTime: 1.5e-6, sourceVoltage: 1.5, period: 25e-6, ratio: 64 }) // => -0.043583420
 */
export function burstError(
  given: SettleNetwork & { period: number; ratio: number; discard?: number | undefined },
): number {
  const a = named('burstError', burstShape, given);
  requirePeriod('burstError', a.period, a.sampleTime);
  const m = modes(a.sourceResistance, a.pinCapacitance, a.switchResistance, a.sampleCapacitance);
  const part = missingPart(m, a.sampleTime, a.period, a.startsAt, a);
  // Adding 0 turns −0 into 0.
  return (a.previousVoltage - a.sourceVoltage) * part + 0;
}

/**
 * Settling: the voltage that the sampling capacitor holds at the end of the sample time.
 *
 * In come the network, the times and the voltages; out go the held voltage and its error, for one conversion or for the
 * steady state of many.
 */
import { maybe, named, refusal, whole } from '../../numbers/guard.ts';
import { fixedParts, pinCapacitance, requirePeriod, seconds, sourceResistance, step } from './arguments.ts';
import { missingPart, type Which } from './gain.ts';
import { modes, type StartsAt } from './network.ts';

/** The network and the step in it, as `settle` and `burstError` take them. */
export interface SettleNetwork {
  /** R_s, Ω. */
  sourceResistance: number;
  /** C_p, pin plus external, F. */
  pinCapacitance: number;
  /** R_sw, Ω. */
  switchResistance: number;
  /** C_s, F. */
  sampleCapacitance: number;
  /** Time that the switch is closed, s. */
  sampleTime: number;
  /** What C_s starts from, V; 0 if absent. */
  previousVoltage?: number | undefined;
  /** V_s, V. */
  sourceVoltage: number;
  /** Whether C_s is put to `previousVoltage` before every conversion or only before the first; 'previous' if absent. */
  startsAt?: StartsAt | undefined;
}

/** A held voltage. */
export interface Settled {
  /** Voltage on C_s at the end of the sample time, V. */
  voltage: number;
  /** voltage − sourceVoltage, V, computed by itself: no digits are lost where it is small. */
  error: number;
}

const network = {
  sourceResistance,
  pinCapacitance,
  ...fixedParts,
  sampleTime: seconds,
  ...step,
};
const settleShape = { ...network, period: maybe(seconds), count: maybe(whole(1, 2 ** 31)) };

/**
 * The voltage on the sampling capacitor at the end of the sample time, and its error.
 *
 *     C_p·x′ = −x/R_s + (y − x)/R_sw,  C_s·y′ = (x − y)/R_sw     x, y: deviations of pin and C_s from the source
 *     error = (previousVoltage − sourceVoltage)·(weight of y → y)
 *
 * Without `period` it is the first conversion, the pin settled on the source. With `period` and `count` it is that
 * conversion of a row that starts so; with `period` alone the steady state. Between conversions the pin recovers through
 * R_s. The steady error is 0 where C_s keeps its charge. C_p = 0 is one exponential with (R_s + R_sw)·C_s.
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
 * @param count - which conversion, 1 …; only with a period
 * @returns voltage on C_s and its error, V
 * @throws RangeError if an argument is out of range, `period` is shorter than `sampleTime`, or `count` comes without it
 * @see the derivation at the head of network.ts; checked against [SETTLING-SERIES] and [CIRCUIT-SIMULATION]
 *
 * @example
 * settle({ sourceResistance: 9e3, pinCapacitance: 0, switchResistance: 1e3, sampleCapacitance: 1e-11, sampleTime: 1e-6, sourceVoltage: 3 }).error // => -0.0001362
 */
export function settle(
  given: SettleNetwork & { period?: number | undefined; count?: number | undefined },
): Settled {
  const a = named('settle', settleShape, given);
  let which: Which = 'first';
  if (a.period !== undefined) {
    requirePeriod('settle', a.period, a.sampleTime);
    which = a.count === undefined ? 'steady' : { discard: a.count - 1, ratio: 1 };
  } else if (a.count !== undefined) {
    throw new RangeError(refusal('settle.count', a.count, 'only with a period'));
  }
  const m = modes(a.sourceResistance, a.pinCapacitance, a.switchResistance, a.sampleCapacitance);
  const part = missingPart(m, a.sampleTime, a.period ?? 0, a.startsAt, which);
  // Adding 0 turns −0 into 0.
  const error = (a.previousVoltage - a.sourceVoltage) * part + 0;
  return { voltage: a.sourceVoltage + error, error };
}

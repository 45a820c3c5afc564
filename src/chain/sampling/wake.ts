/**
 * Waking: what the pin's capacitance still lacks when the source has only just been switched on.
 *
 * In come the network, its conversions and the time since power-up; out go the error that is left on a reading, and the time
 * after which it is small enough.
 */
import { between, maybe, named, or, whole } from '../../numbers/guard.ts';
import {
  allowedVoltage,
  discard,
  fixedParts,
  pinCapacitance,
  ratio,
  requirePeriod,
  seconds,
  sourceResistance,
  step,
  whichOf,
} from './arguments.ts';
import { wakePart } from './gain.ts';
import { type Modes, modes, type StartsAt } from './network.ts';

/** The network, and the conversions that count. */
export interface WakingNetwork {
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
  /** V_s once it is switched on, V. */
  sourceVoltage: number;
  /** As in `settle`; 'previous' if absent. */
  startsAt?: StartsAt | undefined;
  /** Start to start, s: the steady state counts, or with `ratio` the burst's mean; the first conversion if absent. */
  period?: number | undefined;
  /** Conversions averaged; only with a period. */
  ratio?: number | undefined;
  /** Conversions left out ahead of them; only with a ratio; 0 if absent. */
  discard?: number | undefined;
}

const network = {
  sourceResistance,
  pinCapacitance,
  ...fixedParts,
  sampleTime: seconds,
  sourceVoltage: step.sourceVoltage,
  startsAt: step.startsAt,
  period: maybe(seconds),
  ratio: maybe(ratio),
  discard,
};
const errorShape = { ...network, wakeTime: between(0, 1e40, 's') };
const delayShape = {
  ...network,
  allowedErrorLsb: or(between(1e-9, 1e12, 'LSB'), 0.25),
  bits: whole(1, 32),
  reference: between(1e-9, 1e9, 'V'),
};

/** The modes, and the part of the pin's lack at the first conversion that is left on those that count. */
function wakingPart(
  caller: string,
  a: Omit<WakingNetwork, 'startsAt' | 'discard'> & { startsAt: StartsAt; discard: number },
): { m: Modes; part: number } {
  const which = whichOf(caller, a);
  if (a.period !== undefined) requirePeriod(caller, a.period, a.sampleTime);
  const m = modes(a.sourceResistance, a.pinCapacitance, a.switchResistance, a.sampleCapacitance);
  return { m, part: wakePart(m, a.sampleTime, a.period ?? 0, a.startsAt, which) };
}

/**
 * The error of a reading taken `wakeTime` after its source was switched on, as far as the pin's capacitance makes it.
 *
 *     −V_s·exp(−wakeTime/(R_s·C_p))·(weight of the pin's deviation on the conversions that count)
 *
 * What the sampling capacitor itself lacks comes on top: `settle`, `burstError`.
 *
 * @param sourceResistance - R_s, Ω, 0 … 1e30
 * @param pinCapacitance - C_p, pin plus external, F, 0 … 1e6
 * @param switchResistance - R_sw, Ω, 0 … 1e30
 * @param sampleCapacitance - C_s, F, 1e-24 … 1e6
 * @param sampleTime - time that the switch is closed, s, 1e-30 … 1e40
 * @param sourceVoltage - V_s, V; the pin starts at 0 V
 * @param startsAt - 'previous' or 'own', as in `settle`
 * @param period - start to start, s, at least sampleTime; without it the first conversion counts, with it the steady state
 * @param ratio - conversions averaged, 1 … 65536, only with a period: their mean counts
 * @param discard - conversions left out ahead of them, 0 … 65536; 0 if absent
 * @param wakeTime - from the source's power-up to the start of the first conversion, s, from 0
 * @returns V, negative below the source where V_s is positive
 * @throws RangeError if an argument is out of range, `period` is shorter than `sampleTime`, or `ratio` comes without it
 * @see the derivation at the heads of network.ts and gain.ts
 *
 * @example
 * wakeError({ sourceResistance: 100e3, pinCapacitance: 1e-7, switchResistance: 1e3, sampleCapacitance: 1e-12, sampleTime: 1e-6, sourceVoltage: 1, wakeTime: 0.02 }) // => -0.13532
 */
export function wakeError(given: WakingNetwork & { wakeTime: number }): number {
  const a = named('wakeError', errorShape, given);
  const { m, part } = wakingPart('wakeError', a);
  const lacking = m.pin > 0 ? Math.exp(-a.wakeTime / m.pin) : 0;
  // Adding 0 turns −0 into 0.
  return -a.sourceVoltage * lacking * part + 0;
}

/**
 * Wake-to-read delay: how long after its source was switched on a reading may start, as far as the pin's capacitance makes it wait.
 *
 *     R_s·C_p·ln(|V_s|·weight/(allowedErrorLsb·reference/2^bits)), 0 where that is negative
 *
 * @param sourceResistance - R_s, Ω, 0 … 1e30
 * @param pinCapacitance - C_p, pin plus external, F, 0 … 1e6
 * @param switchResistance - R_sw, Ω, 0 … 1e30
 * @param sampleCapacitance - C_s, F, 1e-24 … 1e6
 * @param sampleTime - time that the switch is closed, s, 1e-30 … 1e40
 * @param sourceVoltage - V_s, V; the pin starts at 0 V
 * @param startsAt - 'previous' or 'own', as in `settle`
 * @param period - start to start, s, at least sampleTime; without it the first conversion counts, with it the steady state
 * @param ratio - conversions averaged, 1 … 65536, only with a period: their mean counts
 * @param discard - conversions left out ahead of them, 0 … 65536; 0 if absent
 * @param allowedErrorLsb - largest |error|, LSB, 1e-9 … 1e12; 0.25 if absent
 * @param bits - resolution that counts, 1 … 32
 * @param reference - V_ref, V, 1e-9 … 1e9
 * @returns s; 0 if the first conversion may start at once
 * @throws RangeError if an argument is out of range, `period` is shorter than `sampleTime`, or `ratio` comes without it
 * @see the derivation at the heads of network.ts and gain.ts
 *
 * @example
 * wakeDelay({ sourceResistance: 100e3, pinCapacitance: 1e-7, switchResistance: 1e3, sampleCapacitance: 1e-12, sampleTime: 1e-6, sourceVoltage: 3, bits: 12, reference: 3 }) // => 0.097040
 */
export function wakeDelay(
  given: WakingNetwork & { allowedErrorLsb?: number | undefined; bits: number; reference: number },
): number {
  const a = named('wakeDelay', delayShape, given);
  const { m, part } = wakingPart('wakeDelay', a);
  const over = (Math.abs(a.sourceVoltage) * part) / allowedVoltage(a);
  return over > 1 ? m.pin * Math.log(over) : 0;
}

/**
 * The shortest sample time and the largest source resistance that keep the settling error within what is allowed.
 *
 * In come the rest of the network and the allowed error at the resolution that counts; out go roots of the same functions
 * that `settle` and `burstError` evaluate.
 */
import { named } from '../../numbers/guard.ts';
import { rootBetween } from '../../numbers/roots.ts';
import {
  allowedPart,
  demand,
  fixedParts,
  largestResistance,
  pinCapacitance,
  requirePeriod,
  seconds,
  shortestTime,
  sourceResistance,
  whichOf,
} from './arguments.ts';
import { missingPart } from './gain.ts';
import { modes, type StartsAt } from './network.ts';

/** How small the error must be, and for which conversions. */
export interface SettlingDemand {
  /** What C_s starts from, V; 0 if absent. */
  previousVoltage?: number | undefined;
  /** V_s, V; the reference if absent: with previousVoltage 0 a full-scale step. */
  sourceVoltage?: number | undefined;
  /** Whether C_s is put to `previousVoltage` before every conversion or only before the first; 'previous' if absent. */
  startsAt?: StartsAt | undefined;
  /** Largest |error|, LSB of `bits`; 0.25 if absent. */
  allowedErrorLsb?: number | undefined;
  /** Resolution that counts: the result's, where averaged. */
  bits: number;
  /** V_ref, V. */
  reference: number;
  /** Start to start, s: the steady state counts, or with `ratio` the burst's mean; the first conversion if absent. */
  period?: number | undefined;
  /** Conversions averaged; only with a period. */
  ratio?: number | undefined;
  /** Conversions left out ahead of them; only with a ratio; 0 if absent. */
  discard?: number | undefined;
}

/** The parts of the network that both questions take. */
export interface FixedParts {
  /** C_p, pin plus external, F. */
  pinCapacitance: number;
  /** R_sw, Ω. */
  switchResistance: number;
  /** C_s, F. */
  sampleCapacitance: number;
}

const timeShape = { sourceResistance, pinCapacitance, ...fixedParts, ...demand };
const resistanceShape = { pinCapacitance, ...fixedParts, sampleTime: seconds, ...demand };

/** Sample times tried before a root is refined, where the error may fall and rise again. */
const tried = 256;

/** The logarithm of part/allowed: 0 at the limit, near a straight line in time; a part of 0 counts as the least double. */
const excess = (part: number, allowed: number): number =>
  Math.log(Math.max(part, Number.MIN_VALUE) / allowed);

/**
 * The shortest sample time with |error| within the allowed one.
 *
 *     |error| = allowedErrorLsb·reference/2^bits
 *
 * Longer ones serve as well, up to the period. On the mean of a burst with C_s put back each time this fails where the allowed
 * error is a large part of the step: a longer time empties the pin further. The shortest that serves is returned there too.
 *
 * @param sourceResistance - R_s, Ω, 0 … 1e30
 * @param pinCapacitance - C_p, pin plus external, F, 0 … 1e6
 * @param switchResistance - R_sw, Ω, 0 … 1e30
 * @param sampleCapacitance - C_s, F, 1e-24 … 1e6
 * @param previousVoltage - what C_s starts from, V; 0 if absent
 * @param sourceVoltage - V_s, V; the reference if absent: a full-scale step
 * @param startsAt - 'previous' or 'own', as in `settle`
 * @param allowedErrorLsb - largest |error|, LSB, 1e-9 … 1e12; 0.25 if absent
 * @param bits - resolution that counts (the result's, where averaged), 1 … 32
 * @param reference - V_ref, V, 1e-9 … 1e9
 * @param period - start to start, s; without it the first conversion counts, with it the steady state
 * @param ratio - conversions averaged, 1 … 65536, only with a period: their mean counts
 * @param discard - conversions left out ahead of them, 0 … 65536; 0 if absent
 * @returns s; 'none' if no sample time up to the period serves, 'any' if every one does
 * @throws RangeError if an argument is out of range, or `ratio` comes without `period`
 * @see the derivation at the heads of network.ts and gain.ts
 *
 * @example
 * minSampleTime({ sourceResistance: 9e3, pinCapacitance: 0, switchResistance: 1e3, sampleCapacitance: 1e-11, bits: 12, reference: 3 }) // => 9.7040605e-7
 */
export function minSampleTime(
  given: FixedParts & SettlingDemand & { sourceResistance: number },
): number | 'none' | 'any' {
  const a = named('minSampleTime', timeShape, given);
  const which = whichOf('minSampleTime', a);
  const allowed = allowedPart(a);
  if (allowed >= 1 || (a.startsAt === 'own' && which === 'steady')) return 'any';
  const m = modes(a.sourceResistance, a.pinCapacitance, a.switchResistance, a.sampleCapacitance);
  const longest = a.period ?? Number.POSITIVE_INFINITY;
  const part = (time: number): number => missingPart(m, time, longest, a.startsAt, which);
  // C_s discharges no faster than through R_sw into a pin at the source; with R_sw = 0 it shares its charge at once.
  const conversions = typeof which === 'object' && a.startsAt === 'own' ? a.discard + which.ratio : 1;
  const timeConstants = -Math.log(allowed);
  const switchTime = a.switchResistance * a.sampleCapacitance;
  const low = Math.max(shortestTime, (0.999 * switchTime * timeConstants) / conversions);
  if (low >= longest) return 'none';
  if (part(low) <= allowed) return low > shortestTime ? low : 'any';
  // The part left is at most the slow mode alone.
  const high = which === 'first' ? 1.001 * m.slow * timeConstants : longest;
  const f = (time: number): number => excess(part(time), allowed);
  if (a.startsAt === 'own' || typeof which === 'string') {
    return part(high) > allowed ? 'none' : rootBetween(f, low, high);
  }
  const bracket = firstServing(part, low, high, allowed);
  return bracket ? rootBetween(f, ...bracket) : 'none';
}

/** The first of the times tried from `low` to `high` at which no more than `allowed` is left, and the one before it. */
function firstServing(
  part: (time: number) => number,
  low: number,
  high: number,
  allowed: number,
): [number, number] | undefined {
  const time = (i: number): number => (i === tried ? high : low * (high / low) ** (i / tried));
  let before = part(low);
  for (let i = 1; i <= tried; i++) {
    const here = part(time(i));
    if (here <= allowed) return [time(i - 1), time(i)];
    // A dip between two times tried: look for its floor.
    const next = i < tried ? part(time(i + 1)) : here;
    if (here <= before && here <= next) {
      const floor = lowest(part, time(i - 1), time(Math.min(i + 1, tried)));
      if (part(floor) <= allowed) return [time(i - 1), floor];
    }
    before = here;
  }
  return undefined;
}

/** Where a function with one dip between `low` and `high` is lowest, by golden section. */
function lowest(f: (x: number) => number, low: number, high: number): number {
  const golden = (Math.sqrt(5) - 1) / 2;
  let a = low;
  let b = high;
  for (let i = 0; i < 40; i++) {
    const c = b - golden * (b - a);
    const d = a + golden * (b - a);
    if (f(c) < f(d)) b = d;
    else a = c;
  }
  return (a + b) / 2;
}

/**
 * The largest source resistance with |error| within the allowed one.
 *
 *     |error| = allowedErrorLsb·reference/2^bits
 *
 * Every smaller one serves as well: the error grows with R_s throughout, since pin and C_s leak towards the source through R_s only.
 *
 * @param pinCapacitance - C_p, pin plus external, F, 0 … 1e6
 * @param switchResistance - R_sw, Ω, 0 … 1e30
 * @param sampleCapacitance - C_s, F, 1e-24 … 1e6
 * @param sampleTime - time that the switch is closed, s, 1e-30 … 1e40
 * @param previousVoltage - what C_s starts from, V; 0 if absent
 * @param sourceVoltage - V_s, V; the reference if absent: a full-scale step
 * @param startsAt - 'previous' or 'own', as in `settle`
 * @param allowedErrorLsb - largest |error|, LSB, 1e-9 … 1e12; 0.25 if absent
 * @param bits - resolution that counts (the result's, where averaged), 1 … 32
 * @param reference - V_ref, V, 1e-9 … 1e9
 * @param period - start to start, s, at least sampleTime; without it the first conversion counts, with it the steady state
 * @param ratio - conversions averaged, 1 … 65536, only with a period: their mean counts
 * @param discard - conversions left out ahead of them, 0 … 65536; 0 if absent
 * @returns Ω; 'none' if not even 0 Ω serves, 'any' if R_s without limit (1e30 Ω) does
 * @throws RangeError if an argument is out of range, `period` is shorter than `sampleTime`, or `ratio` comes without it
 * @see the derivation at the heads of network.ts and gain.ts
 *
 * @example
 * maxSourceResistance({ pinCapacitance: 0, switchResistance: 1e3, sampleCapacitance: 8e-12, sampleTime: 93.75e-9, allowedErrorLsb: 0.5, bits: 12, reference: 3 }) // => 300.50635
 */
export function maxSourceResistance(
  given: FixedParts & SettlingDemand & { sampleTime: number },
): number | 'none' | 'any' {
  const a = named('maxSourceResistance', resistanceShape, given);
  const which = whichOf('maxSourceResistance', a);
  const period = a.period ?? 0;
  if (a.period !== undefined) requirePeriod('maxSourceResistance', period, a.sampleTime);
  const allowed = allowedPart(a);
  const part = (ohms: number): number => {
    const m = modes(ohms, a.pinCapacitance, a.switchResistance, a.sampleCapacitance);
    return missingPart(m, a.sampleTime, period, a.startsAt, which);
  };
  if (part(largestResistance) <= allowed) return 'any';
  if (part(0) > allowed) return 'none';
  const least = 1e-9;
  const f = (ohms: number): number => excess(part(ohms), allowed);
  if (part(least) > allowed) return rootBetween(f, 0, least);
  return Math.exp(rootBetween((x) => f(Math.exp(x)), Math.log(least), Math.log(largestResistance)));
}

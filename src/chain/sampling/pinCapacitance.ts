/**
 * Pin capacitance: where a capacitor at the pin helps, and where it harms.
 *
 * A small C_p settles along with C_s; a large one gives C_s its charge without falling by more than is allowed; one in between
 * does neither. In come the rest of the network and the allowed error; out go the ranges of C_p that serve.
 */
import { maybe, named } from '../../numbers/guard.ts';
import { rootBetween } from '../../numbers/roots.ts';
import {
  allowedVoltage,
  demand,
  fixedParts,
  largestCapacitance,
  requirePeriod,
  seconds,
  sourceResistance,
  whichOf,
} from './arguments.ts';
import { missingPart, wakePart } from './gain.ts';
import { modes } from './network.ts';
import type { SettlingDemand } from './sampleTime.ts';

/** The ranges of C_p that serve. */
export interface PinCapacitanceWindows {
  /** From none up to C1, F ('any': without limit); null if no capacitance at all already fails. */
  small: [0, number | 'any'] | null;
  /** From C2 up to C3, F ('any': without limit), above a range that fails; null if there is no such range. */
  large: [number, number | 'any'] | null;
}

const shape = {
  sourceResistance,
  ...fixedParts,
  sampleTime: seconds,
  ...demand,
  wakeTime: maybe(seconds),
};

/** Capacitances tried per factor e before the ends are refined: the error varies over whole factors. */
const triedPerFold = 12;

/**
 * The pin capacitances with |error| within the allowed one.
 *
 *     |error| = allowedErrorLsb·reference/2^bits
 *
 * With `wakeTime` the pin starts at 0 V that long ahead of the first conversion, and what it still lacks then,
 * sourceVoltage·exp(−wakeTime/(R_s·C_p)), is carried through the same conversions and added to the settling error without
 * regard to sign: this is what ends the upper range. Without it, the pin starts on the source.
 *
 * @param sourceResistance - R_s, Ω, 0 … 1e30
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
 * @param wakeTime - from the source's power-up to the first conversion, s; the steady state does not depend on it
 * @returns the two ranges, F; ends above 1e6 F are 'any'
 * @throws RangeError if an argument is out of range, `period` is shorter than `sampleTime`, or `ratio` comes without it
 * @see the derivation at the heads of network.ts and gain.ts
 *
 * @example
 * pinCapacitanceWindows({ sourceResistance: 5e3, switchResistance: 1.2e3, sampleCapacitance: 6e-12, sampleTime: 1e-6, bits: 12, reference: 3 }).large[0] // => 9.81007e-8
 */
export function pinCapacitanceWindows(
  given: SettlingDemand & {
    sourceResistance: number;
    switchResistance: number;
    sampleCapacitance: number;
    sampleTime: number;
    wakeTime?: number | undefined;
  },
): PinCapacitanceWindows {
  const a = named('pinCapacitanceWindows', shape, given);
  const which = whichOf('pinCapacitanceWindows', a);
  if (a.period !== undefined) requirePeriod('pinCapacitanceWindows', a.period, a.sampleTime);
  const { sourceVoltage = a.reference, period = 0, wakeTime = Number.POSITIVE_INFINITY } = a;
  const allowed = allowedVoltage(a);
  const step = Math.abs(a.previousVoltage - sourceVoltage);
  const excess = (farads: number): number => {
    const m = modes(a.sourceResistance, farads, a.switchResistance, a.sampleCapacitance);
    const settling = step * missingPart(m, a.sampleTime, period, a.startsAt, which);
    const lacking = m.pin > 0 ? Math.abs(sourceVoltage) * Math.exp(-wakeTime / m.pin) : 0;
    const waking = lacking > 0 ? lacking * wakePart(m, a.sampleTime, period, a.startsAt, which) : 0;
    return Math.log(Math.max(settling + waking, Number.MIN_VALUE) / allowed);
  };
  const ranges = servingRanges(excess, a.sampleCapacitance);
  const small = ranges.find(([start]) => start === 0);
  const large = ranges.find(([start]) => start > 0);
  return { small: small ? [0, small[1]] : null, large: large ?? null };
}

/** The ranges of C_p, from 0 up, where `excess` is not above 0. */
function servingRanges(
  excess: (farads: number) => number,
  sampleCapacitance: number,
): [number, number | 'any'][] {
  const low = 1e-6 * sampleCapacitance;
  const folds = Math.log(largestCapacitance / low);
  const count = Math.ceil(triedPerFold * folds);
  const ranges: [number, number | 'any'][] = [];
  let before = 0;
  let served = excess(0) <= 0;
  let start = 0;
  for (let i = 0; i <= count; i++) {
    const farads = i === count ? largestCapacitance : low * Math.exp((folds * i) / count);
    const serves = excess(farads) <= 0;
    if (serves !== served) {
      const edge = rootBetween(excess, before, farads);
      if (serves) start = edge;
      else ranges.push([start, edge]);
      served = serves;
    }
    before = farads;
  }
  if (served) ranges.push([start, 'any']);
  return ranges;
}

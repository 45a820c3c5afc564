/**
 * Transitions within a tolerance: how far each may stand from its place, and the codes that a voltage can then give.
 *
 * In come the converter and the half-widths of its errors; out go, for a voltage, the fewest and the most transitions at or below it,
 * and for a transition the lowest, the nominal and the highest voltage.
 */
import { between, named, or } from '../../numbers/guard.ts';

/** Half-widths of the converter's errors, each taken at its worst. */
export interface Tolerance {
  /** Offset, native LSB. */
  readonly offsetLsb?: number;
  /** Integral nonlinearity, native LSB; each transition has its own. */
  readonly inlLsb?: number;
  /** Gain, relative: 0.01 is 1 %. */
  readonly gain?: number;
  /** Reference voltage, relative. */
  readonly reference?: number;
}

/** Where the transitions of a converter may stand. */
export interface Transitions {
  /** Code of a voltage if every transition stands highest. */
  fewest(volts: number): number;
  /** Code of a voltage if every transition stands lowest. */
  most(volts: number): number;
  /** The same for a voltage just under `volts`. */
  mostUnder(volts: number): number;
  /** Lowest voltage of transition k, V. */
  lowest(k: number): number;
  /** Voltage of transition k without error, V. */
  nominal(k: number): number;
  /** Highest voltage of transition k, V. */
  highest(k: number): number;
}

const lsb = or(between(0, 2 ** 32, 'LSB'), 0);
const relative = or(between(0, 0.5, ''), 0);
const toleranceShape = { offsetLsb: lsb, inlLsb: lsb, gain: relative, reference: relative };

/** Nearness to a transition within which a voltage counts as standing on it: that of `codeFromVoltage`. */
const snap = 2 ** -50;

/** Number of transitions at or under `u`, on a scale where transition k is at k; `on`: whether one that `u` stands on counts. */
function count(u: number, moved: number, on: boolean): number {
  const nearest = Math.round(u);
  if (Math.abs(u - nearest) <= snap * Math.max(1, Math.abs(u), moved)) return on ? nearest : nearest - 1;
  return Math.floor(u);
}

/** The tolerance in full, read against its rules. */
export const readTolerance = (place: string, tolerance: Tolerance): Required<Tolerance> =>
  named(place, toleranceShape, tolerance);

/**
 * Where the transitions of a converter may stand within its tolerance.
 *
 *     (T[k] − offset − inl)(1 − gain)(1 − reference) … (T[k] + offset + inl)(1 + gain)(1 + reference)
 *
 * A transition that the offset carries below 0 V is lowest with the larger factors.
 *
 * @param lsbOfTolerance - one LSB of the tolerance in LSB of this converter
 */
export function transitionsOf(
  converter: { bits: number; reference: number; firstTransition: 0.5 | 1 },
  tolerance: Required<Tolerance>,
  lsbOfTolerance: number,
): Transitions {
  const { bits, reference, firstTransition } = converter;
  const codes = 2 ** bits;
  const moved = (tolerance.offsetLsb + tolerance.inlLsb) * lsbOfTolerance;
  const wide = (1 + tolerance.gain) * (1 + tolerance.reference);
  const narrow = (1 - tolerance.gain) * (1 - tolerance.reference);
  const code = (volts: number, factor: number, move: number, on: boolean): number => {
    const u = (volts * codes) / (reference * factor) + move + 1 - firstTransition;
    return Math.min(codes - 1, Math.max(0, count(u, moved, on))) + 0;
  };
  const lowFactor = (volts: number) => (volts < 0 ? wide : narrow);
  const at = (k: number, move: number): number => ((k - 1 + firstTransition + move) * reference) / codes;
  return {
    fewest: (volts) => code(volts, wide, -moved, true),
    most: (volts) => code(volts, lowFactor(volts), moved, true),
    mostUnder: (volts) => code(volts, lowFactor(volts), moved, false),
    lowest: (k) => at(k, -moved) * lowFactor(at(k, -moved)),
    nominal: (k) => at(k, 0),
    highest: (k) => at(k, moved) * wide,
  };
}

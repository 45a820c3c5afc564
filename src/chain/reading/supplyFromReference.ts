/**
 * The supply, from a reading of a known voltage against it: the way a controller without a precise reference learns its supply.
 *
 * In go the known voltage and its code, out comes the voltage that the converter's full scale stands for.
 */
import { between, choice, maybe, named, real, whole } from '../../numbers/guard.ts';

/** A supply voltage found from the code of a known reference. */
export interface SupplyFromReference {
  /** Supply, V. */
  readonly voltage: number;
  /** Standard uncertainty of the supply, V; present if that of the reference or of the code was stated. */
  readonly uncertainty?: number;
  /** Change of the supply for one code, V, as a magnitude: a higher code means a lower supply. */
  readonly perCode: number;
}

const shape = {
  referenceVoltage: between(1e-30, 1e30, 'V'),
  referenceCode: real(''),
  bits: whole(1, 32),
  firstTransition: choice([0.5, 1]),
  referenceUncertainty: maybe(between(0, 1e30, 'V')),
  codeUncertainty: maybe(between(0, 1e10, '')),
};

/**
 * The supply from the code of a known voltage, the supply being the converter's reference.
 *
 *     V = V_int·2^N/(code + firstTransition − ½)
 *
 * It serves chains that measure an absolute voltage. A ratiometric chain needs no supply, and correcting it would add this error.
 *
 * @param referenceVoltage - the known voltage V_int, V, > 0
 * @param referenceCode - its code, 1 … 2^bits − 1, fractional (a mean of codes) allowed
 * @param bits - result width N, 1 … 32
 * @param firstTransition - first code transition, LSB: 0.5 or 1
 * @param referenceUncertainty - standard uncertainty of `referenceVoltage`, V, ≥ 0
 * @param codeUncertainty - standard uncertainty of `referenceCode`, codes, ≥ 0
 * @returns supply in V, its standard uncertainty (both parts uncorrelated, first order) and its change per code
 * @throws RangeError if an argument is outside its range
 * @see [GUM] 5.1.2 (combination)
 *
 * @example
 * supplyFromReference({ referenceVoltage: 1.2, referenceCode: 1638.4, bits: 12, firstTransition: 0.5 }).voltage // => 3.000
 */
export function supplyFromReference(given: {
  readonly referenceVoltage: number;
  readonly referenceCode: number;
  readonly bits: number;
  readonly firstTransition: 0.5 | 1;
  readonly referenceUncertainty?: number;
  readonly codeUncertainty?: number;
}): SupplyFromReference {
  const { referenceVoltage, referenceCode, bits, firstTransition, referenceUncertainty, codeUncertainty } =
    named('supplyFromReference', shape, given);
  named('supplyFromReference', { referenceCode: between(1, 2 ** bits - 1, '') }, { referenceCode });
  const steps = referenceCode + firstTransition - 0.5;
  const voltage = (referenceVoltage / steps) * 2 ** bits;
  const perCode = voltage / steps;
  if (referenceUncertainty === undefined && codeUncertainty === undefined) return { voltage, perCode };
  const byReference = ((referenceUncertainty ?? 0) / referenceVoltage) * voltage;
  return { voltage, uncertainty: Math.hypot(byReference, (codeUncertainty ?? 0) * perCode), perCode };
}

/**
 * Supply correction in integers: a code taken against the supply becomes the code that the nominal supply would give, by the code of
 * the internal reference taken with the same settings.
 *
 *     C' + d = (C + d)·(E + d)/(C_ref + d),   d = (R·(firstTransition − ½) − r + (2^s − 1)/2)/2^s
 *
 * It serves chains that measure an absolute voltage against a supply that moves. A ratiometric chain must not be corrected.
 */
import {
  addedBeforeShift,
  largestResult,
  type Rounding,
  ratioRule,
  roundingRule,
  shiftRule,
} from '../chain/averaging/result.ts';
import { bitsRule, firstTransitionRule } from '../chain/quantizing.ts';
import { named, positive, refusal } from '../numbers/guard.ts';

/** The correction's constants, and what it computes. */
export interface SupplyCorrection {
  /** A code and d are counted in 2^-fractionBits of a code. */
  readonly fractionBits: number;
  /** d, in those parts. */
  readonly addend: number;
  /** What the internal reference gives at the nominal supply, d included, in those parts. */
  readonly expected: number;
  /** Supply times (C_ref + d), millivolts times parts. */
  readonly millivolts: number;
  /** Largest result code. */
  readonly largestCode: number;
  /** Lowest code of the reference that is taken; below it the supply would be more than twice the nominal one. */
  readonly lowestReferenceCode: number;
  /** Width of the intermediates, bits. */
  readonly intermediates: 32 | 64;
  readonly largestIntermediate: number;
  /** The corrected code, 0 … largestCode; `largestCode` where the reference's code is too low to be true. */
  correctedCode(code: number, referenceCode: number): number;
  /** The supply, mV, rounded; 0 where the reference's code is too low to be true. */
  supplyMillivolts(referenceCode: number): number;
}

/** Parts of a code that rounding is done in, log2, at least. */
const leastFractionBits = 3;

/** Most parts of a code, log2: they keep the products in 53 bits. */
const mostFractionBits = 8;

const shape = {
  bits: bitsRule,
  firstTransition: firstTransitionRule,
  ratio: ratioRule,
  shift: shiftRule,
  rounding: roundingRule,
  nominalSupply: positive('V'),
  internalReference: positive('V'),
};

/**
 * The supply correction of a chain.
 *
 * @param bits - native bits N
 * @param firstTransition - T[1]/q: 0.5 or 1
 * @param ratio - oversampling ratio R of both results
 * @param shift - right shift s of both
 * @param rounding - 'truncate' or 'round'
 * @param nominalSupply - supply that codes are corrected to, V, > 0
 * @param internalReference - voltage of the internal reference, V, > 0, below the supply
 * @returns constants and functions; a corrected code is within one code of the exact one
 * @throws RangeError for an argument outside its range
 *
 * @example
 * supplyCorrection({ bits: 12, firstTransition: 0.5, ratio: 1, shift: 0, rounding: 'truncate', nominalSupply: 3, internalReference: 1.2 }).supplyMillivolts(1638) // => 3001
 */
export function supplyCorrection(given: {
  readonly bits: number;
  readonly firstTransition: 0.5 | 1;
  readonly ratio: number;
  readonly shift: number;
  readonly rounding: Rounding;
  readonly nominalSupply: number;
  readonly internalReference: number;
}): SupplyCorrection {
  const caller = 'supplyCorrection';
  const args = named(caller, shape, given);
  const { bits, firstTransition, ratio, shift, rounding, nominalSupply, internalReference } = args;
  if (!(internalReference < nominalSupply)) {
    throw new RangeError(
      refusal(`${caller}.internalReference`, internalReference, `below nominalSupply, ${nominalSupply} V`),
    );
  }
  const width = 2 ** shift;
  const d = (ratio * (firstTransition - 0.5) - addedBeforeShift(shift, rounding) + (width - 1) / 2) / width;
  let fractionBits = leastFractionBits;
  while (fractionBits < mostFractionBits && !Number.isInteger(d * 2 ** fractionBits)) fractionBits++;
  const parts = 2 ** fractionBits;
  const addend = Math.round(d * parts);
  const fullScale = (2 ** bits * ratio * parts) / width;
  const expected = Math.round((internalReference / nominalSupply) * fullScale);
  const millivolts = Math.round(internalReference * 1000 * fullScale);
  const largestCode = largestResult(bits, ratio, shift, rounding);
  const lowestReferenceCode = Math.max(1, Math.ceil((expected / 2 - addend) / parts));
  const largest = largestCode * parts + addend;
  const largestIntermediate = Math.max(largest * expected, millivolts) + Math.ceil(largest / 2);
  if (largestIntermediate > 2 ** 53) {
    throw new RangeError(
      `${refusal(`${caller}.ratio`, ratio, 'results of fewer bits')}; a product needs more than 53 bits`,
    );
  }
  const partsOf = (code: number): number => Math.max(0, code * parts + addend);
  return {
    fractionBits,
    addend,
    expected,
    millivolts,
    largestCode,
    lowestReferenceCode,
    intermediates: largestIntermediate < 2 ** 32 ? 32 : 64,
    largestIntermediate,
    correctedCode: (code, referenceCode) => {
      if (referenceCode < lowestReferenceCode || code > largestCode) return largestCode;
      const by = partsOf(referenceCode);
      const quotient = Math.floor((partsOf(code) * expected + Math.floor(by / 2)) / by);
      const back = quotient + parts / 2;
      return back < addend ? 0 : Math.min(Math.floor((back - addend) / parts), largestCode);
    },
    supplyMillivolts: (referenceCode) => {
      if (referenceCode < lowestReferenceCode) return 0;
      const by = partsOf(referenceCode);
      return Math.floor((millivolts + Math.floor(by / 2)) / by);
    },
  };
}

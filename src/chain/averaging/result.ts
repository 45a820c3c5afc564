/**
 * Result: the averaged code that the hardware keeps, and the voltage that it stands for.
 *
 *     C = floor((S + r)/2^s),  S the sum of R codes,  r = 2^(s−1) where the hardware rounds and s ≥ 1, else 0
 */
import { between, choice, named, whole } from '../../numbers/guard.ts';
import { bitsRule, firstTransitionRule, referenceRule } from '../quantizing.ts';

/** What the hardware does with the bits it shifts out: drops them, or adds half a result code first. */
export type Rounding = 'truncate' | 'round';

/** Rules for the arguments that make an averaged result. */
export const ratioRule = whole(1, 65536);
export const shiftRule = whole(0, 20);
export const roundingRule = choice(['truncate', 'round']);

/** What is added to the sum before the shift, r. */
export const addedBeforeShift = (shift: number, rounding: Rounding): number =>
  rounding === 'round' && shift > 0 ? 2 ** (shift - 1) : 0;

/** Largest result code, before the register: floor(((2^N − 1)·R + r)/2^s). */
export const largestResult = (bits: number, ratio: number, shift: number, rounding: Rounding): number =>
  Math.floor(((2 ** bits - 1) * ratio + addedBeforeShift(shift, rounding)) / 2 ** shift);

/** Binary digits of a whole number from 0; 0 has none. */
export const binaryDigits = (code: number): number => (code === 0 ? 0 : code.toString(2).length);

const fromResult = {
  code: between(-(2 ** 53), 2 ** 53, ''),
  bits: bitsRule,
  reference: referenceRule,
  firstTransition: firstTransitionRule,
  ratio: ratioRule,
  shift: shiftRule,
  rounding: roundingRule,
};

/**
 * Voltage at the centre of the sums that give an averaged result.
 *
 *     V = ((C·2^s − r + (2^s − 1)/2)/R + firstTransition − ½)·q
 *
 * The bias of truncation is not in it. C·2^s/R·q is what firmware gets that forgets it.
 *
 * @param code - averaged result C, or a mean of results
 * @param bits - native bits N, 1 … 32
 * @param reference - reference voltage V_ref, volts, above 0
 * @param firstTransition - T[1]/q: 0.5 or 1
 * @param ratio - oversampling ratio R, 1 … 65536
 * @param shift - right shift s, 0 … 20
 * @param rounding - 'truncate' or 'round'
 * @returns V, volts; that of `voltageFromCode` where R = 1 and s = 0
 * @throws RangeError for an argument outside its range
 *
 * voltageFromResult({ code: 32768, bits: 12, reference: 4.096, firstTransition: 0.5, ratio: 256, shift: 4, rounding: 'truncate' }) // => 2.048029
 */
export function voltageFromResult(given: {
  code: number;
  bits: number;
  reference: number;
  firstTransition: 0.5 | 1;
  ratio: number;
  shift: number;
  rounding: Rounding;
}): number {
  const args = named('voltageFromResult', fromResult, given);
  const { code, bits, reference, firstTransition, ratio, shift, rounding } = args;
  const step = 2 ** shift;
  const sum = code * step - addedBeforeShift(shift, rounding) + (step - 1) / 2;
  return ((sum / ratio + firstTransition - 0.5) * reference) / 2 ** bits;
}

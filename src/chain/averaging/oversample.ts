/**
 * Oversampling: what an averaged result is worth, exactly.
 *
 * R conversions of an input that stands anywhere in a code width, with Gaussian noise σ ahead of the quantizer, are summed,
 * shifted right by s and kept in a register. In: N, σ, R, s. Out: width of the result, and bias and rms of its error in native
 * LSB. Nothing is taken from a rule of thumb; the rule is shown beside.
 *
 * Let g = 2^t be the largest power of two in both R and 2^s, and P = 2^s/g. An input higher by whole codes n adds R·n to the
 * sum; over n = 0 … P − 1 that runs through the multiples of g modulo 2^s. The part shifted out is therefore ρ + g·U, with
 * ρ = (S + r) mod g, and U uniform on 0 … P − 1 and independent of all else. Hence, with MSE(R) the mean square error of the
 * mean of R codes before the shift, and mean and spread of ρ as in `residue.ts`,
 *
 *     MSE(R)   = B² + (σ² + 1/12 − B²)/R
 *     bias     = (r − (2^s − 1)/2 − mean)/R
 *     variance = MSE(R) + (spread − mean² + g²(P² − 1)/12)/R²
 */
import { between, named, or, type Rule, whole } from '../../numbers/guard.ts';
import { bitsRule } from '../quantizing.ts';
import { type Modulus, residues } from './residue.ts';
import {
  addedBeforeShift,
  binaryDigits,
  largestResult,
  type Rounding,
  ratioRule,
  roundingRule,
  shiftRule,
} from './result.ts';
import { rippleSquare, ruleOfThumbBits } from './ripple.ts';

/** What an averaged result is worth. LSB are native ones. */
export interface Oversampled {
  /** Binary digits of the largest result code. */
  readonly resultBits: number;
  /** Largest result code, before the register. */
  readonly largestCode: number;
  /** One result code, LSB. */
  readonly resultLsb: number;
  /** Whether the largest result exceeds the register. */
  readonly overflows: boolean;
  /** Mean of the error over noise and input, LSB. */
  readonly biasLsb: number;
  /** Standard deviation of the error about its mean, over noise and input, LSB. */
  readonly rmsErrorLsb: number;
  /** Rms of the part that no averaging removes, LSB. */
  readonly rippleLsb: number;
  /** N − log2(√12·rmsErrorLsb), bits; may be more or fewer than `resultBits`. */
  readonly effectiveBits: number;
  /** N + ½·log2 R, bits. */
  readonly ruleOfThumbBits: number;
}

/** One setting of a table, with what it is worth. */
export interface OversampledSetting extends Oversampled {
  readonly ratio: number;
  readonly shift: number;
}

const list = (each: Rule<number>): Rule<readonly number[]> => ({
  allowed: `an array of ${each.allowed}`,
  keeps: (value): value is readonly number[] => Array.isArray(value) && value.every(each.keeps),
});

const common = {
  bits: bitsRule,
  noiseLsb: between(0, 1e6, 'LSB'),
  rounding: or(roundingRule, 'truncate'),
  registerBits: or(whole(1, 53), 16),
};
const single = { ...common, ratio: ratioRule, shift: shiftRule };
const table = { ...common, ratios: list(ratioRule), shifts: list(shiftRule) };

/**
 * What an averaged result of R conversions and a right shift of s is worth.
 *
 * The error is that of C·2^s/R against the input in LSB from a code centre, for an input spread evenly and away from both ends
 * of the range. The noise is white: independent from conversion to conversion.
 *
 * @param bits - native bits N, 1 … 32
 * @param noiseLsb - transition noise σ (without quantization), LSB rms, 0 … 1e6
 * @param ratio - oversampling ratio R, 1 … 65536
 * @param shift - right shift s, 0 … 20
 * @param rounding - 'truncate' (default) or 'round'
 * @param registerBits - width of the result register, 1 … 53; 16 unless given
 * @returns widths in bits, errors in native LSB
 * @throws RangeError for an argument outside its range
 * @see [QNOISE] ch. 19 for the moments of a rounded normal variable
 *
 * oversample({ bits: 12, noiseLsb: 0.5, ratio: 256, shift: 4 }).effectiveBits // => 14.838
 * oversample({ bits: 12, noiseLsb: 0.2, ratio: 10, shift: 3 }).biasLsb // => -0.337420
 */
export function oversample(given: {
  bits: number;
  noiseLsb: number;
  ratio: number;
  shift: number;
  rounding?: Rounding;
  registerBits?: number;
}): Oversampled {
  const { ratio, shift, ...args } = named('oversample', single, given);
  return worths(args, ratio, [shift])[0]!;
}

/**
 * What every setting of a table of ratios and shifts is worth; the shifts of a ratio share its characteristic function.
 *
 * @param bits - native bits N, 1 … 32
 * @param noiseLsb - transition noise σ (without quantization), LSB rms, 0 … 1e6
 * @param ratios - oversampling ratios R, each 1 … 65536
 * @param shifts - right shifts s, each 0 … 20
 * @param rounding - 'truncate' (default) or 'round'
 * @param registerBits - width of the result register, 1 … 53; 16 unless given
 * @returns one row for each ratio and shift, the shifts of the first ratio first; each as `oversample` gives it
 * @throws RangeError for an argument outside its range
 *
 * oversampleTable({ bits: 12, noiseLsb: 0.5, ratios: [16, 256], shifts: [0, 4] })[3]?.effectiveBits // => 14.838
 */
export function oversampleTable(given: {
  bits: number;
  noiseLsb: number;
  ratios: readonly number[];
  shifts: readonly number[];
  rounding?: Rounding;
  registerBits?: number;
}): OversampledSetting[] {
  const { ratios, shifts, ...args } = named('oversampleTable', table, given);
  return ratios.flatMap((ratio) =>
    worths(args, ratio, shifts).map((worth, i) => ({ ratio, shift: shifts[i]!, ...worth })),
  );
}

/** What each shift of one ratio is worth. */
function worths(
  args: { bits: number; noiseLsb: number; rounding: Rounding; registerBits: number },
  ratio: number,
  shifts: readonly number[],
): Oversampled[] {
  const { bits, noiseLsb, rounding, registerBits } = args;
  const ripple = rippleSquare(noiseLsb);
  const unshifted = ripple + (noiseLsb * noiseLsb + 1 / 12 - ripple) / ratio;
  const moduli = shifts.map((shift) => modulusOf(ratio, shift, rounding));
  const dropped = residues(noiseLsb, ratio, moduli);
  return shifts.map((shift, i) => {
    const step = 2 ** shift;
    const { modulus } = moduli[i]!;
    const { mean, spread } = dropped[i]!;
    const rest = spread - mean * mean + (step * step - modulus * modulus) / 12;
    const rmsErrorLsb = Math.sqrt(unshifted + rest / (ratio * ratio));
    const largestCode = largestResult(bits, ratio, shift, rounding);
    return {
      resultBits: binaryDigits(largestCode),
      largestCode,
      resultLsb: step / ratio,
      overflows: largestCode > 2 ** registerBits - 1,
      biasLsb: (addedBeforeShift(shift, rounding) - (step - 1) / 2 - mean) / ratio,
      rmsErrorLsb,
      rippleLsb: Math.sqrt(ripple),
      effectiveBits: bits - Math.log2(Math.sqrt(12) * rmsErrorLsb),
      ruleOfThumbBits: ruleOfThumbBits(bits, ratio),
    };
  });
}

/** The modulus g of the part that depends on the noise; where it is less than 2^s, the rounding bit lies above it. */
function modulusOf(ratio: number, shift: number, rounding: Rounding): Modulus {
  const step = 2 ** shift;
  const modulus = Math.min(step, ratio & -ratio);
  return { modulus, added: modulus === step ? addedBeforeShift(shift, rounding) : 0 };
}

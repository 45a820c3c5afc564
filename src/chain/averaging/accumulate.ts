/**
 * Accumulating: what the hardware does to recorded codes, burst by burst.
 *
 *     C = floor((S + r)/2^s),  S the sum of R codes
 *
 * Codes come in; the results that the register would have held go out.
 */
import { choice, named, or, type Rule, whole } from '../../numbers/guard.ts';
import { addedBeforeShift, type Rounding, ratioRule, roundingRule, shiftRule } from './result.ts';

/** Arrays whose type admits whole numbers only. */
const wholeTypes = [Uint8Array, Uint16Array, Uint32Array, Int8Array, Int16Array, Int32Array];

const codes: Rule<ArrayLike<number>> = {
  allowed: 'an array of whole numbers',
  keeps: (value): value is ArrayLike<number> => {
    if (wholeTypes.some((type) => value instanceof type)) return true;
    if (!(Array.isArray(value) || value instanceof Float64Array || value instanceof Float32Array))
      return false;
    for (let i = 0; i < value.length; i++) if (!Number.isSafeInteger(value[i])) return false;
    return true;
  },
};

const shape = {
  codes,
  ratio: ratioRule,
  shift: shiftRule,
  rounding: roundingRule,
  registerBits: or(whole(1, 31), 16),
  onOverflow: choice(['saturate', 'wrap']),
};

/**
 * Averaged results of a record of codes.
 *
 * An incomplete last burst is left out. Sums are exact while they stay within ±2^53. The shift is arithmetic: it rounds sums below
 * 0 downwards.
 *
 * @param codes - record of M codes, whole numbers; not modified
 * @param ratio - oversampling ratio R, 1 … 65536
 * @param shift - right shift s, 0 … 20
 * @param rounding - 'truncate', or 'round': 2^(s−1) is added before the shift
 * @param registerBits - width b of the result register, 1 … 31; 16 unless given
 * @param onOverflow - 'saturate': clamped to 0 … 2^b − 1; 'wrap': the low b bits are kept
 * @returns floor(M/R) results, whole, 0 … 2^b − 1
 * @throws RangeError for an argument outside its range
 *
 * Array.from(accumulate({ codes: [1, 2, 3, 4, 9], ratio: 2, shift: 1, rounding: 'truncate', onOverflow: 'saturate' })) // => [1, 3]
 */
export function accumulate(given: {
  codes: ArrayLike<number>;
  ratio: number;
  shift: number;
  rounding: Rounding;
  registerBits?: number;
  onOverflow: 'saturate' | 'wrap';
}): Int32Array {
  const { codes, ratio, shift, rounding, registerBits, onOverflow } = named('accumulate', shape, given);
  const added = addedBeforeShift(shift, rounding);
  const scale = 2 ** -shift;
  const full = 2 ** registerBits;
  const wraps = onOverflow === 'wrap';
  const out = new Int32Array(Math.floor(codes.length / ratio));
  for (let n = 0, i = 0; n < out.length; n++) {
    let sum = added;
    for (const end = i + ratio; i < end; i++) sum += codes[i]!;
    const result = Math.floor(sum * scale);
    if (wraps) out[n] = result - full * Math.floor(result / full);
    else out[n] = result < 0 ? 0 : result < full ? result : full - 1;
  }
  return out;
}

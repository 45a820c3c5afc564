/**
 * Filtered codes: the filters that firmware adds over readings, in whole numbers and bit for bit.
 *
 * In come readings as unsigned codes and a filter; out goes its output after each of them. Every filter starts as if the first
 * reading had always been there.
 */
import { named, type Rule } from '../numbers/guard.ts';
import { type ExponentialForm, filterRule, type ReadingFilter, readFilter } from './filter.ts';

const largest = 2 ** 31 - 1;

const codesRule: Rule<ArrayLike<number>> = {
  allowed: 'an array of whole numbers 0 … 2147483647',
  keeps: (v): v is ArrayLike<number> => {
    if (!Array.isArray(v) && !(ArrayBuffer.isView(v) && !(v instanceof DataView))) return false;
    const list = v as ArrayLike<unknown>;
    for (let i = 0; i < list.length; i++) {
      const code = list[i];
      if (!(Number.isInteger(code) && (code as number) >= 0 && (code as number) <= largest)) return false;
    }
    return true;
  },
};

/**
 * The output of a filter after each reading, as unsigned or two's complement arithmetic gives it.
 *
 *     mean:                     y = (sum of the last n)/n, the division truncating
 *     exponential, 'shift':     y += (x − y) >> shift, the shift arithmetic, so it rounds down
 *     exponential, 'divide':    y += (x − y)/2^shift, the division truncating toward zero
 *     exponential, 'accumulator': a += x − (a >> shift); y = a >> shift; a holds `shift` bits more than a code
 *     median:                   the middle one of the last 3 or 5
 *
 * @param codes - readings, whole numbers 0 … 2³¹ − 1; not modified
 * @param filter - {kind: 'mean', length: 1 … 4096}, {kind: 'exponential', shift: 0 … 16, form: 'shift' | 'divide' | 'accumulator'} or {kind: 'median', length: 3 | 5}
 * @returns Int32Array of as many codes
 * @throws RangeError if an argument is outside its range
 * @see own definition, stated above
 *
 * @example
 * [...filteredCodes({ codes: [0, 100, 100, 100], filter: { kind: 'exponential', shift: 2, form: 'shift' } })] // => [0, 25, 43, 57]
 * [...filteredCodes({ codes: [5, 900, 6, 7], filter: { kind: 'median', length: 3 } })] // => [5, 5, 6, 7]
 */
export function filteredCodes(given: {
  readonly codes: ArrayLike<number>;
  readonly filter: ReadingFilter;
}): Int32Array {
  const a = named('filteredCodes', { codes: codesRule, filter: filterRule }, given);
  const filter = readFilter('filteredCodes', a.filter);
  const out = new Int32Array(a.codes.length);
  if (out.length === 0) return out;
  if (filter.kind === 'mean') meanInto(a.codes, filter.length, out);
  else if (filter.kind === 'median') medianInto(a.codes, filter.length, out);
  else exponentialInto(a.codes, filter.shift, filter.form, out);
  return out;
}

function meanInto(codes: ArrayLike<number>, length: number, out: Int32Array): void {
  const first = codes[0]!;
  let sum = first * length;
  for (let i = 0; i < out.length; i++) {
    sum += codes[i]! - (i < length ? first : codes[i - length]!);
    out[i] = Math.floor(sum / length);
  }
}

function exponentialInto(
  codes: ArrayLike<number>,
  shift: number,
  form: ExponentialForm,
  out: Int32Array,
): void {
  const scale = 2 ** shift;
  let y = codes[0]!;
  let held = y * scale;
  for (let i = 0; i < out.length; i++) {
    const difference = codes[i]! - y;
    if (form === 'accumulator') {
      held += difference;
      y = Math.floor(held / scale);
    } else {
      y += form === 'shift' ? Math.floor(difference / scale) : Math.trunc(difference / scale);
    }
    out[i] = y;
  }
}

function medianInto(codes: ArrayLike<number>, length: number, out: Int32Array): void {
  const last = new Float64Array(length).fill(codes[0]!);
  const sorted = new Float64Array(length);
  for (let i = 0; i < out.length; i++) {
    last[i % length] = codes[i]!;
    sorted.set(last);
    sorted.sort();
    out[i] = sorted[(length - 1) / 2]!;
  }
}

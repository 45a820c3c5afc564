/**
 * Digital comparator: the value that the hardware compares, for each code of a conversion.
 *
 *     u = floor(x/2^drop),  x = code, or floor((R·code + r)/2^s) at a steady input
 *
 * In come the stage compared and the averaging; out goes the map from codes to compared values and back.
 */
import { choice, maybe, named, or, refusal, whole } from '../../numbers/guard.ts';
import { addedBeforeShift, type Rounding } from '../averaging/result.ts';

/** What the hardware compares, and with how many bits. */
export interface Compare {
  /** Each conversion's code, or the averaged result. */
  readonly stage: 'conversion' | 'result';
  /** Width of the comparator, 1 … 32. */
  readonly bits: number;
  /** Low bits cut off before the comparison, 0 … 20; 0 unless given. */
  readonly drop?: number | undefined;
  /** Whether a value equal to the threshold trips; false unless given. */
  readonly inclusive?: boolean | undefined;
  /** Width of the threshold register, from `bits` to 32: the threshold stands at its upper end. Without it, at its lower end. */
  readonly registerBits?: number | undefined;
}

/** A comparator, as far as a steady and noise-free input goes. */
export interface Comparator {
  readonly inclusive: boolean;
  /** Largest compared value. */
  readonly largest: number;
  /** Compared value of a code. */
  value(code: number): number;
  /** Lowest code whose compared value is at least `value`. */
  firstCode(value: number): number;
  /** Mean code at which a noisy input's compared value is `value` or more half of the time. */
  halfCode(value: number): number;
  /** What the register holds for a threshold on the scale of the compared value, and the same in hexadecimal, to full width. */
  written(threshold: number): { code: number; hex: string };
}

const compareShape = {
  stage: choice(['conversion', 'result']),
  bits: whole(1, 32),
  drop: or(whole(0, 20), 0),
  inclusive: or(choice([false, true]), false),
  registerBits: maybe(whole(1, 32)),
};

/**
 * The comparator behind a converter of N bits.
 *
 * @param place - public function and argument, for messages
 * @throws RangeError if the compared value does not fit the comparator, or is always 0
 */
export function comparatorOf(
  place: string,
  compare: Compare,
  chain: { bits: number; ratio: number; shift: number; rounding: Rounding },
): Comparator {
  const { stage, bits, drop, inclusive, registerBits: width = bits } = named(place, compareShape, compare);
  if (width < bits)
    throw new RangeError(refusal(`${place}.registerBits`, width, `from bits, ${bits}, to 32`));
  const averaged = stage === 'result';
  const ratio = averaged ? chain.ratio : 1;
  const added = averaged ? addedBeforeShift(chain.shift, chain.rounding) : 0;
  const step = 2 ** ((averaged ? chain.shift : 0) + drop);
  const value = (code: number): number => Math.floor((ratio * code + added) / step);
  const largest = value(2 ** chain.bits - 1);
  if (largest >= 2 ** bits) {
    const least = largest.toString(2).length;
    throw new RangeError(
      `${refusal(`${place}.bits`, bits, `from ${least}`)}; the largest compared value is ${largest}`,
    );
  }
  if (largest === 0) {
    throw new RangeError(
      `${refusal(`${place}.drop`, drop, 'fewer, or less shift')}; the compared value is always 0`,
    );
  }
  return {
    inclusive,
    largest,
    value,
    firstCode: (u) => Math.ceil((u * step - added) / ratio),
    halfCode: (u) => (u * step - added - 0.5) / ratio,
    written: (threshold) => {
      const code = threshold * 2 ** (width - bits);
      return {
        code,
        hex: `0x${code
          .toString(16)
          .toUpperCase()
          .padStart(Math.ceil(width / 4), '0')}`,
      };
    },
  };
}

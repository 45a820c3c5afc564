/**
 * Envelope: a record of any length as a few stretches of equal length, each with its mean and its ends, to be drawn.
 *
 * Values come in, in pieces; the stretches go out. Where there are too many of them, neighbours are put together, and the next are
 * twice as long, so that memory stays the same.
 */
import { named, whole } from '../numbers/guard.ts';

/** A record in stretches. */
export interface Envelope {
  /** Values in each stretch; the last may have fewer. */
  readonly stretch: number;
  /** Mean of each stretch, in the unit of the values. */
  readonly mean: Float64Array;
  /** Lowest value of each. */
  readonly lowest: Float64Array;
  /** Highest value of each. */
  readonly highest: Float64Array;
}

/** Takes a record in pieces. */
export interface EnvelopeStream {
  /** Takes the next values. */
  add(values: ArrayLike<number>): void;
  /** The stretches so far. */
  envelope(): Envelope;
}

/**
 * Envelope of a record that comes in pieces.
 *
 * @param most - most stretches, an even number 2 … 65536
 * @returns a stream to add values to
 * @throws RangeError for an argument outside its range
 *
 * envelopeStream({ most: 4 }).envelope().stretch // => 1
 */
export function envelopeStream(given: { most: number }): EnvelopeStream {
  const { most } = named('envelopeStream', { most: whole(2, 65536) }, given);
  const sums = new Float64Array(most);
  const lowest = new Float64Array(most);
  const highest = new Float64Array(most);
  let stretch = 1;
  /** Stretches begun, and values in the last of them. */
  let begun = 0;
  let filled = 0;

  const halve = (): void => {
    for (let i = 0; i < most / 2; i++) {
      sums[i] = sums[2 * i]! + sums[2 * i + 1]!;
      lowest[i] = Math.min(lowest[2 * i]!, lowest[2 * i + 1]!);
      highest[i] = Math.max(highest[2 * i]!, highest[2 * i + 1]!);
    }
    stretch *= 2;
    begun = most / 2;
    filled = stretch;
  };

  return {
    add(values) {
      for (let i = 0; i < values.length; ) {
        if (begun === 0 || filled === stretch) {
          if (begun === most) halve();
          sums[begun] = 0;
          lowest[begun] = Number.POSITIVE_INFINITY;
          highest[begun] = Number.NEGATIVE_INFINITY;
          begun++;
          filled = 0;
        }
        const end = Math.min(values.length, i + stretch - filled);
        const at = begun - 1;
        let sum = 0;
        let low = lowest[at]!;
        let high = highest[at]!;
        filled += end - i;
        for (; i < end; i++) {
          const value = values[i]!;
          sum += value;
          if (value < low) low = value;
          if (value > high) high = value;
        }
        sums[at]! += sum;
        lowest[at] = low;
        highest[at] = high;
      }
    },
    envelope: () => ({
      stretch,
      mean: sums.slice(0, begun).map((sum, i) => sum / (i === begun - 1 ? filled : stretch)),
      lowest: lowest.slice(0, begun),
      highest: highest.slice(0, begun),
    }),
  };
}

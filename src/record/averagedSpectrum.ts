/**
 * Averaged spectrum of a record of any length, in constant memory: half-overlapped segments, each less its mean and weighted, their
 * powers averaged.
 *
 * One long spectrum does not scatter less than a short one; averaging does. Values come in, in pieces; the spectrum goes out.
 */
import { realFourierInto } from '../numbers/fourier.ts';
import { named, numbers, or, positive, type Rule } from '../numbers/guard.ts';
import { addPower, axisOf, type Spectrum, weightedInto, windowRule } from './spectrum.ts';
import { type WindowName, windowOf } from './windows.ts';

/** A spectrum with how many segments it is the average of. */
export interface AveragedSpectrum extends Spectrum {
  /** Segments averaged. */
  readonly segments: number;
}

/** Takes a record in pieces. */
export interface SpectrumStream {
  /** Takes the next values. */
  add(values: ArrayLike<number>): void;
  /** The average so far; 'none' while no segment is full. */
  spectrum(): AveragedSpectrum | 'none';
}

const segmentLengths: Rule<number> = {
  allowed: 'powers of two 4 … 4194304',
  keeps: (value): value is number =>
    Number.isInteger(value) &&
    (value as number) >= 4 &&
    (value as number) <= 2 ** 22 &&
    Number.isInteger(Math.log2(value as number)),
};

const shape = {
  rate: positive('Hz'),
  window: or(windowRule, 'hann'),
  segmentLength: or(segmentLengths, 2 ** 14),
};

/**
 * Averaged spectrum of a record that comes in pieces.
 *
 * @param rate - values per second, Hz, above 0
 * @param window - window; 'hann' unless given
 * @param segmentLength - values in a segment, a power of two 4 … 2^22; 2^14 unless given
 * @returns a stream to add values to
 * @throws RangeError for an argument outside its range
 * @see [IEEEAU15] for the method
 *
 * spectrumStream({ rate: 1 }).spectrum() // => 'none'
 */
export function spectrumStream(given: {
  rate: number;
  window?: WindowName;
  segmentLength?: number;
}): SpectrumStream {
  const { rate, window, segmentLength } = named('spectrumStream', shape, given);
  const shaped = windowOf(window, segmentLength);
  const half = segmentLength / 2;
  const held = new Float64Array(segmentLength);
  const weighted = new Float64Array(segmentLength);
  const transformed = new Float64Array(segmentLength + 2);
  const sum = new Float64Array(half + 1);
  let count = 0;
  let segments = 0;
  return {
    add(values) {
      for (let i = 0; i < values.length; ) {
        const taken = Math.min(values.length - i, segmentLength - count);
        for (let j = 0; j < taken; j++) held[count + j] = values[i + j]!;
        i += taken;
        count += taken;
        if (count < segmentLength) return;
        weightedInto(held, 0, shaped.weights, weighted);
        addPower(sum, realFourierInto(weighted, transformed), segmentLength, shaped.coherentGain);
        segments++;
        held.copyWithin(0, half);
        count = half;
      }
    },
    spectrum() {
      if (segments === 0) return 'none';
      return {
        ...axisOf(segmentLength, rate, window, shaped),
        power: sum.map((p) => p / segments),
        segments,
      };
    },
  };
}

/**
 * Averaged spectrum of a record.
 *
 * @param values - record of M values in any unit, M at least `segmentLength`; not modified
 * @param rate - values per second, Hz, above 0
 * @param window - window; 'hann' unless given
 * @param segmentLength - values in a segment, a power of two 4 … 2^22; 2^14 unless given
 * @returns segmentLength/2 + 1 bins, the average of floor(M/(segmentLength/2)) − 1 segments; a last part that fills none is left out
 * @throws RangeError for an argument outside its range
 * @see [IEEEAU15] for the method
 *
 * averagedSpectrum({ values: [1, 0, -1, 0, 1, 0, -1, 0], rate: 8, window: 'rectangular', segmentLength: 4 }).power[1] // => 0.5
 */
export function averagedSpectrum(given: {
  values: ArrayLike<number>;
  rate: number;
  window?: WindowName;
  segmentLength?: number;
}): AveragedSpectrum {
  const { values, rate, window, segmentLength } = named(
    'averagedSpectrum',
    { ...shape, values: numbers(1) },
    given,
  );
  const stream = spectrumStream({ rate, window, segmentLength });
  stream.add(values);
  const out = stream.spectrum();
  if (out === 'none') {
    throw new RangeError(
      `averagedSpectrum.segmentLength: got ${segmentLength}; allowed up to the ${values.length} values of the record`,
    );
  }
  return out;
}

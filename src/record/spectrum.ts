/**
 * Spectrum: how the power of a record is shared out among frequencies.
 *
 * Values come in with their rate; out goes one-sided power, scaled so that a sine that fits the record shows its rms² in its bin.
 * Noise is spread over bins: its density is power over noise bandwidth.
 */
import { realFourier } from '../numbers/fourier.ts';
import { choice, named, numbers, positive, type Rule } from '../numbers/guard.ts';
import { type Window, type WindowName, windowNames, windowOf } from './windows.ts';

/** Power against frequency. */
export interface Spectrum {
  /** Middle of each bin, Hz, from 0 to half the rate. */
  readonly frequencies: Float64Array;
  /** Power in each bin, in the square of the unit of the values: the rms² of a sine that stands in the bin. */
  readonly power: Float64Array;
  /** Distance between bins, Hz. */
  readonly binWidth: number;
  /** Equivalent noise bandwidth of a bin, Hz. */
  readonly noiseBandwidth: number;
  /** Mean weight of the window. */
  readonly coherentGain: number;
  /** Window it was weighted by. */
  readonly window: WindowName;
}

/** Rule for a window's name. */
export const windowRule = choice(windowNames);

/** Rule for a spectrum handed on. */
export const spectrumRule: Rule<Spectrum> = {
  allowed: 'a spectrum of at least 3 bins',
  keeps: (value): value is Spectrum =>
    typeof value === 'object' &&
    value !== null &&
    (value as Spectrum).power instanceof Float64Array &&
    (value as Spectrum).power.length >= 3 &&
    (value as Spectrum).binWidth > 0,
};

/** Frequencies and constants that go with a record of `length` values weighted by a window. */
export function axisOf(
  length: number,
  rate: number,
  name: WindowName,
  window: Window,
): Omit<Spectrum, 'power'> {
  const binWidth = rate / length;
  return {
    frequencies: Float64Array.from({ length: Math.floor(length / 2) + 1 }, (_, k) => (k * rate) / length),
    binWidth,
    noiseBandwidth: window.noiseBandwidthBins * binWidth,
    coherentGain: window.coherentGain,
    window: name,
  };
}

/** Adds to `power` the one-sided power of a transform of `length` weighted values. */
export function addPower(
  power: Float64Array,
  transformed: Float64Array,
  length: number,
  coherentGain: number,
): void {
  const scale = 2 / (length * coherentGain) ** 2;
  for (let k = 0; k < power.length; k++) {
    const re = transformed[2 * k]!;
    const im = transformed[2 * k + 1]!;
    // At 0 and at half the rate a sine has one line, not two.
    power[k]! += (k === 0 || 2 * k === length ? scale / 2 : scale) * (re * re + im * im);
  }
}

/** `values` from `from` on, less their mean, weighted, into `out`. */
export function weightedInto(
  values: ArrayLike<number>,
  from: number,
  weights: Float64Array,
  out: Float64Array,
): void {
  const length = weights.length;
  let sum = 0;
  for (let i = 0; i < length; i++) sum += values[from + i]!;
  const mean = sum / length;
  for (let i = 0; i < length; i++) out[i] = (values[from + i]! - mean) * weights[i]!;
}

/**
 * Spectrum of one whole record.
 *
 *     P[k] = 2·|Σ w[n]·(x[n] − mean)·exp(−2πikn/M)|²/(Σ w[n])²,  half of that at k = 0 and at half the rate
 *
 * The power of a stretch of bins is their sum times binWidth/noiseBandwidth.
 *
 * @param values - record of M values in any unit, M from 2; a power of two is quickest; not modified
 * @param rate - values per second, Hz, above 0
 * @param window - 'rectangular', 'hann', 'hamming', 'blackman', 'blackman-harris-3' (67 dB), 'blackman-harris' (92 dB), 'nuttall' (98 dB) or 'flattop'
 * @returns floor(M/2) + 1 bins from 0 to half the rate
 * @throws RangeError for an argument outside its range
 * @see [PIEEE1978] for windows and their noise bandwidths
 *
 * spectrum({ values: [1, 0, -1, 0, 1, 0, -1, 0], rate: 8, window: 'rectangular' }).power[2] // => 0.5
 */
export function spectrum(given: { values: ArrayLike<number>; rate: number; window: WindowName }): Spectrum {
  const { values, rate, window } = named(
    'spectrum',
    { values: numbers(2), rate: positive('Hz'), window: windowRule },
    given,
  );
  const length = values.length;
  const shaped = windowOf(window, length);
  const weighted = new Float64Array(length);
  weightedInto(values, 0, shaped.weights, weighted);
  const power = new Float64Array(Math.floor(length / 2) + 1);
  addPower(power, realFourier(weighted), length, shaped.coherentGain);
  return { ...axisOf(length, rate, window, shaped), power };
}

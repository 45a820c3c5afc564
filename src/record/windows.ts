/**
 * Windows: what a record is weighted by before its spectrum, so that a sine that does not fit a whole number of times stays narrow.
 *
 *     w[n] = Σ_k (−1)^k·a_k·cos(2πkn/M),  n = 0 … M − 1
 *
 * DFT-even: the weights repeat with period M, and n = M, which would equal n = 0, is left out. A name comes in; weights, gain,
 * noise bandwidth and half-width of the main lobe go out.
 */

/** Names of the windows. */
export type WindowName =
  | 'rectangular'
  | 'hann'
  | 'hamming'
  | 'blackman'
  | 'blackman-harris-3'
  | 'blackman-harris'
  | 'nuttall'
  | 'flattop';

/** Coefficients a_k. @see [PIEEE1978] table I and its text (from memory); [FLATTOP] for 'flattop'; [MPIG2002] for 'nuttall' */
const coefficients: Record<WindowName, readonly number[]> = {
  rectangular: [1],
  hann: [0.5, 0.5],
  hamming: [0.54, 0.46],
  blackman: [0.42, 0.5, 0.08],
  'blackman-harris-3': [0.42323, 0.49755, 0.07922],
  'blackman-harris': [0.35875, 0.48829, 0.14128, 0.01168],
  nuttall: [0.3635819, 0.4891775, 0.1365995, 0.0106411],
  flattop: [0.21557895, 0.41663158, 0.277263158, 0.083578947, 0.006947368],
};

/** All names. */
export const windowNames = Object.keys(coefficients) as WindowName[];

/** Bins from the middle of the main lobe to its first zero. */
export const lobeOf = (name: WindowName): number => (name === 'rectangular' ? 0 : coefficients[name].length);

/** Weights of a window with what follows from them. */
export interface Window {
  /** Weights w[n], as many as the record is long. */
  readonly weights: Float64Array;
  /** Mean weight: what the window makes of the amplitude of a sine. */
  readonly coherentGain: number;
  /** M·Σw²/(Σw)², bins: the width of the ideal filter that passes as much noise as a bin. */
  readonly noiseBandwidthBins: number;
}

/**
 * A window of M weights.
 *
 * @param name - one of the names
 * @param length - M, from 1
 * @returns weights, gain and noise bandwidth
 *
 * @example
 * windowOf('hann', 8).noiseBandwidthBins // => 1.5
 */
export function windowOf(name: WindowName, length: number): Window {
  const a = coefficients[name];
  const weights = new Float64Array(length);
  let sum = 0;
  let squares = 0;
  for (let n = 0; n < length; n++) {
    let w = a[0]!;
    for (let k = 1; k < a.length; k++) {
      w += (k % 2 ? -1 : 1) * a[k]! * Math.cos((2 * Math.PI * ((k * n) % length)) / length);
    }
    weights[n] = w;
    sum += w;
    squares += w * w;
  }
  return { weights, coherentGain: sum / length, noiseBandwidthBins: (length * squares) / sum ** 2 };
}

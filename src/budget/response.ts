/**
 * Response: what the chain leaves of a signal that changes, and what other frequencies look like once sampled.
 *
 * In come time constants ahead of the converter, the interval and number of the conversions in a reading; out go gains, corner,
 * noise bandwidths and the frequencies that fold onto others.
 */
import { boxcar } from '../chain/averaging/boxcar.ts';
import { between, named, notNegative, or, positive, type Rule, whole } from '../numbers/guard.ts';
import { rootBetween } from '../numbers/roots.ts';

const frequency = between(0, 1e15, 'Hz');
const interval = between(1e-30, 1e12, 's');
const ratio = whole(1, 65536);
const timeConstant = between(0, 1e12, 's');

const seconds: Rule<readonly number[]> = {
  allowed: 'an array of numbers 0 … 1e12 s',
  keeps: (v): v is readonly number[] => Array.isArray(v) && v.every(timeConstant.keeps),
};

/** The arguments of the chain that a response depends on. */
export const chainShape = { interval, ratio, timeConstants: or(seconds, []) };

/** The chain that a response depends on. */
export interface ChainArguments {
  /** From one conversion of a reading to the next, s. */
  readonly interval: number;
  /** Conversions averaged in a reading. */
  readonly ratio: number;
  /** Time constants of the first-order low-passes ahead of the converter, s. */
  readonly timeConstants?: readonly number[] | undefined;
}

/**
 * Amplitude that a first-order low-pass (RC) leaves of a sine, relative to it.
 *
 *     |H| = 1/√(1 + (2πfτ)²)
 *
 * @param frequency - f, Hz, 0 … 1e15
 * @param timeConstant - τ = R·C, s, 0 … 1e12
 * @returns 0 … 1
 * @throws RangeError if an argument is outside its range
 *
 * @example
 * lowPassGain({ frequency: 1000, timeConstant: 1e-3 / (2 * Math.PI) }) // => 0.70710678
 */
export function lowPassGain(given: { readonly frequency: number; readonly timeConstant: number }): number {
  const a = named('lowPassGain', { frequency, timeConstant }, given);
  return 1 / Math.hypot(1, 2 * Math.PI * a.frequency * a.timeConstant);
}

/** The gain of a chain, its arguments already read. */
export const gainOf = (f: number, chain: Required<ChainArguments>): number =>
  (chain.timeConstants ?? []).reduce(
    (gain, tau) => gain / Math.hypot(1, 2 * Math.PI * f * tau),
    Math.abs(boxcar(f * chain.interval, chain.ratio)),
  );

/**
 * Amplitude that the whole chain leaves of a sine, relative to it: low-passes ahead of the converter times the boxcar of the mean.
 *
 *     |H| = |sin(πfRT)/(R·sin(πfT))|·Π 1/√(1 + (2πfτ)²)
 *
 * @param frequency - f, Hz, 0 … 1e15
 * @param interval - T, from one conversion to the next, s, 1e-30 … 1e12
 * @param ratio - conversions averaged R, 1 … 65536
 * @param timeConstants - of the low-passes ahead of the converter, buffered from each other, s; none if absent
 * @returns 0 … 1
 * @throws RangeError if an argument is outside its range
 *
 * @example
 * chainGain({ frequency: 50, interval: 1e-3, ratio: 10, timeConstants: [1e-3] }) // => 0.60986
 */
export function chainGain(given: ChainArguments & { readonly frequency: number }): number {
  const { frequency: f, ...chain } = named('chainGain', { frequency, ...chainShape }, given);
  return gainOf(f, chain);
}

/**
 * Corner frequency: where the chain leaves 1/√2 of a sine (−3 dB).
 *
 * @param interval - T, from one conversion to the next, s, 1e-30 … 1e12
 * @param ratio - conversions averaged R, 1 … 65536
 * @param timeConstants - of the low-passes ahead of the converter, s; none if absent
 * @returns Hz; 'none' for a single conversion behind no low-pass
 * @throws RangeError if an argument is outside its range
 *
 * @example
 * cornerFrequency({ interval: 1, ratio: 16 }) // => 0.0277309387
 */
export function cornerFrequency(given: ChainArguments): number | 'none' {
  const chain = named('cornerFrequency', chainShape, given);
  const slowest = Math.max(0, ...chain.timeConstants);
  if (chain.ratio === 1 && slowest === 0) return 'none';
  const excess = (f: number): number => gainOf(f, chain) - Math.SQRT1_2;
  // Beyond the first null, or the slowest low-pass's own corner, the gain is below for certain.
  const boxcarEnd = chain.ratio > 1 ? 1 / (chain.ratio * chain.interval) : Number.POSITIVE_INFINITY;
  const lowPassEnd = slowest > 0 ? 1.001 / (2 * Math.PI * slowest) : Number.POSITIVE_INFINITY;
  return rootBetween(excess, 0, Math.min(boxcarEnd, lowPassEnd));
}

/**
 * Noise bandwidth of the mean of R conversions, one-sided: that of an ideal low-pass which passes as much of white noise.
 *
 *     B = 1/(2·R·T)
 *
 * @param interval - T, from one conversion to the next, s, 1e-30 … 1e12
 * @param ratio - conversions averaged R, 1 … 65536
 * @returns Hz
 * @throws RangeError if an argument is outside its range
 *
 * @example
 * boxcarNoiseBandwidth({ interval: 1, ratio: 16 }) // => 0.03125
 */
export function boxcarNoiseBandwidth(given: { readonly interval: number; readonly ratio: number }): number {
  const a = named('boxcarNoiseBandwidth', { interval, ratio }, given);
  return 1 / (2 * a.ratio * a.interval);
}

/**
 * Noise bandwidth of a first-order low-pass, one-sided: π/2 of its corner frequency.
 *
 *     B = 1/(4·τ)
 *
 * @param timeConstant - τ = R·C, s, > 0
 * @returns Hz
 * @throws RangeError if the argument is outside its range
 *
 * @example
 * lowPassNoiseBandwidth({ timeConstant: 100e-6 }) // => 2500
 */
export function lowPassNoiseBandwidth(given: { readonly timeConstant: number }): number {
  return 1 / (4 * named('lowPassNoiseBandwidth', { timeConstant: positive('s') }, given).timeConstant);
}

/** What a frequency looks like once sampled. */
export interface Alias {
  /** Apparent frequency, Hz, 0 … rate/2. */
  readonly frequency: number;
  /** The multiple of the rate nearest to the true frequency: 0 where it is not folded about one. */
  readonly multiple: number;
}

/**
 * Alias: the frequency that a sine has once it is sampled.
 *
 *     f_a = |f − k·f_s|, k the whole number nearest to f/f_s
 *
 * @param frequency - f, Hz, 0 … 1e15
 * @param rate - samples per second f_s, Hz, > 0; of the conversions, or of the readings
 * @returns apparent frequency in Hz, and k
 * @throws RangeError if an argument is outside its range
 *
 * @example
 * aliasFrequency({ frequency: 12300, rate: 10000 }) // => { frequency: 2300, multiple: 1 }
 */
export function aliasFrequency(given: { readonly frequency: number; readonly rate: number }): Alias {
  const a = named('aliasFrequency', { frequency, rate: positive('Hz') }, given);
  const multiple = Math.round(a.frequency / a.rate);
  return { frequency: Math.abs(a.frequency - multiple * a.rate), multiple };
}

/** A band that folds onto the frequencies of interest. */
export interface AliasBand {
  /** Its ends, Hz. */
  readonly low: number;
  readonly high: number;
  /** Largest amplitude that the chain leaves of a sine in it, relative to the sine; the largest at 33 even frequencies. */
  readonly gain: number;
}

/** Bands that a map may list. */
const mostBands = 4096;

/**
 * Alias map: the bands that fold onto the frequencies of interest, and what the chain leaves of each.
 *
 *     k·f_o − passband … k·f_o + passband, k = 1, 2, …
 *
 * @param rate - readings per second f_o, Hz, > 0
 * @param passband - highest frequency of interest, Hz, 0 … rate/2
 * @param highest - where the list ends, Hz; at most 4096 bands
 * @param interval - T, from one conversion to the next, s, 1e-30 … 1e12
 * @param ratio - conversions averaged R, 1 … 65536
 * @param timeConstants - of the low-passes ahead of the converter, s; none if absent
 * @returns the bands by rising frequency
 * @throws RangeError if an argument is outside its range
 *
 * @example
 * aliasMap({ rate: 100, passband: 1, highest: 150, interval: 1e-3, ratio: 10 })[0].gain // => 0.01026
 */
export function aliasMap(
  given: ChainArguments & { readonly rate: number; readonly passband: number; readonly highest: number },
): AliasBand[] {
  const caller = 'aliasMap';
  const shape = { rate: positive('Hz'), passband: notNegative('Hz'), highest: frequency, ...chainShape };
  const { rate, passband, highest, ...chain } = named(caller, shape, given);
  named(caller, { passband: between(0, rate / 2, 'Hz') }, { passband });
  named(caller, { highest: between(0, mostBands * rate, 'Hz') }, { highest });
  const bands: AliasBand[] = [];
  for (let k = 1; k * rate - passband <= highest; k++) {
    const low = k * rate - passband;
    let gain = 0;
    for (let i = 0; i <= 32; i++) gain = Math.max(gain, gainOf(low + (i / 32) * 2 * passband, chain));
    bands.push({ low, high: k * rate + passband, gain });
  }
  return bands;
}

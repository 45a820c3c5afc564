/**
 * Staircase: the mean code of a noisy converter against its input.
 *
 * Without noise the mean code is the staircase itself; noise rounds its steps until, from about half an LSB, they are gone. In: the
 * noise. Out: mean code less input, for a plot or at its worst. Inputs are in LSB from a code centre, so the curve repeats every
 * LSB and does not depend on where the first transition stands.
 */
import { between, named, real, whole } from '../../numbers/guard.ts';
import { normalDensity, normalTail } from '../../numbers/normal.ts';
import { rootBetween } from '../../numbers/roots.ts';

const noiseLsb = between(0, 1e6, 'LSB');

/** Noise from which the sum over harmonics is the shorter, LSB. */
const wide = 0.25;

/**
 * Mean code less input, of a converter with Gaussian noise σ.
 *
 *     e(x) = Σ_{k≥1} (−1)^k/(πk)·exp(−2π²k²σ²)·sin(2πkx)
 *          = Σ_{k≥1} [Q((k − ½ − x)/σ) − Q((k − ½ + x)/σ)] − x   for −½ ≤ x ≤ ½
 *
 * @param inputLsb - input x, LSB from a code centre
 * @param noiseLsb - transition noise σ, LSB rms, 0 … 1e6
 * @returns e, LSB; without noise an input on a transition has the upper code
 * @throws RangeError for an argument outside its range
 * @see [QNOISE] ch. 19
 *
 * meanCodeError({ inputLsb: 0.25, noiseLsb: 0.3 }) // => -0.05386583278
 */
export function meanCodeError(given: { inputLsb: number; noiseLsb: number }): number {
  const args = named('meanCodeError', { inputLsb: real('LSB'), noiseLsb }, given);
  return errorAt(args.inputLsb, args.noiseLsb);
}

/** One point of the mean transfer curve. */
export interface TransferPoint {
  /** Input, LSB from a code centre. */
  readonly inputLsb: number;
  /** Mean code less input, LSB. */
  readonly meanErrorLsb: number;
}

/**
 * The mean transfer curve as points at even steps of the input, both ends included.
 *
 * @param noiseLsb - transition noise σ, LSB rms, 0 … 1e6
 * @param from - first input, LSB from a code centre
 * @param to - last input
 * @param points - how many points, 2 … 100000
 * @returns the points, from `from` to `to`
 * @throws RangeError for an argument outside its range
 *
 * meanTransfer({ noiseLsb: 0, from: -0.25, to: 0.25, points: 3 }).map((p) => p.meanErrorLsb) // => [0.25, 0, -0.25]
 */
export function meanTransfer(given: {
  noiseLsb: number;
  from: number;
  to: number;
  points: number;
}): TransferPoint[] {
  const shape = { noiseLsb, from: real('LSB'), to: real('LSB'), points: whole(2, 100_000) };
  const args = named('meanTransfer', shape, given);
  const last = args.points - 1;
  return Array.from({ length: args.points }, (_, i) => {
    const inputLsb = (args.from * (last - i) + args.to * i) / last;
    return { inputLsb, meanErrorLsb: errorAt(inputLsb, args.noiseLsb) };
  });
}

/**
 * Largest mean error: the height of what is left of the steps, and where it stands.
 *
 * It stands where the mean code rises as steeply as the input. For σ from about 0.3 it is nearly exp(−2π²σ²)/π.
 *
 * @param noiseLsb - transition noise σ, LSB rms, 0 … 1e6
 * @returns the point above a code centre, where the error is negative; its mirror image has the opposite error. Without noise the
 * limit −½ at the transition.
 * @throws RangeError for an argument outside its range
 *
 * largestMeanError({ noiseLsb: 0.3 }).meanErrorLsb // => -0.0538665
 */
export function largestMeanError(given: { noiseLsb: number }): TransferPoint {
  const { noiseLsb: noise } = named('largestMeanError', { noiseLsb }, given);
  if (noise < 1e-100) return { inputLsb: 0.5, meanErrorLsb: -0.5 };
  // From 0.8 LSB the second harmonic is less than 1e-16 of the first, whose crest is at a quarter.
  if (noise > 0.8) return { inputLsb: 0.25, meanErrorLsb: errorAt(0.25, noise) };
  const depth = rootBetween((d) => slopeAt(d, noise) - 1, 0, 0.5);
  return { inputLsb: 0.5 - depth, meanErrorLsb: errorBelow(depth, noise) };
}

function errorAt(input: number, noise: number): number {
  const x = input - Math.round(input);
  if (noise >= wide) {
    let sum = 0;
    for (let k = 5; k >= 1; k--) {
      const crest = Math.exp(-2 * (Math.PI * k * noise) ** 2) / (Math.PI * k);
      sum += (k % 2 ? -crest : crest) * Math.sin(2 * Math.PI * k * x);
    }
    return sum + 0;
  }
  if (noise < 1e-100) return Math.floor(x + 0.5) - x;
  return x < 0 ? -errorBelow(0.5 + x, noise) : errorBelow(0.5 - x, noise);
}

/** The error of an input `depth` LSB below a transition, 0 … ½, by the tails beyond each transition; σ above 0, under 1. */
function errorBelow(depth: number, noise: number): number {
  let mean = 0;
  for (let k = Math.ceil(9 * noise); k >= 0; k--) {
    mean += normalTail((k + depth) / noise) - normalTail((k + 1 - depth) / noise);
  }
  return mean - (0.5 - depth);
}

/** Slope of the mean code at the same place. */
function slopeAt(depth: number, noise: number): number {
  let sum = 0;
  for (let k = Math.ceil(9 * noise); k >= 0; k--) {
    sum += normalDensity((k + depth) / noise) + normalDensity((k + 1 - depth) / noise);
  }
  return sum / noise;
}

/**
 * Quantizing: from the held voltage to an output code.
 *
 * A voltage at the converter's input comes in; a whole code goes out, and the voltage that a code stands for. The divisor is
 * 2^N and the largest code 2^N − 1: two constants, never mixed. Where the first transition stands is an argument, because both
 * customs are in use: at half a code width (codes are centred on whole multiples) or at a whole one (codes start on them).
 */
import { between, choice, named, real, whole } from '../numbers/guard.ts';

/** Rule for the number of bits N of a code. */
export const bitsRule = whole(1, 32);

/** Rule for the place of the first transition, in code widths. */
export const firstTransitionRule = choice([0.5, 1]);

const volts = real('V');

/** Rule for a reference voltage; far beyond any circuit, so that nothing computed from it overflows. */
export const referenceRule = between(1e-30, 1e30, 'V');
const reference = referenceRule;
const binWidth = { bits: bitsRule, reference };
const fromVoltage = { volts, bits: bitsRule, reference, firstTransition: firstTransitionRule };
const fromCode = {
  code: between(-(2 ** 53), 2 ** 53, ''),
  bits: bitsRule,
  reference,
  firstTransition: firstTransitionRule,
};

/** Nearness to a transition, relative, within which a voltage counts as standing on it: a few roundings of the quotient. */
const snap = 2 ** -50;

/**
 * Ideal code bin width q: the input span of one code, 1 LSB.
 *
 *     q = V_ref / 2^N
 *
 * @param bits - number of bits N of the output code, 1 … 32
 * @param reference - reference voltage V_ref, volts, above 0
 * @returns q, volts
 * @throws RangeError for an argument outside its range
 *
 * codeBinWidth({ bits: 12, reference: 4.096 }) // => 0.001
 */
export function codeBinWidth(given: { bits: number; reference: number }): number {
  const { bits, reference } = named('codeBinWidth', binWidth, given);
  return reference / 2 ** bits;
}

/**
 * Output code of a noise-free converter: the number of transitions at or below the voltage.
 *
 *     T[k] = (k − 1 + firstTransition)·q,  k = 1 … 2^N − 1
 *
 * Clamped to 0 … 2^N − 1. A voltage that stands on a transition but for the rounding of decimals counts as on it.
 *
 * @param volts - input voltage, volts
 * @param bits - number of bits N, 1 … 32
 * @param reference - reference voltage V_ref, volts, above 0
 * @param firstTransition - T[1]/q: 0.5 or 1
 * @returns code, whole, 0 … 2^N − 1
 * @throws RangeError for an argument outside its range
 *
 * codeFromVoltage({ volts: 1, bits: 12, reference: 3.3, firstTransition: 1 }) // => 1241
 */
export function codeFromVoltage(given: {
  volts: number;
  bits: number;
  reference: number;
  firstTransition: 0.5 | 1;
}): number {
  const { volts, bits, reference, firstTransition } = named('codeFromVoltage', fromVoltage, given);
  return clamped(transitionsBelow((volts * 2 ** bits) / reference + 1 - firstTransition), 0, 2 ** bits - 1);
}

/**
 * Voltage at the centre of a code's bin.
 *
 *     V = (k + firstTransition − ½)·q
 *
 * Also for the two end bins, which have no outer edge, and for fractional codes, the means of codes.
 *
 * @param code - code k, or a mean of codes
 * @param bits - number of bits N, 1 … 32
 * @param reference - reference voltage V_ref, volts, above 0
 * @param firstTransition - T[1]/q: 0.5 or 1
 * @returns V, volts
 * @throws RangeError for an argument outside its range
 *
 * voltageFromCode({ code: 1024, bits: 12, reference: 4.096, firstTransition: 1 }) // => 1.0245
 */
export function voltageFromCode(given: {
  code: number;
  bits: number;
  reference: number;
  firstTransition: 0.5 | 1;
}): number {
  const { code, bits, reference, firstTransition } = named('voltageFromCode', fromCode, given);
  return ((code + firstTransition - 0.5) * reference) / 2 ** bits;
}

/**
 * Ideal code bin width of a differential input, whose range is −V_ref … V_ref.
 *
 *     q = 2·V_ref / 2^N
 *
 * @param bits - number of bits N of the two's complement code, 1 … 32
 * @param reference - reference voltage V_ref, volts, above 0
 * @returns q, volts
 * @throws RangeError for an argument outside its range
 *
 * differentialBinWidth({ bits: 12, reference: 2.048 }) // => 0.001
 */
export function differentialBinWidth(given: { bits: number; reference: number }): number {
  const { bits, reference } = named('differentialBinWidth', binWidth, given);
  return (2 * reference) / 2 ** bits;
}

/**
 * Two's complement code of a differential input: code 0 is centred on 0 V (first transition 0.5) or starts there (1).
 *
 *     k = floor(V/q + 1 − firstTransition),  q = 2·V_ref/2^N
 *
 * @param volts - difference of the two inputs, volts
 * @param bits - number of bits N, 1 … 32
 * @param reference - reference voltage V_ref, volts, above 0
 * @param firstTransition - place of the first transition above −V_ref, in code widths: 0.5 or 1
 * @returns code, whole, −2^(N−1) … 2^(N−1) − 1
 * @throws RangeError for an argument outside its range
 *
 * differentialCodeFromVoltage({ volts: -0.5, bits: 12, reference: 2.048, firstTransition: 1 }) // => -500
 */
export function differentialCodeFromVoltage(given: {
  volts: number;
  bits: number;
  reference: number;
  firstTransition: 0.5 | 1;
}): number {
  const { volts, bits, reference, firstTransition } = named(
    'differentialCodeFromVoltage',
    fromVoltage,
    given,
  );
  const half = 2 ** (bits - 1);
  return clamped(transitionsBelow((volts * half) / reference + 1 - firstTransition), -half, half - 1);
}

/**
 * Difference voltage at the centre of a two's complement code's bin.
 *
 *     V = (k + firstTransition − ½)·q,  q = 2·V_ref/2^N
 *
 * @param code - two's complement code k, or a mean of codes
 * @param bits - number of bits N, 1 … 32
 * @param reference - reference voltage V_ref, volts, above 0
 * @param firstTransition - place of the first transition above −V_ref, in code widths: 0.5 or 1
 * @returns V, volts
 * @throws RangeError for an argument outside its range
 *
 * differentialVoltageFromCode({ code: -500, bits: 12, reference: 2.048, firstTransition: 0.5 }) // => -0.5
 */
export function differentialVoltageFromCode(given: {
  code: number;
  bits: number;
  reference: number;
  firstTransition: 0.5 | 1;
}): number {
  const { code, bits, reference, firstTransition } = named('differentialVoltageFromCode', fromCode, given);
  return ((code + firstTransition - 0.5) * 2 * reference) / 2 ** bits;
}

/** What the mean of two inputs may be. */
export interface CommonModeWindow {
  /** V */
  readonly low: number;
  readonly high: number;
}

const inputRange = { volts: real('V'), lowest: real('V'), highest: real('V') };

/**
 * Common mode window of a differential input: what the mean of the two inputs may be while neither leaves its range.
 *
 *     lowest + |V|/2 ≤ (V₊ + V₋)/2 ≤ highest − |V|/2
 *
 * @param volts - difference of the two inputs V, volts; ±V_ref for the window that serves the whole range of codes
 * @param lowest - least voltage allowed at either input, volts
 * @param highest - largest voltage allowed at either input, volts
 * @returns the window, volts; 'none' if no mean keeps both inputs in range
 * @throws RangeError for an argument outside its range
 *
 * commonModeWindow({ volts: 2.5, lowest: 0, highest: 3 }) // => { low: 1.25, high: 1.75 }
 * commonModeWindow({ volts: -3.5, lowest: 0, highest: 3 }) // => 'none'
 */
export function commonModeWindow(given: {
  volts: number;
  lowest: number;
  highest: number;
}): CommonModeWindow | 'none' {
  const { volts, lowest, highest } = named('commonModeWindow', inputRange, given);
  if (!(lowest < highest))
    throw new RangeError(`commonModeWindow.highest: got ${highest}; allowed above lowest, ${lowest} V`);
  const half = Math.abs(volts) / 2;
  const window = { low: lowest + half, high: highest - half };
  return window.low <= window.high ? window : 'none';
}

/**
 * Signal to noise ratio of an ideal converter with a full-scale sine.
 *
 *     SNR = 20·log10(2^N·√1.5)
 *
 * @param bits - number of bits N, 1 … 32
 * @returns SNR, dB
 * @throws RangeError for an argument outside its range
 * @see [BSTJ1948] for the noise power q²/12; [MT001]
 *
 * idealSnrDb({ bits: 12 }) // => 74.0081
 */
export function idealSnrDb(given: { bits: number }): number {
  const { bits } = named('idealSnrDb', { bits: bitsRule }, given);
  return 20 * Math.log10(2 ** bits * Math.sqrt(1.5));
}

/**
 * Effective number of bits: those of the ideal converter with this signal to noise and distortion ratio.
 *
 *     ENOB = (SINAD − 20·log10 √1.5)/(20·log10 2)
 *
 * Makers print (SINAD − 1.76)/6.02, which differs by up to 0.002 bits.
 *
 * @param sinadDb - SINAD of a full-scale sine, dB
 * @returns ENOB, bits; below 0 for a SINAD under 1.76 dB
 * @throws RangeError for an argument outside its range
 * @see [MT003]
 *
 * effectiveBitsFromSinad({ sinadDb: 72 }) // => 11.6665
 */
export function effectiveBitsFromSinad(given: { sinadDb: number }): number {
  const { sinadDb } = named('effectiveBitsFromSinad', { sinadDb: real('dB') }, given);
  return (sinadDb - 20 * Math.log10(Math.sqrt(1.5))) / (20 * Math.log10(2));
}

/** Number of transitions at or below the input, which stands at `u` on a scale where transition k is at k. */
function transitionsBelow(u: number): number {
  const nearest = Math.round(u);
  return Math.abs(u - nearest) <= snap * Math.max(1, Math.abs(u)) ? nearest : Math.floor(u);
}

const clamped = (code: number, low: number, high: number): number => Math.min(high, Math.max(low, code)) + 0;

/**
 * Code density: differential and integral nonlinearity from how often each code occurs while a ramp or a sine passes the range.
 *
 *     ramp   every input is as likely as another: a bin's width is its share of the counts
 *     sine   T[k] = −cos(π·H[k − 1]/H),  H[k] the counts of codes up to k, H all of them
 *
 * Counts come in; nonlinearities go out, terminal-based: the line runs through the first and the last transition, so offset and gain
 * of converter and signal drop out. The two end codes hold everything beyond, and have no width.
 */
import { bitsRule } from '../chain/quantizing.ts';
import { between, choice, named, positive, whole } from '../numbers/guard.ts';
import { normalQuantile } from '../numbers/normal.ts';
import { countsRule } from './codes.ts';

/** What passes through the range. */
export type Stimulus = 'ramp' | 'sine';

/** Nonlinearity of the codes between the two ends. */
export interface CodeDensity {
  /** First code that has a width; the lowest that occurs is the code below it. */
  readonly firstCode: number;
  /** Width of each code over the mean width, less 1, LSB. */
  readonly dnlLsb: Float64Array;
  /** Lower transition of each code off the line, LSB; one more than codes: the last is the upper transition of the last code. */
  readonly inlLsb: Float64Array;
  /** DNL of the largest size, LSB. */
  readonly worstDnlLsb: number;
  /** INL of the largest size, LSB. */
  readonly worstInlLsb: number;
  /** Codes that never occur: DNL −1. */
  readonly missingCodes: readonly number[];
  /** Mean count of a code: the standard uncertainty of a DNL by chance is about 1/√ of it. */
  readonly meanCount: number;
}

const stimulusRule = choice(['ramp', 'sine']);

const largest = (list: Float64Array): number =>
  list.reduce((worst, x) => (Math.abs(x) > Math.abs(worst) ? x : worst), 0);

/**
 * Nonlinearity by code density.
 *
 * The stimulus must overdrive both ends of the range or of the part looked at, and be slow or incoherent enough to visit every code
 * many times. A sine's amplitude and offset need not be known.
 *
 * @param counts - how often each code from `first` on occurs; zeros at either end are dropped
 * @param first - code that `counts` begins with
 * @param stimulus - 'ramp' or 'sine'
 * @returns DNL and INL of the codes between the lowest and the highest that occur
 * @throws RangeError for an argument outside its range, or where fewer than two codes lie between the ends
 * @see [IEEE1241] 4.4 and its code density test (clause from memory)
 *
 * codeDensity({ counts: [6, 6, 5, 6, 4, 6, 5, 6], first: 0, stimulus: 'ramp' }).dnlLsb[3] // => -0.25
 */
export function codeDensity(given: {
  counts: ArrayLike<number>;
  first: number;
  stimulus: Stimulus;
}): CodeDensity {
  const { counts, first, stimulus } = named(
    'codeDensity',
    { counts: countsRule(4), first: whole(-(2 ** 32), 2 ** 32), stimulus: stimulusRule },
    given,
  );
  let low = 0;
  let high = counts.length - 1;
  while (low < high && counts[low] === 0) low++;
  while (high > low && counts[high] === 0) high--;
  const codes = high - low - 1;
  if (codes < 2) {
    throw new RangeError(
      `codeDensity.counts: got ${Math.max(0, codes)} codes between the ends; allowed 2 or more`,
    );
  }
  let total = 0;
  for (let k = low; k <= high; k++) total += counts[k]!;
  // Lower transitions of the codes after the lowest, and the upper one of the last: `codes` + 1 of them.
  const transitions = new Float64Array(codes + 1);
  let below = 0;
  for (let k = 0; k <= codes; k++) {
    below += counts[low + k]!;
    transitions[k] = stimulus === 'ramp' ? below : -Math.cos((Math.PI * below) / total);
  }
  const start = transitions[0]!;
  const width = (transitions[codes]! - start) / codes;
  if (!(width > 0))
    throw new RangeError('codeDensity.counts: got nothing between the ends; allowed counts there');
  const inlLsb = transitions.map((t, k) => (t - start) / width - k);
  const dnlLsb = new Float64Array(codes);
  const missingCodes: number[] = [];
  for (let k = 0; k < codes; k++) {
    dnlLsb[k] = (transitions[k + 1]! - transitions[k]!) / width - 1;
    if (counts[low + 1 + k] === 0) missingCodes.push(first + low + 1 + k);
  }
  return {
    firstCode: first + low + 1,
    dnlLsb,
    inlLsb,
    worstDnlLsb: largest(dnlLsb),
    worstInlLsb: largest(inlLsb),
    missingCodes,
    meanCount: (total - counts[low]! - counts[high]!) / codes,
  };
}

/**
 * Codes to record so that each DNL is known to a wanted error, for conversions at random places of the stimulus.
 *
 *     ramp  M = z²·2^N/β²,  sine  M = z²·π·2^(N−1)/β²,  z the normal quantile of (1 + p)/2
 *
 * @param bits - number of bits N, 1 … 32
 * @param errorLsb - error β allowed in a DNL, LSB, above 0
 * @param confidence - probability p that one DNL is within it, 0.5 … 0.9999
 * @param stimulus - 'ramp' or 'sine'
 * @returns M, not rounded
 * @throws RangeError for an argument outside its range
 * @see [JSSC1984] for the sine
 *
 * codeDensityRecordLength({ bits: 8, errorLsb: 0.1, confidence: 0.99, stimulus: 'sine' }) // => 266805.02
 */
export function codeDensityRecordLength(given: {
  bits: number;
  errorLsb: number;
  confidence: number;
  stimulus: Stimulus;
}): number {
  const { bits, errorLsb, confidence, stimulus } = named(
    'codeDensityRecordLength',
    {
      bits: bitsRule,
      errorLsb: positive('LSB'),
      confidence: between(0.5, 0.9999, ''),
      stimulus: stimulusRule,
    },
    given,
  );
  const z = normalQuantile((1 + confidence) / 2);
  return ((z / errorLsb) ** 2 * 2 ** bits * (stimulus === 'sine' ? Math.PI : 2)) / 2;
}

/**
 * Summary of recorded codes of a still input: how many, where, how far spread, what that is worth in bits.
 *
 * Codes come in, or sums over stretches of a record that were read apart; the figures that people compare converters by go out.
 */
import { bitsRule } from '../chain/quantizing.ts';
import { named } from '../numbers/guard.ts';
import { codeLimits, codesRule } from './codes.ts';
import { type Drift, driftOfSums } from './drift.ts';
import { ratio } from './ratio.ts';
import { CodeSummer, type CodeSums, codeSums, sumsRule } from './sums.ts';
import { type TransitionNoise, transitionNoise } from './transitionNoise.ts';

/** Figures of a record of codes. LSB are those of the codes. */
export interface CodeSummary {
  /** Codes in the record, M. */
  readonly count: number;
  /** Mean code, LSB. */
  readonly mean: number;
  /** Experimental standard deviation s of the codes (divisor M − 1), LSB; 0 for one code. */
  readonly standardDeviation: number;
  /** Lowest code. */
  readonly lowest: number;
  /** Highest code. */
  readonly highest: number;
  /** Highest less lowest code, LSB. */
  readonly peakToPeak: number;
  /** How often each code from `lowest` to `highest` occurs; 'none' where they are more than 2²² apart. */
  readonly counts: Float64Array | 'none';
  /** Codes between lowest and highest that never occur; 'none' as above. */
  readonly missing: number | 'none';
  /** The first 1000 of them. */
  readonly missingCodes: readonly number[];
  /** log2(2^N/(6.6·s)), bits, uncapped; 'any' if only one code occurs. */
  readonly noiseFreeBits: number | 'any';
  /** log2(2^N/s), bits, uncapped; 'any' if only one code occurs. */
  readonly effectiveResolution: number | 'any';
  /** Input and noise ahead of the quantizer; 'none' if one code holds all, or the codes are spread too far to be counted. */
  readonly transitionNoise: TransitionNoise | 'none';
  /** Line through the codes by least squares, per code; 'none' for fewer than 3 codes. */
  readonly drift: Drift | 'none';
}

/** Codes whose absence is listed one by one. */
const listed = 1000;

/** Peak to peak in standard deviations: 99.9 % of a normal distribution. */
const peakFactor = 6.6;

/** M²·variance·(M − 1)/M as a whole number: M·Σx² − (Σx)². */
const scatter = ({ count, sum, squares }: CodeSums): bigint => BigInt(count) * squares - sum * sum;

/** The figures of sums over a record. */
function figures(sums: CodeSums, bits: number): CodeSummary {
  const { count, lowest, highest, counts } = sums;
  const spread = scatter(sums);
  const standardDeviation = spread === 0n ? 0 : Math.sqrt(ratio(spread, BigInt(count) * BigInt(count - 1)));
  const missingCodes: number[] = [];
  let missing = 0;
  if (counts !== 'none') {
    for (let k = 0; k < counts.length; k++) {
      if (counts[k] !== 0) continue;
      if (missing++ < listed) missingCodes.push(lowest + k);
    }
  }
  const resolution = bits - Math.log2(standardDeviation);
  return {
    count,
    mean: ratio(sums.sum, BigInt(count)),
    standardDeviation,
    lowest,
    highest,
    peakToPeak: highest - lowest,
    counts,
    missing: counts === 'none' ? 'none' : missing,
    missingCodes,
    noiseFreeBits: lowest === highest ? 'any' : resolution - Math.log2(peakFactor),
    effectiveResolution: lowest === highest ? 'any' : resolution,
    transitionNoise: counts === 'none' ? 'none' : transitionNoise({ counts, first: lowest }),
    drift: count < 3 ? 'none' : driftOfSums(sums),
  };
}

function checkedFor(caller: string, place: string, sums: CodeSums, bits: number): CodeSums {
  const limits = codeLimits(bits);
  const out =
    sums.lowest < limits.lowest ? sums.lowest : sums.highest > limits.highest ? sums.highest : undefined;
  if (out !== undefined) {
    throw new RangeError(
      `${caller}.${place}: got code ${out}; allowed ${limits.lowest} … ${limits.highest} for ${bits} bits`,
    );
  }
  return sums;
}

/**
 * Summary of a record of codes.
 *
 *     noise-free bits = log2(2^N/(6.6·s)),  effective resolution = log2(2^N/s)
 *
 * Both are of a still input, and neither knows of errors that stand still: gain, offset, nonlinearity.
 *
 * @param codes - record of M codes, whole numbers, plain binary or two's complement; not modified
 * @param bits - number of bits N, 1 … 32
 * @returns the figures, in LSB and bits
 * @throws RangeError for an argument outside its range, or a code that does not fit N bits
 * @see [MT004] for both definitions and the factor 6.6
 *
 * summarizeCodes({ codes: [2047, 2048, 2048, 2049], bits: 12 }).effectiveResolution // => 12.29248
 */
export function summarizeCodes(given: { codes: ArrayLike<number>; bits: number }): CodeSummary {
  const { codes, bits } = named('summarizeCodes', { codes: codesRule(1), bits: bitsRule }, given);
  return figures(checkedFor('summarizeCodes', 'codes', codeSums({ codes }), bits), bits);
}

/**
 * Summary of a record from sums that were taken as it came.
 *
 * @param sums - sums over the record
 * @param bits - number of bits N, 1 … 32
 * @returns the figures that `summarizeCodes` gives
 * @throws RangeError for an argument outside its range, or a code that does not fit N bits
 *
 * summaryOfSums({ sums: { count: 2, sum: 3n, squares: 5n, moments: 2n, lowest: 1, highest: 2, first: 1, counts: Float64Array.of(1, 1) }, bits: 12 }).mean // => 1.5
 */
export function summaryOfSums(given: { sums: CodeSums; bits: number }): CodeSummary {
  const { sums, bits } = named('summaryOfSums', { sums: sumsRule(1), bits: bitsRule }, given);
  return figures(checkedFor('summaryOfSums', 'sums', sums, bits), bits);
}

/** Takes a record in pieces. */
export interface SummaryStream {
  /** Takes the next codes: whole numbers. */
  add(codes: ArrayLike<number>): void;
  /** Sums so far, to be put together with those of another stretch. */
  sums(): CodeSums;
  /** Figures so far; 'none' before the first code. Throws a RangeError for a code that does not fit N bits. */
  summary(): CodeSummary | 'none';
}

/**
 * Summary of a record that comes in pieces.
 *
 * @param bits - number of bits N, 1 … 32
 * @returns a stream to add codes to
 * @throws RangeError for an argument outside its range
 *
 * summaryStream({ bits: 12 }).summary() // => 'none'
 */
export function summaryStream(given: { bits: number }): SummaryStream {
  const { bits } = named('summaryStream', { bits: bitsRule }, given);
  const summer = new CodeSummer();
  return {
    add: (codes) => summer.add(codes),
    sums: () => summer.sums(),
    summary: () => {
      const sums = summer.sums();
      return sums.count === 0 ? 'none' : figures(checkedFor('summaryStream', 'add', sums, bits), bits);
    },
  };
}

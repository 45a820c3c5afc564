/**
 * Transition noise: the input and its noise ahead of the quantizer, told from how often each code occurs.
 *
 *     ln L = Σ n[k]·ln P(k; μ, σ),  P(k) = Φ((k + ½ − μ)/σ) − Φ((k − ½ − μ)/σ)
 *
 * Counts come in; the μ and σ of greatest likelihood go out. The spread of the codes less 1/12 is no substitute: for a still input
 * and noise under half a code it depends on where in the code the input stands.
 */
import { logNormalTail, normalDensity } from '../numbers/normal.ts';
import { rootBetween } from '../numbers/roots.ts';
import { between } from './histogram.ts';

/** Input and noise of greatest likelihood. */
export interface TransitionNoise {
  /** Input μ on the scale of codes (whole numbers are code centres), LSB. */
  readonly mean: number;
  /** Noise σ ahead of the quantizer, LSB rms; 0 where only two neighbouring codes occur. */
  readonly noiseLsb: number;
  /** Limit that σ stays under with 95 % confidence, if conversions are independent, LSB. */
  readonly atMostLsb: number;
}

/** Log-likelihood, its slopes by μ and ln σ, and what the slopes vary by: the squares and products of each conversion's slopes. */
interface Likelihood {
  readonly log: number;
  readonly slope: readonly [number, number];
  readonly information: readonly [number, number, number];
}

/** Distance in σ past which a bin is its nearer edge's tail and nothing else. */
const far = 30;

/** Adds one bin's logarithm and slopes of it. */
function binAt(low: number, high: number): { log: number; byMean: number; byLogNoise: number } {
  if (low > far || high < -far) {
    const z = low > far ? low : -high;
    // Far out −d ln Q/dz is z + 1/z, to 1/z³.
    const hazard = z + 1 / z;
    return { log: logNormalTail(z), byMean: low > far ? hazard : -hazard, byLogNoise: z * hazard };
  }
  const p = between(low, high);
  const atLow = normalDensity(low);
  const atHigh = normalDensity(high);
  return { log: Math.log(p), byMean: (atLow - atHigh) / p, byLogNoise: (low * atLow - high * atHigh) / p };
}

function likelihood(counts: Float64Array, first: number, mean: number, noise: number): Likelihood {
  let log = 0;
  let u0 = 0;
  let u1 = 0;
  let i00 = 0;
  let i01 = 0;
  let i11 = 0;
  for (let k = 0; k < counts.length; k++) {
    const n = counts[k]!;
    if (n === 0) continue;
    const bin = binAt((first + k - 0.5 - mean) / noise, (first + k + 0.5 - mean) / noise);
    const d0 = bin.byMean / noise;
    const d1 = bin.byLogNoise;
    log += n * bin.log;
    u0 += n * d0;
    u1 += n * d1;
    i00 += n * d0 * d0;
    i01 += n * d0 * d1;
    i11 += n * d1 * d1;
  }
  return { log, slope: [u0, u1], information: [i00, i01, i11] };
}

/** The most likely mean at a given noise, from a start: its log-likelihood. */
function logAtNoise(counts: Float64Array, first: number, start: number, noise: number): number {
  let mean = start;
  let at = likelihood(counts, first, mean, noise);
  for (let i = 0; i < 50; i++) {
    let step = at.slope[0] / at.information[0];
    if (Math.abs(step) < 1e-9 * noise) break;
    let next = likelihood(counts, first, mean + step, noise);
    while (next.log < at.log && Math.abs(step) > 1e-12 * noise) {
      step /= 2;
      next = likelihood(counts, first, mean + step, noise);
    }
    mean += step;
    at = next;
  }
  return at.log;
}

/** Half of the χ² of one degree of freedom that is exceeded in 10 %: a limit on one side with 95 %. */
const drop = 1.3527717270477047;

/** Two neighbouring codes: the likelihood rises towards σ = 0 and tells only how large σ may be. */
function ofTwoCodes(counts: Float64Array, first: number, total: number): TransitionNoise {
  const [a, b] = counts as unknown as [number, number];
  const greatest = a * Math.log(a / total) + b * Math.log(b / total);
  const edge = first + 0.5;
  const off = (noise: number): number => greatest - logAtNoise(counts, first, edge, noise) - drop;
  return { mean: edge, noiseLsb: 0, atMostLsb: off(64) > 0 ? rootBetween(off, 0.02, 64, 1e-9) : 64 };
}

/**
 * Input and noise of greatest likelihood for a histogram of codes.
 *
 * @param counts - how often each code from `first` on occurs
 * @param first - code that `counts` begins with
 * @returns μ, σ and a limit of σ; 'none' if one code holds all
 * @see [QNOISE] for why the spread of the codes will not do at small σ
 *
 * @example
 * transitionNoise(Float64Array.of(60598, 241730, 382925, 241730, 60598), 98) // => 'none'
 */
export function transitionNoise(counts: Float64Array, first: number): TransitionNoise | 'none' {
  let total = 0;
  let mean = 0;
  let occurring = 0;
  for (let k = 0; k < counts.length; k++) {
    if (counts[k]! > 0) occurring++;
    total += counts[k]!;
    mean += counts[k]! * k;
  }
  if (occurring < 2) return 'none';
  const from = counts.findIndex((n) => n > 0);
  if (occurring === 2 && counts[from + 1]! > 0) return ofTwoCodes(counts.slice(from, from + 2), first + from, total);
  mean = first + mean / total;
  let variance = 0;
  for (let k = 0; k < counts.length; k++) variance += (counts[k]! / total) * (first + k - mean) ** 2;
  let noise = Math.sqrt(Math.max(0.04, variance));
  let at = likelihood(counts, first, mean, noise);
  for (let i = 0; i < 200; i++) {
    const [u0, u1] = at.slope;
    const [i00, i01, i11] = at.information;
    const determinant = i00 * i11 - i01 * i01;
    let byMean = (i11 * u0 - i01 * u1) / determinant;
    let byLogNoise = Math.max(-1, Math.min(1, (i00 * u1 - i01 * u0) / determinant));
    if (Math.abs(byMean) < 1e-11 * noise && Math.abs(byLogNoise) < 1e-11) break;
    let next = likelihood(counts, first, mean + byMean, noise * Math.exp(byLogNoise));
    while (!(next.log >= at.log) && Math.abs(byMean) + Math.abs(byLogNoise) > 1e-13) {
      byMean /= 2;
      byLogNoise /= 2;
      next = likelihood(counts, first, mean + byMean, noise * Math.exp(byLogNoise));
    }
    mean += byMean;
    noise *= Math.exp(byLogNoise);
    at = next;
  }
  const [i00, i01, i11] = at.information;
  const relative = Math.sqrt(i00 / (i00 * i11 - i01 * i01));
  return { mean, noiseLsb: noise, atMostLsb: noise * Math.exp(Math.sqrt(2 * drop) * relative) };
}

/**
 * Transition noise: the input and its noise ahead of the quantizer, told from how often each code occurs.
 *
 *     ln L = Σ n[k]·ln P(k; μ, σ),  P(k) = Φ((k + ½ − μ)/σ) − Φ((k − ½ − μ)/σ)
 *
 * Counts come in; the μ and σ of greatest likelihood go out. The spread of the codes less 1/12 is no substitute: for a still input
 * and noise under half a code it depends on where in the code the input stands.
 *
 * In α = 1/σ and β = μ/σ the logarithm is concave, so that Newton's method, with steps halved where they overshoot, finds the one
 * maximum from anywhere.
 */
import { named, whole } from '../numbers/guard.ts';
import { logNormalTail, normalDensity } from '../numbers/normal.ts';
import { rootBetween } from '../numbers/roots.ts';
import { countsRule } from './codes.ts';
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

/** Log-likelihood with its slopes by α and β, and its curvature (the negative of the second derivatives). */
interface Likelihood {
  readonly log: number;
  readonly byAlpha: number;
  readonly byBeta: number;
  readonly aa: number;
  readonly ab: number;
  readonly bb: number;
}

/** Distance in σ past which a bin is its nearer edge's tail and nothing else. */
const far = 30;

/** Log-likelihood of counts of codes from `first` on, on a scale of codes whose 0 is near the mean. */
function likelihood(counts: Float64Array, first: number, alpha: number, beta: number): Likelihood {
  let log = 0;
  let byAlpha = 0;
  let byBeta = 0;
  let aa = 0;
  let ab = 0;
  let bb = 0;
  for (let k = 0; k < counts.length; k++) {
    const n = counts[k]!;
    if (n === 0) continue;
    const lowEdge = first + k - 0.5;
    const highEdge = lowEdge + 1;
    const low = alpha * lowEdge - beta;
    const high = alpha * highEdge - beta;
    if (low > far || high < -far) {
      const sign = low > far ? 1 : -1;
      const edge = sign * (low > far ? lowEdge : highEdge);
      const z = sign * (low > far ? low : high);
      // Far out −d ln Q/dz is z + 1/z to 1/z³, and its own slope 1 − 1/z².
      const hazard = z + 1 / z;
      const bend = 1 - 1 / (z * z);
      log += n * logNormalTail(z);
      byAlpha -= n * edge * hazard;
      byBeta += n * sign * hazard;
      aa += n * edge * edge * bend;
      ab -= n * edge * sign * bend;
      bb += n * bend;
      continue;
    }
    const p = between(low, high);
    const atLow = normalDensity(low) / p;
    const atHigh = normalDensity(high) / p;
    const a = highEdge * atHigh - lowEdge * atLow;
    const b = atLow - atHigh;
    log += n * Math.log(p);
    byAlpha += n * a;
    byBeta += n * b;
    aa += n * (a * a + highEdge * highEdge * high * atHigh - lowEdge * lowEdge * low * atLow);
    ab += n * (a * b - highEdge * high * atHigh + lowEdge * low * atLow);
    bb += n * (b * b + high * atHigh - low * atLow);
  }
  return { log, byAlpha, byBeta, aa, ab, bb };
}

/** Half of the χ² of one degree of freedom that is exceeded in 10 %: a limit on one side with 95 %. */
const drop = 1.3527717270477047;

/**
 * Two neighbouring codes, 0 and 1: any σ gives their ratio by some input, and the smaller σ, the fewer other codes. The likelihood
 * rises towards σ = 0 and tells only how large σ may be.
 */
function limitOfTwoCodes(counts: Float64Array): number {
  const [n, m] = counts as unknown as [number, number];
  const greatest = n * Math.log(n / (n + m)) + m * Math.log(m / (n + m));
  const logAt = (noise: number): number => {
    // The most likely input at this σ is where the slope by β passes zero; the slope falls all the way.
    const slope = (beta: number): number => likelihood(counts, 0, 1 / noise, beta).byBeta;
    const span = 8 + 2 / noise;
    return likelihood(counts, 0, 1 / noise, rootBetween(slope, -span, span, 1e-9)).log;
  };
  const off = (noise: number): number => greatest - logAt(noise) - drop;
  return off(64) > 0 ? rootBetween(off, 0.05, 64, 1e-6) : 64;
}

/**
 * Input and noise of greatest likelihood for a histogram of codes.
 *
 * @param counts - how often each code from `first` on occurs; not modified
 * @param first - code that `counts` begins with
 * @returns μ, σ and a limit of σ; 'none' if one code holds all
 * @throws RangeError for an argument outside its range
 * @see [QNOISE] for why the spread of the codes will not do at small σ
 *
 * transitionNoise({ counts: [337, 80420, 644990, 269592, 4659], first: 98 }).noiseLsb // => 0.5000
 */
export function transitionNoise(given: {
  counts: ArrayLike<number>;
  first: number;
}): TransitionNoise | 'none' {
  const { counts: list, first } = named(
    'transitionNoise',
    { counts: countsRule(1), first: whole(-(2 ** 32), 2 ** 32) },
    given,
  );
  const counts = list instanceof Float64Array ? list : Float64Array.from(list);
  let total = 0;
  let moment = 0;
  let occurring = 0;
  let lowest = -1;
  for (let k = 0; k < counts.length; k++) {
    if (counts[k] === 0) continue;
    if (occurring++ === 0) lowest = k;
    total += counts[k]!;
    moment += counts[k]! * k;
  }
  if (occurring < 2) return 'none';
  if (occurring === 2 && counts[lowest + 1]! > 0) {
    const atMostLsb = limitOfTwoCodes(counts.slice(lowest, lowest + 2));
    return { mean: first + lowest + 0.5, noiseLsb: 0, atMostLsb };
  }
  const centre = Math.round(moment / total);
  let variance = 0;
  for (let k = 0; k < counts.length; k++) variance += (counts[k]! / total) * (k - moment / total) ** 2;
  let alpha = 1 / Math.sqrt(variance + 1 / 12);
  let beta = alpha * (moment / total - centre);
  let at = likelihood(counts, -centre, alpha, beta);
  for (let i = 0, last = 3; i < 100 && last > 0; i++) {
    const determinant = at.aa * at.bb - at.ab * at.ab;
    let da = (at.bb * at.byAlpha - at.ab * at.byBeta) / determinant;
    let db = (at.aa * at.byBeta - at.ab * at.byAlpha) / determinant;
    // Near the top the gain drowns in the rounding of the logarithm: a few whole steps more, unjudged, square what is left away.
    const isNear = da * at.byAlpha + db * at.byBeta <= 1e-11 * Math.abs(at.log);
    let next = likelihood(counts, -centre, Math.max(alpha + da, alpha / 4), beta + db);
    for (let h = 0; !isNear && h < 60 && !(alpha + da > 0 && next.log >= at.log); h++) {
      da /= 2;
      db /= 2;
      next = likelihood(counts, -centre, Math.max(alpha + da, alpha / 4), beta + db);
    }
    alpha += da;
    beta += db;
    at = next;
    if (isNear) last--;
  }
  const relative = Math.sqrt(at.bb / (at.aa * at.bb - at.ab * at.ab)) / alpha;
  const noiseLsb = 1 / alpha;
  return {
    mean: first + centre + beta / alpha,
    noiseLsb,
    atMostLsb: noiseLsb * Math.exp(Math.sqrt(2 * drop) * relative),
  };
}

/**
 * Noise after averaging: what is left in the mean of a burst, kind by kind.
 *
 * In: noise of one conversion (white, correlated, 1/f, drift), the rate of conversions and the time over which the readings are
 * watched. Out: each part in the mean of R conversions. White noise falls as 1/√R; nothing else does.
 */
import { between, maybe, named, notNegative, type Rule, refusal } from '../../numbers/guard.ts';
import { boxcar } from './boxcar.ts';
import { gaussLegendre } from './quadrature.ts';
import { ratioRule } from './result.ts';

/** Noise that passes a low-pass ahead of the converter, and is therefore alike in neighbouring conversions. */
export interface CorrelatedNoise {
  /** Its rms in one conversion, in the unit of `white`. */
  readonly rms: number;
  /** Time constant of the low-pass, seconds, from 0. */
  readonly time: number;
}

/** The kinds of noise of one conversion, and how conversions follow each other. */
export interface NoiseSources {
  readonly white: number;
  readonly flickerCorner: number;
  readonly driftPerSecond: number;
  readonly correlated?: CorrelatedNoise | undefined;
  readonly steady?: number | undefined;
  readonly rate: number;
  readonly observationTime: number;
}

/** Noise of the mean of a burst, in the unit of `white`. */
export interface AveragedNoise {
  /** Rms of the white part. */
  readonly white: number;
  /** Rms of the correlated part. */
  readonly correlated: number;
  /** Rms of the 1/f part between the observation time and half the rate. */
  readonly flicker: number;
  /** Lag behind a drift: a known error, not a random one. */
  readonly drift: number;
  /** √(white² + correlated² + flicker² + steady²) + drift. */
  readonly total: number;
}

const object: Rule<CorrelatedNoise> = {
  allowed: 'an object of rms and time',
  keeps: (value): value is CorrelatedNoise => typeof value === 'object' && value !== null,
};
const shape = {
  white: between(0, 1e30, 'of the signal’s unit'),
  flickerCorner: between(0, 1e30, 'Hz'),
  driftPerSecond: between(-1e30, 1e30, 'of the signal’s unit per second'),
  correlated: maybe(object),
  steady: maybe(notNegative('of the signal’s unit')),
  rate: between(1e-30, 1e30, 'Hz'),
  observationTime: between(1e-30, 1e30, 's'),
};
const lowPassed = { rms: notNegative('of the signal’s unit'), time: notNegative('s') };

/**
 * Noise of the mean of R conversions.
 *
 *     white²/R
 *     correlated²·[(1 + ρ)/(1 − ρ) − 2ρ(1 − ρ^R)/(R(1 − ρ)²)]/R,  ρ = exp(−1/(rate·time))
 *     flicker² = ∫ from 1/observationTime to f_s/2 of (2·white²·flickerCorner/(f_s·f))·|H(f)|² df
 *     drift = |driftPerSecond|·(R − 1)/(2·f_s)
 *
 * The one-sided density of one conversion is (2·white²/f_s)(1 + flickerCorner/f), H the gain of the burst's mean. Only noise that is
 * independent within the burst smooths the staircase: of these, the white one.
 *
 * @param white - rms of the white noise of one conversion, any unit, from 0
 * @param flickerCorner - frequency at which the 1/f noise is as dense as the white, Hz, from 0
 * @param driftPerSecond - drift, that unit per second
 * @param correlated - noise behind a low-pass: `rms`, that unit, and `time` constant, seconds; none unless given
 * @param steady - rms that no averaging removes, as the ripple of the staircase; 0 unless given
 * @param ratio - oversampling ratio R, 1 … 65536
 * @param rate - conversions per second f_s, Hz, above 0
 * @param observationTime - time over which the readings are watched, seconds, at least 10·R/f_s
 * @returns each part and the total, in the unit of `white`
 * @throws RangeError for an argument outside its range
 *
 * averagedNoise({ white: 1, flickerCorner: 0, driftPerSecond: 0, ratio: 16, rate: 1e3, observationTime: 1 }).total // => 0.25
 */
export function averagedNoise(given: NoiseSources & { ratio: number }): AveragedNoise {
  const { ratio, ...sources } = named('averagedNoise', { ...shape, ratio: ratioRule }, given);
  const full = checked('averagedNoise', sources, ratio);
  return noiseOfMean(full, ratio);
}

/**
 * The smallest power of two past which one more doubling of the ratio lowers the total noise by less than a tenth.
 *
 * @param white - as for `averagedNoise`, and so are the others
 * @param flickerCorner - Hz, from 0
 * @param driftPerSecond - unit of `white` per second
 * @param correlated - `rms` and `time`; none unless given
 * @param steady - 0 unless given
 * @param rate - Hz, above 0
 * @param observationTime - seconds, at least 10/f_s
 * @returns ratio, a power of two; at most 65536, and at most what the observation time holds ten times
 * @throws RangeError for an argument outside its range
 *
 * usefulRatio({ white: 1, flickerCorner: 0, driftPerSecond: 0.5, rate: 1e3, observationTime: 100 }) // => 128
 */
export function usefulRatio(given: NoiseSources): number {
  const sources = checked('usefulRatio', named('usefulRatio', shape, given), 1);
  let ratio = 1;
  let total = noiseOfMean(sources, ratio).total;
  while (ratio < 65536 && holds(sources, 2 * ratio)) {
    const next = noiseOfMean(sources, 2 * ratio).total;
    if (!(next <= 0.9 * total) || total === 0) break;
    ratio *= 2;
    total = next;
  }
  return ratio;
}

/** Whether the observation time holds ten bursts. */
const holds = ({ observationTime, rate }: NoiseSources, ratio: number): boolean =>
  observationTime * rate >= 10 * ratio * (1 - 1e-12);

function checked(caller: string, sources: NoiseSources, ratio: number): NoiseSources {
  if (!holds(sources, ratio)) {
    const allowed = `finite numbers from 10·ratio/rate, ${(10 * ratio) / sources.rate} s`;
    throw new RangeError(refusal(`${caller}.observationTime`, sources.observationTime, allowed));
  }
  if (sources.correlated) named(`${caller}.correlated`, lowPassed, sources.correlated);
  return sources;
}

function noiseOfMean(sources: NoiseSources, ratio: number): AveragedNoise {
  const { white: one, flickerCorner, driftPerSecond, correlated: slow, steady = 0 } = sources;
  const { rate, observationTime } = sources;
  const white = one / Math.sqrt(ratio);
  const correlated = slow ? slow.rms * Math.sqrt(correlatedShare(1 / (rate * slow.time), ratio)) : 0;
  const share = (2 * flickerCorner) / rate;
  const lowest = -Math.log(observationTime) - Math.log(rate);
  const flicker = one * Math.sqrt(share * flickerIntegral(lowest, ratio));
  const drift = (Math.abs(driftPerSecond) * (ratio - 1)) / (2 * rate);
  return { white, correlated, flicker, drift, total: Math.hypot(white, correlated, flicker, steady) + drift };
}

/**
 * Variance of the mean of R values whose correlation falls by exp(−a) from one to the next, in that of one value:
 * [R·sinh a − (1 − exp(−aR))]/(2R²·sinh²(a/2)), the same as the formula above.
 */
function correlatedShare(a: number, ratio: number): number {
  if (a > 40) return 1 / ratio;
  const b = a * ratio;
  if (b < 1e-3) return (1 - b / 3 + (b * b) / 12 - b ** 3 / 60 + a / (3 * ratio)) / (1 + (a * a) / 12);
  return (ratio * Math.sinh(a) + Math.expm1(-b)) / (2 * (ratio * Math.sinh(a / 2)) ** 2);
}

const rule = gaussLegendre(12);

/** Integral over from … to, by the rule in `panels` equal panels. */
function integral(f: (x: number) => number, from: number, to: number, panels: number): number {
  const half = (to - from) / (2 * panels);
  let sum = 0;
  for (let p = 0; p < panels; p++) {
    for (let i = 0; i < rule.nodes.length; i++) {
      sum += rule.weights[i]! * f(from + half * (2 * p + 1 + rule.nodes[i]!));
    }
  }
  return sum * half;
}

/** Lobes of |H|² that are integrated one by one. */
const lobes = 32;

/**
 * ∫ from exp(`lowest`) to ½ of |H(y)|²/y dy, y = f/f_s; the lower end is at most 1/(10R).
 *
 * The first lobe has its 1/y taken out, the next lobes are integrated one by one. Further on sin²(πRy) = ½ − ½·cos(2πRy): the half
 * is smooth, and of the cosine, whose lobe ends are at its crests, the slope there gives all but 1e-11.
 */
function flickerIntegral(lowest: number, ratio: number): number {
  if (ratio === 1) return Math.log(0.5) - lowest;
  const from = Math.exp(lowest);
  const lobe = 1 / ratio;
  const power = (y: number): number => boxcar(y, ratio) ** 2;
  const near = Math.min(lobe, 0.5);
  let sum = Math.log(near) - lowest + integral((y) => (power(y) - 1) / y, from, near, 2);
  const single = Math.min(lobes, ratio / 2);
  if (single > 1) sum += integral((y) => power(y) / y, near, single * lobe, Math.ceil(single - 1));
  if (single < ratio / 2) {
    const smooth = (y: number): number => 1 / (y * (ratio * Math.sin(Math.PI * y)) ** 2);
    const slope = (y: number): number => -smooth(y) * (1 / y + (2 * Math.PI) / Math.tan(Math.PI * y));
    // In ln y, where the powers of y are exponentials.
    const start = single * lobe;
    sum += 0.5 * integral((t) => smooth(Math.exp(t)) * Math.exp(t), Math.log(start), Math.log(0.5), 12);
    const crest = ratio % 2 === 0 ? 1 : -1;
    sum -= (crest * slope(0.5) - slope(start)) / (2 * (2 * Math.PI * ratio) ** 2);
  }
  return sum;
}

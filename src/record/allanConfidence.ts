/**
 * Confidence of an Allan deviation: the band around each point, and the lowest point.
 *
 * Points come in with the length of the record; each goes out with its kind of noise, its equivalent degrees of freedom and the two
 * ends of its band. Long averaging times have few independent spans, and their points scatter: without the band an accident at the
 * right-hand end looks like drift, or like a gain.
 */

import { chiSquareQuantile } from '../numbers/chiSquare.ts';
import { between, choice, maybe, named, or, type Rule, whole } from '../numbers/guard.ts';
import type { AllanKind, AllanPoint } from './allan.ts';

/** Noise whose deviation falls with √τ, stays level, or rises with √τ. */
export type AllanNoise = 'white' | 'flicker' | 'random walk';

/** A point with its band. */
export interface AllanBand extends AllanPoint {
  /** Kind of noise the degrees of freedom are for. */
  readonly noise: AllanNoise;
  /** Equivalent degrees of freedom of the variance. */
  readonly degreesOfFreedom: number;
  /** Lower end of the band, in the unit of the deviation. */
  readonly low: number;
  /** Upper end of the band, in the unit of the deviation. */
  readonly high: number;
}

/** The lowest point of a curve. */
export interface AllanMinimum {
  readonly factor: number;
  /** Averaging time, s. */
  readonly tau: number;
  /** Deviation there, in the unit of the values. */
  readonly deviation: number;
  /** Whether it is the last point: the record is too short to show where averaging stops to help. */
  readonly atEnd: boolean;
}

const points: Rule<readonly AllanPoint[]> = {
  allowed: 'an array of at least 1 point of an Allan deviation',
  keeps: (value): value is readonly AllanPoint[] =>
    Array.isArray(value) &&
    value.length > 0 &&
    value.every((p) => p && whole(1, 2 ** 53).keeps(p.factor) && p.deviation >= 0 && p.tau > 0),
};
const kind = choice(['adjacent', 'overlapping', 'modified']);
const noise = choice(['white', 'flicker', 'random walk']);
const recordLength = whole(2, 2 ** 53);
const freedomShape = { noise, kind, factor: whole(1, 2 ** 53), recordLength };
const bandShape = {
  points,
  recordLength,
  kind,
  noise: maybe(noise),
  confidence: or(between(0.01, 0.9999, ''), 0.683),
};

/** Covariance of the phase, to a factor and what second differences remove, for each noise; t in averaging times. */
const phase: Record<AllanNoise, (t: number) => number> = {
  white: (t) => -Math.abs(t),
  flicker: (t) => (t === 0 ? 0 : t * t * Math.log(Math.abs(t))),
  'random walk': (t) => Math.abs(t) ** 3,
};

/** The same for the phase summed twice more, as the modified kind averages it. */
const smoothed: Record<AllanNoise, (t: number) => number> = {
  white: (t) => Math.abs(t) ** 3,
  flicker: (t) => (t === 0 ? 0 : -(t ** 4) * Math.log(Math.abs(t))),
  'random walk': (t) => -(Math.abs(t) ** 5),
};

/** Covariance of the second differences t averaging times apart. */
const covariance = (w: (t: number) => number, t: number): number =>
  6 * w(t) - 4 * (w(t - 1) + w(t + 1)) + w(t - 2) + w(t + 2);

/** Starts an averaging time that a long one is looked at with; more change nothing in the fourth digit. */
const finest = 64;

/**
 * Equivalent degrees of freedom of an Allan variance: those of the χ² that scatters as much.
 *
 *     ν = n·s(0)²/[s(0)² + 2·Σ_{j≥1} (1 − j/n)·s(j)²],  s(j) the covariance of terms j apart, n the number of terms
 *
 * Values whose noise is white, flicker or a random walk, normal.
 *
 * @param noise - 'white', 'flicker' or 'random walk'
 * @param kind - 'adjacent', 'overlapping' or 'modified'
 * @param factor - averaging factor m, from 1
 * @param recordLength - values M; 2m, or 3m − 1 for 'modified', at least
 * @returns ν, above 0
 * @throws RangeError for an argument outside its range
 * @see [SP1065] 5.4.1 table 5 for close approximations, and the method after it (from memory)
 *
 * allanFreedom({ noise: 'white', kind: 'overlapping', factor: 10, recordLength: 1000 }) // => 146.1
 */
export function allanFreedom(given: {
  noise: AllanNoise;
  kind: AllanKind;
  factor: number;
  recordLength: number;
}): number {
  const { noise, kind, factor, recordLength } = named('allanFreedom', freedomShape, given);
  const span = kind === 'modified' ? 3 * factor - 1 : 2 * factor;
  if (recordLength < span) {
    throw new RangeError(
      `allanFreedom.factor: got ${factor}; a record of ${recordLength} leaves no term, ${kind}`,
    );
  }
  const starts = kind === 'adjacent' ? 1 : factor;
  const terms = kind === 'adjacent' ? Math.floor(recordLength / factor) - 1 : recordLength - span + 1;
  // A long averaging time is looked at with fewer starts over the same stretch.
  const coarse = Math.min(starts, finest);
  const n = Math.max(1, Math.round((terms * coarse) / starts));
  const reach = Math.min(n, (kind === 'modified' ? 4 : 3) * coarse);
  const w = kind === 'modified' && factor > 1 ? smoothed[noise] : phase[noise];
  const s =
    kind === 'modified' && factor > 1
      ? (t: number) => 2 * covariance(w, t) - covariance(w, t - 1) - covariance(w, t + 1)
      : (t: number) => covariance(w, t);
  const s0 = s(0) ** 2;
  let sum = s0;
  for (let j = 1; j < reach; j++) sum += 2 * (1 - j / n) * s(j / coarse) ** 2;
  return (n * s0) / sum;
}

/** The noise that the curve's slope shows at one point: −½, 0 or +½ in logarithms, whichever is nearest. */
function noiseAt(points: readonly AllanPoint[], i: number): AllanNoise {
  const before = points[Math.max(0, i - 1)]!;
  const after = points[Math.min(points.length - 1, i + 1)]!;
  if (before.deviation === 0 || after.deviation === 0 || before.tau === after.tau) return 'white';
  const slope = Math.log(after.deviation / before.deviation) / Math.log(after.tau / before.tau);
  return slope < -0.25 ? 'white' : slope < 0.25 ? 'flicker' : 'random walk';
}

/**
 * The points of an Allan deviation with their confidence bands.
 *
 *     σ·√(ν/χ²((1 + p)/2, ν)) … σ·√(ν/χ²((1 − p)/2, ν))
 *
 * Where the noise is not given it is told from the slope of the curve at each point. Noise steeper than white (a ripple, dither) is
 * taken as white.
 *
 * @param points - points of `allanDeviation` or of a stream
 * @param recordLength - values M in the record, from 2
 * @param kind - kind of deviation
 * @param noise - 'white', 'flicker' or 'random walk'; by the slope unless given
 * @param confidence - probability p that the band holds the true deviation, 0.01 … 0.9999; 0.683 unless given
 * @returns the points with degrees of freedom and the ends of the band
 * @throws RangeError for an argument outside its range
 * @see [SP1065] 5.3, 5.4 (clauses from memory)
 *
 * allanConfidence({ points: [{ factor: 10, tau: 10, deviation: 0.09159953, terms: 981 }], recordLength: 1000, kind: 'overlapping', noise: 'white', confidence: 0.95 })[0]?.low // => 0.0822
 */
export function allanConfidence(given: {
  points: readonly AllanPoint[];
  recordLength: number;
  kind: AllanKind;
  noise?: AllanNoise;
  confidence?: number;
}): AllanBand[] {
  const { points, recordLength, kind, noise, confidence } = named('allanConfidence', bandShape, given);
  return points.map((point, i) => {
    const seen = noise ?? noiseAt(points, i);
    const freedom = allanFreedom({ noise: seen, kind, factor: point.factor, recordLength });
    const end = (p: number): number => point.deviation * Math.sqrt(freedom / chiSquareQuantile(p, freedom));
    return {
      ...point,
      noise: seen,
      degreesOfFreedom: freedom,
      low: end((1 + confidence) / 2),
      high: end((1 - confidence) / 2),
    };
  });
}

/**
 * The lowest point of an Allan deviation: the longest averaging that helps.
 *
 * @param points - points in the order of their averaging times
 * @returns where it is, and whether the record ends before the curve turns
 * @throws RangeError for an argument outside its range
 *
 * allanMinimum({ points: [{ factor: 1, tau: 1, deviation: 2, terms: 9 }, { factor: 2, tau: 2, deviation: 1, terms: 7 }] }) // => { factor: 2, tau: 2, deviation: 1, atEnd: true }
 */
export function allanMinimum(given: { points: readonly AllanPoint[] }): AllanMinimum {
  const { points: curve } = named('allanMinimum', { points }, given);
  const { factor, tau, deviation } = curve.reduce((least, p) => (p.deviation < least.deviation ? p : least));
  return { factor, tau, deviation, atEnd: factor === curve.at(-1)!.factor };
}

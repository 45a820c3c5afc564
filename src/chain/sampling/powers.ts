/**
 * Powers of a conversion's map: what n conversions in a row leave of a deviation, one by one and on the mean of a burst.
 *
 * Both kinds of start come down to geometric sequences, whose factors are kept as their logarithm and their distance from 1:
 * no power and no sum is formed by repeated multiplication, so the accuracy does not depend on how many conversions there are.
 */
import type { Cycle } from './network.ts';

/** A factor λ from 0 to 1 of a geometric sequence. */
export interface Factor {
  /** ln λ; −∞ where λ is 0. */
  readonly log: number;
  /** 1 − λ. */
  readonly loss: number;
}

/** The factor whose value and distance from 1 are both known. */
const factorOf = (value: number, loss: number): Factor => ({
  log: loss < 0.5 ? Math.log1p(-loss) : Math.log(value),
  loss,
});

/** λ^n. */
const power = ({ log }: Factor, n: number): number => (n === 0 ? 1 : Math.exp(n * log));

/** 1 − λ^n. */
const powerLoss = ({ log }: Factor, n: number): number => (n === 0 ? 0 : -Math.expm1(n * log));

/** Mean of λ^j over j = first … first + count − 1. */
export function meanPower(f: Factor, first: number, count: number): number {
  return (power(f, first) * powerLoss(f, count)) / (count * f.loss);
}

/** Mean of the sums 1 + λ + … + λ^(j−1) over j = first … first + count − 1. */
export function meanSum(f: Factor, first: number, count: number): number {
  return (powerLoss(f, first) + power(f, first) * meanLoss(f, count)) / f.loss;
}

/** Mean of 1 − λ^j over j = 0 … count − 1. */
function meanLoss(f: Factor, count: number): number {
  const z = -f.log / 2;
  if (z * count > 0.25) return 1 - powerLoss(f, count) / (count * f.loss);
  return -Math.expm1(logSinhc(z * count) - logSinhc(z) - (count - 1) * z);
}

/** ln(sinh z/z) for |z| up to ¼. */
function logSinhc(z: number): number {
  const s = z * z;
  return s * (1 / 6 - s * (1 / 180 - s * (1 / 2835 - s * (1 / 37800 - s / 467775))));
}

/** The factor by which the pin's deviation goes on, where C_s starts each conversion at the same voltage. */
export const pinFactor = (c: Cycle): Factor => factorOf(c.pinToPin, c.pinLoss);

/** The two factors of the full map of a period, and their parts of y → y. */
export interface Eigen {
  readonly high: Factor;
  readonly low: Factor;
  readonly highShare: number;
  readonly lowShare: number;
  /** Difference of the two factors. */
  readonly apart: number;
}

/**
 * The factors of the full 2 × 2 map, where C_s keeps its charge.
 *
 * Both are real and from 0 to 1: the map's entries are not negative. The distance from 1 of the larger is the determinant of
 * (unity − map) over that of the smaller; the logarithm of the smaller is that of the determinant less that of the larger.
 */
export function eigen(c: Cycle): Eigen {
  const small = c.pinToPin < 0.5 && c.sampleToSample < 0.5;
  const w = small ? c.sampleToSample - c.pinToPin : c.pinLoss - c.sampleLoss;
  const coupling = 4 * c.sampleToPin * c.pinToSample;
  const apart = Math.sqrt(w * w + coupling);
  const highLoss = (2 * c.lossDeterminant) / (c.pinLoss + c.sampleLoss + apart);
  const high = factorOf((c.pinToPin + c.sampleToSample + apart) / 2, highLoss);
  const lowLog = high.log === Number.NEGATIVE_INFINITY ? high.log : c.logDeterminant - high.log;
  const plus = w >= 0 ? apart + w : coupling / (apart - w);
  const minus = w >= 0 ? coupling / (apart + w) : apart - w;
  return {
    high,
    low: { log: lowLog, loss: -Math.expm1(lowLog) },
    highShare: apart > 0 ? plus / (2 * apart) : 1,
    lowShare: apart > 0 ? minus / (2 * apart) : 0,
    apart,
  };
}

/**
 * Student's t distribution: its tail and its quantile, for any number of degrees of freedom from 1.
 *
 * In come distances in standard uncertainties; out go probabilities, and back. These are plain numeric helpers, as those of the
 * normal distribution are, which is the limit of many degrees of freedom.
 */
import { normalTail } from './normal.ts';
import { rootBetween } from './roots.ts';

/** Degrees of freedom from which the tail is that of a normal deviate w, expanded in 1/ν². */
const many = 1e4;

function requireFreedom(place: string, nu: number): void {
  if (!(nu >= 1 && Number.isFinite(nu))) {
    throw new RangeError(`${place}.degreesOfFreedom: got ${nu}; allowed finite numbers from 1`);
  }
}

/** Γ(a + ½)/Γ(a): the series of its logarithm in 1/a, for a raised to 16 by the recurrence of Γ. */
function halfStep(a: number): number {
  let factor = 1;
  let x = a;
  for (; x < 16; x++) factor *= x / (x + 0.5);
  const y = 1 / (x * x);
  const series = -1 / 8 + y * (1 / 192 + y * (-1 / 640 + y * (17 / 14336 + y * (-31 / 18432))));
  return factor * Math.sqrt(x) * Math.exp(series / x);
}

/** The continued fraction of the incomplete beta function I_x(a, b), without its factor; converges for x < (a + 1)/(a + b + 2). */
function betaFraction(a: number, b: number, x: number): number {
  let c = 1;
  let d = 1 / (1 - ((a + b) / (a + 1)) * x);
  let value = d;
  for (let m = 1; m < 100_000; m++) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m));
    d = 1 / (1 + even * d);
    c = 1 + even / c;
    value *= c * d;
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1));
    d = 1 / (1 + odd * d);
    c = 1 + odd / c;
    value *= c * d;
    if (Math.abs(c * d - 1) < 2 ** -52) break;
  }
  return value;
}

/**
 * The upper tail of Student's t distribution, the probability that a deviate exceeds t.
 *
 *     Q(t; ν) = ½·I_x(ν/2, ½), x = ν/(ν + t²), for t ≥ 0
 *
 * Relative error below 10⁻¹² where the tail is above 10⁻¹⁰⁰, and below 10⁻¹¹ to 10⁻³⁰⁰. From ν = 10⁴ it is the normal tail at
 * w + (w³ + 3w)/b − (4w⁷ + 33w⁵ + 240w³ + 855w)/(10b²), w² = (ν − ½)·ln(1 + t²/ν), b = 48(ν − ½)².
 *
 * @param t - distance in standard uncertainties, |t| ≤ 10¹⁵⁰
 * @param degreesOfFreedom - ν, finite, ≥ 1, not necessarily whole
 * @returns probability, 0 … 1
 * @throws RangeError for an argument outside its range
 * @see [CACM1970] (the expansion); [AMS55] 26.5.8 (the continued fraction)
 *
 * @example
 * studentTail(2.570582, 5) // => 0.02500000
 */
export function studentTail(t: number, degreesOfFreedom: number): number {
  requireFreedom('studentTail', degreesOfFreedom);
  if (!(Math.abs(t) <= 1e150)) throw new RangeError(`studentTail.t: got ${t}; allowed -1e150 … 1e150`);
  return t < 0 ? 1 - upperTail(-t, degreesOfFreedom) : upperTail(t, degreesOfFreedom);
}

function upperTail(t: number, nu: number): number {
  const square = t * t;
  if (nu >= many) {
    const w = Math.sqrt((nu - 0.5) * Math.log1p(square / nu));
    // Far beyond the smallest double the expansion fails.
    if (w > 40) return 0;
    const b = 48 * (nu - 0.5) ** 2;
    const y = w * w;
    return normalTail(w * (1 + (y + 3) / b - (855 + y * (240 + y * (33 + 4 * y))) / (10 * b * b)));
  }
  const a = nu / 2;
  const outer = 1 / (1 + nu / square);
  const common =
    ((Math.exp(-a * Math.log1p(square / nu)) * Math.sqrt(outer)) / Math.sqrt(Math.PI)) * halfStep(a);
  return square > 3
    ? (0.5 * common * betaFraction(a, 0.5, 1 / (1 + square / nu))) / a
    : 0.5 - common * betaFraction(0.5, a, outer);
}

/**
 * The quantile of Student's t distribution: t below which a deviate falls with probability p.
 *
 * @param p - probability, 10⁻¹⁰⁰ … 1 − 10⁻¹⁶; for an upper tail of small probability p, take −studentQuantile(p, ν)
 * @param degreesOfFreedom - ν, finite, ≥ 1, not necessarily whole
 * @returns t, standard uncertainties; relative error below 10⁻¹²
 * @throws RangeError for an argument outside its range
 *
 * @example
 * studentQuantile(0.975, 5) // => 2.570581836
 */
export function studentQuantile(p: number, degreesOfFreedom: number): number {
  requireFreedom('studentQuantile', degreesOfFreedom);
  if (!(p >= 1e-100 && p <= 1 - 1e-16)) {
    throw new RangeError(`studentQuantile.p: got ${p}; allowed 1e-100 … 1 - 1e-16`);
  }
  if (p === 0.5) return 0;
  const wanted = Math.log(p < 0.5 ? p : 1 - p);
  // ln Q against asinh t is nearly straight at both ends, whatever the degrees of freedom. ν = 1 has the longest tail, 1/(πp).
  const excess = (s: number): number => {
    const tail = upperTail(Math.sinh(s), degreesOfFreedom);
    return (tail > 0 ? Math.log(tail) : -800) - wanted;
  };
  const t = Math.sinh(rootBetween(excess, 0, Math.asinh(0.5 * Math.exp(-wanted))));
  return p < 0.5 ? -t : t;
}

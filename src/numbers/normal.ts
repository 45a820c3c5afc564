/**
 * The normal distribution: its tail, the logarithm of it, its density and its quantile, each to nearly full double precision.
 *
 * In come distances in standard deviations, σ; out go probabilities, and back. These are plain numeric helpers for inner loops.
 *
 * With M(z) = Q(z)·exp(z²/2), the function M(z)·(1 + 5z/4) is smooth from 0 to ∞ and is a Chebyshev series in
 * t = (z − 21/4)/(z + 21/4). Its coefficients, made with mpmath at 50 digits: for N = 80 and x_j = cos(π(j + ½)/N),
 * c_i = (2/N)·Σ_j g(x_j)·cos(πi(j + ½)/N), the first of them halved, g(t) = erfc(z/√2)/2·exp(z²/2)·(1 + 5z/4) with
 * z = (21/4)(1 + t)/(1 − t); the terms left out add up to less than 10⁻¹⁷ of the first. Of
 * the two doubles about equally near to c_0 the upper is taken, which makes Q(0) exactly ½.
 */
const series = [
  0.538201909735064, -0.02713771764576092, -0.027234702198547362, 0.02261362715499396, -0.01062869979281741,
  0.0036668280243781245, -0.0009735719770648246, 0.0001950015828067424, -2.6376734340462976e-5,
  1.270415727592638e-6, 3.641636280824242e-7, -8.630243290801246e-8, 2.317982628115906e-9,
  2.0584114460189846e-9, -2.739051578767124e-10, -3.777443641458422e-11, 1.1289096489989781e-11,
  5.501624003982411e-13, -4.073823710450776e-13, -4.261937871599543e-15, 1.4837056087058484e-14,
  -7.836292846211517e-17, -5.694412989280541e-16, 1.5011302150174637e-18, 2.3114573823197707e-17,
  3.9932734714714494e-19,
];

/** M(z) = Q(z)·exp(z²/2) for z ≥ 0, by the recurrence for a Chebyshev series. */
function scaledTail(z: number): number {
  const t = (z - 5.25) / (z + 5.25);
  let b = 0;
  let after = 0;
  for (let i = series.length - 1; i > 0; i--) {
    const next = 2 * t * b - after + series[i]!;
    after = b;
    b = next;
  }
  return (t * b - after + series[0]!) / (1 + 1.25 * z);
}

/** exp(−z²/2), with z split so that the large part of the exponent has no rounding error. */
function bell(z: number): number {
  if (z > 40) return 0;
  const head = Math.round(z * 1024) / 1024;
  return Math.exp(-0.5 * head * head) * Math.exp(-0.5 * (z - head) * (z + head));
}

/**
 * The upper tail of the normal distribution, the probability that a deviate exceeds z.
 *
 *     Q(z) = ∫ from z to ∞ of exp(−x²/2)/√(2π) dx
 *
 * Relative error below 2·10⁻¹⁵ for z up to 37; 0 from about 38.6 on, where no double is small enough.
 *
 * @param z - distance in standard deviations, finite
 * @returns probability, 0 … 1
 *
 * @example
 * normalTail(2) // => 0.0227501319481792
 * normalTail(-1) // => 0.841344746068543
 */
export function normalTail(z: number): number {
  return z < 0 ? 1 - normalTail(-z) : bell(z) * scaledTail(z);
}

/**
 * The natural logarithm of the upper tail, where the tail itself may be too small for a double.
 *
 *     ln Q(z) = ln M(z) − z²/2
 *
 * @param z - distance in standard deviations, −10¹⁵⁰ … 10¹⁵⁰
 * @returns ln Q(z), ≤ 0; relative error below 2·10⁻¹⁵
 *
 * @example
 * logNormalTail(40) // => -804.608442013754
 */
export function logNormalTail(z: number): number {
  return z < 0 ? Math.log1p(-normalTail(-z)) : Math.log(scaledTail(z)) - 0.5 * z * z;
}

/**
 * The density of the normal distribution.
 *
 *     φ(z) = exp(−z²/2)/√(2π)
 *
 * @param z - distance in standard deviations, finite
 * @returns density per standard deviation
 *
 * @example
 * normalDensity(0) // => 0.398942280401433
 */
export function normalDensity(z: number): number {
  return bell(Math.abs(z)) / Math.sqrt(2 * Math.PI);
}

/**
 * The quantile of the normal distribution: z below which a deviate falls with probability p.
 *
 * Newton's method on ln Q, which is nearly a parabola. For the tail of small probability p that lies above, take −normalQuantile(p).
 *
 * @param p - probability, above 0 and below 1
 * @returns z, standard deviations; within 10⁻¹⁵·max(1, |z|)
 * @throws RangeError if `p` is out of range
 *
 * @example
 * normalQuantile(0.975) // => 1.95996398454005
 * normalQuantile(1e-9) // => -5.99780701500769
 */
export function normalQuantile(p: number): number {
  if (!(p > 0 && p < 1)) throw new RangeError(`normalQuantile.p: got ${p}; allowed above 0 and below 1`);
  if (p > 0.5) return upperQuantile(1 - p);
  return p === 0.5 ? 0 : -upperQuantile(p);
}

/** z ≥ 0 with Q(z) = q, q ≤ ½. */
function upperQuantile(q: number): number {
  const wanted = Math.log(q);
  // From above the root, where ln Q is steeper than at the root, the steps cannot pass it.
  let z = Math.sqrt(-2 * (wanted + Math.LN2));
  for (let i = 0; i < 20; i++) {
    const step = ((logNormalTail(z) - wanted) * scaledTail(z)) / scaledDensity;
    z += step;
    if (Math.abs(step) <= 1e-9 * z) break;
  }
  return z;
}

/** φ(z)·exp(z²/2), the same at every z. */
const scaledDensity = 1 / Math.sqrt(2 * Math.PI);

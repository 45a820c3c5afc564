/**
 * Roots: where a continuous function of one number passes zero, between two ends that bracket it.
 *
 * In come the function and the ends; out goes the root to full double precision, or to a relative tolerance.
 */

const ulp = 2 ** -52;

/**
 * The root of a continuous function between two ends where its sign differs.
 *
 * Inverse quadratic interpolation through the last three points where it can be trusted, halving where it cannot, so it never
 * leaves the bracket. Of the two ends of the last bracket the one with the smaller |f| is returned.
 *
 * @param f - the function; finite between the ends
 * @param low - one end, finite
 * @param high - the other end, finite
 * @param relative - allowed distance from the root relative to it, 0 … 1; 0 is full double precision (2 units of the last place)
 * @returns x where f passes zero, in the unit of `low`
 * @throws RangeError if f has the same sign at both ends, or is not finite where it is asked
 *
 * @example
 * rootBetween((x) => x * x - 2, 0, 2) // => 1.41421356237310
 */
export function rootBetween(f: (x: number) => number, low: number, high: number, relative = 0): number {
  const at = (x: number): number => {
    const y = f(x);
    if (!Number.isFinite(y)) throw new RangeError(`rootBetween: f(${x}) is ${y}; allowed finite numbers`);
    return y;
  };
  if (!Number.isFinite(high - low)) {
    throw new RangeError(
      `rootBetween: got ends ${low} and ${high}; allowed finite numbers a finite way apart`,
    );
  }
  if (!(relative >= 0 && relative <= 1)) {
    throw new RangeError(`rootBetween.relative: got ${relative}; allowed 0 … 1`);
  }
  // The root lies between x1 and x2; x3 is the end last given up.
  let x1 = low;
  let f1 = at(x1);
  if (f1 === 0) return x1;
  let x2 = high;
  let f2 = at(x2);
  if (f2 === 0) return x2;
  if (f1 > 0 === f2 > 0) {
    throw new RangeError(`rootBetween: no sign change, f(${low}) is ${f1} and f(${high}) is ${f2}`);
  }
  let t = 0.5;
  for (;;) {
    const x = x1 + t * (x2 - x1);
    const y = at(x);
    if (y === 0) return x;
    let x3 = x1;
    let f3 = f1;
    if (y > 0 !== f1 > 0) {
      x3 = x2;
      f3 = f2;
      x2 = x1;
      f2 = f1;
    }
    x1 = x;
    f1 = y;
    const best = Math.abs(f1) < Math.abs(f2) ? x1 : x2;
    const least = Math.max(relative, 2 * ulp) * Math.abs(best) + Number.MIN_VALUE;
    const edge = least / Math.abs(x2 - x1) / 2;
    if (edge > 0.5) return best;
    // Interpolate only where the three points give a monotone inverse parabola.
    const xi = (x1 - x2) / (x3 - x2);
    const phi = (f1 - f2) / (f3 - f2);
    t = 0.5;
    if (phi * phi < xi && (1 - phi) * (1 - phi) < 1 - xi) {
      t =
        ((f1 / (f2 - f1)) * f3) / (f2 - f3) + ((((x3 - x1) / (x2 - x1)) * f1) / (f3 - f1)) * (f2 / (f3 - f2));
      if (!(t > edge)) t = edge;
      else if (t > 1 - edge) t = 1 - edge;
    }
  }
}

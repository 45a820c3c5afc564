/**
 * Least squares: the coefficients of a few columns that come closest to a list of values.
 *
 * In come the columns and the values, weighted already; out go the coefficients, their covariance for a unit of variance, and what
 * is left over. The columns are made orthogonal one after the other, the values with them.
 */

/** A fit. */
export interface LeastSquares {
  /** Coefficient of each column. */
  readonly coefficients: number[];
  /** Covariance of the coefficients for values of variance 1, row by row. */
  readonly covariance: number[][];
}

/** The fit, or null where the columns depend on each other. */
export function leastSquares(
  columns: readonly (readonly number[])[],
  values: readonly number[],
): LeastSquares | null {
  const m = columns.length;
  const q = columns.map((column) => Float64Array.from(column));
  const rest = Float64Array.from(values);
  const r: number[][] = columns.map(() => new Array<number>(m).fill(0));
  const projection: number[] = [];
  const dot = (a: Float64Array, b: Float64Array): number => a.reduce((sum, x, i) => sum + x * b[i]!, 0);
  for (let j = 0; j < m; j++) {
    const own = q[j]!;
    const before = Math.hypot(...columns[j]!);
    const length = Math.hypot(...own);
    if (!(length > 1e-10 * before)) return null;
    r[j]![j] = length;
    for (let i = 0; i < own.length; i++) own[i] = own[i]! / length;
    const remove = (target: Float64Array): number => {
      const share = dot(own, target);
      for (let i = 0; i < target.length; i++) target[i] = target[i]! - share * own[i]!;
      return share;
    };
    for (let k = j + 1; k < m; k++) r[j]![k] = remove(q[k]!);
    projection.push(remove(rest));
  }
  const inverse = inverseOfUpper(r);
  const coefficients = inverse.map((row) => row.reduce((sum, x, k) => sum + x * projection[k]!, 0));
  const covariance = inverse.map((a) => inverse.map((b) => a.reduce((sum, x, k) => sum + x * b[k]!, 0)));
  return { coefficients, covariance };
}

function inverseOfUpper(r: readonly (readonly number[])[]): number[][] {
  const m = r.length;
  const inverse = r.map(() => new Array<number>(m).fill(0));
  for (let j = 0; j < m; j++) {
    inverse[j]![j] = 1 / r[j]![j]!;
    for (let i = j - 1; i >= 0; i--) {
      let sum = 0;
      for (let k = i + 1; k <= j; k++) sum += r[i]![k]! * inverse[k]![j]!;
      inverse[i]![j] = -sum / r[i]![i]!;
    }
  }
  return inverse;
}

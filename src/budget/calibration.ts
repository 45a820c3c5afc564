/**
 * Calibration: the line or curve that turns readings into what a reference says they should be.
 *
 * In come points, each a reading and its reference value; out go the coefficients with their covariance, what is left at the points,
 * and, for any reading, the corrected value with the uncertainty that the calibration itself has there.
 */
import { choice, maybe, named, positive, type Rule, real, shown } from '../numbers/guard.ts';
import { type LeastSquares, leastSquares } from './leastSquares.ts';

/** What a calibration corrects: one coefficient for 'offset' and 'gain', two for 'line', three, four. */
export type CalibrationKind = 'offset' | 'gain' | 'line' | 'quadratic' | 'cubic';

/** A point of a calibration. */
export interface CalibrationPoint {
  /** What the instrument reads. */
  readonly reading: number;
  /** What the reference says, unit of the corrected value. */
  readonly reference: number;
  /** Standard uncertainty of this point, of reading and reference together, unit of `reference`, > 0; in every point or in none. */
  readonly standardUncertainty?: number | undefined;
}

/** A calibration. */
export interface Calibration {
  readonly kind: CalibrationKind;
  /** Reading from which powers are counted. */
  readonly origin: number;
  /** Coefficients by rising power; of 'offset', what is added; of 'gain', the factor. */
  readonly coefficients: readonly number[];
  /** Covariance of the coefficients, row by row; 'none' where neither scatter nor stated uncertainties tell it. */
  readonly covariance: readonly (readonly number[])[] | 'none';
  /** Standard deviation of what is left at the points, unit of `reference`; 'none' with as many coefficients as points. */
  readonly residual: number | 'none';
  /** Mean square of what is left over the stated uncertainties: about 1 where they are right; 'none' if not known. */
  readonly chiSquareRatio: number | 'none';
  /** Degrees of freedom of the covariance: points less coefficients; 'any' by stated uncertainties; 'none' without covariance. */
  readonly degreesOfFreedom: number | 'any' | 'none';
  /** Lowest and highest reading of the points. */
  readonly lowest: number;
  readonly highest: number;
}

/** A corrected reading. */
export interface CalibratedValue {
  /** Corrected value, unit of the points' reference. */
  readonly value: number;
  /** Standard uncertainty of the calibration there, unit of `value`; 'none' where the points do not tell it. */
  readonly standardUncertainty: number | 'none';
  /** Whether the reading lies between the lowest and the highest point. */
  readonly inside: boolean;
}

const kinds = ['offset', 'gain', 'line', 'quadratic', 'cubic'] as const;
const least = { offset: 1, gain: 1, line: 2, quadratic: 3, cubic: 4 };

/** What each coefficient is multiplied by, for a reading. */
function basis(kind: CalibrationKind, origin: number, reading: number): number[] {
  if (kind === 'offset') return [1];
  if (kind === 'gain') return [reading];
  return Array.from({ length: least[kind] }, (_, k) => (reading - origin) ** k);
}

const pointShape = {
  reading: real(''),
  reference: real(''),
  standardUncertainty: maybe(positive('')),
};
const pointsRule: Rule<readonly unknown[]> = {
  allowed: 'an array of at least 1 point',
  keeps: (v): v is readonly unknown[] => Array.isArray(v) && v.length > 0,
};

function readPoints(given: readonly unknown[], kind: CalibrationKind) {
  const points = given.map((point, i) => named(`calibration.points[${i}]`, pointShape, point));
  if (points.length < least[kind]) {
    throw new RangeError(
      `calibration.points: got ${points.length}; allowed at least ${least[kind]} for '${kind}'`,
    );
  }
  const stated = points.filter((p) => p.standardUncertainty !== undefined).length;
  if (stated !== 0 && stated !== points.length) {
    throw new RangeError(
      `calibration.points: got a standardUncertainty in ${stated} of ${points.length}; allowed in every point or in none`,
    );
  }
  return points;
}

/**
 * A calibration from one point or more, by least squares.
 *
 *     offset: x + c0    gain: c0·x    line: c0 + c1·(x − x0)    quadratic, cubic: … + c2·(x − x0)² + c3·(x − x0)³
 *
 * Points with a standard uncertainty are weighted by 1/u², and the covariance follows from those; without, all count alike and the
 * covariance follows from their scatter about the curve, which needs more points than coefficients. An error that all points share
 * (the reference's own) is in neither: it is a contribution of its own.
 *
 * @param points - array of {reading, reference, standardUncertainty?}, at least as many as coefficients
 * @param kind - 'offset', 'gain', 'line', 'quadratic' or 'cubic'
 * @param origin - reading x0 from which powers are counted; the mean of the readings if absent
 * @returns coefficients, their covariance, residual standard deviation and the range of the points
 * @throws RangeError if an argument is outside its range, or if the readings do not tell the coefficients apart
 * @see [GUM] H.3 (line), 5.1.2
 *
 * @example
 * calibration({ points: [{ reading: 10, reference: 10.5 }, { reading: 20, reference: 20.7 }], kind: 'line', origin: 0 }).coefficients[1] // => 1.0200
 */
export function calibration(given: {
  readonly points: readonly CalibrationPoint[];
  readonly kind: CalibrationKind;
  readonly origin?: number | undefined;
}): Calibration {
  const shape = { points: pointsRule, kind: choice(kinds), origin: maybe(real('')) };
  const a = named('calibration', shape, given);
  const { kind } = a;
  const points = readPoints(a.points, kind);
  const readings = points.map((p) => p.reading);
  const origin = a.origin ?? readings.reduce((sum, x) => sum + x, 0) / readings.length;
  const weight = points.map((p) => 1 / (p.standardUncertainty ?? 1));
  const target = points.map((p) => p.reference - (kind === 'offset' ? p.reading : 0));
  const rows = readings.map((x) => basis(kind, origin, x));
  const fit = leastSquares(
    rows[0]!.map((_, k) => rows.map((row, i) => row[k]! * weight[i]!)),
    target.map((y, i) => y * weight[i]!),
  );
  if (fit === null) {
    throw new RangeError(
      `calibration.points: got readings ${readings.map(shown).join(', ')}; allowed readings that tell ${least[kind]} coefficients apart`,
    );
  }
  const left = target.map((y, i) => y - rows[i]!.reduce((sum, b, k) => sum + b * fit.coefficients[k]!, 0));
  return {
    kind,
    origin,
    coefficients: fit.coefficients,
    ...spreadAbout(fit, left, points[0]!.standardUncertainty === undefined ? null : weight),
    lowest: Math.min(...readings),
    highest: Math.max(...readings),
  };
}

/** Residual, covariance and degrees of freedom, from what is left at the points; `weight` is 1/u where stated. */
function spreadAbout(fit: LeastSquares, left: readonly number[], weight: readonly number[] | null) {
  const freedom = left.length - fit.coefficients.length;
  const meanSquare = (w: (i: number) => number) =>
    left.reduce((sum, r, i) => sum + (r * w(i)) ** 2, 0) / freedom;
  const residual = freedom > 0 ? Math.sqrt(meanSquare(() => 1)) : ('none' as const);
  if (weight !== null) {
    const ratio = freedom > 0 ? meanSquare((i) => weight[i]!) : ('none' as const);
    return { covariance: fit.covariance, residual, chiSquareRatio: ratio, degreesOfFreedom: 'any' as const };
  }
  if (residual === 'none') {
    return {
      covariance: 'none' as const,
      residual,
      chiSquareRatio: 'none' as const,
      degreesOfFreedom: 'none' as const,
    };
  }
  const covariance = fit.covariance.map((row) => row.map((v) => v * residual ** 2));
  return { covariance, residual, chiSquareRatio: 'none' as const, degreesOfFreedom: freedom };
}

const calibrationRule: Rule<Calibration> = {
  allowed: 'a result of calibration',
  keeps: (v): v is Calibration =>
    typeof v === 'object' &&
    v !== null &&
    kinds.includes((v as Calibration).kind) &&
    Array.isArray((v as Calibration).coefficients),
};

/**
 * A reading corrected by a calibration, with the uncertainty that the calibration has there.
 *
 *     u² = Σ_i Σ_j b_i·b_j·cov(c_i, c_j), b the powers of x − x0
 *
 * It is least among the points and grows outside them, where moreover nothing shows that the curve is still the right one. The
 * uncertainty of the reading itself is not in it.
 *
 * @param calibration - a result of `calibration`
 * @param reading - x, in the unit of the points' readings
 * @returns corrected value, standard uncertainty, and whether x lies among the points
 * @throws RangeError if an argument is outside its range
 * @see [GUM] H.3.4
 *
 * @example
 * calibratedValue({ calibration: calibration({ points: [{ reading: 10, reference: 10.5 }], kind: 'offset' }), reading: 12 }).value // => 12.500
 */
export function calibratedValue(given: {
  readonly calibration: Calibration;
  readonly reading: number;
}): CalibratedValue {
  const a = named('calibratedValue', { calibration: calibrationRule, reading: real('') }, given);
  const { kind, origin, coefficients, covariance, lowest, highest } = a.calibration;
  const b = basis(kind, origin, a.reading);
  const value = b.reduce((sum, x, k) => sum + x * coefficients[k]!, kind === 'offset' ? a.reading : 0);
  const inside = lowest <= a.reading && a.reading <= highest;
  if (covariance === 'none') return { value, standardUncertainty: 'none', inside };
  let variance = 0;
  for (let i = 0; i < b.length; i++) {
    for (let j = 0; j < b.length; j++) variance += b[i]! * b[j]! * covariance[i]![j]!;
  }
  return { value, standardUncertainty: Math.sqrt(Math.max(0, variance)), inside };
}

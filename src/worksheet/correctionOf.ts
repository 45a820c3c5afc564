/**
 * The correction that a calibration makes: its weights, and what the points themselves bring in.
 *
 * In come the points at which a board was compared with a standard; out goes, for any place, how much of the error at each point is
 * taken off there. A board's errors are small, so the weights are those of the nominal readings.
 */
import {
  type Calibration,
  type CalibrationKind,
  calibratedValue,
  calibration,
} from '../budget/calibration.ts';

/** A comparison with a standard. */
export interface ComparisonPoint {
  /** Measurand, in its unit. */
  readonly at: number;
  /** Standard uncertainty of the comparison, in the unit of differences, ≥ 0. */
  readonly standardUncertainty: number;
  readonly degreesOfFreedom: number | 'any';
}

/** A correction by its kind and points. */
export interface Correction {
  readonly kind: CalibrationKind;
  readonly points: readonly ComparisonPoint[];
  /** How much of the error found at each point is taken off at a place. */
  weights(measurand: number): readonly number[];
  /** Standard uncertainty that the comparisons bring in at a place. */
  pointsUncertainty(measurand: number): number;
}

/** Share of the points' span within which two of them are one. */
const same = 1e-6;

/** Uncertainty that stands for none, as a share of the span: the fit divides by it. */
const nothing = 1e-9;

/** The kinds of correction that points allow; a gain only where the measurand's zero is the chain's. */
export function kindsFor(points: readonly ComparisonPoint[], throughZero: boolean): CalibrationKind[] {
  const at = points.map((p) => p.at).sort((a, b) => a - b);
  const span = at.at(-1)! - at[0]!;
  const distinct = at.filter((x, i) => i === 0 || x - at[i - 1]! > same * span).length;
  if (distinct === 1) return throughZero && at.every((x) => x !== 0) ? ['offset', 'gain'] : ['offset'];
  return distinct === 2 ? ['line'] : ['line', 'quadratic'];
}

/** The correction of a kind through or between points. */
export function correctionOf(kind: CalibrationKind, points: readonly ComparisonPoint[]): Correction {
  const at = points.map((p) => p.at);
  const scale = Math.max(...at.map(Math.abs), 1);
  const floor = nothing * scale;
  const through = (raised?: number): Calibration =>
    calibration({
      kind,
      points: points.map((p, i) => ({
        reading: p.at,
        reference: p.at + (i === raised ? scale : 0),
        standardUncertainty: Math.max(p.standardUncertainty, floor),
      })),
    });
  const plain = through();
  // A fit is linear in its references: what raising one of them does is its weight.
  const raised = points.map((_, i) => through(i));
  return {
    kind,
    points,
    weights: (reading) => {
      const { value } = calibratedValue({ calibration: plain, reading });
      return raised.map((r) => (calibratedValue({ calibration: r, reading }).value - value) / scale);
    },
    pointsUncertainty: (reading) => {
      const { standardUncertainty: u } = calibratedValue({ calibration: plain, reading });
      return u === 'none' ? 0 : u;
    },
  };
}

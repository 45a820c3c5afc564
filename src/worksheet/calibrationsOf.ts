/**
 * What a calibration would do: none, one point, two, three, five, each where it serves best, beside the worksheet's own.
 */
import type { CalibrationKind } from '../budget/calibration.ts';
import type { Evaluation, UncertaintyPoint } from './evaluation.ts';
import { bestCorrection, between, comparisonPoints, type Surveyed, surveyed } from './uncertaintyOf.ts';

/** One way to calibrate. */
export interface CalibrationChoice {
  readonly is: 'none' | 'as given' | 'one' | 'two' | 'three' | 'five';
  /** Places of the points, in the measurand's unit. */
  readonly at: readonly number[];
  readonly kind: CalibrationKind | 'none';
  /** The budget where the expanded uncertainty is largest. */
  readonly worst: UncertaintyPoint;
}

/** The ways to calibrate, and how well the points are taken to be known. */
export interface CalibrationChoices {
  readonly choices: readonly CalibrationChoice[];
  /** Standard uncertainty of every point but the worksheet's own, in the unit of differences. */
  readonly pointUncertainty: number;
  /** Whether that is the worksheet's own, the largest of its points; else a twentieth of what is there without calibration. */
  readonly stated: boolean;
}

/** Places of the range that are tried. */
const tried = 5;

/** What is taken of the uncertainty without calibration where no point is given. */
const twentieth = 1 / 20;

/** The best of several sets of places. */
function best(
  survey: Surveyed,
  sets: readonly (readonly number[])[],
  u: number,
): Omit<CalibrationChoice, 'is'> {
  return sets
    .map((at) => {
      const points = at.map((m) => ({ at: m, standardUncertainty: u, degreesOfFreedom: 'any' as const }));
      const { correction, worst } = bestCorrection(survey, points);
      return { at, kind: correction.kind, worst };
    })
    .reduce((a, b) => (b.worst.expanded < a.worst.expanded ? b : a));
}

/** The ways to calibrate the board of a worksheet. */
export function calibrationsOf(e: Evaluation): CalibrationChoices {
  const survey = surveyed(e);
  const own = comparisonPoints(e);
  const { low, high } = e.channel.range;
  const { before, after } = e.uncertainty;
  const stated = own.length > 0;
  const u = stated ? Math.max(...own.map((p) => p.standardUncertainty)) : twentieth * before.combined;
  const places = between(low, high, tried);
  const ones = places.map((m) => [m]);
  const [a, b, , c, d] = places as [number, number, number, number, number];
  const pairs = [a, b].flatMap((first) => [c, d].map((second) => [first, second]));
  const choices: CalibrationChoice[] = [
    { is: 'none', at: [], kind: 'none', worst: before },
    { is: 'one', ...best(survey, ones, u) },
    { is: 'two', ...best(survey, pairs, u) },
    { is: 'three', ...best(survey, [between(low, high, 3)], u) },
    { is: 'five', ...best(survey, [places], u) },
    ...(after
      ? [{ is: 'as given' as const, at: own.map((p) => p.at), kind: after.correction.kind, worst: after }]
      : []),
  ];
  return { choices, pointUncertainty: u, stated };
}

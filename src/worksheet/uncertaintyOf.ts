/**
 * Uncertainty of a worksheet's reading: a budget at every place of the range, before and after the calibration that it states.
 *
 * In comes what was evaluated; out go the contributions with their sensitivities, combined and expanded by [GUM], the worst case
 * beside it, and where over the range it is largest. A known error that the firmware does not take off (settling, self-heating) lies
 * between none and the size computed from largest figures, always on one side: its mean square is that of a rectangular one of that
 * half-width, and so it is counted.
 */
import { extrapolated } from '../budget/propagation.ts';
import { type Contribution, combineUncertainty } from '../budget/uncertainty.ts';
import { type Board, type BoardBasis, boardOf } from './boardOf.ts';
import { type ComparisonPoint, type Correction, correctionOf, kindsFor } from './correctionOf.ts';
import type { UncertaintyLine, UncertaintyPoint, UncertaintyResult } from './evaluation.ts';
import { freedomOf, type Influence } from './influence.ts';

/** Coverage probability of every expanded uncertainty here. */
export const coverage = 0.95;

/** Places of the range, both ends among them. */
const places = 21;

/** Step of the differences, in sizes of an influence: the sensitivity has to serve over its spread. */
const step = 0.5;

/** What each influence does to the reading at a place, in the unit of differences for one size: by differences of the whole chain. */
function effects({ influences, at }: Board, measurand: number): number[] {
  const reading = at(measurand);
  const d = new Float64Array(influences.length);
  return influences.map((_, i) => {
    const moved = (by: number): number => {
      d[i] = by;
      const value = reading(d);
      d[i] = 0;
      return value;
    };
    return extrapolated((s) => (moved(s * step) - moved(-s * step)) / (2 * s * step));
  });
}

/** A contribution on its way into the budget. */
interface Carried {
  readonly name: string;
  readonly path: string;
  readonly distribution: Influence['distribution'];
  readonly size: number;
  readonly unit: string;
  readonly degreesOfFreedom: number | 'any';
  /** In the reading, signed, for one size. */
  readonly effect: number;
}

const contributionOf = ({ name, distribution, degreesOfFreedom, effect }: Carried): Contribution => ({
  name,
  ...(distribution === 'normal' ? { standardUncertainty: 1 } : { halfWidth: 1, distribution }),
  sensitivity: effect,
  degreesOfFreedom,
});

const divisors = { normal: 1, rectangular: Math.sqrt(3), triangular: Math.sqrt(6), arcsine: Math.SQRT2 };

/** The lines of a budget; contributions of one name (one at each calibration point) stand in one. */
function linesOf(carried: readonly Carried[], combined: number): UncertaintyLine[] {
  const lines = new Map<string, UncertaintyLine>();
  for (const { effect, ...c } of carried) {
    const known = lines.get(c.name);
    const uncertainty = Math.hypot(Math.abs(effect) / divisors[c.distribution], known?.uncertainty ?? 0);
    const limit = (c.distribution === 'normal' ? 3 : 1) * Math.abs(effect) + (known?.limit ?? 0);
    const sensitivity = c.size === 0 ? 0 : Math.hypot(effect / c.size, known?.sensitivity ?? 0);
    const share = combined === 0 ? 0 : (uncertainty / combined) ** 2;
    lines.set(c.name, { ...c, sensitivity, uncertainty, limit, share });
  }
  return [...lines.values()].sort((a, b) => b.share - a.share);
}

/** A board and its effects at every place looked at, so that several corrections share them. */
export interface Surveyed {
  readonly board: Board;
  readonly basis: BoardBasis;
  /** What each influence does to the reading at a place, for one size; and its size there. */
  there(measurand: number): { readonly effects: readonly number[]; readonly sizes: readonly number[] };
}

export function surveyed(basis: BoardBasis): Surveyed {
  const board = boardOf(basis);
  const known = new Map<number, ReturnType<Surveyed['there']>>();
  return {
    board,
    basis,
    there: (measurand) => {
      const there = known.get(measurand) ?? {
        effects: effects(board, measurand),
        sizes: board.influences.map(({ size }) => size(measurand)),
      };
      known.set(measurand, there);
      return there;
    },
  };
}

/** What a correction leaves of every influence's effect at a place, and what its points bring in. */
interface Left {
  /** Of each influence, signed. */
  readonly effects: readonly number[];
  /** Of those that differ from place to place: which, and what each point brings of it. */
  readonly fromPoints: readonly { readonly influence: number; readonly effect: number }[];
  /** Standard uncertainty by the comparisons. */
  readonly comparisons: number;
}

function leftAt(
  { board: { influences }, there }: Surveyed,
  measurand: number,
  correction?: Correction,
): Left {
  const { effects: here } = there(measurand);
  if (correction === undefined) return { effects: here, fromPoints: [], comparisons: 0 };
  const weights = correction.weights(measurand);
  const atPoints = correction.points.map((p) => there(p.at).effects);
  const taken = (i: number): number => weights.reduce((sum, w, k) => sum + w * atPoints[k]![i]!, 0);
  return {
    effects: here.map((effect, i) => (influences[i]!.stays === 'fixed' ? effect - taken(i) : effect)),
    fromPoints: influences.flatMap(({ stays }, influence) =>
      stays === 'places' ? weights.map((w, k) => ({ influence, effect: w * atPoints[k]![influence]! })) : [],
    ),
    comparisons: correction.pointsUncertainty(measurand),
  };
}

/** The standard's own uncertainty and the drift since, which no point shows. */
function sinceCalibration({ worksheet, channel }: BoardBasis): Carried[] {
  const { standard, drift } = worksheet.inputs.calibration ?? {};
  const { unit } = channel;
  const line = (name: string, path: string, of: typeof standard, distribution: Carried['distribution']) =>
    of === undefined || of.value === 0
      ? []
      : [
          {
            name,
            path,
            distribution,
            size: of.value,
            unit,
            degreesOfFreedom: freedomOf(of),
            effect: of.value,
          },
        ];
  return [
    ...line('calibration standard', 'calibration.standard', standard, 'normal'),
    ...line('drift since calibration', 'calibration.drift', drift, 'rectangular'),
  ];
}

/** Everything that may be off at a place, as it is or with a correction. */
function carried(survey: Surveyed, measurand: number, correction?: Correction): Carried[] {
  const { board, basis, there } = survey;
  const { effects: left, fromPoints, comparisons } = leftAt(survey, measurand, correction);
  const { sizes } = there(measurand);
  const line = (i: number, effect: number): Carried => {
    const { name, path, distribution, unit, degreesOfFreedom } = board.influences[i]!;
    return { name, path, distribution, unit, degreesOfFreedom, size: sizes[i]!, effect };
  };
  const own = left.map((effect, i) => line(i, effect));
  if (correction === undefined) return own;
  const ofPoints = fromPoints.map(({ influence, effect }) => {
    const { name, ...rest } = line(influence, effect);
    return { ...rest, name: `${name} at the points` };
  });
  const points: Carried = {
    name: 'calibration points',
    path: 'calibration.points',
    distribution: 'normal',
    size: comparisons,
    unit: basis.channel.unit,
    degreesOfFreedom: correction.points.reduce<number | 'any'>(
      (least, { degreesOfFreedom: nu }) =>
        nu === 'any' ? least : least === 'any' ? nu : Math.min(least, nu),
      'any',
    ),
    effect: comparisons,
  };
  return [...own, ...ofPoints, points, ...sinceCalibration(basis)];
}

/** The budget at one place, as it is or with a correction. */
export function budgetAt(survey: Surveyed, measurand: number, correction?: Correction): UncertaintyPoint {
  const all = carried(survey, measurand, correction);
  const whole = combineUncertainty({ contributions: all.map(contributionOf), coverage });
  return { ...whole, measurand, lines: linesOf(all, whole.combined) };
}

/** `count` places between two ends, both among them. */
export const between = (low: number, high: number, count: number): number[] =>
  Array.from({ length: count }, (_, i) => (i === count - 1 ? high : low + ((high - low) * i) / (count - 1)));

/** The places of the range at which the uncertainty is looked at. */
const placesOf = ({ channel: { range } }: BoardBasis): number[] => between(range.low, range.high, places);

/** Where within the range, or of some places, the expanded uncertainty is largest. */
export function worstOver(
  survey: Surveyed,
  correction?: Correction,
  at: readonly number[] = placesOf(survey.basis),
): UncertaintyPoint {
  const { board, basis } = survey;
  const known =
    board.influences.every((i) => i.degreesOfFreedom === 'any') &&
    (correction?.points ?? []).every((p) => p.degreesOfFreedom === 'any') &&
    sinceCalibration(basis).every((c) => c.degreesOfFreedom === 'any');
  if (!known) {
    return at.map((m) => budgetAt(survey, m, correction)).reduce((a, b) => (b.expanded > a.expanded ? b : a));
  }
  // Every coverage factor is the same, and standard and drift add alike, so the largest variance of the rest tells.
  const divisor = board.influences.map(({ distribution }) => divisors[distribution]);
  const variance = at.map((m) => {
    const { effects: left, fromPoints, comparisons } = leftAt(survey, m, correction);
    let sum = comparisons ** 2;
    left.forEach((effect, i) => {
      sum += (effect / divisor[i]!) ** 2;
    });
    for (const { influence, effect } of fromPoints) sum += (effect / divisor[influence]!) ** 2;
    return sum;
  });
  return budgetAt(survey, at[variance.indexOf(Math.max(...variance))]!, correction);
}

/** Of the corrections that points allow the one whose largest expanded uncertainty over the range is least. */
export function bestCorrection(
  survey: Surveyed,
  points: readonly ComparisonPoint[],
): { readonly correction: Correction; readonly worst: UncertaintyPoint } {
  const throughZero = survey.basis.channel.unit === 'V';
  return kindsFor(points, throughZero)
    .map((kind) => correctionOf(kind, points))
    .map((correction) => ({ correction, worst: worstOver(survey, correction) }))
    .reduce((a, b) => (b.worst.expanded < a.worst.expanded ? b : a));
}

/** The points of a worksheet's calibration; none where it states none. */
export const comparisonPoints = ({ worksheet: { inputs } }: BoardBasis): ComparisonPoint[] =>
  (inputs.calibration?.points ?? []).map(({ at, uncertainty }) => ({
    at: at.value,
    standardUncertainty: uncertainty.value,
    degreesOfFreedom: freedomOf(uncertainty),
  }));

/** The uncertainty of a worksheet's reading, where over its range it is largest. */
export function uncertaintyOf(basis: BoardBasis): UncertaintyResult {
  const survey = surveyed(basis);
  const points = comparisonPoints(basis);
  const before = worstOver(survey);
  const { uncounted } = survey.board;
  if (points.length === 0) return { before, present: before, uncounted };
  const { correction, worst } = bestCorrection(survey, points);
  const after = { ...worst, correction };
  return { before, after, present: after, uncounted };
}

/** Budgets over the range, and beyond it as far as calibration points do, in rising order of the measurand. */
export function uncertaintyOver(basis: BoardBasis & { readonly uncertainty: UncertaintyResult }): {
  readonly before: readonly UncertaintyPoint[];
  readonly present: readonly UncertaintyPoint[];
} {
  const survey = surveyed(basis);
  const correction = basis.uncertainty.after?.correction;
  const { low, high } = basis.channel.range;
  const at = (correction?.points ?? []).map((p) => p.at);
  const beyond = (from: number, to: number): number[] =>
    to > from ? between(from, to, 9).filter((m) => m < low || m > high) : [];
  const all = [
    ...beyond(Math.min(low, ...at), low),
    ...placesOf(basis),
    ...beyond(high, Math.max(high, ...at)),
  ];
  const before = all.map((m) => budgetAt(survey, m));
  return { before, present: correction ? all.map((m) => budgetAt(survey, m, correction)) : before };
}

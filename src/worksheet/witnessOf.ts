/**
 * A second witness of the uncertainty: the whole chain with everything about it drawn at random, over and over.
 *
 * In comes what was evaluated; out go standard uncertainty and coverage interval of the reading's error where it is largest, with
 * no derivative in it. Draws are made a part at a time, so that whoever makes many can show progress or give up. What is drawn
 * depends on the seed alone: the first ten thousand of a million are the ten thousand.
 */
import { type CoverageInterval, endScatter, symmetricRanks } from '../budget/coverageInterval.ts';
import { drawOf } from '../budget/draws.ts';
import { countBelow, valueOfRank } from '../budget/sortedRuns.ts';
import { seededRandom } from '../numbers/random.ts';
import { type Board, type BoardBasis, boardOf } from './boardOf.ts';
import type { UncertaintyResult } from './evaluation.ts';
import { freedomOf, type Influence } from './influence.ts';
import { coverage } from './uncertaintyOf.ts';

/** What the draws show, in the unit of differences. */
export interface Witness {
  readonly draws: number;
  readonly seed: number;
  /** Place of the range. */
  readonly measurand: number;
  /** Mean of the error: what the curve of the chain makes of symmetric deviations. */
  readonly mean: number;
  readonly standardUncertainty: number;
  /** Ends of the interval that holds 95 % of the errors, with as many below as above. */
  readonly low: number;
  readonly high: number;
  /** Standard deviation of either end, by the number of draws. */
  readonly scatter: CoverageInterval;
  /** Part of the draws within the budget's interval, 0 … 1. */
  readonly within: number;
  /** Largest of the errors' magnitudes. */
  readonly largest: number;
  /** Draws by their error, in bins of one width between −reach and reach. */
  readonly histogram: { readonly reach: number; readonly counts: readonly number[] };
}

/** What is drawn: a board, and the budget that the draws are held against. */
export type WitnessBasis = BoardBasis & { readonly uncertainty: UncertaintyResult };

/** Draws under way. */
export interface WitnessRun {
  /** Draws made so far. */
  readonly drawn: number;
  /** Draws to make in all. */
  readonly draws: number;
  /** Makes the next part of the draws; returns whether any are left. */
  advance(): boolean;
  /** What all of them show; RangeError while any are left. */
  witness(): Witness;
}

/** Draws that are made with every evaluation: the ends of the interval come within about 1 %. */
export const fewDraws = 10_000;

/** Draws that are made where there is time for them: the ends come within about 0.1 %. */
export const manyDraws = 1_000_000;

const seed = 1;

/** Draws made at a time, as many as fit near the processor. */
const part = 5000;

/** Bins of the histogram. */
const bins = 40;

/** The histogram reaches this much beyond the farthest end of both intervals. */
const beyond = 1.5;

type Column = Float64Array;

/** The next part of the draws of one quantity, of so many draws. */
type Next = (count: number) => Column;

/** Draws of size 1 of a distribution, from an independent stream. */
type Quantity = Pick<Influence, 'distribution' | 'degreesOfFreedom'> & { readonly stream: number };

/** Streams apart, so that a new influence does not take another's draws. */
const streams = { points: 1000, standard: 2000, drift: 2001, places: 3000 };

const nameOf = ({ distribution, degreesOfFreedom, stream }: Quantity): string =>
  `${distribution} ${degreesOfFreedom} ${stream}`;

/** Draws as they come. */
function freshly(of: Quantity): Next {
  const { distribution, degreesOfFreedom, stream } = of;
  const nu =
    degreesOfFreedom === 'any' || distribution !== 'normal' ? Number.POSITIVE_INFINITY : degreesOfFreedom;
  const draw = drawOf(
    {
      name: nameOf(of),
      estimate: 0,
      distribution,
      standardUncertainty: 1,
      limit: 1,
      degreesOfFreedom: nu,
    },
    seededRandom(seed).fork(stream),
  );
  const out = new Float64Array(part);
  return (count) => {
    const column = out.subarray(0, count);
    draw(column);
    return column;
  };
}

/** The few draws of a quantity, by what is drawn. */
const kept = new Map<string, readonly Column[]>();

/** The few draws, kept: a change of an input then costs no more than the chain itself. */
function again(of: Quantity): Next {
  const name = nameOf(of);
  let columns = kept.get(name);
  if (columns === undefined) {
    const next = freshly(of);
    columns = Array.from({ length: fewDraws / part }, () => next(part).slice());
    kept.set(name, columns);
  }
  const parts = columns;
  let at = 0;
  return () => parts[at++]!;
}

/** Puts the error of readings at a place into `out`, draw by draw; the columns are those of the influences. */
function errorsAt(
  reading: ReturnType<Board['at']>,
  measurand: number,
  columns: readonly Column[],
  out: Column,
): void {
  const d = new Float64Array(columns.length);
  for (let n = 0; n < out.length; n++) {
    for (let i = 0; i < d.length; i++) d[i] = columns[i]![n]!;
    out[n] = reading(d) - measurand;
  }
}

/** What takes the correction of each draw off `errors`: every point found with what stays on the board, and a comparison of its own. */
function correcting(
  { worksheet, uncertainty }: WitnessBasis,
  board: Board,
  drawing: (of: Quantity) => Next,
): (own: readonly Column[], errors: Column) => void {
  const { after } = uncertainty;
  if (after === undefined) return () => {};
  const { points, weights } = after.correction;
  const still = new Float64Array(part);
  const found = new Float64Array(part);
  const compared = points.map(({ at, standardUncertainty, degreesOfFreedom }, k) => ({
    at,
    standardUncertainty,
    weight: weights(after.measurand)[k]!,
    reading: board.at(at),
    there: board.influences.map((influence, i): Next | 'own' => {
      if (influence.stays === 'fixed') return 'own';
      return influence.stays === 'places'
        ? drawing({ ...influence, stream: streams.places + 100 * k + i })
        : (count) => still.subarray(0, count);
    }),
    comparison: drawing({ distribution: 'normal', degreesOfFreedom, stream: streams.points + k }),
  }));
  const { standard, drift } = worksheet.inputs.calibration ?? {};
  const added: { size: number; next: Next }[] = [];
  const add = (size: number, of: Quantity): void => {
    added.push({ size, next: drawing(of) });
  };
  if (standard)
    add(standard.value, {
      distribution: 'normal',
      degreesOfFreedom: freedomOf(standard),
      stream: streams.standard,
    });
  if (drift)
    add(drift.value, { distribution: 'rectangular', degreesOfFreedom: 'any', stream: streams.drift });
  return (own, errors) => {
    const count = errors.length;
    for (const { at, standardUncertainty, weight, reading, there, comparison } of compared) {
      const columns = there.map((next, i) => (next === 'own' ? own[i]! : next(count)));
      const error = found.subarray(0, count);
      errorsAt(reading, at, columns, error);
      const by = comparison(count);
      for (let n = 0; n < count; n++) errors[n]! -= weight * (error[n]! + standardUncertainty * by[n]!);
    }
    for (const { size, next } of added) {
      const by = next(count);
      for (let n = 0; n < count; n++) errors[n]! += size * by[n]!;
    }
  };
}

/** Draws of a basis, none made yet; `drawing` gives the columns. */
function runOf(basis: WitnessBasis, draws: number, drawing: (of: Quantity) => Next): WitnessRun {
  const board = boardOf(basis);
  const { measurand, expanded } = basis.uncertainty.present;
  const reading = board.at(measurand);
  const own = board.influences.map((influence, stream) => drawing({ ...influence, stream }));
  const correct = correcting(basis, board, drawing);
  const all = new Float64Array(draws);
  const runs: Column[] = [];
  let drawn = 0;
  // Deviations from the first draw, so that a small spread about a large mean keeps its digits.
  let origin = 0;
  let sum = 0;
  let squares = 0;
  return {
    draws,
    get drawn() {
      return drawn;
    },
    advance: () => {
      const count = Math.min(part, draws - drawn);
      const errors = all.subarray(drawn, drawn + count);
      const columns = own.map((next) => next(count));
      errorsAt(reading, measurand, columns, errors);
      correct(columns, errors);
      if (drawn === 0) origin = errors[0]!;
      for (const error of errors) {
        sum += error - origin;
        squares += (error - origin) ** 2;
      }
      runs.push(errors.sort());
      drawn += count;
      return drawn < draws;
    },
    witness: () => {
      if (drawn < draws) throw new RangeError(`witness: got ${drawn} of ${draws} draws; allowed after all`);
      const ranks = symmetricRanks(draws, coverage);
      const [low, high] = [valueOfRank(runs, ranks.low), valueOfRank(runs, ranks.high)];
      const reach = beyond * Math.max(expanded, -low, high);
      const edges = Array.from({ length: bins + 1 }, (_, i) =>
        countBelow(runs, reach * ((2 * i) / bins - 1)),
      );
      return {
        draws,
        seed,
        measurand,
        mean: origin + sum / draws,
        standardUncertainty: Math.sqrt(Math.max(0, squares - (sum * sum) / draws) / (draws - 1)),
        low,
        high,
        scatter: endScatter(draws, coverage, (rank) => valueOfRank(runs, rank)),
        within: (countBelow(runs, expanded) - countBelow(runs, -expanded)) / draws,
        largest: runs.reduce((most, run) => Math.max(most, -run[0]!, run.at(-1)!), 0),
        histogram: { reach, counts: edges.slice(1).map((n, i) => n - edges[i]!) },
      };
    },
  };
}

/**
 * The error of a worksheet's reading by Monte Carlo, where its uncertainty is largest: many draws, to be made in parts.
 *
 * @see [JCGM101] clause 7; the interval 7.7.2
 */
export const witnessRun = (basis: WitnessBasis, draws = manyDraws): WitnessRun =>
  runOf(basis, draws, freshly);

/** Makes all draws that are left, and gives what they show. */
export function drawnOut(run: WitnessRun): Witness {
  while (run.advance());
  return run.witness();
}

/** The same with as few draws as can be made with every change of an input. */
export const witnessOf = (basis: WitnessBasis): Witness => drawnOut(runOf(basis, fewDraws, again));

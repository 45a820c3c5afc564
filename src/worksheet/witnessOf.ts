/**
 * A second witness of the uncertainty: the whole chain with everything about it drawn at random, over and over.
 *
 * In comes what was evaluated; out go standard uncertainty and coverage interval of the reading's error where it is largest, with
 * no derivative in it. The draws in units of each influence's size depend on the seed alone and are kept, so that a change of an
 * input costs no more than the chain itself.
 */
import { symmetricInterval } from '../budget/coverageInterval.ts';
import { drawOf } from '../budget/draws.ts';
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
  /** Largest of the errors' magnitudes. */
  readonly largest: number;
}

/** Draws made: the ends of the interval come within about 1 %. */
const draws = 10_000;

const seed = 1;

type Column = Float64Array;

/** Columns of draws by distribution and stream. */
const kept = new Map<string, Column>();

/** The draws of a distribution of size 1, of an independent stream. */
function column(
  distribution: Influence['distribution'],
  degreesOfFreedom: number | 'any',
  stream: number,
): Column {
  const nu =
    degreesOfFreedom === 'any' || distribution !== 'normal' ? Number.POSITIVE_INFINITY : degreesOfFreedom;
  const key = `${distribution} ${nu} ${stream}`;
  const known = kept.get(key);
  if (known) return known;
  const input = {
    name: key,
    estimate: 0,
    distribution,
    standardUncertainty: 1,
    limit: 1,
    degreesOfFreedom: nu,
  };
  const out = new Float64Array(draws);
  drawOf(input, seededRandom(seed).fork(stream))(out);
  kept.set(key, out);
  return out;
}

/** Streams apart, so that a new influence does not take another's draws. */
const streams = { points: 1000, standard: 2000, drift: 2001, places: 3000 };

/** The error of the reading at a place, draw by draw, into `out`; `column`s are those of the influences. */
function errorsAt(board: Board, measurand: number, columns: readonly Column[], out: Column): void {
  const reading = board.at(measurand);
  const d = new Float64Array(columns.length);
  for (let n = 0; n < draws; n++) {
    for (let i = 0; i < d.length; i++) d[i] = columns[i]![n]!;
    out[n] = reading(d) - measurand;
  }
}

const still = new Float64Array(draws);

/** The correction of each draw, taken off `errors`: every point found with what stays on the board, and a comparison of its own. */
function correct(
  basis: BoardBasis,
  board: Board,
  columns: readonly Column[],
  at: number,
  of: UncertaintyResult,
  errors: Column,
): void {
  const { correction } = of.after!;
  const weights = correction.weights(at);
  const found = new Float64Array(draws);
  correction.points.forEach((point, k) => {
    const there = board.influences.map(({ stays, distribution, degreesOfFreedom }, i) =>
      stays === 'fixed'
        ? columns[i]!
        : stays === 'places'
          ? column(distribution, degreesOfFreedom, streams.places + 100 * k + i)
          : still,
    );
    errorsAt(board, point.at, there, found);
    const comparison = column('normal', point.degreesOfFreedom, streams.points + k);
    for (let n = 0; n < draws; n++) {
      errors[n]! -= weights[k]! * (found[n]! + point.standardUncertainty * comparison[n]!);
    }
  });
  const { standard, drift } = basis.worksheet.inputs.calibration ?? {};
  const add = (size: number, from: Column): void => {
    for (let n = 0; n < draws; n++) errors[n]! += size * from[n]!;
  };
  if (standard) add(standard.value, column('normal', freedomOf(standard), streams.standard));
  if (drift) add(drift.value, column('rectangular', 'any', streams.drift));
}

/**
 * The error of a worksheet's reading by Monte Carlo, where its uncertainty is largest.
 *
 * @see [JCGM101] clause 7; the interval 7.7.2
 */
export function witnessOf(basis: BoardBasis & { readonly uncertainty: UncertaintyResult }): Witness {
  const board = boardOf(basis);
  const { measurand } = basis.uncertainty.present;
  const columns = board.influences.map(({ distribution, degreesOfFreedom }, i) =>
    column(distribution, degreesOfFreedom, i),
  );
  const errors = new Float64Array(draws);
  errorsAt(board, measurand, columns, errors);
  if (basis.uncertainty.after) correct(basis, board, columns, measurand, basis.uncertainty, errors);
  let sum = 0;
  for (const e of errors) sum += e;
  const mean = sum / draws;
  let square = 0;
  for (const e of errors) square += (e - mean) ** 2;
  errors.sort();
  return {
    draws,
    seed,
    measurand,
    mean,
    standardUncertainty: Math.sqrt(square / (draws - 1)),
    ...symmetricInterval(errors, coverage),
    largest: Math.max(-errors[0]!, errors[draws - 1]!),
  };
}

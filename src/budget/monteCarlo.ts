/**
 * Monte Carlo: the distribution of a result, by drawing the inputs of its model over and over.
 *
 * In come a model, its inputs with distributions, a number of draws and a seed; out go mean, standard uncertainty and coverage
 * intervals. It is the check on the law of propagation: it needs neither smooth models nor normal results.
 */
import { maybe, named, or, whole } from '../numbers/guard.ts';
import { seededRandom } from '../numbers/random.ts';
import { correlatedPairs, correlationFactor } from './correlation.ts';
import {
  type CoverageInterval,
  sampleCoverage,
  shortestInterval,
  symmetricInterval,
} from './coverageInterval.ts';
import { correlatedDraws, drawOf } from './draws.ts';
import {
  guarded,
  type Input,
  inputsRule,
  type Model,
  modelRule,
  type NamedPair,
  namedPairsRule,
  placedPairs,
  pointOf,
  type ReadInput,
  readInputs,
} from './inputs.ts';

/** What the draws show. */
export interface MonteCarloSummary {
  /** Draws made. */
  readonly draws: number;
  /** Mean of the result, in its unit. */
  readonly estimate: number;
  /** Standard deviation of the result, in its unit. */
  readonly standardUncertainty: number;
  /** Coverage interval with equal probability beyond both ends. */
  readonly symmetric: CoverageInterval;
  /** Shortest coverage interval. */
  readonly shortest: CoverageInterval;
}

/** A run under way. */
export interface MonteCarloRun {
  /** Draws made so far. */
  readonly drawn: number;
  /** Draws to make in all. */
  readonly draws: number;
  /** Makes up to `count` further draws; returns whether any are left. */
  advance(count: number): boolean;
  /** The summary of the draws made so far, at least 100. */
  summary(): MonteCarloSummary;
}

/** What is drawn. */
export interface MonteCarloArguments {
  readonly model: Model;
  readonly inputs: Readonly<Record<string, Input>>;
  readonly correlations?: readonly NamedPair[] | undefined;
  readonly coverage: number;
  readonly draws?: number | undefined;
  readonly seed?: number | undefined;
}

const shape = {
  model: modelRule,
  inputs: inputsRule,
  correlations: maybe(namedPairsRule),
  coverage: sampleCoverage,
  draws: or(whole(100, 20_000_000), 1_000_000),
  seed: or(whole(0, Number.MAX_SAFE_INTEGER), 0),
};

/** Draws made at a time, as many as fit near the processor. */
const chunk = 8192;

/** Fills one column for each input. */
function drawsOf(
  caller: string,
  inputs: readonly ReadInput[],
  correlations: readonly unknown[] | undefined,
  seed: number,
): (columns: readonly Float64Array[]) => void {
  const pairs = correlatedPairs(
    `${caller}.correlations`,
    placedPairs(caller, correlations, inputs),
    inputs.length,
  );
  const joined = [...new Set(pairs.flatMap((pair) => pair.slice(0, 2)))].sort((a, b) => a - b);
  for (const i of joined) {
    const { name, distribution, degreesOfFreedom } = inputs[i]!;
    if (distribution !== 'normal' || Number.isFinite(degreesOfFreedom)) {
      throw new RangeError(
        `${caller}.correlations: got ${name}; allowed inputs with a standardUncertainty without degreesOfFreedom`,
      );
    }
  }
  const source = seededRandom(seed);
  const streams = inputs.map((_, i) => source.fork(i));
  const factor = correlationFactor(
    `${caller}.correlations`,
    pairs.map(([i, j, r]) => [joined.indexOf(i), joined.indexOf(j), r]),
    joined.length,
  );
  const together = correlatedDraws(
    joined.map((i) => inputs[i]!),
    factor,
    joined.map((i) => streams[i]!),
  );
  const alone = inputs.map((input, i) => (joined.includes(i) ? undefined : drawOf(input, streams[i]!)));
  return (columns) => {
    columns.forEach((column, i) => {
      alone[i]?.(column);
    });
    together(joined.map((i) => columns[i]!));
  };
}

/**
 * A Monte Carlo run that is made in parts, so that its caller can show progress or give up; the result does not depend on the parts.
 *
 * @param model - function of one object with the inputs' values by name, returning a finite number; the object is reused
 * @param inputs - by name {estimate, standardUncertainty (normal; t with degreesOfFreedom) or halfWidth with distribution}
 * @param correlations - array of [name, name, r] of normal inputs; those not listed are 0
 * @param coverage - coverage probability, 0.01 … 0.9999
 * @param draws - number of draws M, 100 … 20 000 000; 1 000 000 if absent
 * @param seed - whole number 0 … 2⁵³ − 1; 0 if absent
 * @returns the run, with no draws made yet
 * @throws RangeError if an argument is outside its range, or (while drawing) the model's result is not finite
 * @see [JCGM101] clause 7
 *
 * @example
 * monteCarloRun({ model: ({ a }) => a, inputs: { a: { estimate: 0, standardUncertainty: 1 } }, coverage: 0.95, draws: 1000 }).advance(400) // => true
 */
export function monteCarloRun(given: MonteCarloArguments): MonteCarloRun {
  return runOf('monteCarloRun', given);
}

function runOf(caller: string, given: MonteCarloArguments): MonteCarloRun {
  const { model: bare, inputs: written, correlations, coverage, draws, seed } = named(caller, shape, given);
  const inputs = readInputs(caller, written);
  const model = guarded(caller, bare);
  const draw = drawsOf(caller, inputs, correlations, seed);
  const results = new Float64Array(draws);
  const columns = inputs.map(() => new Float64Array(chunk));
  const names = inputs.map((input) => input.name);
  const point = pointOf(inputs);
  let drawn = 0;

  const part = (count: number): void => {
    const filled = columns.map((column) => column.subarray(0, count));
    draw(filled);
    for (let n = 0; n < count; n++) {
      for (let i = 0; i < names.length; i++) point[names[i]!] = filled[i]![n]!;
      results[drawn + n] = model(point);
    }
    drawn += count;
  };
  return {
    draws,
    get drawn() {
      return drawn;
    },
    advance: (count) => {
      const { count: wanted } = named('advance', { count: whole(1, 20_000_000) }, { count });
      const end = Math.min(draws, drawn + wanted);
      while (drawn < end) part(Math.min(chunk, end - drawn));
      return drawn < draws;
    },
    summary: () => {
      if (drawn < 100) {
        throw new RangeError(`summary: got ${drawn} draws; allowed from 100, made by advance`);
      }
      return summaryOf(results.slice(0, drawn), coverage);
    },
  };
}

/** The summary of draws, which are put in order. @see [JCGM101] 7.5 to 7.7 */
function summaryOf(results: Float64Array, coverage: number): MonteCarloSummary {
  // Deviations from the first draw, so that a small spread about a large value keeps its digits.
  const origin = results[0]!;
  let sum = 0;
  for (const y of results) sum += y - origin;
  const mean = sum / results.length;
  let square = 0;
  for (const y of results) square += (y - origin - mean) ** 2;
  results.sort();
  return {
    draws: results.length,
    estimate: origin + mean,
    standardUncertainty: Math.sqrt(square / (results.length - 1)),
    symmetric: symmetricInterval(results, coverage),
    shortest: shortestInterval(results, coverage),
  };
}

/**
 * Mean, standard uncertainty and coverage intervals of a result, by Monte Carlo.
 *
 * @param model - function of one object with the inputs' values by name, returning a finite number; the object is reused
 * @param inputs - by name {estimate, standardUncertainty (normal; t with degreesOfFreedom) or halfWidth with distribution}
 * @param correlations - array of [name, name, r] of normal inputs; those not listed are 0
 * @param coverage - coverage probability, 0.01 … 0.9999
 * @param draws - number of draws M, 100 … 20 000 000; 1 000 000 if absent. From 10⁴/(1 − coverage) the ends have one to two digits of u
 * @param seed - whole number 0 … 2⁵³ − 1; 0 if absent: the same seed gives the same numbers
 * @returns mean, standard deviation, and the symmetric and shortest coverage intervals
 * @throws RangeError if an argument is outside its range, or the model's result is not finite
 * @see [JCGM101] clause 7
 *
 * @example
 * monteCarlo({ model: ({ a, b }) => a - b, inputs: { a: { estimate: 5, halfWidth: 3, distribution: 'rectangular' }, b: { estimate: 1, standardUncertainty: 1 } }, coverage: 0.95, draws: 100000 }).standardUncertainty // => 2.0
 */
export function monteCarlo(given: MonteCarloArguments): MonteCarloSummary {
  const run = runOf('monteCarlo', given);
  run.advance(run.draws);
  return run.summary();
}

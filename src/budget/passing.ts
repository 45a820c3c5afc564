/**
 * Passing: what part of the boards made to a design keeps its requirements.
 *
 * In come requirements as functions of the assumed inputs, and the inputs' distributions from board to board; boards are drawn with
 * a seed, and counted.
 */
import { named, or, whole } from '../numbers/guard.ts';
import { seededRandom } from '../numbers/random.ts';
import {
  type AssumedInput,
  assumedArguments,
  nominalPoint,
  type ReadAssumed,
  type Requirement,
  readAssumed,
  readRequirements,
} from './assumed.ts';
import type { CoverageInterval } from './coverageInterval.ts';
import { type Draw, drawOf } from './draws.ts';

/** How many boards pass. */
export interface PassingFraction {
  /** Boards drawn. */
  readonly draws: number;
  /** Boards that keep every requirement. */
  readonly passed: number;
  /** Their part, 0 … 1. */
  readonly fraction: number;
  /** Where the part lies with 95 % confidence, given that many draws. */
  readonly interval: CoverageInterval;
  /** Boards that break each requirement, most first; a board may break several. */
  readonly failures: readonly { readonly requirement: string; readonly count: number }[];
}

/** Two-sided 95 % quantile of the normal distribution. */
const z = 1.959963984540054;

/** The score interval of a fraction: the parts p with |passed/n − p| ≤ z·√(p(1 − p)/n). */
function scoreInterval(passed: number, n: number): CoverageInterval {
  const p = passed / n;
  const square = (z * z) / n;
  const centre = (p + square / 2) / (1 + square);
  const half = Math.sqrt(square * p * (1 - p) + square ** 2 / 4) / (1 + square);
  return { low: passed === 0 ? 0 : centre - half, high: passed === n ? 1 : centre + half };
}

const chunk = 1024;

/** The draws of an assumed input, about the middle of its ends. */
function assumedDraw(input: ReadAssumed, seed: number, place: number): Draw {
  const halfWidth = (input.high - input.low) / 2;
  return drawOf(
    {
      name: input.name,
      estimate: input.low + halfWidth,
      distribution: input.distribution,
      standardUncertainty: halfWidth / 3,
      limit: halfWidth,
      degreesOfFreedom: Number.POSITIVE_INFINITY,
    },
    seededRandom(seed).fork(place),
  );
}

/**
 * The fraction of boards that keep all requirements, by seeded draws of the assumed inputs.
 *
 * @param requirements - array of {name, value: function of one object with the inputs' values by name, least?, most?}; the object is reused
 * @param inputs - by name {nominal, low, high, distribution = 'rectangular' | 'triangular' | 'arcsine' | 'normal' (ends at 3 standard deviations)}
 * @param draws - number of boards, 100 … 10 000 000; 10 000 if absent
 * @param seed - whole number 0 … 2⁵³ − 1; 0 if absent: the same seed gives the same boards
 * @returns the fraction, its 95 % score interval, and how many boards break each requirement
 * @throws RangeError if an argument is outside its range, or a value is not finite
 * @see [STATHANDBOOK] 7.2.4.1 (the interval)
 *
 * @example
 * passingFraction({ requirements: [{ name: 'sum', value: ({ a }) => a, most: 0.25 }], inputs: { a: { nominal: 0, low: -1, high: 1 } } }).fraction // => 0.63
 */
export function passingFraction(given: {
  readonly requirements: readonly Requirement[];
  readonly inputs: Readonly<Record<string, AssumedInput>>;
  readonly draws?: number | undefined;
  readonly seed?: number | undefined;
}): PassingFraction {
  const caller = 'passingFraction';
  const { draws, seed, ...a } = named(
    caller,
    {
      ...assumedArguments,
      draws: or(whole(100, 10_000_000), 10_000),
      seed: or(whole(0, Number.MAX_SAFE_INTEGER), 0),
    },
    given,
  );
  const inputs = readAssumed(caller, a.inputs);
  const requirements = readRequirements(caller, a.requirements);
  const draw = inputs.map((input, i) => assumedDraw(input, seed, i));
  const columns = inputs.map(() => new Float64Array(chunk));
  const broken = requirements.map(() => 0);
  const point = nominalPoint(inputs);
  let passed = 0;
  for (let n = 0; n < draws; n++) {
    const at = n % chunk;
    if (at === 0) {
      draw.forEach((fill, i) => {
        fill(columns[i]!);
      });
    }
    inputs.forEach((input, i) => {
      point[input.name] = columns[i]![at]!;
    });
    let passes = true;
    requirements.forEach(({ value, margin }, k) => {
      if (margin(value(point)) >= 0) return;
      passes = false;
      broken[k]! += 1;
    });
    if (passes) passed++;
  }
  return {
    draws,
    passed,
    fraction: passed / draws,
    interval: scoreInterval(passed, draws),
    failures: requirements
      .map(({ name }, k) => ({ requirement: name, count: broken[k]! }))
      .sort((x, y) => y.count - x.count),
  };
}

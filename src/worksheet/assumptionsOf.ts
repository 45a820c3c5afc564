/**
 * Assumptions: which of the inputs that nobody has a source for decides whether a requirement is kept, and how many boards pass.
 *
 * Each assumed input is put to both ends of its spread and the worksheet evaluated anew. Where no spread is given, a fifth of the
 * value each way stands for it, and the result says so. The boards are drawn on what these evaluations give, joined by straight
 * lines and added up, so that a page stays live.
 */
import { type PassingFraction, passingFraction } from '../budget/passing.ts';
import type { Evaluation, RequirementName, RequirementResult } from './evaluate.ts';
import type { Worksheet } from './read.ts';
import type { Quantity } from './schema/field.ts';

/** Part of a value that stands for its spread where none is given. */
export const spreadWhereNoneIsGiven = 0.2;

/** Boards drawn. */
const boards = 2000;

/** What one assumption does to the requirement that it moves nearest to its limit. */
export interface AssumptionRow {
  readonly path: string;
  readonly label: string;
  /** Unit of the input. */
  readonly unit: string;
  /** Ends of its spread. */
  readonly low: number;
  readonly high: number;
  /** Whether the worksheet gives the spread. */
  readonly given: boolean;
  /** The requirement that it brings nearest to its limit, and that requirement's figures at both ends; absent if it moves none. */
  readonly decides?: {
    readonly name: RequirementName;
    readonly unit: string;
    readonly required: number;
    readonly atLow: number;
    readonly atHigh: number;
    /** Whether the requirement is kept at both ends. */
    readonly kept: boolean;
  };
}

export interface Assumptions {
  /** Those that break a requirement first, then by how much they move one. */
  readonly rows: readonly AssumptionRow[];
  /** Share of boards that keep every requirement that the assumptions move; absent if they move none. */
  readonly passing?: PassingFraction;
}

/** An object with the figure at a path replaced; everything beside the path is shared. */
function replaced<T>(at: T, keys: readonly string[], value: number): T {
  const [key, ...rest] = keys;
  if (key === undefined) return { ...at, value };
  const copy = (Array.isArray(at) ? [...at] : { ...at }) as Record<string, unknown>;
  copy[key] = replaced(copy[key], rest, value);
  return copy as T;
}

const figureAt = (root: unknown, keys: readonly string[]): Quantity | undefined =>
  keys.reduce<unknown>(
    (at, key) => (typeof at === 'object' && at !== null ? (at as Record<string, unknown>)[key] : undefined),
    root,
  ) as Quantity | undefined;

/** The worksheet with the figure at a path replaced, in its inputs and in the profile that they override. */
export function withFigure(worksheet: Worksheet, path: string, value: number): Worksheet {
  const keys = path.split('.');
  const own = figureAt(worksheet.inputs, keys);
  const inputs = own === undefined ? worksheet.inputs : replaced(worksheet.inputs, keys, value);
  const profile =
    keys[0] === 'converter' && figureAt(worksheet.profile, keys.slice(1)) !== undefined
      ? replaced(worksheet.profile, keys.slice(1), value)
      : worksheet.profile;
  return { ...worksheet, inputs, profile };
}

/** Distance of a figure from its limit, relative: positive where it is kept. */
function room({ name, required }: RequirementResult, actual: number): number {
  return name === 'batteryLife' ? (actual - required) / required : (required - actual) / required;
}

/**
 * What the assumed inputs of a worksheet decide.
 *
 * @param e - the evaluation of the worksheet
 * @param evaluate - gives the requirements of a worksheet with other figures
 */
export function assumptionsOf(
  e: Evaluation,
  evaluate: (given: { worksheet: Worksheet }) => Pick<Evaluation, 'requirements'>,
): Assumptions {
  const { worksheet, requirements, assumed } = e;
  const results = (path: string, value: number): readonly RequirementResult[] | undefined => {
    try {
      return evaluate({ worksheet: withFigure(worksheet, path, value) }).requirements;
    } catch (error) {
      // A figure that no chain can be computed with decides nothing here.
      if (error instanceof RangeError) return undefined;
      throw error;
    }
  };
  const found = assumed.flatMap(({ path, label }) => {
    const keys = path.split('.');
    const figure = figureAt(worksheet.inputs, keys) ?? figureAt(worksheet.profile, keys.slice(1));
    // What is wanted is no assumption about the board.
    if (figure === undefined || keys[0] === 'requirement') return [];
    const half = figure.spread ?? Math.abs(figure.value) * spreadWhereNoneIsGiven;
    const [low, high] = [figure.value - half, figure.value + half];
    const [atLow, atHigh] = half === 0 ? [undefined, undefined] : [results(path, low), results(path, high)];
    return [{ path, label, unit: figure.unit, low, high, given: figure.spread !== undefined, atLow, atHigh }];
  });
  const moves = (i: number, r: (typeof found)[number]): number => {
    const { required } = requirements[i]!;
    return r.atLow && r.atHigh ? Math.abs(r.atHigh[i]!.actual - r.atLow[i]!.actual) / required : 0;
  };
  const rows = found.map((r) => {
    const worst = (i: number): number =>
      Math.min(room(requirements[i]!, r.atLow![i]!.actual), room(requirements[i]!, r.atHigh![i]!.actual));
    const moved = requirements.map((_, i) => i).filter((i) => moves(i, r) > 1e-6);
    const { path, label, unit: of, low, high, given } = r;
    if (moved.length === 0)
      return { row: { path, label, unit: of, low, high, given }, room: Number.MAX_VALUE, swing: 0 };
    const i = moved.reduce((a, b) => (worst(b) < worst(a) ? b : a));
    const { name, unit, required } = requirements[i]!;
    const decides = {
      name,
      unit,
      required,
      atLow: r.atLow![i]!.actual,
      atHigh: r.atHigh![i]!.actual,
      kept: worst(i) >= 0,
    };
    return { row: { path, label, unit: of, low, high, given, decides }, room: worst(i), swing: moves(i, r) };
  });
  rows.sort((a, b) => Number(a.room >= 0) - Number(b.room >= 0) || b.swing - a.swing);
  const moving = found.filter((r) => requirements.some((_, i) => moves(i, r) > 1e-6));
  return {
    rows: rows.map(({ row }) => row),
    ...(moving.length > 0 && { passing: passing(requirements, moving) }),
  };
}

type Moving = {
  readonly path: string;
  readonly low: number;
  readonly high: number;
  readonly atLow: readonly RequirementResult[] | undefined;
  readonly atHigh: readonly RequirementResult[] | undefined;
};

/** Boards drawn on straight lines through what each input does at its ends and in the middle. */
function passing(requirements: readonly RequirementResult[], moving: readonly Moving[]): PassingFraction {
  return passingFraction({
    requirements: requirements.map(({ name, actual, required }, i) => ({
      name,
      value: (point: Readonly<Record<string, number>>) =>
        moving.reduce((sum, { path, low, high, atLow, atHigh }) => {
          const x = (2 * point[path]! - low - high) / (high - low);
          return sum + (x < 0 ? -x * (atLow![i]!.actual - actual) : x * (atHigh![i]!.actual - actual));
        }, actual),
      ...(name === 'batteryLife' ? { least: required } : { most: required }),
    })),
    inputs: Object.fromEntries(
      moving.map(({ path, low, high }) => [path, { nominal: (low + high) / 2, low, high }]),
    ),
    draws: boards,
    seed: 1,
  });
}

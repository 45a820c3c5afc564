/**
 * Sensitivity: which of the assumed inputs decides whether a requirement is kept.
 *
 * In come requirements as functions of the assumed inputs; out goes, for each, what it does with every input at either end of its
 * spread, and the corner where all of them stand at their worst.
 */
import { named } from '../numbers/guard.ts';
import {
  type AssumedInput,
  assumedArguments,
  nominalPoint,
  type ReadAssumed,
  type ReadRequirement,
  type Requirement,
  readAssumed,
  readRequirements,
} from './assumed.ts';
import type { Point } from './inputs.ts';

/** What one input does to one requirement. */
export interface SensitivityRow {
  /** Name of the input. */
  readonly input: string;
  /** The requirement's value with this input at its low end, all others nominal. */
  readonly atLow: number;
  /** The same at its high end. */
  readonly atHigh: number;
  /** Largest less least of the values at the low end, nominal and at the high end. */
  readonly swing: number;
  /** Least margin of the three; negative where the limits are broken. */
  readonly margin: number;
}

/** All inputs at their worst together. */
export interface WorstCorner {
  /** Values of the inputs by name. */
  readonly inputs: Readonly<Record<string, number>>;
  /** The requirement's value there. */
  readonly value: number;
  /** Its margin there; negative where the limits are broken. */
  readonly margin: number;
  /** Whether every corner was tried. If not (more than 12 inputs), no change of a single input makes this one worse. */
  readonly exhaustive: boolean;
}

/** What the assumed inputs do to one requirement. */
export interface RequirementSensitivity {
  /** Name of the requirement. */
  readonly requirement: string;
  /** Its value with all inputs nominal. */
  readonly nominal: number;
  /** Its margin with all inputs nominal; negative where the limits are broken. */
  readonly margin: number;
  /** One row for each input, by falling swing. */
  readonly rows: readonly SensitivityRow[];
  readonly corner: WorstCorner;
}

/** Inputs with a spread up to which every corner is tried: 4096 evaluations. */
const mostExhaustive = 12;

/**
 * Each requirement against each assumed input at the ends of its spread, and at the all-worst corner.
 *
 * Ends and corners only: a requirement that is worst in between, with an input within its spread, is not found by this.
 *
 * @param requirements - array of {name, value: function of one object with the inputs' values by name, least?, most?}
 * @param inputs - by name {nominal, low, high}
 * @returns for each requirement its nominal value and margin, rows by falling swing, and the worst corner
 * @throws RangeError if an argument is outside its range, or a value is not finite
 * @see own derivation: evaluation at the ends
 *
 * @example
 * requirementSensitivities({ requirements: [{ name: 'current', value: ({ volts, ohms }) => volts / ohms, most: 2 }], inputs: { volts: { nominal: 3, low: 2, high: 4 }, ohms: { nominal: 2, low: 1, high: 3 } } })[0].corner.value // => 4.0
 */
export function requirementSensitivities(given: {
  readonly requirements: readonly Requirement[];
  readonly inputs: Readonly<Record<string, AssumedInput>>;
}): RequirementSensitivity[] {
  const caller = 'requirementSensitivities';
  const a = named(caller, assumedArguments, given);
  const inputs = readAssumed(caller, a.inputs);
  return readRequirements(caller, a.requirements).map((requirement) => {
    const centre = nominalPoint(inputs);
    const nominal = requirement.value(centre);
    const rows = inputs.map((input) => rowOf(requirement, input, centre, nominal));
    return {
      requirement: requirement.name,
      nominal,
      margin: requirement.margin(nominal),
      rows: [...rows].sort((x, y) => y.swing - x.swing),
      corner: worstCorner(requirement, inputs, rows),
    };
  });
}

function rowOf(
  requirement: ReadRequirement,
  input: ReadAssumed,
  centre: Point,
  nominal: number,
): SensitivityRow {
  const atLow = requirement.value({ ...centre, [input.name]: input.low });
  const atHigh = requirement.value({ ...centre, [input.name]: input.high });
  const values = [atLow, nominal, atHigh];
  return {
    input: input.name,
    atLow,
    atHigh,
    swing: Math.max(...values) - Math.min(...values),
    margin: Math.min(...values.map(requirement.margin)),
  };
}

function worstCorner(
  requirement: ReadRequirement,
  inputs: readonly ReadAssumed[],
  rows: readonly SensitivityRow[],
): WorstCorner {
  const free = inputs.map((_, i) => i).filter((i) => inputs[i]!.low < inputs[i]!.high);
  const high = inputs.map((_, i) => requirement.margin(rows[i]!.atHigh) < requirement.margin(rows[i]!.atLow));
  const point = (ends: readonly boolean[]): Point =>
    Object.fromEntries(inputs.map((input, i) => [input.name, ends[i] ? input.high : input.low]));
  const marginAt = (ends: readonly boolean[]): number => requirement.margin(requirement.value(point(ends)));
  const exhaustive = free.length <= mostExhaustive;
  let ends = high;
  let margin = marginAt(high);
  const consider = (candidate: boolean[]): boolean => {
    const found = marginAt(candidate);
    if (!(found < margin)) return false;
    ends = candidate;
    margin = found;
    return true;
  };
  if (exhaustive) {
    for (let corner = 0; corner < 2 ** free.length; corner++) {
      const candidate = [...high];
      free.forEach((i, bit) => {
        candidate[i] = (corner & (1 << bit)) !== 0;
      });
      consider(candidate);
    }
  } else {
    const worsened = () => free.map((i) => consider(ends.map((end, k) => (k === i ? !end : end))));
    while (worsened().includes(true));
  }
  const values = point(ends);
  return { inputs: values, value: requirement.value(values), margin, exhaustive };
}

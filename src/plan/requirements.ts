/**
 * Requirements: what a reading must keep, and whether one setting of the averaging does.
 *
 * In come the limits and what a setting is worth; out goes a verdict on each limit. The evaluation of a worksheet and the table of
 * settings judge by this one function.
 */

/** The requirements that a setting of the averaging decides, in the order they are judged. */
export type SettingRequirementName =
  | 'resolution'
  | 'step'
  | 'settling'
  | 'overflow'
  | 'period'
  | 'latency'
  | 'batteryLife';

/** The names of the requirements; that of the uncertainty is judged once, for the whole chain. */
export type RequirementName = SettingRequirementName | 'uncertainty';

/** What each is called where people read it. */
export const requirementWords: Readonly<Record<RequirementName, string>> = {
  resolution: 'resolution',
  step: 'step',
  settling: 'settling',
  overflow: 'largest code',
  period: 'period',
  latency: 'latency',
  batteryLife: 'battery life',
  uncertainty: 'uncertainty',
};

/** What a setting is that misses one, in a few words. */
export const missedWords: Readonly<Record<SettingRequirementName, string>> = {
  resolution: 'noise too large',
  step: 'step too wide',
  settling: 'not settled',
  overflow: 'overflows',
  period: 'longer than the period',
  latency: 'result too late',
  batteryLife: 'battery empty too soon',
};

/** A requirement, and whether it is met. */
export interface RequirementResult {
  readonly name: RequirementName;
  /** The limit, in `unit`: the least life of the battery, the most of everything else. */
  readonly required: number;
  /** In `unit`. */
  readonly actual: number;
  readonly met: boolean;
  /** K or V (a difference), s, LSB (of the result), or 1 (codes), as `formatQuantity` takes it. */
  readonly unit: string;
  /** required/actual, for the battery's life actual/required: above 1 where there is room; 'any' if the actual is 0. */
  readonly margin: number | 'any';
}

/** One that a setting decides. */
export interface SettingRequirement extends RequirementResult {
  readonly name: SettingRequirementName;
}

/** Limits; those that are absent are not judged. */
export interface Demands {
  /** Random error of a reading, rms, in the measurand's unit. */
  readonly resolution?: number;
  /** Widest step of the result, in the measurand's unit. */
  readonly step?: number;
  /** Settling error of the burst, in `settlingUnit`. */
  readonly settlingLsb: number;
  /** Time from one reading to the next, s. */
  readonly period: number;
  /** From the start of a reading to its result, s. */
  readonly latency?: number;
  /** How long the battery has to last at the least, s. */
  readonly batteryLife?: number;
  /** Unit of the measurand's differences: K or V. */
  readonly unit: string;
}

/** What a setting is worth, as far as it is judged. */
export interface Worth {
  readonly rms: number;
  readonly step: number;
  /** |mean settling error|, in `settlingUnit`. */
  readonly settlingLsb: number;
  readonly largestCode: number;
  readonly registerBits: number;
  /** Until the next reading may start, s: the burst, and the turns of other channels. */
  readonly time: number;
  /** From the start of a reading to its result, s. */
  readonly latency: number;
  /** Life of the battery, s; undefined where nothing tells, and then it is not judged. */
  readonly life?: number | undefined;
}

/**
 * What a settling error is counted in, native LSB: one LSB of the result, or of a conversion where a shift makes the result coarser.
 * Bits that are thrown away settle nothing.
 */
export const settlingUnit = (resultLsb: number): number => Math.min(1, resultLsb);

/** The verdict on a requirement that is an upper limit. */
export const verdictOn = <N extends RequirementName>(
  name: N,
  actual: number,
  required: number,
  unit: string,
): RequirementResult & { readonly name: N } => ({
  name,
  required,
  actual,
  met: actual <= required,
  unit,
  margin: actual === 0 ? 'any' : required / actual,
});

/** How one requirement is judged; a figure or limit that is undefined is not judged. */
interface Judge {
  readonly name: SettingRequirementName;
  readonly actual: (worth: Worth) => number | undefined;
  readonly required: (demands: Demands, worth: Worth) => number | undefined;
  /** Unit; that of the measurand's differences where it is absent. */
  readonly unit?: string;
  /** Whether the limit is a lower one. */
  readonly least?: true;
}

/** All of them, in the order of the names. */
const judges: readonly Judge[] = [
  { name: 'resolution', actual: (w) => w.rms, required: (d) => d.resolution },
  { name: 'step', actual: (w) => w.step, required: (d) => d.step },
  { name: 'settling', actual: (w) => w.settlingLsb, required: (d) => d.settlingLsb, unit: 'LSB' },
  { name: 'overflow', actual: (w) => w.largestCode, required: (_, w) => 2 ** w.registerBits - 1, unit: '1' },
  { name: 'period', actual: (w) => w.time, required: (d) => d.period, unit: 's' },
  { name: 'latency', actual: (w) => w.latency, required: (d) => d.latency, unit: 's' },
  { name: 'batteryLife', actual: (w) => w.life, required: (d) => d.batteryLife, unit: 's', least: true },
];

/** The verdicts on a setting, in the order of the names. */
export const judged = (worth: Worth, demands: Demands): SettingRequirement[] =>
  judges.flatMap(({ name, actual, required, unit = demands.unit, least }): SettingRequirement[] => {
    const limit = required(demands, worth);
    const figure = limit === undefined ? undefined : actual(worth);
    if (limit === undefined || figure === undefined) return [];
    if (!least) return [verdictOn(name, figure, limit, unit)];
    return [{ name, required: limit, actual: figure, met: figure >= limit, unit, margin: figure / limit }];
  });

/** The requirements that a search judges first: what they ask is soon known. */
export const quickFirst = [
  'step',
  'overflow',
  'period',
  'latency',
  'settling',
] as const satisfies readonly SettingRequirementName[];
/** Those that it judges where all of the others are met: what they ask is dear. */
export const dearLast = ['resolution', 'batteryLife'] as const satisfies readonly SettingRequirementName[];

const named = (names: readonly SettingRequirementName[]): readonly Judge[] =>
  names.map((name) => judges.find((j) => j.name === name)!);
const [quick, dear] = [named(quickFirst), named(dearLast)];

function firstOf(list: readonly Judge[], worth: Worth, demands: Demands): SettingRequirementName | undefined {
  for (const { name, actual, required, least } of list) {
    const limit = required(demands, worth);
    if (limit === undefined) continue;
    const figure = actual(worth);
    if (figure !== undefined && !(least ? figure >= limit : figure <= limit)) return name;
  }
  return undefined;
}

/** The first of `quickFirst` that a setting misses, by the same verdicts; undefined if it meets them. */
export const missedQuickly = (worth: Worth, demands: Demands): SettingRequirementName | undefined =>
  firstOf(quick, worth, demands);

/** The first of `dearLast` that it misses. */
export const missedAfterAll = (worth: Worth, demands: Demands): SettingRequirementName | undefined =>
  firstOf(dear, worth, demands);

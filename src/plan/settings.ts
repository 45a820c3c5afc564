/**
 * Settings: every ratio and useful shift of a converter, what each is worth, and which one to take.
 *
 * In come the converter at one clock, sample time and resolution, the channel where one code is widest, and the requirements; out
 * goes the whole table, so nothing better exists than what it recommends.
 */

import { type OversampledSetting, oversampleTable } from '../chain/averaging/oversample.ts';
import type { Plan } from './plan.ts';
import { type Demands, judged, missedWords, type SettingRequirement } from './requirements.ts';
import { RatioWorth } from './worth.ts';

export type { Plan } from './plan.ts';

/** A ratio and a shift. */
export interface Setting {
  readonly ratio: number;
  readonly shift: number;
}

/** A requirement that a setting misses. */
export interface Failure extends SettingRequirement {
  /** In a few words, as `step too wide`. */
  readonly text: string;
}

/** One row of the table. */
export interface SettingRow extends OversampledSetting {
  /** Widest step of the result, in the measurand's unit. */
  readonly step: number;
  /** Random error of a reading, rms, in the measurand's unit, where a code is widest. */
  readonly rms: number;
  /** Time of the burst, s. */
  readonly time: number;
  /** From the start of a reading to its result, s. */
  readonly latency: number;
  /** Charge of the burst, C. */
  readonly charge: number;
  /** Every requirement, in order. */
  readonly requirements: readonly SettingRequirement[];
  /** Those that are missed. */
  readonly failures: readonly Failure[];
  readonly recommended: boolean;
  readonly chosen: boolean;
}

/** The table, and what it recommends. */
export interface Settings {
  /** By ratio, then shift. */
  readonly rows: readonly SettingRow[];
  /** The row that is recommended; absent if none meets every requirement. */
  readonly recommended?: SettingRow;
  /** The row of the worksheet. */
  readonly chosen: SettingRow;
  /** Why the recommended row, or that none serves; a sentence without its stop. */
  readonly reason: string;
}

/** Charges this near to one another, relative, count as equal. */
const same = 1e-9;

/** What a setting fails by, in a few words. */
const failureText = ({ name }: SettingRequirement, { resultBits }: OversampledSetting): string =>
  name === 'overflow' ? `overflows: needs ${resultBits} bits` : missedWords[name];

/** Shifts that do not widen the result beyond the native code: 0 … log2 of the ratio. */
const usefulShifts = (ratio: number, largest: number): number[] =>
  Array.from({ length: Math.min(largest, Math.floor(Math.log2(ratio))) + 1 }, (_, s) => s);

/** One row without its marks. */
type Unmarked = Omit<SettingRow, 'recommended' | 'chosen'>;

/** The rows of one ratio. */
function rowsOf(plan: Plan, ratio: number, shifts: readonly number[]): Unmarked[] {
  const { bits, noiseLsb, rounding, registerBits, demands } = plan;
  const worths = oversampleTable({ bits, noiseLsb, ratios: [ratio], shifts, rounding, registerBits });
  const of = new RatioWorth(plan, ratio, (_, shift) => worths[shifts.indexOf(shift)]!.rmsErrorLsb);
  return worths.map((worth) => {
    const own = of.at(worth.shift);
    const requirements = judged(own, demands);
    const failures = requirements.filter((r) => !r.met).map((r) => ({ ...r, text: failureText(r, worth) }));
    const { step, rms, latency } = own;
    return { ...worth, step, rms, latency, ...of.burst, requirements, failures };
  });
}

/** What one setting is worth, searched or not. */
export const settingRow = (plan: Plan, { ratio, shift }: Setting): Unmarked =>
  rowsOf(plan, ratio, [shift])[0]!;

/** The best of the rows that meet everything: least charge; of equal charge the narrowest result, then the finest step. */
function best(rows: readonly Unmarked[]): { row: Unmarked; tie: boolean } | undefined {
  const meet = rows.filter((r) => r.failures.length === 0);
  if (meet.length === 0) return undefined;
  const least = Math.min(...meet.map((r) => r.charge));
  const equal = meet.filter((r) => r.charge <= least * (1 + same));
  const row = equal.reduce((a, b) =>
    b.resultBits < a.resultBits || (b.resultBits === a.resultBits && b.step < a.step) ? b : a,
  );
  return { row, tie: equal.length > 1 };
}

/** The table of every ratio and useful shift; the chosen setting is in it even where the search would pass it by. */
export function settings(plan: Plan, chosen: Setting): Settings {
  const ratios = [...new Set([...plan.ratios, chosen.ratio])].sort((a, b) => a - b);
  const unmarked = ratios.flatMap((ratio) => {
    const shifts = usefulShifts(ratio, plan.largestShift);
    if (ratio === chosen.ratio && !shifts.includes(chosen.shift)) shifts.push(chosen.shift);
    return rowsOf(plan, ratio, shifts);
  });
  const found = best(unmarked);
  const rows = unmarked.map((row) => ({
    ...row,
    recommended: row === found?.row,
    chosen: row.ratio === chosen.ratio && row.shift === chosen.shift,
  }));
  const recommended = rows.find((r) => r.recommended);
  return {
    rows,
    ...(recommended && { recommended }),
    chosen: rows.find((r) => r.chosen)!,
    reason: reasonFor(found, plan.demands),
  };
}

function reasonFor(found: { tie: boolean } | undefined, { resolution, step }: Demands): string {
  if (found === undefined) return 'no setting meets every requirement';
  const all = resolution !== undefined && step !== undefined ? 'both' : 'what is wanted';
  const narrowest = found.tie ? ', and of those the narrowest result' : '';
  return `least charge that meets ${all}${narrowest}`;
}

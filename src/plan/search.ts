/**
 * The search: every clock divider, sample time, resolution, ratio and shift of a converter, judged one by one.
 *
 * In come the plans, one for each way of taking a conversion, and what is averaged; out go how many settings were looked at, why
 * which are rejected, of the others the front of error, charge and time, and one of them to take. Nothing is passed by, so nothing
 * better exists.
 */
import { oversampleTable } from '../chain/averaging/oversample.ts';
import { type Costs, frontOf, toCompare } from './front.ts';
import type { Plan } from './plan.ts';
import {
  dearLast,
  judged,
  missedAfterAll,
  missedQuickly,
  missedWords,
  quickFirst,
  type SettingRequirement,
  type SettingRequirementName,
} from './requirements.ts';
import type { Setting } from './settings.ts';
import { type ErrorLsb, RatioWorth, type SettingWorth } from './worth.ts';

/** How one conversion is taken. */
export interface SamplingSetting {
  readonly clockDivider: number;
  readonly sampleCycles: number;
  readonly bits: number;
}

/** Why a setting is rejected: a clock too fast, a conversion longer than its interval, or the first requirement that it misses. */
export type Rejection = 'clock' | 'interval' | SettingRequirementName;

/** What a rejected setting is, in a few words. */
export const rejectionWords: Readonly<Record<Rejection, string>> = {
  clock: 'clock too fast for the converter',
  interval: 'conversion longer than its interval',
  ...missedWords,
};

/** All reasons, in the order in which they are looked at. */
const rejections: readonly Rejection[] = ['clock', 'interval', ...quickFirst, ...dearLast];

/** One way of taking a conversion, with what it makes of the converter: a plan, or why there is none. */
export interface PlannedSampling {
  readonly sampling: SamplingSetting;
  readonly plan: Plan | 'clock' | 'interval';
}

/** A setting that meets every requirement. */
export interface SearchPoint extends Costs {
  readonly sampling: SamplingSetting;
  readonly averaging: Setting;
}

/** The setting to take. */
export interface Recommended extends SearchPoint {
  /** The verdicts on it, all met. */
  readonly requirements: readonly SettingRequirement[];
}

/** What a search has found. */
export interface Search {
  /** Settings looked at. */
  readonly evaluated: number;
  /** How many were rejected for each reason, in the order of judging; each setting counts once. */
  readonly rejected: readonly { readonly reason: Rejection; readonly count: number }[];
  /** Of those that meet everything the ones that none beats, by rising charge, then time. */
  readonly front: readonly SearchPoint[];
  /** The one on the front to take; absent if no setting meets every requirement. */
  readonly recommended?: Recommended;
  /** Why that one, or that none serves; a sentence without its stop. */
  readonly reason: string;
  /** Why a setting is rejected; 'none' if it meets everything. RangeError for one that was not looked at. */
  rejectionOf(setting: {
    readonly sampling: SamplingSetting;
    readonly averaging: Setting;
  }): Rejection | 'none';
}

/**
 * Searches every ratio and shift at every sampling.
 *
 * @param samplings - the ways of taking a conversion
 * @param ratios - ratios to look at, 1 among them where averaging can be off
 * @param largestShift - shifts from 0 to this are looked at
 * @returns counts, front and recommendation
 */
export function search({
  samplings,
  ratios,
  largestShift,
}: {
  readonly samplings: readonly PlannedSampling[];
  readonly ratios: readonly number[];
  readonly largestShift: number;
}): Search {
  const shifts = Array.from({ length: largestShift + 1 }, (_, s) => s);
  const shared = new Map<string, SharedErrors>();
  const each = ratios.length * shifts.length;
  /** For each setting 0, or the place of its reason and 1. */
  const standing = new Uint8Array(samplings.length * each);
  const best: Found[] = [];
  samplings.forEach(({ sampling, plan }, i) => {
    if (typeof plan === 'string') {
      standing.fill(rejections.indexOf(plan) + 1, i * each, (i + 1) * each);
      return;
    }
    const key = `${plan.bits} ${plan.noiseLsb}`;
    const errors = shared.get(key) ?? new SharedErrors(plan);
    shared.set(key, errors);
    const errorLsb: ErrorLsb = (ratio, shift) => errors.of(ratio, shift);
    ratios.forEach((ratio, r) => {
      const of = new RatioWorth(plan, ratio, errorLsb);
      const found = bestShift(of, errors, standing.subarray(i * each + r * shifts.length), shifts);
      if (found) best.push({ ...found, sampling, plan });
    });
  });
  const counts = new Uint32Array(rejections.length + 1);
  for (const s of standing) counts[s]!++;
  const front = frontOf(best);
  const taken = front.reduce<Found | undefined>(
    (a, b) => (a === undefined || cheaper(b, a) ? b : a),
    undefined,
  );
  return {
    evaluated: standing.length,
    rejected: rejections.flatMap((reason, k) =>
      counts[k + 1]! > 0 ? [{ reason, count: counts[k + 1]! }] : [],
    ),
    front: front.map(pointOf),
    ...(taken && {
      recommended: { ...pointOf(taken), requirements: judged(taken.of.at(taken.shift), taken.plan.demands) },
    }),
    reason: reasonFor(front, taken),
    rejectionOf({ sampling, averaging: { ratio, shift } }) {
      const i = samplings.findIndex(
        ({ sampling: s }) =>
          s.clockDivider === sampling.clockDivider &&
          s.sampleCycles === sampling.sampleCycles &&
          s.bits === sampling.bits,
      );
      const r = ratios.indexOf(ratio);
      if (i < 0 || r < 0 || shift > largestShift) throw new RangeError('the setting was not looked at');
      return rejections[standing[i * each + r * shifts.length + shift]! - 1] ?? 'none';
    },
  };
}

/** A setting that meets everything, while the search goes on. */
interface Found extends Costs {
  readonly of: RatioWorth;
  readonly shift: number;
  readonly sampling: SamplingSetting;
  readonly plan: Plan;
}

/** The settings of a ratio differ in error alone: the least error of those that meet everything; of equals the narrowest result. */
function bestShift(
  of: RatioWorth,
  errors: SharedErrors,
  standing: Uint8Array,
  shifts: readonly number[],
): Omit<Found, 'sampling' | 'plan'> | undefined {
  const { demands } = of.plan;
  const left: SettingWorth[] = [];
  for (const shift of shifts) {
    const worth = of.at(shift);
    const missed = missedQuickly(worth, demands);
    if (missed === undefined) left.push(worth);
    else standing[shift] = rejections.indexOf(missed) + 1;
  }
  errors.prepare(of.ratio, left);
  let best: { shift: number; error: number } | undefined;
  for (const worth of left) {
    const missed = missedAfterAll(worth, demands);
    if (missed !== undefined) {
      standing[worth.shift] = rejections.indexOf(missed) + 1;
      continue;
    }
    const error = worth.rms;
    if (best === undefined || toCompare(error) <= toCompare(best.error)) best = { shift: worth.shift, error };
  }
  return best && { ...of.burst, ...best, of };
}

/** The errors of a resolution and a noise, native LSB, which the plans that have these share, whatever their clock. */
class SharedErrors {
  readonly #given: Pick<Plan, 'bits' | 'noiseLsb' | 'rounding' | 'registerBits'>;
  /** By ratio, then shift. */
  readonly #known = new Map<number, number[]>();

  constructor({ bits, noiseLsb, rounding, registerBits }: Plan) {
    this.#given = { bits, noiseLsb, rounding, registerBits };
  }

  /** Computes those of some shifts that are not known yet, together. */
  prepare(ratio: number, settings: readonly { readonly shift: number }[]): void {
    let known = this.#known.get(ratio);
    if (known === undefined) {
      known = [];
      this.#known.set(ratio, known);
    }
    const shifts: number[] = [];
    for (const { shift } of settings) if (known[shift] === undefined) shifts.push(shift);
    if (shifts.length === 0) return;
    for (const worth of oversampleTable({ ...this.#given, ratios: [ratio], shifts })) {
      known[worth.shift] = worth.rmsErrorLsb;
    }
  }

  of(ratio: number, shift: number): number {
    return this.#known.get(ratio)![shift]!;
  }
}

/** Whether a setting takes less charge; of equal charge whether it has less error. */
function cheaper(a: Costs, b: Costs): boolean {
  const less = toCompare(a.charge) - toCompare(b.charge);
  return less < 0 || (less === 0 && toCompare(a.error) < toCompare(b.error));
}

const pointOf = ({ error, charge, time, sampling, of: { ratio }, shift }: Found): SearchPoint => ({
  error,
  charge,
  time,
  sampling,
  averaging: { ratio, shift },
});

function reasonFor(front: readonly Costs[], taken: Costs | undefined): string {
  if (taken === undefined) return 'no setting meets every requirement';
  const equal = front.filter((p) => toCompare(p.charge) === toCompare(taken.charge)).length > 1;
  return `least charge of all that meet every requirement${equal ? ', and of those the least error' : ''}`;
}

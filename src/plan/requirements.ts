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
  /** Settling error of the burst, LSB of the result. */
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
  /** |mean settling error|, LSB of the result. */
  readonly settlingLsb: number;
  readonly largestCode: number;
  readonly registerBits: number;
  /** Time of the burst, s. */
  readonly time: number;
  /** From the start of a reading to its result, s. */
  readonly latency: number;
  /** Life of the battery, s; undefined where nothing tells, and then it is not judged. */
  readonly life?: number | undefined;
}

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

/** The verdicts on a setting, in the order of the names. */
export function judged(worth: Worth, demands: Demands): SettingRequirement[] {
  const results: SettingRequirement[] = [];
  const judge = (
    name: SettingRequirementName,
    actual: number,
    required: number | undefined,
    unit: string,
  ) => {
    if (required !== undefined) results.push(verdictOn(name, actual, required, unit));
  };
  judge('resolution', worth.rms, demands.resolution, demands.unit);
  judge('step', worth.step, demands.step, demands.unit);
  judge('settling', worth.settlingLsb, demands.settlingLsb, 'LSB');
  judge('overflow', worth.largestCode, 2 ** worth.registerBits - 1, '1');
  judge('period', worth.time, demands.period, 's');
  judge('latency', worth.latency, demands.latency, 's');
  if (demands.batteryLife !== undefined && worth.life !== undefined) {
    const [required, actual] = [demands.batteryLife, worth.life];
    results.push({
      name: 'batteryLife',
      required,
      actual,
      met: actual >= required,
      unit: 's',
      margin: actual / required,
    });
  }
  return results;
}

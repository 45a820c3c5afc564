/**
 * The sample times of a worksheet: what each setting of the profile leaves unsettled, the curve between them, and the rules of
 * thumb beside it. LSB are native ones; errors are the held voltage less the source's, where over the range the mean of the
 * burst is furthest off.
 */

import { burstError } from '../chain/sampling/burst.ts';
import { settlingTimeConstants } from '../chain/sampling/estimates.ts';
import { maxSourceResistance } from '../chain/sampling/sampleTime.ts';
import { settle } from '../chain/sampling/settle.ts';
import { judged, type RequirementResult, settlingUnit } from '../plan/requirements.ts';
import { RatioWorth } from '../plan/worth.ts';
import type { Evaluation } from './evaluation.ts';
import { planOf } from './planOf.ts';
import type { Worksheet } from './read.ts';
import { networkAt, timesOf, worstSettling } from './samplingOf.ts';

/** What one sample time leaves unsettled, native LSB, signed. */
export interface SettlingErrors {
  /** Where over the range the mean is furthest off, in the measurand's unit. */
  readonly at: number;
  /** Of the first conversion, the pin settled on the source before it. */
  readonly first: number;
  /** Of one conversion after very many. */
  readonly steady: number;
  /** Of the mean of the burst. */
  readonly mean: number;
}

/** One sample time of the profile. */
export interface SampleTimeRow {
  /** Clock cycles. */
  readonly cycles: number;
  /** s */
  readonly sampleTime: number;
  /** Absent where a conversion takes longer than the trigger allows. */
  readonly worth?: {
    readonly errors: SettlingErrors;
    /** Mean of the burst at the pin, V, signed. */
    readonly meanVoltage: number;
    /** Mean of the burst in the measurand's unit of differences, signed as the reading is off. */
    readonly meanMeasurand: number;
    /** Largest that keeps the mean within what is allowed, Ω. */
    readonly maxSourceResistance: number | 'none' | 'any';
    /** Of the burst, C. */
    readonly charge: number;
    /** Of the burst, s. */
    readonly time: number;
  };
  /** Those of settling, period and latency that are missed. */
  readonly missed: readonly RequirementResult[];
  /** Fewest conversions to leave out ahead of the burst so that it is settled; 'none' where no number helps. */
  readonly discard: number | 'none';
  readonly recommended: boolean;
  readonly chosen: boolean;
}

/** A rule that counts time constants (R_s + R_sw)·C_s, and what it really leaves. */
export interface RuleOfThumb {
  /** Time constants. */
  readonly constants: number;
  /** s */
  readonly sampleTime: number;
  /** What one time constant alone would leave of a full-scale step, native LSB. */
  readonly promised: number;
  /** What the network leaves; absent where the trigger does not allow so long a sample time. */
  readonly errors?: SettlingErrors;
}

/** The sample times of a worksheet. */
export interface SampleTimes {
  /** Shortest first. */
  readonly rows: readonly SampleTimeRow[];
  /** The shortest that meets settling, period and latency; absent if none does. */
  readonly recommended?: SampleTimeRow;
  readonly chosen: SampleTimeRow;
  /** Errors against sample time, from below the shortest useful one to beyond the longest of the profile. */
  readonly curve: readonly (SettlingErrors & { readonly sampleTime: number })[];
  /** 8, 9 and 10 time constants, and as many as what is allowed asks for. */
  readonly rules: readonly RuleOfThumb[];
  /** One time constant as the rules count it, s, at the place of the chosen row. */
  readonly ruleConstant: number;
}

/** Most conversions that are worth leaving out. */
const mostDiscarded = 1024;

/** Points of the curve. */
const points = 72;

/** The worksheet with another sample time. */
export const withSampleCycles = (worksheet: Worksheet, value: number): Worksheet => ({
  ...worksheet,
  inputs: {
    ...worksheet.inputs,
    sampling: { ...worksheet.inputs.sampling, sampleCycles: { value, from: 'calculated' } },
  },
});

/** Whether the trigger leaves room for a conversion with so many sample cycles. */
function fits(worksheet: Worksheet, cycles: number, bits: number): boolean {
  const { interval, conversionTime } = timesOf(worksheet, cycles, bits);
  return interval >= conversionTime;
}

/** The errors with so many sample cycles, of which there may be fractions. */
export function settlingErrors(
  { worksheet, channel, quantizing, averaging }: Evaluation,
  cycles: number,
): SettlingErrors {
  const { codeBinWidth, reference, bits } = quantizing;
  const { measurand, error } = worstSettling(worksheet, channel, quantizing, averaging.ratio, cycles);
  const { sampleTime, interval: period } = timesOf(worksheet, cycles, bits);
  const network = { ...networkAt(worksheet, channel, reference, measurand), sampleTime };
  return {
    at: measurand,
    first: settle(network).error / codeBinWidth,
    steady: settle({ ...network, period }).error / codeBinWidth,
    mean: error,
  };
}

/** Fewest conversions to leave out where C_s keeps its charge; else more of them only empty the pin. */
function discardFor(e: Evaluation, cycles: number, { at, mean }: SettlingErrors): number | 'none' {
  const { worksheet, channel, quantizing, sampling, averaging } = e;
  const allowed = sampling.allowedErrorLsb;
  if (Math.abs(mean) <= allowed) return 0;
  const { sampleTime, interval: period } = timesOf(worksheet, cycles, quantizing.bits);
  const burst = {
    ...networkAt(worksheet, channel, quantizing.reference, at),
    sampleTime,
    period,
    ratio: averaging.ratio,
  };
  const serves = (discard: number): boolean =>
    Math.abs(burstError({ ...burst, discard })) <= allowed * quantizing.codeBinWidth;
  if (worksheet.profile.capacitorStarts === 'previous' || !serves(mostDiscarded)) return 'none';
  let [fails, good] = [0, mostDiscarded];
  while (good - fails > 1) {
    const middle = (fails + good) >> 1;
    if (serves(middle)) good = middle;
    else fails = middle;
  }
  return good;
}

type Unmarked = Omit<SampleTimeRow, 'recommended' | 'chosen'>;

function rowOf(e: Evaluation, cycles: number): Unmarked {
  const { channel, quantizing, sampling, averaging } = e;
  const { ratio, resultLsb, largestCode, registerBits } = averaging;
  const worksheet = withSampleCycles(e.worksheet, cycles);
  const { sampleTime } = timesOf(worksheet, cycles, quantizing.bits);
  if (!fits(worksheet, cycles, quantizing.bits)) return { cycles, sampleTime, missed: [], discard: 'none' };
  const plan = planOf(worksheet, channel, quantizing);
  const errors = settlingErrors(e, cycles);
  const { interval } = plan;
  const of = new RatioWorth(plan, ratio, () => 0);
  const { time, charge } = of.burst;
  const settlingLsb = Math.abs(errors.mean) / settlingUnit(resultLsb);
  const { resolution: _, step: __, ...demands } = plan.demands;
  const { latency, life } = of;
  const worth = { rms: 0, step: 0, settlingLsb, largestCode, registerBits, time: of.time, latency, life };
  const verdicts = judged(worth, demands);
  const { sourceResistance, ...fixed } = networkAt(worksheet, channel, quantizing.reference, errors.at);
  const { bits, reference, codeBinWidth } = quantizing;
  return {
    cycles,
    sampleTime,
    worth: {
      errors,
      meanVoltage: errors.mean * codeBinWidth,
      meanMeasurand: errors.mean * channel.perCode(errors.at) * (channel.falling ? -1 : 1),
      maxSourceResistance: maxSourceResistance({
        ...fixed,
        sampleTime,
        period: interval,
        ratio,
        allowedErrorLsb: sampling.allowedErrorLsb,
        bits,
        reference,
      }),
      charge,
      time,
    },
    missed: verdicts.filter((r) => !r.met && r.name !== 'overflow'),
    discard: discardFor(e, cycles, errors),
  };
}

/** Sample times of the curve, s: from below the shortest of use to beyond the longest that fits. */
function curveTimes({ worksheet, sampling }: Evaluation): number[] {
  const { clock, interval, conversionTime, minSampleTime } = sampling;
  const ladder = worksheet.profile.sampleCycles.map((c) => c / clock);
  const longest = interval - (conversionTime - sampling.sampleTime);
  const low = 0.5 * Math.min(ladder[0]!, typeof minSampleTime === 'number' ? minSampleTime : ladder[0]!);
  const high = worksheet.inputs.sampling.interval
    ? Math.min(longest, 1.6 * ladder.at(-1)!)
    : 1.6 * ladder.at(-1)!;
  return Array.from({ length: points }, (_, i) => low * (high / low) ** (i / (points - 1)));
}

function ruleOf(e: Evaluation, constants: number, ruleConstant: number): RuleOfThumb {
  const { worksheet, sampling, quantizing } = e;
  const sampleTime = constants * ruleConstant;
  const cycles = sampleTime * sampling.clock;
  return {
    constants,
    sampleTime,
    promised: 2 ** quantizing.bits * Math.exp(-constants),
    ...(fits(worksheet, cycles, quantizing.bits) && { errors: settlingErrors(e, cycles) }),
  };
}

/**
 * The sample times of a worksheet's converter, at its clock, resolution and ratio.
 *
 * @param e - evaluation of the worksheet
 * @returns one row per sample time of the profile, the recommended one, the curve between them, and the rules of thumb
 */
export function sampleTimesOf(e: Evaluation): SampleTimes {
  const { worksheet, sampling, quantizing, channel } = e;
  const cycles = [...new Set([...worksheet.profile.sampleCycles, sampling.sampleCycles])].sort(
    (a, b) => a - b,
  );
  const unmarked = cycles.map((c) => rowOf(e, c));
  const best = unmarked.find((r) => r.worth && r.missed.length === 0);
  const rows = unmarked.map((r) => ({
    ...r,
    recommended: r === best,
    chosen: r.cycles === sampling.sampleCycles,
  }));
  const recommended = rows.find((r) => r.recommended);
  const { sourceResistance, switchResistance, sampleCapacitance } = networkAt(
    worksheet,
    channel,
    quantizing.reference,
    sampling.worstAt,
  );
  const ruleConstant = (sourceResistance + switchResistance) * sampleCapacitance;
  const asked = settlingTimeConstants({ bits: quantizing.bits, allowedErrorLsb: sampling.allowedErrorLsb });
  return {
    rows,
    ...(recommended && { recommended }),
    chosen: rows.find((r) => r.chosen)!,
    curve: curveTimes(e).map((sampleTime) => ({
      sampleTime,
      ...settlingErrors(e, sampleTime * sampling.clock),
    })),
    rules: [8, 9, 10, asked].map((constants) => ruleOf(e, constants, ruleConstant)),
    ruleConstant,
  };
}

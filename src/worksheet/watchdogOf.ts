/**
 * The watchdog of a worksheet: which codes to write, and between which values of the measurand it then begins to trip.
 *
 * In come the limits, in the measurand or in any other form of the channel's input, what must be guaranteed, what the hardware compares and
 * how far the converter may be off; out go the codes, or why there are none.
 */
import { type Comparator, comparatorOf } from '../chain/watchdog/comparator.ts';
import { measurandThresholdCodes } from '../chain/watchdog/measurandThresholdCodes.ts';
import {
  type ThresholdArguments,
  type ThresholdCodes,
  thresholdCodes,
} from '../chain/watchdog/thresholdCodes.ts';
import type { ThresholdCode, WindowCodes } from '../chain/watchdog/window.ts';
import { leakageCurrent } from './conditionsOf.ts';
import type { Evaluation } from './evaluation.ts';
import { type Form, type Forms, formsOf } from './formsOf.ts';
import type { Profile } from './schema/converter.ts';
import type { Quantity } from './schema/field.ts';
import { relativeSpread } from './sensors.ts';

export type Side = 'above' | 'below';

/** A limit: it trips above, or below, this value. */
export interface Limit {
  readonly side: Side;
  /** In the unit of `form`. */
  readonly value: number;
  /** What the limit is given in: the measurand, volts at the pin, the sensor's ohms or the current through it. */
  readonly form: Form;
  /** In the measurand's unit; 'none' where the sensor has no such value. */
  readonly measurand: number | 'none';
  /** At the pin, V. */
  readonly volts: number;
}

/** A place where a threshold acts, at the pin and in the measurand. */
export interface Place {
  /** V */
  readonly volts: number;
  /** In the measurand's unit; 'none' where the sensor gives no such voltage. */
  readonly measurand: number | 'none';
}

/** One threshold as it is written, and where it acts. */
export interface Threshold {
  readonly register: 'high' | 'low';
  /** The limit that it serves: with a falling curve the upper one is served by the low threshold. */
  readonly limit: Limit;
  /** What the register holds, and the same in hexadecimal to its full width. */
  readonly code: number;
  readonly hex: string;
  /** Coming from the quiet side, where the first converter within its tolerance trips, without noise. */
  readonly startsAt: Place;
  /** From here on every converter within its tolerance trips, without noise. */
  readonly surelyAt: Place;
  /** Where a converter without error trips half of the time. */
  readonly tripsAt: Place;
  /** Where a converter without error trips, without noise: native transition k, from whose code on, or below it, it trips. */
  readonly transition: number;
  readonly typicalAt: Place;
  /** Half-width that sensor, divider, amplifier and the pin's leakage add at the limit, in the measurand's unit of differences. */
  readonly sensorTolerance: number;
  /** From one compared value to the next, in the measurand's unit of differences. */
  readonly step: number;
}

/** Half-widths of the converter's errors, as the watchdog meets them. */
export interface WatchdogTolerance {
  /** Native LSB. */
  readonly offsetLsb: number;
  readonly inlLsb: number;
  /** Relative. */
  readonly gain: number;
  /** Relative; 0 where the wiring is ratiometric and the limits are not in volts. */
  readonly reference: number;
}

/** All of a watchdog that follows without noise. */
export interface Watchdog {
  readonly limits: readonly Limit[];
  readonly intent: 'must-trip' | 'must-not-trip';
  readonly compare: Profile['comparator'];
  readonly tolerance: WatchdogTolerance;
  /** Whether the curve falls, so that the upper limit is served by the low threshold. */
  readonly swapped: boolean;
  /** High first; empty where refused. */
  readonly thresholds: readonly Threshold[];
  /** Why no codes serve. */
  readonly refused?: string;
  /** Largest value that is compared; undefined where the comparator is too narrow or drops everything. */
  readonly largestCompared?: number;
}

/** What a watchdog is asked for: limits in forms of the channel, and the guarantee. */
export interface WatchdogQuestion {
  readonly limits: readonly { readonly side: Side; readonly value: number; readonly form: Form }[];
  readonly intent: 'must-trip' | 'must-not-trip';
}

/** The limits that the worksheet sets; undefined where it has no watchdog. */
export function watchdogQuestion(
  { worksheet, units }: Evaluation,
  forms: Forms,
): WatchdogQuestion | undefined {
  const { watchdog } = worksheet.inputs;
  if (watchdog === undefined) return undefined;
  const limit = (side: Side, given: Quantity | undefined) =>
    given
      ? [{ side, value: given.value, form: given.unit === units.measurand ? forms.measurand : forms.pin }]
      : [];
  return {
    limits: [...limit('above', watchdog.above), ...limit('below', watchdog.below)],
    intent: watchdog.intent ?? 'must-trip',
  };
}

/** The tolerance that limits in a form meet. */
function toleranceOf({ worksheet, quantizing }: Evaluation, form: Form): WatchdogTolerance {
  const { profile, inputs } = worksheet;
  const { conditioning, converter } = inputs;
  const coarser = 2 ** (profile.resolutions[0]!.bits - quantizing.bits);
  const { source, voltage } = converter.reference;
  const own =
    voltage?.spread === undefined && source === 'internal' ? profile.internalReference.tolerance.value : 0;
  const reference = own || (voltage ? relativeSpread(voltage) : 0);
  const fed = conditioning.excitation?.voltage;
  const cancels = form.is !== 'pin' && conditioning.wiring === 'ratiometric';
  return {
    offsetLsb: profile.offset.value / coarser,
    inlLsb: profile.inl.value / coarser,
    gain: profile.gain.value,
    reference: cancels ? 0 : reference + (form.is !== 'pin' && fed ? relativeSpread(fed) : 0),
  };
}

/** Range of a form's values over the sensor's valid range. */
function rangeOf({ sensor, channel, worksheet }: Evaluation, form: Form): { low: number; high: number } {
  const ends = [sensor.validRange.low, sensor.validRange.high];
  const of = {
    resistance: ends.map(sensor.toElectrical),
    current: ends.map(
      worksheet.inputs.sensor.kind === 'currentLoop'
        ? (m) => form.valueOf(channel.codeOf(m))
        : channel.excitationCurrent,
    ),
  }[form.is as string];
  const [low, high] = [...(of ?? ends)].sort((a, b) => a - b) as [number, number];
  return { low, high };
}

/** Half-width that sensor, fixed resistor, amplifier and the pin's leakage add at a value of the measurand. */
function sensorTolerance(
  { sensor, worksheet, channel, quantizing }: Evaluation,
  measurand: number | 'none',
): number {
  if (measurand === 'none') return 0;
  const own = sensor.tolerance?.(measurand) ?? 0;
  const leakage =
    ((leakageCurrent(worksheet) * channel.sourceResistance(measurand)) / quantizing.codeBinWidth) *
    channel.perCode(measurand);
  const { divider, amplifier } = worksheet.inputs.conditioning;
  const amplified = amplifier
    ? ((amplifier.gainError?.value ?? 0) * Math.abs(channel.fraction(measurand)) * 2 ** quantizing.bits +
        (amplifier.gain * (amplifier.zero.spread ?? 0)) / quantizing.codeBinWidth) *
      channel.perCode(measurand)
    : 0;
  if (divider === undefined || sensor.electrical !== 'resistance') return own + leakage + amplified;
  // The divider sees the ratio of its two resistances: a share of the one is the same share of the other.
  const share = relativeSpread(divider.resistor);
  return (
    own + leakage + amplified + share * Math.abs(sensor.toElectrical(measurand) / sensor.slope(measurand))
  );
}

/** The arguments of `thresholdCodes` that the worksheet's converter gives. */
export function thresholdArguments(
  { worksheet, quantizing, averaging, noise }: Evaluation,
  { intent }: WatchdogQuestion,
  tolerance: WatchdogTolerance,
): ThresholdArguments {
  const { bits, reference, firstTransition } = quantizing;
  return {
    bits,
    reference,
    firstTransition,
    ratio: averaging.ratio,
    shift: averaging.shift,
    rounding: averaging.rounding,
    compare: worksheet.profile.comparator,
    intent,
    tolerance,
    noiseLsb: noise.independentLsb,
  };
}

/** Codes for the limits of a question at the worksheet's setting and others. */
export function codesFor(
  e: Evaluation,
  forms: Forms,
  { limits }: WatchdogQuestion,
  args: ThresholdArguments,
): ThresholdCodes {
  const form = limits[0]!.form;
  if (limits.some((l) => l.form !== form)) {
    throw new RangeError('the two limits are in different units; give both in the same');
  }
  const at = Object.fromEntries(limits.map(({ side, value }) => [side, value]));
  if (form.is === 'pin') return thresholdCodes({ ...at, ...args });
  const voltageOf = (value: number): number => forms.pin.valueOf(form.meanOf(value));
  return measurandThresholdCodes({ ...at, voltageOf, range: rangeOf(e, form), ...args });
}

/** The comparator, or none where the compared value does not fit it. */
function comparator({ worksheet, quantizing, averaging }: Evaluation): Comparator | undefined {
  try {
    return comparatorOf('comparator', worksheet.profile.comparator, { bits: quantizing.bits, ...averaging });
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    return undefined;
  }
}

/** A voltage at the pin as a place. */
export function placeAt(forms: Forms, volts: number): Place {
  try {
    return { volts, measurand: forms.measurand.valueOf(forms.pin.meanOf(volts)) };
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    return { volts, measurand: 'none' };
  }
}

/** Which limit a threshold serves, and the thresholds of a window with it. */
export const served = <T>(
  codes: WindowCodes,
  swapped: boolean,
  of: (register: 'high' | 'low', side: Side, code: ThresholdCode) => T,
): T[] =>
  (['high', 'low'] as const).flatMap((register) => {
    const code = codes[register];
    const side: Side = (register === 'high') !== swapped ? 'above' : 'below';
    return code ? [of(register, side, code)] : [];
  });

/** Least noise of one conversion at which an averaged result's threshold acts between the values that a steady input gives, LSB rms. */
export const smoothing = 0.3;

/**
 * The watchdog of a worksheet, or of other limits for its channel.
 *
 * @param e - evaluation of the worksheet
 * @param asked - limits and guarantee; those of the worksheet unless given
 * @returns codes and places; undefined where the worksheet has no watchdog and none is asked for
 */
export function watchdogOf(e: Evaluation, asked?: WatchdogQuestion): Watchdog | undefined {
  const forms = formsOf(e);
  const question = asked ?? watchdogQuestion(e, forms);
  if (question === undefined) return undefined;
  const compare = e.worksheet.profile.comparator;
  const tolerance = toleranceOf(e, question.limits[0]!.form);
  const of = comparator(e);
  const smooth = compare.stage === 'result' && e.noise.independentLsb >= smoothing;
  let limits: Limit[] = [];
  const found = (codes?: ThresholdCodes, refused?: string): Watchdog => ({
    limits,
    intent: question.intent,
    compare,
    tolerance,
    swapped: codes?.swapped ?? e.channel.falling,
    thresholds: codes ? served(codes, codes.swapped, threshold) : [],
    ...(refused !== undefined && { refused }),
    ...(of && { largestCompared: of.largest }),
  });
  const threshold = (register: 'high' | 'low', side: Side, code: ThresholdCode): Threshold => {
    const limit = limits.find((l) => l.side === side)!;
    const at = limit.measurand;
    const { codeBinWidth, firstTransition } = e.quantizing;
    const stepLsb = of!.halfCode(2) - of!.halfCode(1);
    return {
      register,
      limit,
      code: code.code,
      hex: code.hex,
      startsAt: placeAt(forms, code.startsAt),
      surelyAt: placeAt(forms, code.surelyAt),
      tripsAt: placeAt(forms, smooth ? (code.noisyAt ?? code.typicalAt) : code.typicalAt),
      transition: Math.round(code.typicalAt / codeBinWidth + 1 - firstTransition),
      typicalAt: placeAt(forms, code.typicalAt),
      sensorTolerance: sensorTolerance(e, at),
      step:
        (smooth ? stepLsb : Math.max(1, stepLsb)) *
        e.channel.perCode(at === 'none' ? e.channel.worst.measurand : at),
    };
  };
  try {
    limits = question.limits.map((l): Limit => {
      const volts = forms.pin.valueOf(l.form.meanOf(l.value));
      const { measurand } = l.form.is === 'measurand' ? { measurand: l.value } : placeAt(forms, volts);
      return { ...l, volts, measurand };
    });
    return found(codesFor(e, forms, question, thresholdArguments(e, question, tolerance)));
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    return found(undefined, plainly(error.message));
  }
}

/** What a refusal says, without the function that says it. */
export const plainly = (message: string): string => message.replace(/^(?:measurandT|t)hresholdCodes\./, '');

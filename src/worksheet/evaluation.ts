/**
 * The evaluation: what follows from a worksheet, in the order of the chain. SI units throughout; LSB are native ones (of one
 * conversion at the resolution set) unless the name says otherwise. `evaluate` makes it.
 */

import type { CombinedUncertainty } from '../budget/uncertainty.ts';
import type { NoiseSources } from '../chain/averaging/noise.ts';
import type { Oversampled } from '../chain/averaging/oversample.ts';
import type { Channel, CodeWidth } from '../chain/reading/channel.ts';
import type { Sensor } from '../chain/source/sensor.ts';
import type { RequirementResult } from '../plan/requirements.ts';
import type { MeasurandUnits } from './amount.ts';
import type { Correction } from './correctionOf.ts';
import type { FindingName } from './findingNames.ts';
import type { Influence, Uncounted } from './influence.ts';
import type { Worksheet } from './read.ts';

/** From the measurand to the pin of the converter, with what the range makes of it. */
export interface ChannelResult extends Channel {
  /** Unit of the measurand's differences: K, V, A, or the sensor's own in braces. */
  readonly unit: string;
  /** Range that the requirements ask for, in the measurand's unit. */
  readonly range: { readonly low: number; readonly high: number };
  /** Where one code is widest, over the range. */
  readonly worst: CodeWidth;
  /** Where one code is narrowest, over the range. */
  readonly best: CodeWidth;
  /** Largest current from the excitation over the range, A; 0 where nothing draws on it. */
  readonly largestExcitationCurrent: number;
}

/** One conversion: its timing, and how far it settles. */
export interface SamplingResult {
  /** Converter clock, Hz. */
  readonly clock: number;
  readonly clockDivider: number;
  readonly sampleCycles: number;
  /** s */
  readonly sampleTime: number;
  readonly conversionCycles: number;
  /** Sample time and conversion, s. */
  readonly conversionTime: number;
  /** From the start of one conversion to that of the next, s. */
  readonly interval: number;
  /** Largest over the range, Ω. */
  readonly sourceResistance: number;
  /** Pin and board, F. */
  readonly pinCapacitance: number;
  /** Where the mean of the burst is furthest off, in the measurand's unit. */
  readonly worstAt: number;
  /** Mean settling error of the burst there, native LSB, signed. */
  readonly settlingErrorLsb: number;
  /** The same in the measurand's unit of differences, signed. */
  readonly settlingErrorMeasurand: number;
  /** Largest that may be, native LSB: the requirement's share of one result code. */
  readonly allowedErrorLsb: number;
  /** Shortest sample time that keeps it, s; 'none' if none does, 'any' if every one does. Back to back the interval grows with it. */
  readonly minSampleTime: number | 'none' | 'any';
  /** Fewest sample cycles of the profile that keep it, at this clock and trigger; 'none' if none does. */
  readonly minSampleCycles: number | 'none';
  /** Largest source resistance that keeps it, with these sample cycles, Ω. */
  readonly maxSourceResistance: number | 'none' | 'any';
}

export interface QuantizingResult {
  readonly bits: number;
  /** V */
  readonly reference: number;
  /** One native LSB, V. */
  readonly codeBinWidth: number;
  readonly firstTransition: 0.5 | 1;
  /** Transition noise of one conversion at this resolution, native LSB rms. */
  readonly noiseLsb: number;
}

/** Noise of one conversion, native LSB. */
export interface NoiseResult {
  /** The converter's, and of the source's what is independent of the neighbouring conversions, rms. */
  readonly independentLsb: number;
  /** What comes with the source, rms; 0 where the worksheet gives none. */
  readonly sourceLsb: number;
  /** Time constant that it comes through, s. */
  readonly sourceTime: number;
  /** Its correlation from one conversion to the next, 0 … 1. */
  readonly correlation: number;
  /** Ripple that the independent noise leaves, rms. */
  readonly rippleLsb: number;
  /** Steady change of the input, LSB per second where a code is widest; 0 where the worksheet gives none. */
  readonly slopeLsb: number;
  /** Everything, for `averagedNoise` and `usefulRatio`; `white` is noise and quantization without the ripple, which is `steady`. */
  readonly sources: NoiseSources;
  /** What averaging over a ratio leaves of source and 1/f noise beyond the independent noise, rms. */
  readonly slowLsb: (ratio: number) => { readonly source: number; readonly flicker: number };
}

/** The averaged result; the fields of `oversample` in full. */
export interface AveragingResult extends Oversampled {
  readonly ratio: number;
  readonly shift: number;
  readonly rounding: 'truncate' | 'round';
  readonly by: 'hardware' | 'software';
  readonly registerBits: number;
  readonly onOverflow: 'saturate' | 'wrap';
  /** From the start of the first conversion to the end of the last, s. */
  readonly burstTime: number;
  /** Results per second if bursts follow one another, Hz. */
  readonly outputRate: number;
  /** From the start of a reading to its first conversion: the longest of the start-ups, s. */
  readonly startTime: number;
  /** From the start of a reading to its result: start-up and burst, and what a scan's other channels take before its end, s. */
  readonly latency: number;
  /** Of one burst: converter, core and switched excitation, C. */
  readonly charge: number;
}

/** One source of random error of a reading. */
export interface Contribution {
  readonly name: string;
  /** rms, in the measurand's unit of differences, where a code is widest. */
  readonly rms: number;
}

/** The reading in the measurand's unit, where a code is widest. */
export interface ReadingResult {
  /** Random error, rms, in the unit of differences. */
  readonly rms: number;
  /** What it is made of: noise and quantization after averaging, slower noise where the worksheet names some, each interference. */
  readonly contributions: readonly Contribution[];
  /** Widest step from one result code to the next, in the unit of differences. */
  readonly step: number;
  /** Mean error of firmware that forgets the shift's bias, signed, in the unit of differences. */
  readonly biasMeasurand: number;
  /** rms of one conversion alone, in the unit of differences. */
  readonly rmsOfOne: number;
  /** Result code nearest to what conversions of a mean code give, clamped to the register. */
  codeOfMean(mean: number): number;
  /** Mean code of the conversions that a result code stands for. */
  meanOfCode(code: number): number;
  /** Result code nearest to what a measurand gives on average, clamped to the register. */
  codeAt(measurand: number): number;
  /** Measurand for a result code, without the shift's bias; RangeError where the sensor has no such value. */
  measurandAt(code: number): number;
}

/** A line of the budget at one place. */
export interface UncertaintyLine {
  readonly name: string;
  /** Worksheet path that it comes from. */
  readonly path: string;
  readonly distribution: Influence['distribution'];
  /** As stated: standard uncertainty where normal, else half-width, in `unit`. */
  readonly size: number;
  readonly unit: string;
  /** Change of the reading with the quantity, in the unit of differences over `unit`; what a calibration leaves of it. */
  readonly sensitivity: number;
  readonly degreesOfFreedom: number | 'any';
  /** Standard uncertainty in the reading, in the unit of differences. */
  readonly uncertainty: number;
  /** In the worst case, in the unit of differences; three standard uncertainties where normal. */
  readonly limit: number;
  /** Share of the combined variance, 0 … 1. */
  readonly share: number;
}

/** The budget at one place, in the unit of differences. */
export interface UncertaintyPoint extends CombinedUncertainty {
  readonly measurand: number;
  /** By falling share. */
  readonly lines: readonly UncertaintyLine[];
}

/** The uncertainty of a worksheet's reading, where over the range it is largest. */
export interface UncertaintyResult {
  /** Without calibration. */
  readonly before: UncertaintyPoint;
  /** With the worksheet's calibration, and how it corrects; absent where it states none. */
  readonly after?: UncertaintyPoint & { readonly correction: Correction };
  /** `after`, or `before` where there is none. */
  readonly present: UncertaintyPoint;
  /** What counts as exact because no spread, or no size of it, is given. */
  readonly uncounted: readonly Uncounted[];
}

/** Something that a reader should know. */
export interface Finding {
  /**
   * Which finding it is, whatever its figures: what a review note on it is on. That of an assumed input is the path of the input,
   * so that a note on either is one.
   */
  readonly name: string;
  /** 'missed' a requirement, 'caution' where a result may mislead, 'note' for the rest. */
  readonly kind: 'missed' | 'caution' | 'note';
  /** Stage it belongs to. */
  readonly stage:
    | 'source'
    | 'conditioning'
    | 'sampling'
    | 'quantizing'
    | 'averaging'
    | 'reading'
    | 'watchdog';
  /** Worksheet path that it is about, for a link. */
  readonly path: string;
  readonly text: string;
}

/** A finding that is about more than an assumed input. */
export type NamedFinding = Finding & { readonly name: FindingName };

/** An input that is still assumed. */
export interface AssumedInput {
  readonly path: string;
  readonly label: string;
}

/** A review note, with what it is on. */
export interface Reviewed {
  /** Path of the input or name of the finding. */
  readonly on: string;
  readonly label: string;
  readonly note: string;
  readonly state: 'open' | 'answered';
  /** 'gone' where the finding is no longer found. */
  readonly subject: 'input' | 'finding' | 'gone';
}

/** All that follows from a worksheet but the findings, which are made from it, and the review, which is of them. */
export type Evaluated = Omit<Evaluation, 'findings' | 'review'>;

/** All that follows from a worksheet. */
export interface Evaluation {
  readonly worksheet: Worksheet;
  /** The profile's own name, as its file gives it. */
  readonly profileTitle: string;
  readonly units: MeasurandUnits;
  readonly sensor: Sensor;
  readonly channel: ChannelResult;
  readonly sampling: SamplingResult;
  readonly quantizing: QuantizingResult;
  readonly noise: NoiseResult;
  readonly averaging: AveragingResult;
  readonly reading: ReadingResult;
  readonly uncertainty: UncertaintyResult;
  readonly requirements: readonly RequirementResult[];
  readonly findings: readonly Finding[];
  /** Requirements of the worksheet that nothing here judges: the battery's life where no battery is given. */
  readonly unjudged: readonly 'batteryLife'[];
  readonly assumed: readonly AssumedInput[];
  /** The notes of its review, open ones first. */
  readonly review: readonly Reviewed[];
}

/**
 * Evaluating: everything that follows from a worksheet, in the order of the chain. SI units throughout; LSB are native ones (of one
 * conversion at the resolution set) unless the name says otherwise.
 */

import type { Oversampled } from '../chain/averaging/oversample.ts';
import type { Sensor } from '../chain/source/sensor.ts';
import type { MeasurandUnits } from './amount.ts';
import type { Worksheet } from './read.ts';
import type { Provenance } from './schema/field.ts';

/** A point of the range, and how wide one native code is there. */
export interface WidthAt {
  /** In the measurand's unit. */
  readonly measurand: number;
  /** Measurand per native code, > 0, in the unit of differences. */
  readonly perCode: number;
}

/** From the measurand to the pin of the converter. */
export interface ChannelResult {
  /** Range that the requirements ask for, in the measurand's unit. */
  readonly range: { readonly low: number; readonly high: number };
  /** Whether the measurand falls as the code rises. */
  readonly falling: boolean;
  /** Voltage at the pin over the reference. May be outside 0 … 1. */
  fraction(measurand: number): number;
  /** Native code whose bin has its centre there, fractional, unclamped. */
  codeOf(measurand: number): number;
  /** The inverse of codeOf; RangeError where the sensor has no such value. */
  measurandOf(code: number): number;
  /** |d measurand/d native code|, in the unit of differences. */
  perCode(measurand: number): number;
  /** Thévenin resistance that drives the pin, Ω. */
  sourceResistance(measurand: number): number;
  /** Current from the excitation, A; 0 where there is no divider. */
  excitationCurrent(measurand: number): number;
  /** Where one code is widest, over the range. */
  readonly worst: WidthAt;
  /** Where one code is narrowest, over the range. */
  readonly best: WidthAt;
  /** Largest current from the excitation over the range, A. */
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
  /** Shortest sample time that keeps it, s; 'none' if no time within the interval does. */
  readonly minSampleTime: number | 'none' | 'any';
  /** Fewest sample cycles of the profile that keep it, at this clock; 'none' if none does. */
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
  /** What it is made of: noise and quantization after averaging, and each interference. */
  readonly contributions: readonly Contribution[];
  /** Widest step from one result code to the next, in the unit of differences. */
  readonly step: number;
  /** Mean error of firmware that forgets the shift's bias, signed, in the unit of differences. */
  readonly biasMeasurand: number;
  /** rms of one conversion alone, in the unit of differences. */
  readonly rmsOfOne: number;
  /** Result code nearest to what a measurand gives on average, clamped to the register. */
  codeAt(measurand: number): number;
  /** Measurand for a result code, without the shift's bias; RangeError where the sensor has no such value. */
  measurandAt(code: number): number;
}

/** The names of the requirements, in the order they are judged. */
export type RequirementName = 'resolution' | 'step' | 'settling' | 'overflow' | 'period' | 'latency';

/** A requirement, and whether it is met. */
export interface RequirementResult {
  readonly name: RequirementName;
  /** In `unit`; an upper limit. */
  readonly required: number;
  /** In `unit`. */
  readonly actual: number;
  readonly met: boolean;
  /** K, V, s, LSB (of the result) or 1 (codes), as `formatQuantity` takes it. */
  readonly unit: string;
  /** required/actual; above 1 where there is room. 'any' if the actual is 0. */
  readonly margin: number | 'any';
}

/** Something that a reader should know. */
export interface Finding {
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

/** An input that is still assumed. */
export interface AssumedInput {
  readonly path: string;
  readonly label: string;
  readonly from: Provenance;
}

/** All that follows from a worksheet. */
export interface Evaluation {
  readonly worksheet: Worksheet;
  readonly units: MeasurandUnits;
  readonly sensor: Sensor;
  readonly channel: ChannelResult;
  readonly sampling: SamplingResult;
  readonly quantizing: QuantizingResult;
  readonly averaging: AveragingResult;
  readonly reading: ReadingResult;
  readonly requirements: readonly RequirementResult[];
  readonly findings: readonly Finding[];
  /** Requirements of the worksheet that are not judged here. */
  readonly unjudged: readonly ('uncertainty' | 'batteryLife')[];
  readonly assumed: readonly AssumedInput[];
}

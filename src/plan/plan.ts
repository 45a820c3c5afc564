/**
 * Plan: what the settings of one clock, sample time and resolution have in common, for a search over ratios and shifts.
 */
import type { BurstCharge } from '../budget/charge.ts';
import type { Demands } from './requirements.ts';

/** The times of a scan in which other channels take their turns, s, for a ratio. */
export interface ScanCycle {
  /** From the start of one scan until the next may start. */
  readonly cycle: (ratio: number) => number;
  /** From the start of the scan until this channel has its result. */
  readonly result: (ratio: number) => number;
}

/** What the settings have in common. Only `ratios` and `largestShift` are searched. */
export interface Plan {
  readonly bits: number;
  /** Transition noise of one conversion, native LSB rms. */
  readonly noiseLsb: number;
  readonly rounding: 'truncate' | 'round';
  readonly registerBits: number;
  /** Ratios to look at, 1 among them where averaging can be off. */
  readonly ratios: readonly number[];
  readonly largestShift: number;
  /** Measurand per native code where that is most. */
  readonly perCode: number;
  /** Random error from other sources, rms, native LSB, for a ratio. */
  readonly otherLsb: (ratio: number) => number;
  /** |mean settling error| of a burst, native LSB, for a ratio. */
  readonly settlingLsb: (ratio: number) => number;
  /** Time ahead of the burst that counts as latency, s. */
  readonly startTime: number;
  readonly conversionTime: number;
  readonly interval: number;
  /** Absent where the converter serves this channel alone. */
  readonly scan?: ScanCycle;
  readonly converterCurrent: number;
  readonly coreCurrent: number;
  /** Of what else is on for the burst: a switched divider, the internal reference. */
  readonly excitationCurrent: number;
  /** Life of the battery, s, with this burst in each reading; undefined where nothing tells. Absent where none is wanted. */
  readonly life?: (burst: BurstCharge) => number | undefined;
  readonly demands: Demands;
}

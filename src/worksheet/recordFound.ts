/**
 * What is found in a record: the types that its parts hand on. LSB are native ones unless said otherwise. `recordOf` makes them.
 */
import type { RecordFigures } from '../record/figures.ts';
import type { RecordNoise } from './recordNoise.ts';

/** What a record says of one assumption. */
export interface RecordVerdict {
  /** The assumption, in a few words. */
  readonly name: string;
  /** Worksheet path that it is about. */
  readonly path: string;
  /** 'differs': contradicted, to no harm; 'refuted': contradicted, and it matters; 'untold': this record cannot tell. */
  readonly standing: 'holds' | 'differs' | 'refuted' | 'untold';
  /** Assumed, found, and what the difference costs, in words. */
  readonly text: string;
  /** Effective bits lost at the worksheet's own ratio, below 0 for a gain. */
  readonly lostBits: number;
}

/** The mean of R codes of the record: as the worksheet has it, and as it is. */
export interface RecordRatio {
  readonly ratio: number;
  /** Averaged results in the record. */
  readonly results: number;
  /** Scatter by the worksheet, LSB rms. */
  readonly expectedLsb: number;
  /** Scatter by really averaging, LSB rms. */
  readonly measuredLsb: number;
  /** N − log2(√12·error), the steps that stay included: by the worksheet. */
  readonly expectedBits: number;
  /** The same by the record. */
  readonly measuredBits: number;
  /** Standard uncertainty of the latter by the number of results, bits. */
  readonly uncertaintyBits: number;
}

/** Where the rate of a record comes from. */
export type RateFrom = 'told' | 'worksheet' | 'time column' | 'back to back';

/** A record with what was found in it. */
export interface RecordFound {
  /** At `rate`, in codes of the record. */
  readonly figures: RecordFigures;
  readonly averaged: boolean;
  /** One code of the record, native LSB. */
  readonly lsb: number;
  /** Codes per second, Hz. */
  readonly rate: number;
  readonly rateFrom: RateFrom;
  /** Rows per unit of the column of time; 'none' without one. */
  readonly timedRate: number | 'none';
  /** Rows whose time does not follow. */
  readonly jumps: number;
  /** Highest code that there can be. */
  readonly largestCode: number;
  readonly noise: RecordNoise;
  /** Noise ahead of the record's quantizer by the worksheet, LSB rms. */
  readonly assumedLsb: number;
  /** Ratios 1, 2, 4 … of codes of the record. */
  readonly ratios: readonly RecordRatio[];
}

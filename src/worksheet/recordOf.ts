/**
 * A record beside its worksheet: what the codes of the board say of what was assumed.
 *
 * In come the evaluation and the analysis of a file of codes; out go the verdicts, the figures that a command and a page show, and
 * what may be taken into the worksheet. LSB are native ones unless said otherwise.
 */
import { rippleSquare } from '../chain/averaging/ripple.ts';
import { asciiQuantity } from '../numbers/format.ts';
import { type AllanMinimum, allanMinimum } from '../record/allanConfidence.ts';
import type { RecordAnalysis } from '../record/analysis.ts';
import { figuresAtRate, type RecordFigures } from '../record/figures.ts';
import type { RecordReport } from '../record/reader.ts';
import type { Evaluation } from './evaluation.ts';
import type { RateFrom, RecordFound, RecordRatio, RecordVerdict } from './recordFound.ts';
import { aheadOfSteps, expectedScatter, recordNoise } from './recordNoise.ts';
import { type RecordSine, sineOf } from './recordSine.ts';
import { stillVerdicts } from './recordVerdicts.ts';

/** One reading, by the record. */
export interface RecordedReading {
  /** Measurand of the mean code; 'none' where the sensor has none. */
  readonly measurand: number | 'none';
  /** The ratio told from: the worksheet's, or the largest that the record tells; 1 for averaged results. */
  readonly ratio: number;
  /** Two standard deviations of one reading, the steps that stay included, in the measurand's unit of differences: by the record. */
  readonly twoSigma: number;
  /** The same by the worksheet. */
  readonly expectedTwoSigma: number;
}

/** What may be taken into the worksheet in one step. */
export interface RecordTake {
  /** LSB at the finest resolution, as the worksheet has them. */
  readonly noiseLsb: number;
  /** Worksheet paths and texts: figure, provenance, note. */
  readonly changes: Readonly<Record<string, string>>;
}

/** A record beside its worksheet. */
export interface WorksheetRecord extends RecordFound {
  readonly name: string;
  readonly report: RecordReport;
  readonly reading: RecordedReading;
  /** Lowest point of the Allan deviation; 'none' for a single code. */
  readonly minimum: AllanMinimum | 'none';
  /** The record as a sine; 'none' where it is the record of a still input. */
  readonly sine: RecordSine | 'none';
  readonly verdicts: readonly RecordVerdict[];
  /** Whether an assumption that matters is refuted. */
  readonly refuted: boolean;
  /** 'none' where nothing can be taken: a sine, or nothing told. */
  readonly take: RecordTake | 'none';
}

/** How the codes of a worksheet's record are to be read: bits, and the column where one is named. */
export function recordCodes(
  { worksheet: { inputs }, quantizing, averaging }: Evaluation,
  averaged = inputs.record?.averaged ?? false,
): { bits: number; column: number | undefined; averaged: boolean } {
  const bits = averaged ? Math.min(averaging.resultBits, 32) : quantizing.bits;
  return { bits, column: inputs.record?.column, averaged };
}

/** The rate of a record: as told, the worksheet's, that of the column of time, or that of the conversions. */
function rateOf(
  { worksheet: { inputs }, sampling }: Evaluation,
  timed: number | 'none',
  averaged: boolean,
  told: number | undefined,
): { rate: number; rateFrom: RateFrom } {
  if (told !== undefined) return { rate: told, rateFrom: 'told' };
  const given = inputs.record?.rate?.value;
  if (given !== undefined) return { rate: given, rateFrom: 'worksheet' };
  if (timed !== 'none' && timed > 0) return { rate: timed, rateFrom: 'time column' };
  return {
    rate: 1 / (averaged ? inputs.requirement.period.value : sampling.interval),
    rateFrom: 'back to back',
  };
}

/** Ratios of codes of the record, expected and measured. */
function ratiosOf(
  e: Evaluation,
  { averaged: rows, summary }: RecordFigures,
  { rate, averaged, lsb }: { rate: number; averaged: boolean; lsb: number },
  foundLsb: number,
): RecordRatio[] {
  const { bits } = e.quantizing;
  const worth = (scatter: number, steps: number): number =>
    bits - Math.log2(Math.sqrt(12) * Math.max(1e-9, Math.hypot(scatter, steps)));
  const stays = (noiseLsb: number): number => (averaged ? 0 : Math.sqrt(rippleSquare(noiseLsb)));
  return rows.map(({ ratio, results, standardDeviation, uncertaintyBits }) => {
    const expectedLsb = expectedScatter(e, { rate, count: summary.count, averaged }, ratio);
    const measuredLsb = standardDeviation * lsb;
    return {
      ratio,
      results,
      expectedLsb,
      measuredLsb,
      expectedBits: worth(expectedLsb, stays(e.noise.independentLsb)),
      measuredBits: worth(measuredLsb, stays(foundLsb)),
      uncertaintyBits,
    };
  });
}

/** One reading by the record. */
function readingBy(
  e: Evaluation,
  figures: RecordFigures,
  averaged: boolean,
  lsb: number,
  ratios: readonly RecordRatio[],
): RecordedReading {
  const { mean } = figures.summary;
  let measurand: number | 'none';
  let perCode = e.channel.worst.perCode;
  try {
    measurand = averaged ? e.reading.measurandAt(mean) : e.channel.measurandOf(mean * lsb);
    perCode = e.channel.perCode(measurand);
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    measurand = 'none';
  }
  const wanted = averaged ? 1 : e.averaging.ratio;
  const row = ratios.findLast((r) => r.ratio <= wanted && r.results >= 16) ?? ratios[0];
  // The steps that stay are part of what a reading may be off by.
  const twice = (bits: number | undefined): number =>
    bits === undefined ? 0 : (2 * perCode * 2 ** (e.quantizing.bits - bits)) / Math.sqrt(12);
  return {
    measurand,
    ratio: row?.ratio ?? 1,
    twoSigma: twice(row?.measuredBits),
    expectedTwoSigma: twice(row?.expectedBits),
  };
}

/** The noise of one conversion that a record shows, for the worksheet: without hum, drift, and what the source adds. */
function takeFrom(e: Evaluation, found: RecordFound, name: string): RecordTake | 'none' {
  const { noise, averaged, figures } = found;
  const { ratio } = e.averaging;
  const isBound = noise.foundLsb === 0;
  let variance = isBound ? noise.atMostLsb ** 2 : noise.parts.white ** 2;
  if (averaged) {
    // Results scatter by √((σ² + 1/12 − B²)/R); only a σ that smooths the steps can be told from them.
    variance = variance * ratio - 1 / 12;
    if (isBound || variance < 0.16) return 'none';
  }
  variance -= e.noise.sourceLsb ** 2;
  if (!(variance > 0)) return 'none';
  // The worksheet has its noise at the converter's finest resolution.
  const finest = 2 ** (e.worksheet.profile.resolutions[0]!.bits - e.quantizing.bits);
  const noiseLsb = Number((Math.sqrt(variance) * finest).toPrecision(3));
  const kind = averaged ? 'results' : 'codes';
  return {
    noiseLsb,
    changes: {
      'converter.noise': asciiQuantity({ value: noiseLsb, unit: 'LSB' }),
      'converter.noise.from': 'measured',
      'converter.noise.note': `${isBound ? 'at most, ' : ''}${figures.summary.count} ${kind}, ${name.slice(0, 120)}`,
    },
  };
}

/**
 * A record beside its worksheet.
 *
 * @param evaluation - of the worksheet
 * @param analysis - of the file; it must have given codes
 * @param name - of the file, without folder
 * @param rate - codes per second, Hz, where it was told; else the worksheet's, that of the column of time, or of conversions back to back
 * @param averaged - whether the codes are averaged results; the worksheet's word unless given
 * @returns verdicts and figures; 'none' where no line gave a code
 */
export function recordOf({
  evaluation: e,
  analysis: { report, figures: taken },
  name,
  rate: told,
  averaged = e.worksheet.inputs.record?.averaged ?? false,
}: {
  readonly evaluation: Evaluation;
  readonly analysis: RecordAnalysis;
  readonly name: string;
  readonly rate?: number | undefined;
  readonly averaged?: boolean | undefined;
}): WorksheetRecord | 'none' {
  if (taken === 'none') return 'none';
  const { rate, rateFrom } = rateOf(e, report.rate, averaged, told);
  const figures = figuresAtRate({ figures: taken, rate });
  const isResult = averaged && taken.bits === e.averaging.resultBits;
  const lsb = isResult ? e.averaging.resultLsb : 2 ** (e.quantizing.bits - taken.bits);
  const noise = recordNoise(figures, { averaged, lsb });
  const timing = { rate, averaged, count: figures.summary.count };
  const found: RecordFound = {
    figures,
    averaged,
    lsb,
    rate,
    rateFrom,
    timedRate: report.rate,
    jumps: report.problems['time jump'],
    largestCode: isResult
      ? Math.min(e.averaging.largestCode, 2 ** e.averaging.registerBits - 1)
      : 2 ** taken.bits - 1,
    noise,
    assumedLsb: aheadOfSteps(
      expectedScatter(e, timing, 1),
      { averaged, lsb },
      e.noise.independentLsb,
      e.averaging.shift,
    ),
    ratios: ratiosOf(e, figures, { rate, averaged, lsb }, noise.foundLsb),
  };
  const sine = sineOf(e, found);
  const verdicts = sine === 'none' ? stillVerdicts(e, found) : sine.verdicts;
  return {
    ...found,
    name,
    report,
    reading: readingBy(e, figures, averaged, lsb, found.ratios),
    minimum: figures.allan.length === 0 ? 'none' : allanMinimum({ points: figures.allan }),
    sine,
    verdicts,
    refuted: verdicts.some((v) => v.standing === 'refuted'),
    // What the record cannot tell is not taken from it.
    take: sine === 'none' && verdicts[0]!.standing !== 'untold' ? takeFrom(e, found, name) : 'none',
  };
}

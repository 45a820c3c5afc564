/**
 * Noise of a record beside that of its worksheet: what the codes of a still input should scatter by, what they do, and what that is
 * made of. Native LSB throughout.
 *
 * The record is not the burst: its codes may be further apart, so what is slow is worked out for both.
 */
import { averagedNoise } from '../chain/averaging/noise.ts';
import { rippleSquare } from '../chain/averaging/ripple.ts';
import { normalQuantile } from '../numbers/normal.ts';
import type { RecordFigures } from '../record/figures.ts';
import { type HumLine, humLines } from '../record/hum.ts';
import type { Evaluation } from './evaluation.ts';
import { interferenceLsb } from './readingOf.ts';

/** How the codes of a record stand to those of one conversion. */
export interface RecordScale {
  /** Whether its codes are averaged results. */
  readonly averaged: boolean;
  /** One code of the record, native LSB. */
  readonly lsb: number;
}

/** What the scatter of a record is made of, native LSB rms. */
export interface RecordNoiseParts {
  /** What differs from code to code, without hum. */
  readonly white: number;
  /** Lines of the mains. */
  readonly hum: number;
  /** The straight line through the record. */
  readonly drift: number;
  /** The rest: 1/f noise and what else wanders. */
  readonly wander: number;
}

/** Noise found in a record, ahead of the quantizer. */
export interface RecordNoise {
  /** Of greatest likelihood, native LSB rms; 0 where at most two neighbouring codes occur. */
  readonly foundLsb: number;
  /** Its standard uncertainty, native LSB; codes that hang together count for fewer. */
  readonly uncertaintyLsb: number;
  /** Limit that it stays under with 95 % confidence, native LSB. */
  readonly atMostLsb: number;
  readonly parts: RecordNoiseParts;
  /** Lines of the mains, rms in native LSB, the strongest first. */
  readonly lines: readonly HumLine[];
  /** Straight line through the record, native LSB per second. */
  readonly slopeLsb: number;
  /** Standard uncertainty of the slope, native LSB per second. */
  readonly slopeUncertaintyLsb: number;
}

/** Standard uncertainties from which on a difference is no accident. */
export const beyondChance = 3;

/** √(2·1.3527): how many standard uncertainties a limit with 95 % confidence stands above, in logarithms. */
const limitSteps = 1.6449;

/**
 * What codes of a still input should scatter by, after averaging R of the codes of a record, native LSB rms: noise and
 * quantization, not the steps, which stand still.
 *
 * @param e - evaluation of the worksheet
 * @param ratio - codes of the record averaged, R
 * @param rate - codes of the record per second, Hz
 * @param averaged - whether each code is an averaged result already
 */
export function expectedScatter(e: Evaluation, ratio: number, rate: number, averaged: boolean): number {
  const { noise, worksheet, quantizing, averaging, sampling } = e;
  const { codeBinWidth } = quantizing;
  const { drift: _, white, correlated, flicker } = averagedNoise({
    ...noise.sources,
    driftPerSecond: 0,
    ratio: averaged ? averaging.ratio : ratio,
    ...(averaged ? {} : { rate }),
    observationTime: Math.max(noise.sources.observationTime, (10 * 65536) / (averaged ? noise.sources.rate : rate)),
  });
  const hum = averaged
    ? interferenceLsb(worksheet, codeBinWidth, sampling.interval, averaging.ratio)
    : interferenceLsb(worksheet, codeBinWidth, 1 / rate, ratio);
  const parts = [white, correlated, ...hum.map(({ lsb }) => lsb)];
  if (!averaged) return Math.hypot(...parts, flicker);
  // Results far apart are independent but for what is slower than they are, and are rounded once more by the shift.
  const rounded = averaging.resultLsb / Math.sqrt(12);
  return Math.hypot(Math.hypot(...parts, averaging.shift > 0 ? rounded : 0) / Math.sqrt(ratio), flicker);
}

/** Standard deviation ahead of the record's own quantizer from that of its codes, for noise that smooths its steps. */
export function aheadOfSteps(scatter: number, { lsb }: RecordScale, noiseLsb: number): number {
  return Math.sqrt(Math.max(0, scatter ** 2 - lsb ** 2 * (1 / 12 - rippleSquare(noiseLsb / lsb))));
}

/** How many codes tell a variance as well as one independent code. */
function codesPerIndependent({ autocorrelation, summary }: RecordFigures): number {
  if (autocorrelation === 'none' || autocorrelation.correlations === 'none') return 1;
  const chance = 2 / Math.sqrt(summary.count);
  let sum = 1;
  for (const r of autocorrelation.correlations.slice(1)) if (Math.abs(r) > chance) sum += 2 * r * r;
  return sum;
}

/** Noise that one code for all M may hide, at the worst place of the input: the middle of the code. */
const hidden = (count: number): number => 0.5 / normalQuantile(1 - Math.min(0.2, 1.5 / count));

/**
 * Noise found in a record of a still input.
 *
 * @param figures - figures of the record at its rate
 * @param scale - how its codes stand to native ones
 */
export function recordNoise(figures: RecordFigures, { lsb }: RecordScale): RecordNoise {
  const { summary, fine, allan, autocorrelation } = figures;
  const { transitionNoise: told, standardDeviation, count, drift } = summary;
  const lines = fine === 'none' || standardDeviation === 0 ? [] : humLines({ spectrum: fine });
  const inflated = codesPerIndependent(figures);
  const found = told === 'none' ? 0 : told.noiseLsb;
  const atMost = told === 'none' ? hidden(count) : told.atMostLsb;
  const effective = autocorrelation === 'none' ? count : autocorrelation.effectiveCount;
  const slope = drift === 'none' ? 0 : drift.slope;
  const slopeUncertainty = drift === 'none' ? 0 : drift.slopeUncertainty * Math.sqrt(Math.max(1, count / effective));
  const isDrifting = Math.abs(slope) > beyondChance * slopeUncertainty && slope !== 0;
  // From code to code: half the mean square of the steps, less what the steps of the codes and the lines add to it.
  const steps = standardDeviation ** 2 - found ** 2;
  const stepsOfLines = lines.reduce((sum, l) => sum + l.rms ** 2 * (1 - Math.cos((2 * Math.PI * l.frequency) / figures.rate)), 0);
  const one = allan[0]?.deviation ?? 0;
  const white = Math.min(found ** 2, Math.max(0, one ** 2 - steps - stepsOfLines));
  const hum = Math.min(
    found ** 2,
    lines.reduce((sum, l) => sum + l.rms ** 2, 0),
  );
  const line = isDrifting ? Math.min(found ** 2, (slope ** 2 * (count ** 2 - 1)) / 12) : 0;
  const wander = Math.max(0, found ** 2 - white - hum - line);
  return {
    foundLsb: found * lsb,
    uncertaintyLsb:
      found === 0 ? 0 : found * lsb * (Math.log(atMost / found) / limitSteps) * Math.sqrt(inflated),
    atMostLsb: atMost * lsb,
    parts: {
      white: Math.sqrt(white) * lsb,
      hum: Math.sqrt(hum) * lsb,
      drift: Math.sqrt(line) * lsb,
      wander: wander > 0.04 * found ** 2 ? Math.sqrt(wander) * lsb : 0,
    },
    lines: lines.map((l) => ({ ...l, rms: l.rms * lsb })),
    slopeLsb: slope * figures.rate * lsb,
    slopeUncertaintyLsb: slopeUncertainty * figures.rate * lsb,
  };
}

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
  /** Noise about the straight line, if there is drift: what the record would show of a still input; else as found. */
  readonly stillLsb: number;
  /** Its standard uncertainty, native LSB. */
  readonly stillUncertaintyLsb: number;
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

/** A record as far as its averaging goes. */
export interface RecordTiming {
  /** Codes per second, Hz. */
  readonly rate: number;
  /** Codes. */
  readonly count: number;
  /** Whether its codes are averaged results. */
  readonly averaged: boolean;
}

/**
 * What codes of a still input should scatter by, after averaging some of the codes of a record, native LSB rms: noise and
 * quantization, not the steps, which stand still.
 *
 * @param e - evaluation of the worksheet
 * @param record - rate and length of the record
 * @param ratio - codes of the record averaged, 1 … 65536
 */
export function expectedScatter(
  e: Evaluation,
  { rate, count, averaged }: RecordTiming,
  ratio: number,
): number {
  const { noise, worksheet, quantizing, averaging, sampling } = e;
  const burst = averaged ? averaging.ratio : ratio;
  const conversions = averaged ? noise.sources.rate : rate;
  const { white, correlated, flicker } = averagedNoise({
    ...noise.sources,
    driftPerSecond: 0,
    ratio: burst,
    rate: conversions,
    observationTime: Math.max(count / rate, (10 * burst) / conversions),
  });
  const interval = averaged ? sampling.interval : 1 / rate;
  // What is looked for is what the worksheet's own figures come to, and no limit.
  const hum = interferenceLsb(worksheet, quantizing.codeBinWidth, interval, burst).map((i) => i.exactLsb);
  if (!averaged) return Math.hypot(white, correlated, ...hum, flicker);
  // Results far apart are independent but for what is slower than they are; the shift rounds each once more.
  const rounded = averaging.shift > 0 ? averaging.resultLsb / Math.sqrt(12) : 0;
  return Math.hypot(Math.hypot(white, correlated, ...hum, rounded) / Math.sqrt(ratio), flicker);
}

/**
 * Noise ahead of the quantizer of the record, as a transition noise tells it, for codes that should scatter by so much, native LSB.
 *
 *     σ² + 1/12 − B²(σ) = scatter²,  in codes of the record
 */
export function aheadOfSteps(
  scatter: number,
  { averaged, lsb }: RecordScale,
  noiseLsb: number,
  shift: number,
): number {
  // The whole sum has no steps of its own that matter.
  if (averaged && shift === 0) return scatter;
  const total = (scatter / lsb) ** 2;
  if (!averaged) return Math.sqrt(Math.max(0, total - 1 / 12 + rippleSquare(noiseLsb / lsb))) * lsb;
  return Math.sqrt(Math.max(0, total - 1 / 12)) * lsb;
}

/** How many codes tell a variance as well as one independent code. */
function codesPerIndependent({ autocorrelation, summary }: RecordFigures): number {
  if (autocorrelation === 'none' || autocorrelation.correlations === 'none') return 1;
  const chance = 2 / Math.sqrt(summary.count);
  let sum = 1;
  for (const r of autocorrelation.correlations.slice(1)) if (Math.abs(r) > chance) sum += 2 * r * r;
  return sum;
}

/**
 * Noise that one code for all M may hide, at the worst place of the input, the middle of the code: the σ at which M independent
 * conversions give no other code once in twenty records, (1 − 2·Q(½/σ))^M = 5 %.
 */
const hidden = (count: number): number => 0.5 / normalQuantile(1 + Math.expm1(Math.log(0.05) / count) / 2);

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
  const slopeUncertainty =
    drift === 'none' ? 0 : drift.slopeUncertainty * Math.sqrt(Math.max(1, count / effective));
  const isDrifting = Math.abs(slope) > beyondChance * slopeUncertainty && slope !== 0;
  // From code to code: half the mean square of the steps, less what the steps of the codes and the lines add to it.
  const steps = standardDeviation ** 2 - found ** 2;
  const stepsOfLines = lines.reduce(
    (sum, l) => sum + l.rms ** 2 * (1 - Math.cos((2 * Math.PI * l.frequency) / figures.rate)),
    0,
  );
  const one = allan[0]?.deviation ?? 0;
  const white = Math.min(found ** 2, Math.max(0, one ** 2 - steps - stepsOfLines));
  // About the line, whatever its share: a small difference of two large variances would tell nothing.
  const still =
    isDrifting && drift !== 'none'
      ? Math.min(found ** 2, Math.max(0, drift.residual ** 2 - steps))
      : found ** 2;
  const line = found ** 2 - still;
  const hum = Math.min(
    still,
    lines.reduce((sum, l) => sum + l.rms ** 2, 0),
  );
  const rest = Math.max(0, still - white - hum);
  const wander = rest > 0.04 * still ? rest : 0;
  // Where nothing else shows, the likelihood tells the white noise best.
  const alone = hum === 0 && line === 0 && wander === 0;
  const uncertaintyLsb =
    found === 0 ? 0 : found * lsb * (Math.log(atMost / found) / limitSteps) * Math.sqrt(inflated);
  // Codes that hang together by the drift alone are independent about its line; that of a variance with its steps.
  const aboutLine = still === 0 ? 0 : (still + steps) / Math.sqrt(2 * still * count);
  return {
    foundLsb: found * lsb,
    uncertaintyLsb,
    stillLsb: Math.sqrt(still) * lsb,
    stillUncertaintyLsb: line > 0 && wander === 0 && hum === 0 ? aboutLine * lsb : uncertaintyLsb,
    atMostLsb: atMost * lsb,
    parts: {
      white: (alone ? found : Math.sqrt(white)) * lsb,
      hum: Math.sqrt(hum) * lsb,
      drift: Math.sqrt(line) * lsb,
      wander: Math.sqrt(wander) * lsb,
    },
    lines: lines.map((l) => ({ ...l, rms: l.rms * lsb })),
    slopeLsb: slope * figures.rate * lsb,
    slopeUncertaintyLsb: slopeUncertainty * figures.rate * lsb,
  };
}

/**
 * A recorded sine beside its worksheet: effective bits from what the fit leaves, distortion against the INL, code density where
 * there are codes enough. None of it is the effective resolution of a still input.
 */
import { formatNumber, formatQuantity } from '../numbers/format.ts';
import { type CodeDensity, codeDensity, codeDensityRecordLength } from '../record/codeDensity.ts';
import type { RecordedSine } from '../record/figures.ts';
import { effectiveBitsFromResidual } from '../record/sineFit.ts';
import type { Evaluation } from './evaluation.ts';
import { rangeVerdict, rateVerdict } from './recordCodeVerdicts.ts';
import type { RecordFound, RecordVerdict } from './recordFound.ts';
import { beyondChance } from './recordNoise.ts';
import { absentWords, due, lsb, lsbWithin, mattersBits } from './recordWords.ts';

/** A recorded sine. Amplitudes and residuals in native LSB. */
export interface RecordSine extends RecordedSine {
  /** Rms of what the fit leaves, LSB. */
  readonly residualLsb: number;
  /** What it should be by noise and quantization, LSB. */
  readonly expectedLsb: number;
  /** ENOB by the residual of the fit, bits; 'any' for none. */
  readonly effectiveBits: number | 'any';
  /** ENOB that noise and quantization of the worksheet would leave, bits. */
  readonly expectedBits: number;
  /** Code density; 'none' where there are too few codes for it. */
  readonly density: CodeDensity | 'none';
  /** Codes that a DNL to half an LSB takes, with 95 % confidence. */
  readonly densityLength: number;
  readonly verdicts: readonly RecordVerdict[];
}

/** Error of a DNL that a code density is worth looking at with, LSB, and its confidence. */
const densityError = { errorLsb: 0.5, confidence: 0.95 };

/** Share of the residual's power from which on a harmonic is told from noise. */
const harmonicShare = 0.05;

/** What the fit leaves, without the harmonics, against noise and quantization. */
function noiseVerdict(
  e: Evaluation,
  residual: number,
  harmonics: number,
  expected: number,
  count: number,
): RecordVerdict {
  const found = Math.sqrt(Math.max(0, residual ** 2 - harmonics ** 2));
  const uncertainty = found / Math.sqrt(2 * (count - 4));
  const lostBits = Math.log2(Math.max(found, 1e-9) / expected);
  const differs = Math.abs(found - expected) > Math.max(beyondChance * uncertainty, 0.05 * expected);
  const cost =
    differs && Math.abs(lostBits) >= 0.05
      ? `: ${formatNumber({ value: Math.abs(lostBits), digits: 2 })} bits ${lostBits > 0 ? 'less' : 'more'}`
      : '';
  return {
    name: 'noise',
    path: 'converter.noise',
    standing: !differs ? 'holds' : lostBits >= mattersBits ? 'refuted' : 'differs',
    lostBits: differs ? lostBits : 0,
    text: `${lsb(e.quantizing.noiseLsb)} with quantization should leave ${lsb(expected)} beside the sine, found ${lsbWithin(found, uncertainty)}${cost}${harmonics > 0 ? `; harmonics add ${lsb(harmonics)}` : ''}`,
  };
}

/** The largest harmonic against the INL: a bend of so many LSB makes a harmonic of no more. */
function bendVerdict(e: Evaluation, { tone }: RecordedSine, amplitudeLsb: number): RecordVerdict {
  const inl =
    e.worksheet.profile.inl.value / 2 ** (e.worksheet.profile.resolutions[0]!.bits - e.quantizing.bits);
  const head = { name: 'bends within the INL', path: 'converter.inl', lostBits: 0 };
  const most = tone.harmonics.reduce((top, h) => Math.max(top, h.level), Number.NEGATIVE_INFINITY);
  if (tone.harmonics.length === 0)
    return { ...head, standing: 'untold', text: 'the harmonics have no place of their own' };
  const height = amplitudeLsb * 10 ** (most / 20);
  return {
    ...head,
    standing: height > inl ? 'refuted' : 'holds',
    text: `INL of ${lsb(inl)} assumed; the largest harmonic is ${lsb(height)} (${formatNumber({ value: most, digits: 3 })} dB)${height > inl ? ', of converter or source' : ''}`,
  };
}

/** Every code by its density, where there are codes enough. */
function densityVerdict(
  e: Evaluation,
  density: CodeDensity | 'none',
  length: number,
  count: number,
): RecordVerdict {
  const { profile } = e.worksheet;
  const dnl = profile.dnl.value / 2 ** (profile.resolutions[0]!.bits - e.quantizing.bits);
  const head = { name: 'codes are even', path: 'converter.dnl', lostBits: 0 };
  if (density === 'none') {
    return {
      ...head,
      standing: 'untold',
      text: `a DNL to half an LSB takes ${formatNumber({ value: Math.ceil(length), digits: 3 })} codes, this record has ${count}`,
    };
  }
  const { missingCodes, meanCount } = density;
  if (missingCodes.length > 0 && meanCount >= due) {
    return {
      ...head,
      standing: 'refuted',
      text: `DNL of ${lsb(dnl)} assumed, which leaves none out; ${absentWords(missingCodes)}`,
    };
  }
  const worst = Math.abs(density.worstDnlLsb);
  const chance = (beyondChance + 1) / Math.sqrt(meanCount);
  return {
    ...head,
    standing: worst > dnl + chance ? 'refuted' : 'holds',
    text: `DNL of ${lsb(dnl)} assumed, found ${lsb(worst)} at most, INL ${lsb(Math.abs(density.worstInlLsb))}`,
  };
}

/** The record as a sine; 'none' where it is none. */
export function sineOf(e: Evaluation, found: Omit<RecordFound, 'noise'>): RecordSine | 'none' {
  const { figures, lsb: scale, averaged } = found;
  const { sine, summary, bits } = figures;
  if (sine === 'none') return 'none';
  const residualLsb = sine.fit.residual * scale;
  const expectedLsb = averaged
    ? found.ratios[0]!.expectedLsb
    : Math.hypot(e.quantizing.noiseLsb, e.noise.sourceLsb, 1 / Math.sqrt(12));
  const ofHarmonics = sine.tone.harmonics
    .map(({ level }) => (sine.fit.amplitude * scale) ** 2 * 0.5 * 10 ** (level / 10))
    .filter((power) => power > harmonicShare * residualLsb ** 2);
  const harmonicsLsb = Math.sqrt(ofHarmonics.reduce((a, b) => a + b, 0));
  const densityLength = codeDensityRecordLength({ bits, ...densityError, stimulus: 'sine' });
  const enough = summary.counts !== 'none' && summary.count >= densityLength;
  const density = enough
    ? codeDensity({ counts: summary.counts, first: summary.lowest, stimulus: 'sine' })
    : 'none';
  const toBits = (residual: number): number | 'any' =>
    effectiveBitsFromResidual({ residual, bits: e.quantizing.bits });
  return {
    ...sine,
    residualLsb,
    expectedLsb,
    effectiveBits: toBits(residualLsb),
    expectedBits: toBits(expectedLsb) as number,
    density,
    densityLength,
    verdicts: [
      noiseVerdict(e, residualLsb, harmonicsLsb, expectedLsb, sine.count),
      bendVerdict(e, sine, sine.fit.amplitude * scale),
      densityVerdict(e, density, densityLength, summary.count),
      rangeVerdict(found),
      ...rateVerdict(found),
    ],
  };
}

/** The sine in words: `997 Hz, amplitude 1900 LSB`. */
export const sineWords = ({ fit }: RecordedSine): string =>
  `${formatQuantity({ value: fit.frequency, unit: 'Hz', digits: 4 })}, amplitude ${formatQuantity({ value: fit.amplitude, unit: 'LSB', digits: 4 })}`;

/**
 * Noise and dither of a worksheet: whether the noise is enough for averaging, how far averaging helps, what dither would do, and
 * what else moves the mean of a burst. All in native LSB; the page turns them into the measurand where a code is widest.
 */
import { filterFigures, type ReadingFilter } from '../budget/filter.ts';
import { boxcarGain, burstLag } from '../chain/averaging/boxcar.ts';
import { clampBias } from '../chain/averaging/clamping.ts';
import { type BestDither, bestDither } from '../chain/averaging/dither.ts';
import { type AveragedNoise, averagedNoise, usefulRatio } from '../chain/averaging/noise.ts';
import { oversample } from '../chain/averaging/oversample.ts';
import { rippleSquare, ruleOfThumbBits } from '../chain/averaging/ripple.ts';
import { type DitherShape, ditheredError } from '../chain/averaging/shapedDither.ts';
import { ditherResistor } from '../chain/conditioning/ditherSource.ts';
import type { Evaluation } from './evaluation.ts';
import { ratiosOf } from './profile.ts';

/** Whether there is noise enough to average: by the ripple's share of the mean-square error, from a half and from a tenth. */
export type NoiseStanding = 'enough' | 'hardly' | 'too little';

/** The mean of a burst at one ratio, unshifted. */
export interface RatioNoise {
  readonly ratio: number;
  /** Parts and total; `white` is noise and quantization, without the ripple. */
  readonly parts: AveragedNoise;
}

/** Bits at one noise. */
export interface NoisePoint {
  /** Total Gaussian noise, LSB rms. */
  readonly noiseLsb: number;
  /** At the ratio and shift looked at, with the slow noise that is there. */
  readonly effectiveBits: number;
  /** At any ratio: N − log2(√12·B). */
  readonly ceilingBits: number;
}

/** One way to dither. */
export interface DitherChoice {
  readonly kind: 'none' | 'noise' | DitherShape | 'wave' | 'slope';
  /** Peak to peak at the pin, or rms for noise, LSB. */
  readonly spanLsb: number;
  readonly rmsErrorLsb: number;
  readonly effectiveBits: number;
}

/** A filter that firmware may add over readings, and what it leaves. */
export interface FilteredReadings {
  readonly filter: ReadingFilter;
  /** Its noise factor for independent readings. */
  readonly noiseFactor: number;
  /** Rms of a still input's filtered readings, the part that stays included, LSB. */
  readonly rmsLsb: number;
  /** Readings until it shows 99 % of a step. */
  readonly stepReadings: number;
  /** Result codes by which it may stay short for ever. */
  readonly deadBand: number;
}

/** What the readings of a number of bursts come to together. */
export interface ManyReadings {
  readonly readings: number;
  /** Two standard deviations, LSB. */
  readonly twoSigmaLsb: number;
}

/** All that the page on noise shows. */
export interface WorksheetNoise {
  readonly standing: NoiseStanding;
  /** Ratio looked at: the chosen one, or where that is 1 the largest of the profile. */
  readonly ratio: number;
  /** Shift looked at: the chosen one, 0 where the ratio is not. */
  readonly shift: number;
  /** The mean there, shift and slow noise included, without drift and interference. */
  readonly rmsLsb: number;
  readonly effectiveBits: number;
  readonly ruleOfThumbBits: number;
  /** Bits at any ratio, N − log2(√12·B); 'any' where nothing of the steps is left. */
  readonly ceilingBits: number | 'any';
  /** Noise that averages best at the ratio, unshifted. */
  readonly best: BestDither;
  /** The same at the shift looked at. */
  readonly bestHere: BestDither;
  /** Gaussian noise to add for the latter, LSB rms; 0 where there is that much. */
  readonly addLsb: number;
  /** Bits against noise at the ratio and shift. */
  readonly bits: readonly NoisePoint[];
  /** The mean against the ratio, at 1 and the powers of two up to the largest of the profile. */
  readonly ratios: readonly RatioNoise[];
  /** The power of two past which one more doubling brings less than a tenth. */
  readonly usefulRatio: number;
  readonly dithers: readonly DitherChoice[];
  /** Triangle with one period in the burst and a span of 1 LSB at the pin, from the reference's swing. */
  readonly triangle: {
    readonly period: number;
    readonly resistor: number | 'none';
    /** Longest period of a square wave that source and capacitance make a triangle of, s. */
    readonly squarePeriod: number;
  };
  readonly moving: {
    /** Burst, from first to last conversion and one interval more, s. */
    readonly burst: number;
    /** How far the input is past the mean at the last conversion, LSB; 0 where no drift is given. */
    readonly lagLsb: number;
    /** Change that would cross one code in a burst, LSB per second. */
    readonly freeSlopeLsb: number;
    /** Of a sine at half the rate of readings, what the mean leaves. */
    readonly gain: number;
  };
  /** One reading and more, of a still input. */
  readonly many: readonly ManyReadings[];
  /** Readings whose mean is within the wanted resolution at two standard deviations; 'none' if no number is. Absent if none is wanted. */
  readonly enoughReadings?: number | 'none';
  readonly filters: readonly FilteredReadings[];
  /** Integral nonlinearity at this resolution, LSB. */
  readonly inlLsb: number;
  /** How much the clamp at 0 V lifts the mean where the range comes nearest to it. */
  readonly clamp: { readonly inputLsb: number; readonly biasLsb: number; readonly atZeroLsb: number };
}

/** Ripple below which nothing of the steps is left, LSB. */
const noRipple = 1e-12;

/** Ratios 1, 2, 4 … up to the largest. */
const doublings = (largest: number): number[] =>
  Array.from({ length: Math.floor(Math.log2(largest)) + 1 }, (_, i) => 2 ** i);

/** The ratio and shift that are looked at. */
function looked({ worksheet, averaging }: Evaluation): { ratio: number; shift: number } {
  if (averaging.ratio > 1) return averaging;
  return { ratio: Math.max(1, ...ratiosOf(worksheet.profile)), shift: 0 };
}

/** Whether there is noise enough to average, at the ratio chosen or, where that is 1, the largest of the profile. */
export function noiseStanding(e: Evaluation): NoiseStanding {
  const { rippleLsb, independentLsb } = e.noise;
  const { ratio } = looked(e);
  const ripple = rippleLsb ** 2;
  const share = ripple / (ripple + (independentLsb ** 2 + 1 / 12 - ripple) / ratio);
  return share >= 0.5 ? 'too little' : share >= 0.1 ? 'hardly' : 'enough';
}

/** Filters that firmware usually adds. */
const usualFilters: readonly ReadingFilter[] = [
  { kind: 'mean', length: 8 },
  { kind: 'exponential', shift: 3, form: 'shift' },
  { kind: 'exponential', shift: 3, form: 'accumulator' },
  { kind: 'median', length: 3 },
];

const bitsOf = (bits: number, rms: number): number => bits - Math.log2(Math.sqrt(12) * rms);

/** Bits of one noise at the ratio and shift. */
type Bits = (noiseLsb: number) => number;

/** Bits against noise, closer where the curve bends, and beyond the noise that is there. */
function bitsAgainstNoise(bits: number, here: number, at: Bits): NoisePoint[] {
  const close = Array.from({ length: 28 }, (_, i) => i * 0.025);
  const far = Array.from({ length: 6 }, (_, i) => 0.7 + ((i + 1) / 6) * (Math.max(1.2, 1.15 * here) - 0.7));
  return [...close, ...far].map((noiseLsb) => {
    const ripple = Math.max(Math.sqrt(rippleSquare(noiseLsb)), noRipple);
    return { noiseLsb, effectiveBits: at(noiseLsb), ceilingBits: bitsOf(bits, ripple) };
  });
}

/** The noise of the most bits: between the neighbours of the best of some points, by golden section. */
function bestAmong(points: readonly NoisePoint[], at: Bits): BestDither {
  const i = points.reduce((best, p, k) => (p.effectiveBits > points[best]!.effectiveBits ? k : best), 0);
  const share = (Math.sqrt(5) - 1) / 2;
  let [low, high] = [points[Math.max(0, i - 1)]!, points[Math.min(points.length - 1, i + 1)]!].map(
    (p) => p.noiseLsb,
  ) as [number, number];
  for (let n = 0; n < 16; n++) {
    const step = share * (high - low);
    if (at(high - step) > at(low + step)) high = low + step;
    else low = high - step;
  }
  const noiseLsb = i === 0 ? 0 : (low + high) / 2;
  return { noiseLsb, effectiveBits: at(noiseLsb) };
}

/** Noise that is missing from the best, LSB rms. */
const missing = (best: BestDither, noiseLsb: number): number =>
  Math.sqrt(Math.max(0, best.noiseLsb ** 2 - noiseLsb ** 2));

/** Ways to dither, each at the span that suits it, on top of the noise that is there, slow noise included; unshifted. */
function ditherChoices(e: Evaluation, ratio: number, best: BestDither, slow: number): DitherChoice[] {
  const { bits } = e.quantizing;
  const { independentLsb: noiseLsb, slopeLsb } = e.noise;
  const choice = (kind: DitherChoice['kind'], spanLsb: number, fast: number): DitherChoice => {
    const rmsErrorLsb = Math.hypot(fast, slow);
    return { kind, spanLsb, rmsErrorLsb, effectiveBits: bitsOf(bits, rmsErrorLsb) };
  };
  const shaped = (kind: DitherChoice['kind'], dither: DitherShape, spanLsb: number): DitherChoice =>
    choice(kind, spanLsb, ditheredError({ bits, noiseLsb, dither, spanLsb, ratio }).rmsErrorLsb);
  const choices = [choice('none', 0, oversample({ bits, noiseLsb, ratio, shift: 0 }).rmsErrorLsb)];
  if (best.noiseLsb > noiseLsb) {
    const rmsErrorLsb = 2 ** (bits - best.effectiveBits) / Math.sqrt(12);
    choices.push(choice('noise', missing(best, noiseLsb), rmsErrorLsb));
  }
  choices.push(shaped('uniform', 'uniform', 1), shaped('triangle', 'triangle', 2));
  if (ratio > 1) {
    choices.push(shaped('ramp', 'ramp', 1));
    // Up and down again, a triangle meets each of R/2 levels twice: the ripple is that of a ramp of so many steps.
    const { rippleLsb } = ditheredError({ bits, noiseLsb, dither: 'ramp', spanLsb: 1, ratio: ratio >> 1 });
    const ramp = ditheredError({ bits, noiseLsb, dither: 'ramp', spanLsb: 1, ratio });
    const square = ramp.rmsErrorLsb ** 2 - ramp.rippleLsb ** 2 + rippleLsb ** 2;
    choices.push(choice('wave', 1, Math.sqrt(square)));
    const spanLsb = slopeLsb * ratio * e.sampling.interval;
    if (spanLsb >= 0.01 && spanLsb <= 64) choices.push(shaped('slope', 'ramp', spanLsb));
  }
  return choices;
}

/** What of a reading stays for a still input, and what scatters from reading to reading; mean squares, LSB². */
function steadyAndRandom({ noise, averaging, reading, channel }: Evaluation): [number, number] {
  const all = (reading.rms / channel.worst.perCode) ** 2;
  const ripple = noise.rippleLsb ** 2;
  // The shift makes steps of its own, of one result code, which the noise of the sum smooths.
  const scatter = Math.sqrt((noise.independentLsb ** 2 + 1 / 12 - ripple) / averaging.ratio);
  const { shift, resultLsb } = averaging;
  const steps = shift > 0 ? resultLsb ** 2 * rippleSquare(scatter / resultLsb) : 0;
  // 1/f noise is as slow as the readings are far apart, and slower.
  const { flicker } = noise.slowLsb(averaging.ratio);
  const steady = Math.min(all, ripple + steps + flicker ** 2);
  return [steady, all - steady];
}

/** More and more readings of a still input, plainly averaged or filtered. */
function readingsTogether(e: Evaluation): Pick<WorksheetNoise, 'many' | 'enoughReadings' | 'filters'> {
  const [steady, random] = steadyAndRandom(e);
  const rmsOf = (factor: number): number => Math.sqrt(steady + random * factor);
  const many = [1, 4, 16, 64].map((readings) => ({ readings, twoSigmaLsb: 2 * rmsOf(1 / readings) }));
  const filters = usualFilters.map((filter): FilteredReadings => {
    const { noiseFactor, stepReadings, deadBand } = filterFigures({ filter });
    const short = Math.max(deadBand.below, deadBand.above);
    return { filter, noiseFactor, rmsLsb: rmsOf(noiseFactor ** 2), stepReadings, deadBand: short };
  });
  const wanted = e.worksheet.inputs.requirement.resolution?.value;
  if (wanted === undefined) return { many, filters };
  const room = (wanted / e.channel.worst.perCode / 2) ** 2 - steady;
  return { many, filters, enoughReadings: room > 0 ? Math.max(1, Math.ceil(random / room - 1e-9)) : 'none' };
}

/**
 * Noise and dither of a worksheet.
 *
 * @param e - the evaluation of the worksheet
 * @returns what the page on noise shows, in native LSB unless said otherwise
 */
export function noiseOf(e: Evaluation): WorksheetNoise {
  const { worksheet, quantizing, noise, averaging, sampling, channel } = e;
  const { bits, reference, codeBinWidth, firstTransition } = quantizing;
  const { inputs, profile } = worksheet;
  const { ratio, shift } = looked(e);
  const { interval } = sampling;
  const { rounding } = averaging;
  const { source, flicker } = noise.slowLsb(ratio);
  const slow = Math.hypot(source, flicker);
  const rmsAt = (noiseLsb: number): number =>
    Math.hypot(oversample({ bits, noiseLsb, ratio, shift, rounding }).rmsErrorLsb, slow);
  const bitsAt: Bits = (noiseLsb) => bitsOf(bits, rmsAt(noiseLsb));
  const points = bitsAgainstNoise(bits, noise.independentLsb, bitsAt);
  const best = bestDither({ bits, ratio });
  // Slow noise does not move the best, unshifted.
  const bestHere =
    shift === 0 ? { ...best, effectiveBits: bitsAt(best.noiseLsb) } : bestAmong(points, bitsAt);
  const rmsLsb = rmsAt(noise.independentLsb);
  const largest = Math.max(ratio, ...ratiosOf(profile));
  const { observationTime } = noise.sources;
  const sources = { ...noise.sources, observationTime: Math.max(observationTime, 10 * largest * interval) };
  const sourceResistance = sampling.sourceResistance;
  const capacitance = sampling.pinCapacitance;
  const burst = ratio * interval;
  const codes = [channel.range.low, channel.range.high].map((m) => channel.codeOf(m));
  const nearest = Math.min(...codes);
  return {
    standing: noiseStanding(e),
    ratio,
    shift,
    rmsLsb,
    effectiveBits: bitsOf(bits, rmsLsb),
    ruleOfThumbBits: ruleOfThumbBits(bits, ratio),
    ceilingBits: noise.rippleLsb < noRipple ? 'any' : bitsOf(bits, noise.rippleLsb),
    best,
    bestHere,
    addLsb: missing(bestHere, noise.independentLsb),
    bits: points,
    ratios: doublings(largest).map((r) => ({ ratio: r, parts: averagedNoise({ ...sources, ratio: r }) })),
    usefulRatio: usefulRatio(sources),
    dithers: ditherChoices(e, ratio, best, slow),
    triangle: {
      period: burst,
      resistor:
        sourceResistance > 0
          ? ditherResistor({
              wave: 'triangle',
              swing: reference,
              period: burst,
              sourceResistance,
              capacitance,
              span: codeBinWidth,
            })
          : 'none',
      squarePeriod: 2 * sourceResistance * capacitance,
    },
    moving: {
      burst,
      lagLsb: burstLag({ slope: noise.slopeLsb, ratio, interval }),
      freeSlopeLsb: 1 / burst,
      gain: boxcarGain({ frequency: 1 / (2 * inputs.requirement.period.value), ratio, interval }),
    },
    ...readingsTogether(e),
    inlLsb: profile.inl.value / 2 ** (profile.resolutions[0]!.bits - bits),
    clamp: {
      inputLsb: nearest,
      biasLsb: clampBias({ inputLsb: nearest, noiseLsb: noise.independentLsb }),
      atZeroLsb: clampBias({ inputLsb: 0.5 - firstTransition, noiseLsb: noise.independentLsb }),
    },
  };
}

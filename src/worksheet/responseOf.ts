/**
 * Response of a worksheet: what the low-pass at the pin and the mean of the burst leave of each frequency, where the named
 * disturbances end up, and how soon a reading has followed a step.
 */
import { type BeatPeriod, beatPeriod } from '../budget/hum.ts';
import { aliasFrequency, cornerFrequency, lowPassGain } from '../budget/response.ts';
import { type StepTime, stepShown, stepTime } from '../budget/step.ts';
import { boxcarGain } from '../chain/averaging/boxcar.ts';
import { type AntiAlias, antiAliasOf } from './antiAliasOf.ts';
import type { Evaluation } from './evaluation.ts';
import { clockToleranceOf, humOf, type WorksheetHum } from './humOf.ts';
import { interferenceLsb } from './readingOf.ts';

/** What is left of a band of frequencies: of the boxcar the most in it. */
export interface ResponsePoint {
  /** Its middle, Hz. */
  readonly frequency: number;
  readonly boxcar: number;
  readonly lowPass: number;
}

/** Where a named disturbance ends up. */
export interface AliasRow {
  readonly name: string;
  /** Hz, and its amplitude at the pin, V. */
  readonly frequency: number;
  readonly amplitude: number;
  /** Amplitude that the mean of the burst leaves, relative to it; at the nominal frequency, and the most over the tolerances. */
  readonly gain: number;
  readonly mostGain: number;
  /** Left in a reading at most, rms, in the measurand's unit of differences; as the reading counts it. */
  readonly rms: number;
  /** What it looks like among the conversions of a burst, Hz. */
  readonly amongConversions: number;
  /** Beat that it leaves from reading to reading, over its tolerance and the clock's. */
  readonly beat: BeatPeriod;
  /** Reading period nearest to the present one at which the beat is fastest, s; 'none' where the tolerances leave no such period. */
  readonly betterPeriod: number | 'none';
}

/** Part of a step that a reading shows. */
export interface StepPoint {
  /** From the step to the end of the reading's burst, s. */
  readonly after: number;
  readonly shown: number;
}

/** All that the page on hum and aliases shows. */
export interface WorksheetResponse {
  /** R·T, s. */
  readonly window: number;
  /** Of source and pin capacitance, s, at the largest source resistance of the range. */
  readonly timeConstant: number;
  /** −3 dB of both together, Hz; 'none' for one conversion behind no low-pass. */
  readonly corner: number | 'none';
  /** What the low-pass leaves at the rate of conversions, where the mean leaves everything. */
  readonly atRate: number;
  readonly curve: readonly ResponsePoint[];
  readonly aliases: readonly AliasRow[];
  readonly hum: WorksheetHum;
  /** Until a reading shows 99 % of a step. */
  readonly step: StepTime;
  /** The same for bursts that follow one another. */
  readonly continuous: StepTime;
  readonly stepCurve: readonly StepPoint[];
  readonly antiAlias: AntiAlias;
}

/** Bands of the curve. */
const bands = 320;

/** The most that the boxcar leaves between two frequencies that are near each other. */
function mostBetween(low: number, high: number, interval: number, ratio: number): number {
  if (Math.floor(high * interval) > Math.floor(low * interval)) return 1;
  const gain = (frequency: number): number => Math.abs(boxcarGain({ frequency, interval, ratio }));
  // Within a lobe the curve itself, beyond the line that the lobes touch.
  if ((high - low) * ratio * interval < 0.3) return gain(Math.sqrt(low * high));
  const envelope = (f: number): number => 1 / (ratio * Math.abs(Math.sin(Math.PI * f * interval)));
  return Math.min(1, Math.max(envelope(low), envelope(high)));
}

function curveOf(
  { sampling, averaging }: Evaluation,
  timeConstant: number,
  highest: number,
): ResponsePoint[] {
  const { interval } = sampling;
  const { ratio } = averaging;
  const from = Math.min(0.02 / (ratio * interval), 20);
  const to = Math.max(4.5 / interval, 3 * highest);
  const step = (to / from) ** (1 / bands);
  return Array.from({ length: bands }, (_, i) => {
    const low = from * step ** i;
    const frequency = low * Math.sqrt(step);
    return {
      frequency,
      boxcar: mostBetween(low, low * step, interval, ratio),
      lowPass: lowPassGain({ frequency, timeConstant }),
    };
  });
}

function aliasesOf(e: Evaluation): AliasRow[] {
  const { worksheet, sampling, averaging, quantizing, channel } = e;
  const { inputs, profile } = worksheet;
  const { interval } = sampling;
  const { ratio } = averaging;
  const period = inputs.requirement.period.value;
  const clock = clockToleranceOf(worksheet).value;
  const readings = (profile.timer?.tolerance ?? profile.clock.tolerance)?.value ?? clock;
  const left = interferenceLsb(worksheet, quantizing.codeBinWidth, interval, ratio);
  return (inputs.conditioning.interference ?? []).map(({ frequency: f, amplitude, name, tolerance }, i) => {
    const frequency = f.value;
    const between = (tolerance?.value ?? 0) + readings;
    // Half-way between two multiples of the rate of readings the beat is fastest.
    const turns = Math.max(0.5, Math.round(frequency * period - 0.5) + 0.5);
    return {
      name: name ?? f.text,
      frequency,
      amplitude: amplitude.value,
      gain: left[i]!.exactGain,
      mostGain: left[i]!.gain,
      rms: left[i]!.lsb * channel.worst.perCode,
      amongConversions: aliasFrequency({ frequency, rate: 1 / interval }).frequency,
      beat: beatPeriod({ frequency, rate: 1 / period, tolerance: Math.min(0.5, between) }),
      betterPeriod: 2 * between * turns < 0.5 ? turns / frequency : 'none',
    };
  });
}

/**
 * Frequency and step response of a worksheet's chain, and what its named disturbances leave.
 *
 * @param evaluation - of the worksheet
 * @returns curve, aliases, hum, step, and the filters that would serve; what is left is as the reading counts it
 */
export function responseOf(e: Evaluation): WorksheetResponse {
  const { worksheet, sampling, averaging } = e;
  const { interval } = sampling;
  const { ratio } = averaging;
  const window = ratio * interval;
  const timeConstant = sampling.sourceResistance * sampling.pinCapacitance;
  const aliases = aliasesOf(e);
  const chain = { interval, ratio };
  const period = Math.max(worksheet.inputs.requirement.period.value, window);
  const end = 1.6 * window + 7 * timeConstant;
  return {
    window,
    timeConstant,
    corner: cornerFrequency({ ...chain, timeConstants: [timeConstant] }),
    atRate: lowPassGain({ frequency: 1 / interval, timeConstant }),
    curve: curveOf(e, timeConstant, Math.max(60, ...aliases.map((a) => a.frequency))),
    aliases,
    hum: humOf(e),
    step: stepTime({ ...chain, timeConstant, period }),
    continuous: stepTime({ ...chain, timeConstant }),
    stepCurve: Array.from({ length: 121 }, (_, i) => {
      const after = (end * i) / 120;
      return { after, shown: stepShown({ start: after - window, ...chain, timeConstant }) };
    }),
    antiAlias: antiAliasOf(e),
  };
}

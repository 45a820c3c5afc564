/**
 * The settings of a worksheet: the table of all ratios and shifts, and what else could be changed where none of them serves.
 */
import { bestDividerResistor } from '../chain/conditioning/bestDividerResistor.ts';
import { nearestInSeries } from '../numbers/eseries.ts';
import { asciiQuantity, formatQuantity } from '../numbers/format.ts';
import {
  type Alternative,
  alternatives,
  type Change,
  ditherChange,
  softwareChange,
} from '../plan/alternatives.ts';
import { type Plan, type Settings, settings } from '../plan/settings.ts';
import { channelFrom, quantizingOf } from './channelFrom.ts';
import type { Evaluation } from './evaluation.ts';
import { planOf } from './planOf.ts';
import type { Worksheet } from './read.ts';
import { timesOf } from './samplingOf.ts';

/** The fixed resistor that would make the widest code of the range as narrow as can be. */
export interface DividerAdvice {
  /** Ω */
  readonly resistor: number;
  /** Nearest of E96, Ω. */
  readonly inSeries: number;
  /** Widest code with that of E96, in the measurand's unit of differences. */
  readonly perCode: number;
  /** The same as now, with the present resistor. */
  readonly present: number;
}

/** The table of settings, and what else would serve. */
export interface WorksheetSettings extends Settings {
  /** Where no setting meets everything: other changes, those that serve first. Empty otherwise. */
  readonly wouldServe: readonly Alternative[];
  /** Where the sensor is a resistance. */
  readonly divider?: DividerAdvice;
}

/** The worksheet with another sample time or resolution; undefined where a conversion then takes longer than its interval. */
export function sampled(
  worksheet: Worksheet,
  change: Partial<Worksheet['inputs']['sampling']>,
): Worksheet | undefined {
  const { inputs } = worksheet;
  const other = { ...worksheet, inputs: { ...inputs, sampling: { ...inputs.sampling, ...change } } };
  const { sampleCycles, bits } = other.inputs.sampling;
  const { conversionTime, interval } = timesOf(other, sampleCycles.value, bits.value);
  return interval < conversionTime ? undefined : other;
}

const planFrom = (worksheet: Worksheet, { sensor }: Evaluation, resistor?: number) => {
  const quantizing = quantizingOf(worksheet);
  return planOf(worksheet, channelFrom(worksheet, sensor, quantizing, resistor), quantizing);
};

function dividerAdvice({ worksheet, sensor, channel, quantizing }: Evaluation): DividerAdvice | undefined {
  const { divider, leadResistance } = worksheet.inputs.conditioning;
  if (divider === undefined) return undefined;
  const { resistor } = bestDividerResistor({
    sensor,
    ...channel.range,
    side: divider.side,
    seriesResistor: leadResistance?.value ?? 0,
  });
  const inSeries = nearestInSeries({ value: resistor, series: 'E96' });
  const { worst } = channelFrom(worksheet, sensor, quantizing, inSeries);
  return { resistor, inSeries, perCode: worst.perCode, present: channel.worst.perCode };
}

/** The changes that might serve, each as a plan. */
function changesOf(evaluation: Evaluation, present: Plan, advice: DividerAdvice | undefined): Change[] {
  const { worksheet, sampling, quantizing } = evaluation;
  const { profile } = worksheet;
  const changes: (Change | undefined)[] = [];
  const from = 'calculated';
  if (sampling.minSampleCycles !== 'none' && sampling.minSampleCycles > sampling.sampleCycles) {
    const value = sampling.minSampleCycles;
    const other = sampled(worksheet, { sampleCycles: { value, from } });
    changes.push(
      other && {
        kind: 'sample time',
        path: 'sampling.sampleCycles',
        value: String(value),
        words: `${value} sample cycles`,
        plan: planFrom(other, evaluation),
      },
    );
  }
  if (advice && advice.perCode < advice.present * (1 - 1e-9)) {
    const [value, unit] = [advice.inSeries, 'ohm'];
    changes.push({
      kind: 'divider',
      path: 'conditioning.divider.resistor',
      value: asciiQuantity({ value, unit }),
      words: `a divider resistor of ${formatQuantity({ value, unit })}`,
      plan: planFrom(worksheet, evaluation, value),
    });
  }
  changes.push(ditherChange(present, profile.resolutions[0]!.bits));
  for (const { bits: value } of profile.resolutions.filter((r) => r.bits > quantizing.bits)) {
    const other = sampled(worksheet, { bits: { value, from } });
    changes.push(
      other && {
        kind: 'resolution',
        path: 'sampling.bits',
        value: String(value),
        words: `${value} bits`,
        plan: planFrom(other, evaluation),
      },
    );
  }
  if (profile.averaging.by === 'hardware') {
    changes.push(softwareChange(present, profile.currents.coreRunning.value));
  }
  return changes.filter((c) => c !== undefined);
}

/**
 * The table of every ratio and useful shift of a worksheet's converter, at its clock, sample time and resolution.
 *
 * @param evaluation - of the worksheet
 * @returns rows by ratio, then shift; the recommended one with its reason; what else would serve where none does
 */
export function settingsOf(evaluation: Evaluation): WorksheetSettings {
  const { worksheet, averaging } = evaluation;
  const chosen = { ratio: averaging.ratio, shift: averaging.shift };
  const plan = planFrom(worksheet, evaluation);
  const table = settings(plan, chosen);
  const divider = dividerAdvice(evaluation);
  const wouldServe = table.recommended ? [] : alternatives(changesOf(evaluation, plan, divider), chosen);
  return { ...table, wouldServe, ...(divider && { divider }) };
}

/**
 * The search of a worksheet: every setting that its converter's profile knows, with the worksheet's trigger, rounding and requirements.
 */
import { type PlannedSampling, type SamplingSetting, type Search, search } from '../plan/search.ts';
import type { Setting } from '../plan/settings.ts';
import { channelFrom, quantizingOf } from './channelFrom.ts';
import type { Evaluation } from './evaluation.ts';
import { planOf } from './planOf.ts';
import { clockServes, ratiosOf } from './profile.ts';
import type { Worksheet } from './read.ts';
import { settlingPlaces } from './samplingOf.ts';
import { sampled } from './settingsOf.ts';

/** What a search over a worksheet's converter has found. */
export interface WorksheetSearch extends Search {
  /** The present setting, which is among those looked at. */
  readonly chosen: { readonly sampling: SamplingSetting; readonly averaging: Setting };
}

const from = 'calculated';

/** The worksheet at another resolution, whatever its trigger. */
const atResolution = (worksheet: Worksheet, bits: number): Worksheet => ({
  ...worksheet,
  inputs: { ...worksheet.inputs, sampling: { ...worksheet.inputs.sampling, bits: { value: bits, from } } },
});

/** Every way in which the converter can take a conversion of a resolution. */
function samplingsAt({ worksheet, sensor }: Evaluation, bits: number): PlannedSampling[] {
  const { profile } = worksheet;
  const at = atResolution(worksheet, bits);
  const quantizing = quantizingOf(at);
  const channel = channelFrom(at, sensor, quantizing);
  const places = settlingPlaces(at, channel, quantizing);
  const plan = (clockDivider: number, sampleCycles: number): PlannedSampling['plan'] => {
    if (!clockServes(profile, clockDivider)) return 'clock';
    const own = sampled(at, {
      clockDivider: { value: clockDivider, from },
      sampleCycles: { value: sampleCycles, from },
    });
    return own ? planOf(own, channel, quantizing, places) : 'interval';
  };
  return profile.clock.dividers.flatMap((clockDivider) =>
    profile.sampleCycles.map((sampleCycles) => ({
      sampling: { clockDivider, sampleCycles, bits },
      plan: plan(clockDivider, sampleCycles),
    })),
  );
}

/**
 * Every clock divider, sample time, resolution, ratio and shift of the worksheet's profile.
 *
 * Where software averages, its ratios are the powers of two and the present one. The uncertainty of a reading is not judged
 * here: it is that of the whole chain.
 *
 * @param evaluation - of the worksheet
 * @returns counts, front and recommendation; errors in the measurand's unit of differences
 */
export function searchOf(evaluation: Evaluation): WorksheetSearch {
  const { worksheet, sampling, quantizing, averaging } = evaluation;
  const { profile } = worksheet;
  const { clockDivider, sampleCycles } = sampling;
  const { ratio, shift } = averaging;
  return {
    ...search({
      samplings: profile.resolutions.flatMap(({ bits }) => samplingsAt(evaluation, bits)),
      ratios: [...new Set([1, ...ratiosOf(profile), ratio])].sort((a, b) => a - b),
      largestShift: profile.averaging.largestShift,
    }),
    chosen: {
      sampling: { clockDivider, sampleCycles, bits: quantizing.bits },
      averaging: { ratio, shift },
    },
  };
}

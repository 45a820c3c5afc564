/**
 * Evaluating: from a worksheet to all that follows from it, stage by stage in the order of the chain.
 */
import { outputRate } from '../chain/sampling/timing.ts';
import { verdictOn } from '../plan/requirements.ts';
import { settingRow } from '../plan/settings.ts';
import { addedNoise } from './addedNoise.ts';
import { measurandUnitsOf } from './amount.ts';
import { assumedInputs } from './assumed.ts';
import { channelFrom, quantizingOf } from './channelFrom.ts';
import type { Evaluation } from './evaluation.ts';
import { findingsOf } from './findings.ts';
import { planOf } from './planOf.ts';
import type { Worksheet } from './read.ts';
import { readingOf } from './readingOf.ts';
import { reviewedOf } from './reviewedOf.ts';
import { samplingOf } from './samplingOf.ts';
import { sensorFrom } from './sensors.ts';
import { uncertaintyOf } from './uncertaintyOf.ts';

export type { RequirementName, RequirementResult } from '../plan/requirements.ts';
export type * from './evaluation.ts';

/**
 * All that follows from a worksheet.
 *
 * @param worksheet - as read
 * @returns results of every stage, in SI units, the verdict on each requirement, and what a reader should know
 */
export function evaluate({ worksheet }: { readonly worksheet: Worksheet }): Evaluation {
  const { inputs, profile } = worksheet;
  const units = measurandUnitsOf(inputs.sensor);
  const sensor = sensorFrom(inputs.sensor, profile.firstTransition);
  const quantizing = quantizingOf(worksheet);
  const channel = channelFrom(worksheet, sensor, quantizing);
  const plan = planOf(worksheet, channel, quantizing);
  const chosen = { ratio: inputs.averaging.ratio.value, shift: inputs.averaging.shift.value };
  const row = settingRow(plan, chosen);
  const { step: _, rms: __, time, latency, charge, failures: ___, requirements, ...worth } = row;
  const sampling = samplingOf(worksheet, channel, quantizing, chosen.ratio, worth.resultLsb);
  const noise = addedNoise(worksheet, channel, quantizing, sampling.interval);
  const { rounding, registerBits } = plan;
  const { by, onOverflow } = profile.averaging;
  const timed = inputs.sampling.interval;
  const chain = {
    worksheet,
    profileTitle: profile.title,
    units,
    sensor,
    channel,
    sampling,
    quantizing,
    noise,
    averaging: {
      ...worth,
      rounding,
      by,
      registerBits,
      onOverflow,
      burstTime: time,
      startTime: plan.startTime,
      latency,
      outputRate: outputRate({
        ratio: chosen.ratio,
        conversionTime: sampling.conversionTime,
        ...(timed ? { start: 'conversion', rate: 1 / timed.value } : { start: 'back-to-back' }),
      }),
      charge,
    },
    reading: readingOf(worksheet, channel, quantizing, noise, sampling.interval, {
      ...worth,
      rounding,
      registerBits,
    }),
  };
  const uncertainty = uncertaintyOf(chain);
  const wanted = inputs.requirement.uncertainty?.value;
  const found = {
    ...chain,
    uncertainty,
    requirements: [
      ...requirements,
      ...(wanted === undefined
        ? []
        : [verdictOn('uncertainty', uncertainty.present.expanded, wanted, channel.unit)]),
    ],
    unjudged: (['batteryLife'] as const).filter(
      (name) => inputs.requirement[name] && !requirements.some((r) => r.name === name),
    ),
    assumed: assumedInputs(worksheet),
  };
  const findings = findingsOf(found);
  return { ...found, findings, review: reviewedOf(worksheet, findings) };
}

/** Findings about a scan: channels that do not settle in their turn, or are sampled too short. */
import { formatQuantity } from '../numbers/format.ts';
import type { Evaluated, NamedFinding } from './evaluation.ts';
import { scanSettlingOf } from './scanSettlingOf.ts';
import { scanTimesOf } from './scanTimesOf.ts';

/** Channels whose result is further from settled than a result of this one may be, and those whose sample time is too short. */
export function scanFindings(e: Evaluated): NamedFinding[] {
  if (!e.worksheet.inputs.scan?.channels) return [];
  const lsb = (value: number): string => formatQuantity({ value, unit: 'LSB' });
  const seconds = (value: number): string => formatQuantity({ value, unit: 's' });
  const times = scanTimesOf(e);
  const allowed = e.sampling.allowedErrorLsb;
  const off = scanSettlingOf(e, times)
    .filter((c) => Math.abs(c.lsb) > allowed)
    .map((c) => `${c.name}, after ${c.previous}, is ${lsb(Math.abs(c.lsb))} of a conversion from settled`);
  const short = times.visits
    .filter((v) => v.short)
    .map(
      (v) =>
        `${v.name} is sampled for ${seconds(v.sampleTime)} and its data sheet asks for ${seconds(v.leastSampleTime!)}`,
    );
  const finding = (name: NamedFinding['name'], text: string): NamedFinding => ({
    name,
    kind: 'caution',
    stage: 'sampling',
    path: 'scan',
    text,
  });
  return [
    ...(off.length > 0
      ? [finding('finding.scanSettling', `In the scan ${off.join('; ')}; ${lsb(allowed)} is allowed.`)]
      : []),
    ...(short.length > 0 ? [finding('finding.scanSampleTime', `In the scan ${short.join('; ')}.`)] : []),
  ];
}

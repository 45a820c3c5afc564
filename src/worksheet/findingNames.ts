/**
 * Names of findings: what a review note can be on. A name says which question a finding is about, never its figures, so that a note
 * stays on its finding while they change. A name once given stays known, so that no worksheet loses a note.
 */
import type { RequirementName } from '../plan/requirements.ts';

const ofRequirement: Readonly<Record<RequirementName, string>> = {
  resolution: 'resolution missed',
  step: 'step missed',
  settling: 'settling missed',
  overflow: 'overflow',
  period: 'period missed',
  latency: 'latency missed',
  batteryLife: 'battery life missed',
  uncertainty: 'uncertainty missed',
};

const others = {
  ruleOfThumb: 'promise of the rule of thumb',
  littleNoise: 'too little noise to average',
  coarseShift: 'shift that throws averaging away',
  shiftBias: 'bias of a forgotten shift',
  'clipped.low': 'low end of the range beyond the reference',
  'clipped.high': 'high end of the range beyond the reference',
  narrowRange: 'range that spans few codes',
  coldJunction: 'cold junction taken for granted',
  resistorHeat: 'heat in the resistor of the current',
  dividerCurrent: 'divider that draws more than is allowed',
  'tableEnd.low': 'low end of the table at that of the range',
  'tableEnd.high': 'high end of the table at that of the range',
  scanSettling: 'channel of the scan that does not settle',
  scanSampleTime: 'channel of the scan that is sampled too short',
} as const;

/** The name of a finding that is about more than an assumed input. */
export type FindingName =
  | `finding.missed.${RequirementName}`
  | `finding.${keyof typeof others}`
  | `finding.interference.${number}`;

const labels: Readonly<Record<string, string>> = Object.fromEntries([
  ...Object.entries(ofRequirement).map(([name, label]) => [`finding.missed.${name}`, label]),
  ...Object.entries(others).map(([name, label]) => [`finding.${name}`, label]),
]);

/** Every name, that of an interference at its first place. */
export const findingNames: readonly string[] = [...Object.keys(labels), 'finding.interference.0'];

/** What a finding is about, in a few words; undefined where no finding has this name. */
export function findingLabel(name: string): string | undefined {
  const place = /^finding\.interference\.(0|[1-9]\d?)$/.exec(name)?.[1];
  if (place !== undefined) return `scatter by interference ${Number(place) + 1}`;
  return Object.hasOwn(labels, name) ? labels[name] : undefined;
}

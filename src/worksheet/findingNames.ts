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
  narrowRange: 'range of few codes',
  coldJunction: 'temperature of the cold junction',
  heat: 'heat in the resistor',
  overdrawn: 'current of the divider',
  'tableEnds.low': 'low end of the range at the end of the table',
  'tableEnds.high': 'high end of the range at the end of the table',
  'clipped.low': 'low end of the range beyond the reference',
  'clipped.high': 'high end of the range beyond the reference',
} as const;

/** Findings of which there can be one for each place of a list. */
const placed = {
  interference: 'scatter by interference',
  scanSettling: 'settling in the scan, channel',
  scanTime: 'sample time in the scan, channel',
} as const;

/** The name of a finding that is about more than an assumed input. */
export type FindingName =
  | `finding.missed.${RequirementName}`
  | `finding.${keyof typeof others}`
  | `finding.${keyof typeof placed}.${number}`;

const labels: Readonly<Record<string, string>> = Object.fromEntries([
  ...Object.entries(ofRequirement).map(([name, label]) => [`finding.missed.${name}`, label]),
  ...Object.entries(others).map(([name, label]) => [`finding.${name}`, label]),
]);

/** Every name; of those with places, the first. */
export const findingNames: readonly string[] = [
  ...Object.keys(labels),
  ...Object.keys(placed).map((name) => `finding.${name}.0`),
];

/** What a finding is about, in a few words; undefined where no finding has this name. */
export function findingLabel(name: string): string | undefined {
  if (Object.hasOwn(labels, name)) return labels[name];
  const [, which, place] = /^finding\.(\w+)\.(0|[1-9]\d?)$/.exec(name) ?? [];
  if (which === undefined || !Object.hasOwn(placed, which)) return undefined;
  return `${placed[which as keyof typeof placed]} ${Number(place) + 1}`;
}

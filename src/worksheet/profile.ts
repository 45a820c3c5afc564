/**
 * Profiles: from the text of a converter profile to its figures, and a profile with what a worksheet overrides.
 */
import { check } from './check.ts';
import { type Place, Problems } from './problem.ts';
import { type Profile, profileSchema } from './schema/converter.ts';
import { nodeAt, treeOf } from './source.ts';

/** Longest ladder that is shown in full in a message. */
const shownInFull = 12;

/** A ladder of values as a message shows it. */
export const ladder = (values: readonly number[]): string =>
  values.length <= shownInFull
    ? values.join(', ')
    : `${values.slice(0, 3).join(', ')} … ${values.at(-1)} (${values.length} values)`;

/** The ratios that a profile allows, without 1, as a list; powers of two where it allows any up to a largest. */
export function ratiosOf({ averaging }: Profile): readonly number[] {
  if (averaging.ratios !== undefined) return averaging.ratios;
  const powers: number[] = [];
  for (let ratio = 2; ratio <= (averaging.ratioUpTo ?? 1); ratio *= 2) powers.push(ratio);
  return powers;
}

/** Whether the converter runs at the clock that a divider makes. */
export const clockServes = ({ clock: { source, highest } }: Profile, divider: number): boolean =>
  source.value / divider <= highest.value * (1 + 1e-9);

/** Rules of a profile that no single field can tell; each with the field it stands at. */
export function profileFaults(profile: Profile): readonly (readonly [path: string, reason: string])[] {
  const faults: [string, string][] = [];
  const rising = (path: string, values: readonly number[]) => {
    if (values.some((v, i) => i > 0 && v <= values[i - 1]!)) faults.push([path, 'the values must rise']);
  };
  rising('clock.dividers', profile.clock.dividers);
  rising('sampleCycles', profile.sampleCycles);
  rising('averaging.ratios', profile.averaging.ratios ?? []);
  rising(
    'resolutions',
    profile.resolutions.map((r) => -r.bits),
  );
  if (faults.at(-1)?.[0] === 'resolutions')
    faults[faults.length - 1]![1] = 'the finest resolution must come first';
  const { ratios, ratioUpTo, registerBits } = profile.averaging;
  if ((ratios === undefined) === (ratioUpTo === undefined)) {
    faults.push(['averaging', 'give either "ratios" or "ratioUpTo"']);
  }
  const finest = profile.resolutions[0]!.bits;
  if (registerBits < finest) {
    faults.push(['averaging.registerBits', `${registerBits} bits do not hold one conversion of ${finest}`]);
  }
  const { lowest, highest } = profile.referenceRange;
  if (!(lowest.value < highest.value)) faults.push(['referenceRange.highest', 'it must be above the lowest']);
  return faults;
}

/**
 * A converter profile from its text.
 *
 * @param text - JSON of the profile's format
 * @returns its figures, checked, in SI units
 * @throws WorksheetError with every problem, each at its line and column
 */
export function readProfile({ text }: { readonly text: string }): Profile {
  const problems = new Problems(text);
  const root = treeOf(text, problems);
  if (root === undefined) throw problems.error();
  const profile = check(root, profileSchema, '', { problems, measurand: [] }) as Profile;
  if (problems.any) throw problems.error();
  for (const [path, reason] of profileFaults(profile)) {
    const place: Place = { path, label: path, offset: nodeAt(root, path)!.offset };
    problems.add(place, '', '', reason);
  }
  if (problems.any) throw problems.error();
  return profile;
}

type Figures = Readonly<Record<string, unknown>>;

const isGroup = (value: unknown): value is Figures =>
  typeof value === 'object' && value !== null && !Array.isArray(value) && !('from' in value);

/** The figures of `base` with those of `over` in their place; lists and quantities whole, groups figure by figure. */
export function overridden<T extends object>(base: T, over: object): T {
  const out: Record<string, unknown> = { ...(base as Figures) };
  for (const [name, value] of Object.entries(over)) {
    out[name] = isGroup(value) && isGroup(out[name]) ? overridden(out[name], value) : value;
  }
  return out as T;
}

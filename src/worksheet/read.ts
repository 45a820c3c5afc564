/**
 * Reading: from the text of a worksheet to its checked inputs. Everything that is wrong is told at once, each at its place.
 */
import type { Node } from 'jsonc-parser';
import { needsCompound } from '../numbers/quantity.ts';
import { ownUnit } from '../numbers/units.ts';
import { type MeasurandUnits, measurandUnitsOf } from './amount.ts';
import { check } from './check.ts';
import { crossCheck } from './cross.ts';
import { effectiveProfile, profileCheck } from './crossProfile.ts';
import { inputsHash } from './hash.ts';
import { Problems, type Refuse } from './problem.ts';
import { checkReview } from './review.ts';
import type { Profile, Profiles } from './schema/converter.ts';
import type { ObjectField } from './schema/field.ts';
import { fieldAt } from './schema/lookup.ts';
import { formatVersion, type Inputs, worksheetSchema } from './schema/worksheet.ts';
import { nodeAt, treeOf } from './source.ts';

/** A worksheet that was read: nothing in it is refused. */
export interface Worksheet {
  /** The text it was read from, to the character. */
  readonly text: string;
  /** The inputs, in SI units, with where each comes from. */
  readonly inputs: Inputs;
  /** The profile that it names, with what it overrides. */
  readonly profile: Profile;
  /** All profiles that it could name; an edit reads it again. */
  readonly profiles: Profiles;
  /** Short name of the figures, as `7c41 e09a`. */
  readonly hash: string;
}

/**
 * A worksheet from its text.
 *
 * @param text - JSON of the worksheet's format, up to 256 kB
 * @param profiles - converter profiles by name
 * @returns the worksheet
 * @throws WorksheetError with every problem, each with path, line and column
 */
export function readWorksheet({
  text,
  profiles,
}: {
  readonly text: string;
  readonly profiles: Profiles;
}): Worksheet {
  const problems = new Problems(text);
  const root = treeOf(text, problems);
  if (root === undefined || !isThisVersion(root, problems)) throw problems.error();
  const inputs = check(root, worksheetSchema, '', { problems, measurand: unitsIn(root) }) as Inputs;
  const refuse: Refuse = (path, got, allowed, reason) => {
    const label = fieldAt(worksheetSchema, path, inputs)?.label ?? path;
    problems.add({ path, label, offset: offsetOf(root, path) }, got, allowed, reason);
  };
  const profile = effectiveProfile(inputs, profiles, refuse);
  crossCheck(inputs, profile, refuse, (path) => problems.at(path));
  profileCheck(inputs, profile, refuse);
  checkReview({ inputs, profile }, refuse);
  if (problems.any) throw problems.error();
  return { text, inputs, profile: profile!, profiles, hash: hashOfInputs(inputs, profile!) };
}

/** The units that the document's measurand has, as its sensor tells; none where that cannot be told. */
function unitsIn(root: Node): MeasurandUnits[] {
  const [kind, unit] = ['kind', 'unit'].map((key) => nodeAt(root, `sensor.${key}`)?.value);
  const known = worksheetSchema.fields.sensor.variants as Readonly<Record<string, ObjectField>>;
  if (typeof kind !== 'string' || !Object.hasOwn(known, kind)) return [];
  if (!Object.hasOwn(known[kind]!.fields, 'unit')) return [measurandUnitsOf({ kind })];
  return ownUnit(`{${unit}}`) === undefined ? [] : [measurandUnitsOf({ kind, unit: unit as string })];
}

/** The hash of what a computation uses; what the worksheet overrides counts as part of the profile, as does its name. */
function hashOfInputs(inputs: Inputs, profile: Profile): string {
  const { converter, watchdog, review: __, ...rest } = inputs;
  const { compare: _, ...limits } = watchdog ?? {};
  return inputsHash({ ...rest, reference: converter.reference, watchdog: limits }, profile);
}

/** Where a path stands in the text, or the nearest that stands above it; the value of a figure in its long form. */
function offsetOf(root: Node, path: string): number {
  for (let at = path; at !== ''; at = at.slice(0, Math.max(0, at.lastIndexOf('.')))) {
    const node = nodeAt(root, at);
    if (node !== undefined) return (nodeAt(node, 'value') ?? node).offset;
  }
  return root.offset;
}

/** Whether the document is of this program's version; a newer one is refused in one line, whatever else is in it. */
function isThisVersion(root: Node, problems: Problems): boolean {
  const version = nodeAt(root, 'halfbit');
  if (version?.type !== 'number' || !(version.value > formatVersion)) return true;
  problems.add(
    { path: 'halfbit', label: 'format version', offset: version.offset },
    String(version.value),
    String(formatVersion),
    `this worksheet has format ${version.value}, this program reads format ${formatVersion}; use a newer program`,
  );
  return false;
}

/**
 * Whether a document has a quantity whose unit is made of others, so that numbers/compound.ts should be imported before it is
 * read. Units per kelvin or per volt are read without it.
 */
export const wantsCompound = ({ text }: { readonly text: string }): boolean =>
  [...text.matchAll(/"(\s*[-+.]*\s*\d[^"\\]{0,100})"/g)].some(([, t]) =>
    needsCompound(t!.replace(/\/\s*(K|°C|degC|V)\s*$/, '')),
  );

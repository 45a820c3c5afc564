/**
 * What is still assumed: the figures of a worksheet, and of its profile where it does not override them, that nobody has a source for.
 */
import type { AssumedInput } from './evaluation.ts';
import type { Worksheet } from './read.ts';
import { profileSchema } from './schema/converter.ts';
import type { Field } from './schema/field.ts';
import { worksheetSchema } from './schema/worksheet.ts';

/** Quantities of a document that are assumed, in the order of the schema. Counts are choices of the designer and are not listed. */
function assumedIn(field: Field, value: unknown, path: string): AssumedInput[] {
  if (value === undefined) return [];
  const deeper = (key: string, of: Field): AssumedInput[] =>
    assumedIn(of, (value as Record<string, unknown>)[key], path === '' ? key : `${path}.${key}`);
  switch (field.is) {
    case 'quantity':
      return (value as { from: string }).from === 'assumed' ? [{ path, label: field.label }] : [];
    case 'object':
      return Object.entries(field.fields).flatMap(([key, of]) => deeper(key, of));
    case 'variant': {
      const { kind } = value as { kind: string };
      return Object.entries(field.variants[kind]!.fields).flatMap(([key, of]) => deeper(key, of));
    }
    case 'list':
      return (value as unknown[]).flatMap((_, i) => deeper(String(i), field.of as Field));
    default:
      return [];
  }
}

/** Every input that is still assumed; those of the profile under `converter`, where they are overridden. */
export function assumedInputs({ inputs, profile }: Worksheet): AssumedInput[] {
  const own = assumedIn(worksheetSchema, inputs, '');
  const inProfile = assumedIn(profileSchema, profile, 'converter').filter(
    ({ path }) => !own.some((o) => o.path === path),
  );
  return [...own, ...inProfile];
}

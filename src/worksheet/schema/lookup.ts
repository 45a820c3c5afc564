/**
 * Looking up a field of a schema by its path, as `averaging.ratio` or `scan.channels.0.voltage`.
 */
import { type Field, type ObjectField, provenances } from './field.ts';

/**
 * The field at a path; undefined if there is none.
 *
 * @param schema - the schema of the document
 * @param path - keys and list places joined by dots
 * @param values - what was read so far, which tells the kind of a variant; without it the first variant that has the key is taken
 */
export function fieldAt(schema: ObjectField, path: string, values?: object): Field | undefined {
  let field: Field | undefined = schema;
  let value: unknown = values;
  for (const key of path === '' ? [] : path.split('.')) {
    if (field?.is === 'object') field = own(field.fields, key);
    else if (field?.is === 'list') field = /^\d+$/.test(key) ? (field.of as Field) : undefined;
    else if (field?.is === 'variant') {
      const kind = (value as { kind?: string } | undefined)?.kind;
      const candidates: ObjectField[] =
        kind !== undefined && Object.hasOwn(field.variants, kind)
          ? [field.variants[kind]!]
          : Object.values(field.variants);
      if (key === 'kind') {
        const { label, doc } = field;
        field = { is: 'choice', label: `kind of ${label}`, doc, values: Object.keys(field.variants) };
      } else field = candidates.map((c) => own(c.fields, key)).find((f) => f !== undefined);
    } else if ((field?.is === 'quantity' || field?.is === 'count') && provenanceKeys.has(key))
      field = provenanceField(key, field.label);
    else return undefined;
    value =
      value === null || typeof value !== 'object' ? undefined : own(value as Record<string, unknown>, key);
  }
  return field;
}

/** What a figure says of itself, beside its value. */
export const provenanceKeys: ReadonlySet<string> = new Set(['from', 'note']);

const provenanceField = (key: string, label: string): Field =>
  key === 'from'
    ? { is: 'choice', label: `source of ${label}`, doc: 'Where the figure comes from.', values: provenances }
    : {
        is: 'text',
        label: `note on the source of ${label}`,
        doc: 'What else is known of the source.',
        longest: 500,
      };

const own = <T>(record: Readonly<Record<string, T>>, key: string): T | undefined =>
  Object.hasOwn(record, key) ? record[key] : undefined;

/** The paths of all single values that a document may have, with list places where `values` has them. */
export function pathsOf(schema: Field, values?: unknown, path = ''): string[] {
  const deeper = (key: string | number, field: Field): string[] =>
    pathsOf(
      field,
      typeof values === 'object' && values !== null
        ? own(values as Record<string, unknown>, String(key))
        : undefined,
      path === '' ? `${key}` : `${path}.${key}`,
    );
  switch (schema.is) {
    case 'object':
      return Object.entries(schema.fields).flatMap(([key, field]) => deeper(key, field));
    case 'variant': {
      const kind = (values as { kind?: string } | undefined)?.kind;
      const chosen = kind === undefined ? undefined : own(schema.variants, kind);
      const variants = chosen ? [chosen] : Object.values(schema.variants);
      return variants.flatMap((v) => Object.entries(v.fields).flatMap(([key, field]) => deeper(key, field)));
    }
    case 'list':
      return Array.isArray(values) ? values.flatMap((_, i) => deeper(i, schema.of as Field)) : [];
    default:
      return [path];
  }
}

/**
 * Inputs that differ between two worksheets: each by its place, with both values and where each comes from. A figure that a worksheet
 * leaves to its profile counts as the profile's.
 */
import type { Worksheet } from './read.ts';
import type { Count, Field, Provenance, Quantity } from './schema/field.ts';
import { worksheetSchema } from './schema/worksheet.ts';

/** An input as one of the worksheets has it. */
export interface InputValue {
  /** Number in `unit`, word, yes or no, or a list of these. */
  readonly value: number | string | boolean | readonly (number | string)[];
  /** As `quantity` names it; absent where there is none. */
  readonly unit?: string;
  /** Half-width of the interval it may lie in, in `unit` (K where that is degC). */
  readonly spread?: number;
  /** Where a figure comes from; absent for what has no provenance. */
  readonly from?: Provenance;
  readonly note?: string;
  /** Whether the worksheet says so itself, or its profile. */
  readonly by: 'worksheet' | 'profile';
  /** As it would be typed into the worksheet. */
  readonly typed: string;
}

/** An input that differs; 'none' where a worksheet does not give it. */
export interface InputDifference {
  readonly path: string;
  readonly label: string;
  readonly a: InputValue | 'none';
  readonly b: InputValue | 'none';
  /** What differs: the figure (value or spread) or its source (provenance or note) alone. */
  readonly what: 'figure' | 'source';
}

/** What tells documents, not channels, apart. */
const passedBy = ['$schema', 'halfbit', 'title', 'about', 'review'];

/** The inputs of a worksheet with all that its profile says in its place. */
function completed({ inputs, profile }: Worksheet): unknown {
  const { converter, watchdog } = inputs;
  return {
    ...inputs,
    converter: { ...profile, profile: converter.profile, reference: converter.reference },
    ...(watchdog && { watchdog: { ...watchdog, compare: profile.comparator } }),
  };
}

const child = (value: unknown, key: string | number): unknown =>
  typeof value === 'object' && value !== null && Object.hasOwn(value, key)
    ? (value as Record<string | number, unknown>)[key]
    : undefined;

const standsIn = ({ inputs }: Worksheet, path: string): boolean =>
  path.split('.').reduce<unknown>(child, inputs) !== undefined;

/** A single value as read, told with its provenance. */
function told(field: Field, value: unknown, by: InputValue['by']): InputValue | 'none' {
  if (value === undefined) return 'none';
  if (field.is === 'quantity') {
    const { text: typed, ...q } = value as Quantity;
    return { ...q, by, typed };
  }
  if (field.is === 'count') return { ...(value as Count), by, typed: String((value as Count).value) };
  const plain = value as InputValue['value'];
  return { value: plain, by, typed: Array.isArray(plain) ? plain.join(', ') : String(plain) };
}

/** What differs between two values; undefined if nothing does. */
function difference(a: InputValue | 'none', b: InputValue | 'none'): InputDifference['what'] | undefined {
  if (a === 'none' || b === 'none') return a === b ? undefined : 'figure';
  const figures = ({ value, unit, spread }: InputValue): string => JSON.stringify([value, unit, spread]);
  if (figures(a) !== figures(b)) return 'figure';
  return a.from !== b.from || a.note !== b.note ? 'source' : undefined;
}

/**
 * The inputs in which two worksheets differ, those of their profiles among them.
 *
 * @param a - a worksheet
 * @param b - another
 * @returns in the order of the schema; titles, remarks and the review are passed by
 */
export function inputDifferences(a: Worksheet, b: Worksheet): InputDifference[] {
  const out: InputDifference[] = [];
  const single = (field: Field, x: unknown, y: unknown, path: string, place: string): void => {
    const by = (w: Worksheet): InputValue['by'] => (standsIn(w, path) ? 'worksheet' : 'profile');
    const [here, there] = [told(field, x, by(a)), told(field, y, by(b))];
    const what = difference(here, there);
    if (what) out.push({ path, label: `${field.label}${place}`, a: here, b: there, what });
  };
  const walk = (field: Field, x: unknown, y: unknown, path: string, place: string): void => {
    const deeper = (key: string | number, of: Field, more = place): void =>
      walk(of, child(x, key), child(y, key), path === '' ? `${key}` : `${path}.${key}`, more);
    if (x === undefined && y === undefined) return;
    switch (field.is) {
      case 'object':
        for (const [key, of] of Object.entries(field.fields))
          if (path || !passedBy.includes(key)) deeper(key, of);
        return;
      case 'variant': {
        deeper('kind', { is: 'choice', label: `kind of ${field.label}`, doc: field.doc, values: [] });
        const fieldsOf = (v: unknown) => {
          const kind = child(v, 'kind') as string | undefined;
          return kind === undefined ? {} : field.variants[kind]!.fields;
        };
        for (const [key, of] of Object.entries({ ...fieldsOf(x), ...fieldsOf(y) })) deeper(key, of);
        return;
      }
      case 'list': {
        const of = field.of as Field;
        if (of.is !== 'object') {
          single(field, x, y, path, place);
          return;
        }
        const longest = Math.max(...[x, y].map((v) => (v as readonly unknown[] | undefined)?.length ?? 0));
        for (let i = 0; i < longest; i++) deeper(i, of, `${place} ${i + 1}`);
        return;
      }
      default:
        single(field, x, y, path, place);
    }
  };
  walk(worksheetSchema, completed(a), completed(b), '', '');
  return out;
}

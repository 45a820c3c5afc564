/**
 * Checking: from the tree of a document to its values, against a schema. What is wrong is collected, not thrown.
 */
import type { Node } from 'jsonc-parser';
import { asciiQuantity } from '../numbers/format.ts';
import { nearest, shown } from '../numbers/guard.ts';
import { AmountError, amount, type MeasurandUnits, spreadAmount, unitsOf } from './amount.ts';
import { type Place, type Problems, within } from './problem.ts';
import {
  type CountField,
  type Field,
  type Fields,
  type NumberField,
  type Provenance,
  provenances,
  type QuantityField,
  type TextField,
} from './schema/field.ts';
import { childOf, entriesOf } from './source.ts';

/** What checking a field needs besides its node. */
export interface Context {
  readonly problems: Problems;
  /** Units that the measurand may have; none where the sensor that tells is refused, and with it nothing can be said of amounts in them. */
  readonly measurand: readonly MeasurandUnits[];
}

type Checker = (node: Node, field: Field, path: string, context: Context) => unknown;

/** What a node shows in a message: text and numbers as they stand, the rest by kind. */
const gotOf = (node: Node): string =>
  node.type === 'object' ? 'an object' : node.type === 'array' ? 'a list' : shown(node.value);

/** Values in words: `"a", "b" or "c"`. */
export function listed(values: readonly (string | number)[]): string {
  const texts = values.map((v) => (typeof v === 'string' ? `"${v}"` : String(v)));
  return texts.length < 2 ? texts.join('') : `${texts.slice(0, -1).join(', ')} or ${texts.at(-1)}`;
}

function refused(
  node: Node,
  field: Field,
  path: string,
  { problems }: Context,
  allowed: string,
  why = '',
): undefined {
  const got = gotOf(node);
  return problems.add(
    { path, label: field.label, offset: node.offset },
    got,
    allowed,
    `${got} ${why || 'will not do'}; allowed ${allowed}`,
  );
}

/** The value of a node, checked against a field; undefined where it is refused. */
export const check: Checker = (node, field, path, context) => {
  switch (field.is) {
    case 'quantity':
      return checkedQuantity(node, field, path, context);
    case 'count':
      return checkedCount(node, field, path, context);
    case 'number':
      return checkedNumber(node, field, path, context);
    case 'choice':
      return field.values.includes(node.value as string)
        ? node.value
        : refused(node, field, path, context, listed(field.values));
    case 'text':
      return checkedText(node, field, path, context);
    case 'flag':
      return node.type === 'boolean' ? node.value : refused(node, field, path, context, 'true or false');
    case 'list': {
      const many =
        field.shortest === field.longest ? `${field.shortest}` : `${field.shortest} … ${field.longest}`;
      const allowed = `a list of ${many}`;
      if (node.type !== 'array') return refused(node, field, path, context, allowed);
      const items = node.children!;
      if (items.length < field.shortest || items.length > field.longest) {
        return refused(node, field, path, context, allowed, `of ${items.length} will not do`);
      }
      return items.map((item, i) => check(item, field.of as Field, within(path, i), context));
    }
    case 'object':
      if (node.type !== 'object') return refused(node, field, path, context, 'an object in { }');
      return checkedFields(node, field.fields, path, context);
    case 'variant': {
      const kinds = listed(Object.keys(field.variants));
      if (node.type !== 'object')
        return refused(node, field, path, context, `an object with "kind": ${kinds}`);
      const kind = entriesOf(node, path, context.problems).find((e) => e.key === 'kind')?.node;
      if (kind === undefined) {
        const place = { path: within(path, 'kind'), label: 'kind', offset: node.offset };
        return context.problems.add(place, '', kinds, `missing; allowed ${kinds}`);
      }
      const name = kind.value as string;
      if (kind.type !== 'string' || !Object.hasOwn(field.variants, name)) {
        return refused(kind, { ...field, label: 'kind' }, within(path, 'kind'), context, kinds);
      }
      const of = { is: 'choice', label: 'kind', doc: '', values: [name] } as const;
      return checkedFields(node, { kind: of, ...field.variants[name]!.fields }, path, context);
    }
  }
};

/** What no text may hold, since it would not be read as it stands: control characters, those that turn the direction of text, halves of a character. */
const barred = /[\p{Cc}\p{Surrogate}\u2028\u2029\u200e\u200f\u202a-\u202e\u2066-\u2069]/u;

function checkedText(node: Node, field: TextField, path: string, context: Context): string | undefined {
  if (!isText(node, field)) return refused(node, field, path, context, textWords(field));
  const text = node.value as string;
  const found = barred.exec(text)?.[0];
  if (found === undefined) return text;
  const code = `U+${found.codePointAt(0)!.toString(16).toUpperCase().padStart(4, '0')}`;
  return context.problems.add(
    { path, label: field.label, offset: node.offset },
    gotOf(node),
    'a single line of text',
    `the character ${code} will not do; allowed is a single line of text`,
  );
}

const isText = ({ type, value }: Node, { longest, pattern }: TextField): boolean =>
  type === 'string' && value.length <= longest && (!pattern || new RegExp(pattern.source).test(value));

const textWords = ({ longest, pattern }: TextField): string =>
  pattern?.words ?? `text of up to ${longest} characters`;

/** The values of an object's fields; unknown and missing keys are problems. */
function checkedFields(node: Node, fields: Fields, path: string, context: Context): object {
  const { problems } = context;
  const values: Record<string, unknown> = {};
  // Keys that stand there, or that somebody meant by one that does.
  const there = new Set<string>();
  for (const { key, keyNode, node: value } of entriesOf(node, path, problems)) {
    const place = { path: within(path, key), label: key, offset: keyNode.offset };
    if (Object.hasOwn(fields, key)) {
      there.add(key);
      const checked = check(value, fields[key]!, place.path, context);
      if (checked !== undefined) values[key] = checked;
    } else if (!problems.full) {
      const near = nearest(key, Object.keys(fields))!;
      there.add(near);
      problems.add(
        place,
        shown(key),
        Object.keys(fields).join(', '),
        `no key has this name; the nearest is "${near}"`,
      );
    }
  }
  for (const [key, field] of Object.entries(fields)) {
    if (field.optional || there.has(key)) continue;
    const allowed = needed(field);
    const place = { path: within(path, key), label: field.label, offset: node.offset };
    problems.add(place, '', allowed, `missing; needed is ${allowed}`);
  }
  return values;
}

/** What a missing field needs, in words. */
function needed(field: Field): string {
  switch (field.is) {
    case 'quantity':
      return `the ${field.label}, as "${field.example}"`;
    case 'choice':
      return listed(field.values);
    case 'count':
    case 'number':
      return `the ${field.label}, ${numbersOf(field)}`;
    case 'object': {
      const keys = Object.entries(field.fields).filter(([, f]) => !f.optional);
      return `an object with ${keys.map(([key]) => `"${key}"`).join(', ')}`;
    }
    default:
      return `the ${field.label}`;
  }
}

/** The numbers that a field allows, in words. */
function numbersOf({ low, high, multipleOf }: NumberField | CountField): string {
  if (multipleOf === 1) return `whole numbers ${low} … ${high}`;
  return `${low} … ${high}${multipleOf === undefined ? '' : ` in steps of ${multipleOf}`}`;
}

function checkedNumber(
  node: Node,
  field: NumberField | CountField,
  path: string,
  context: Context,
): number | undefined {
  const value = node.value as number;
  const { multipleOf } = field;
  const keeps =
    node.type === 'number' &&
    field.low <= value &&
    value <= field.high &&
    (multipleOf === undefined || Number.isInteger(value / multipleOf));
  if (keeps) return value;
  return refused(node, field, path, context, numbersOf(field));
}

/** The keys of the long form of a figure. */
const longForm = {
  value: { is: 'text', label: 'value', doc: '', longest: 100 },
  from: { is: 'choice', label: 'provenance', doc: '', values: provenances },
  note: { is: 'text', label: 'note', doc: '', longest: 500, optional: true },
  spread: { is: 'text', label: 'spread', doc: '', longest: 100, optional: true },
} satisfies Fields;

interface LongForm {
  readonly value?: unknown;
  readonly from?: Provenance;
  readonly note?: string;
  readonly spread?: string;
}

function checkedCount(node: Node, field: CountField, path: string, context: Context): object | undefined {
  if (node.type !== 'object') {
    const value = checkedNumber(node, field, path, context);
    return value === undefined ? undefined : { value, from: 'assumed' };
  }
  const { spread: _, ...form } = longForm;
  const value: NumberField = { ...field, is: 'number' };
  const long: LongForm = checkedFields(node, { ...form, value }, path, context);
  return long.value === undefined || long.from === undefined ? undefined : long;
}

function checkedQuantity(
  node: Node,
  field: QuantityField,
  path: string,
  context: Context,
): object | undefined {
  if (node.type === 'number') return bareNumber(node, field, path, context);
  if (node.type === 'string') {
    const read = checkedAmount(node, field, path, context);
    return read && { ...read, from: 'assumed', text: node.value };
  }
  if (node.type !== 'object') {
    return refused(node, field, path, context, `text with a unit, as "${field.example}"`);
  }
  const valueNode = childOf(node, 'value');
  if (valueNode?.type === 'number') {
    bareNumber(valueNode, field, path, context);
    return undefined;
  }
  const { value, from, note, spread } = checkedFields(node, longForm, path, context) as LongForm;
  if (typeof value !== 'string' || from === undefined) return undefined;
  const read = checkedAmount(childOf(node, 'value')!, field, path, context);
  if (read === undefined) return undefined;
  const whole = { ...read, from, text: value, ...(note !== undefined && { note }) };
  if (spread === undefined) return whole;
  const place = {
    path: within(path, 'spread'),
    label: `spread of the ${field.label}`,
    offset: childOf(node, 'spread')!.offset,
  };
  const got = shown(spread);
  if (read.spread !== undefined) {
    return context.problems.add(
      place,
      got,
      'one spread',
      `${got} is a second spread; the value has one after its ±`,
    );
  }
  return guarded(place, got, field, context, () => ({ ...whole, spread: spreadAmount(spread, read) }));
}

function bareNumber(node: Node, field: QuantityField, path: string, context: Context): undefined {
  const got = String(node.value);
  const allowed = `text with a unit, as "${field.example}"`;
  const place = { path, label: field.label, offset: node.offset };
  return context.problems.add(place, got, allowed, `${got} has no unit; write ${allowed}`);
}

function checkedAmount(node: Node, field: QuantityField, path: string, context: Context) {
  const text = node.value as string;
  const place = { path, label: field.label, offset: node.offset };
  const units = unitsOf(field.unit, context.measurand);
  if (units.length === 0) return undefined;
  return guarded(place, shown(text), field, context, () => {
    const read = amount(text, units);
    if (field.low <= read.value && read.value <= field.high) return read;
    const [got, low, high] = [read.value, field.low, field.high].map((value) =>
      asciiQuantity({ value, unit: read.unit }),
    );
    const allowed = `${low} … ${high}`;
    return context.problems.add(place, shown(text), allowed, `${got} is out of range; allowed ${allowed}`);
  });
}

/** What `read` returns; where it finds the text to be no amount, that is a problem. */
function guarded<T>(
  place: Place,
  got: string,
  field: QuantityField,
  { problems }: Context,
  read: () => T,
): T | undefined {
  try {
    return read();
  } catch (error) {
    if (!(error instanceof AmountError)) throw error;
    return problems.add(place, got, `text with a unit, as "${field.example}"`, error.message);
  }
}

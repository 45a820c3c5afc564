/**
 * Writing: a worksheet with one thing changed. The characters of that one thing are replaced, everything else stays as somebody
 * wrote it; the result is read again, so it is checked.
 */
import type { Node } from 'jsonc-parser';
import { nearest, shown } from '../numbers/guard.ts';
import { Problems } from './problem.ts';
import { readWorksheet, type Worksheet } from './read.ts';
import type { Field, Provenance } from './schema/field.ts';
import { fieldAt, pathsOf, provenanceKeys } from './schema/lookup.ts';
import { worksheetSchema } from './schema/worksheet.ts';
import { childOf, nodeAt, treeOf } from './source.ts';

/** The provenance of a figure and what goes with it. */
export interface ProvenanceChange {
  readonly from: Provenance;
  /** Kept as it is when absent. */
  readonly note?: string;
  /** Kept as it is when absent. */
  readonly spread?: string;
}

/**
 * The worksheet with one value replaced, or put in where it was missing.
 *
 * The provenance and note of the value stay, as does its short or long form. A value that says the same already is left as it is.
 *
 * @param worksheet - as read; not modified
 * @param path - keys and list places joined by dots, as `averaging.ratio`
 * @param text - the value as somebody would type it: `10 kohm`, `64`, `truncate`, `true`
 * @returns the changed worksheet
 * @throws WorksheetError where the path or the value is refused, or the worksheet with it
 */
export function withValue(worksheet: Worksheet, path: string, text: string): Worksheet {
  return withValues(worksheet, { [path]: text });
}

/**
 * The worksheet with several values replaced, put in or left out at once: only what they give together is checked. Source and note of
 * a figure stand at its path with `.from` and `.note` after it.
 *
 * @param worksheet - as read; not modified
 * @param values - texts as for `withValue`, by path; undefined leaves a value out, and the objects that are empty after that
 * @returns the changed worksheet
 * @throws WorksheetError where a path or a value is refused, or the worksheet with all of them
 */
export function withValues(
  worksheet: Worksheet,
  values: Readonly<Record<string, string | undefined>>,
): Worksheet {
  let { text } = worksheet;
  // Figures first, whatever the order, then what belongs to them.
  const ofFigure = (path: string): string | undefined => figureOf(worksheet, path);
  const entries = Object.entries(values).sort(
    ([a], [b]) => Number(ofFigure(a) !== undefined) - Number(ofFigure(b) !== undefined),
  );
  for (const [path, typed] of entries) {
    const { field } = located(worksheet, path);
    const figure = ofFigure(path);
    if (figure !== undefined) {
      const at = nodeAt(treeOf(text, new Problems(text))!, figure);
      if (at === undefined) {
        const why = 'the worksheet has no figure there that it could belong to';
        throw refuse(worksheet, path, field.label, typed ?? '', why);
      }
      const key = path.slice(figure.length + 1);
      if (typed !== undefined || at.type === 'object') text = withKey(text, at, figure, key, typed);
      continue;
    }
    const root = treeOf(text, new Problems(text))!;
    const node = nodeAt(root, path);
    if (typed === undefined) {
      if (node !== undefined) text = leftOut(text, node);
      continue;
    }
    const literal = literalOf(field, typed, (why) => refuse(worksheet, path, field.label, typed, why));
    if (node === undefined) text = inserted(text, root, path.split('.'), literal);
    else {
      const target = (node.type === 'object' && childOf(node, 'value')) || node;
      if (JSON.parse(literal) !== target.value) text = replaced(text, target, literal);
    }
  }
  return text === worksheet.text ? worksheet : reread(worksheet, text);
}

/** The path of the figure that a path says source or note of; undefined for any other. */
export function figureOf({ inputs }: Worksheet, path: string): string | undefined {
  const [, figure, key] = /^(.*)\.(\w+)$/.exec(path) ?? [];
  if (figure === undefined || !provenanceKeys.has(key!)) return undefined;
  const of = fieldAt(worksheetSchema, figure, inputs);
  return of?.is === 'quantity' || of?.is === 'count' ? figure : undefined;
}

/** The text without a value, and without the objects that are empty after that. */
function leftOut(text: string, value: Node): string {
  let node = value;
  const inObject = (n: Node) => n.parent?.type === 'property';
  while (inObject(node) && node.parent!.parent!.children!.length === 1 && inObject(node.parent!.parent!)) {
    node = node.parent!.parent!;
  }
  return removed(text, inObject(node) ? node.parent! : node);
}

/**
 * The worksheet without one value, and without the objects that are empty after that.
 *
 * @throws WorksheetError where the path is refused, or the worksheet without it
 */
export const withoutValue = (worksheet: Worksheet, path: string): Worksheet =>
  withValues(worksheet, { [path]: undefined });

/**
 * The worksheet with the provenance of one figure changed; the short form becomes the long one.
 *
 * @throws WorksheetError where the path or the change is refused
 */
export function withProvenance(worksheet: Worksheet, path: string, change: ProvenanceChange): Worksheet {
  const { root, field } = located(worksheet, path);
  const node = nodeAt(root, path);
  if (node === undefined || (field.is !== 'quantity' && field.is !== 'count')) {
    throw refuse(worksheet, path, field.label, change.from, 'no figure with a provenance stands here');
  }
  let { text } = worksheet;
  for (const [key, value] of Object.entries(change)) {
    text = withKey(text, nodeAt(treeOf(text, new Problems(text))!, path)!, path, key, value);
  }
  return reread(worksheet, text);
}

/** The text with a key of a figure set, or taken out; the short form becomes the long one. */
function withKey(text: string, figure: Node, path: string, key: string, value: string | undefined): string {
  if (figure.type !== 'object') {
    const written = text.slice(figure.offset, endOf(figure));
    return replaced(text, figure, `{ "value": ${written}, "${key}": ${JSON.stringify(value)} }`);
  }
  const there = childOf(figure, key);
  if (value === undefined) return there ? removed(text, there.parent!) : text;
  if (there) return replaced(text, there, JSON.stringify(value));
  return inserted(text, treeOf(text, new Problems(text))!, [...path.split('.'), key], JSON.stringify(value));
}

export const reread = ({ profiles }: Worksheet, text: string): Worksheet => readWorksheet({ text, profiles });

function refuse({ text }: Worksheet, path: string, label: string, got: string, reason: string) {
  const problems = new Problems(text);
  const root = treeOf(text, new Problems(text))!;
  problems.add({ path, label, offset: nodeAt(root, path)?.offset ?? root.offset }, shown(got), '', reason);
  return problems.error();
}

/** The tree of a worksheet, and the field at a path in it. */
function located(worksheet: Worksheet, path: string): { root: Node; field: Field } {
  const root = treeOf(worksheet.text, new Problems(worksheet.text))!;
  const field = fieldAt(worksheetSchema, path, worksheet.inputs);
  if (field === undefined || path === '') {
    const near = nearest(path, pathsOf(worksheetSchema, worksheet.inputs));
    throw refuse(worksheet, path, path, path, `no input has this path; the nearest is ${near}`);
  }
  return { root, field };
}

const jsonNumber = /^-?(?:0|[1-9]\d*)(?:\.\d+)?(?:[eE][-+]?\d+)?$/;

/** The JSON of a value as typed. What is no number where one is due stays text, which the check then refuses by name. */
function literalOf(field: Field, typed: string, refusal: (why: string) => Error): string {
  const bare = typed.trim();
  switch (field.is) {
    case 'object':
    case 'variant':
    case 'list':
      throw refusal('this is no single value; name one within it');
    case 'flag':
      return bare === 'true' || bare === 'false' ? bare : JSON.stringify(bare);
    case 'text':
      return JSON.stringify(typed);
    case 'quantity':
      return JSON.stringify(bare);
    case 'choice':
      return field.values.some((v) => typeof v === 'number' && String(v) === bare)
        ? bare
        : JSON.stringify(bare);
    default:
      return jsonNumber.test(bare) ? bare : JSON.stringify(bare);
  }
}

export const replaced = (text: string, node: Node, literal: string): string =>
  text.slice(0, node.offset) + literal + text.slice(node.offset + node.length);

const endOf = (node: Node): number => node.offset + node.length;

/** The value under keys that are all missing: a list where a key is its first place, else an object. */
const nested = (keys: readonly string[], literal: string): string =>
  keys.reduceRight(
    (inner, key) => (key === '0' ? `[${inner}]` : `{ ${JSON.stringify(key)}: ${inner} }`),
    literal,
  );

/** What parts what stands in an object or list that is not empty: a line end and indentation where each stands on its own line, else a space. */
export function gapIn(text: string, parent: Node): string {
  const before = text.slice(parent.offset + 1, parent.children![0]!.offset);
  return /[\r\n]/.test(before) ? before : ' ';
}

/** The text with a value put in under keys of which some are missing; the order of the keys is that of the schema. */
export function inserted(text: string, root: Node, keys: readonly string[], literal: string): string {
  let parent = root;
  let depth = 0;
  for (
    let next = nodeAt(parent, keys[0]!);
    next?.type === 'object' || next?.type === 'array';
    next = nodeAt(parent, keys[depth]!)
  ) {
    parent = next;
    depth++;
  }
  const rest = keys.slice(depth);
  const value = nested(rest.slice(1), literal);
  const properties = parent.children!;
  if (parent.type === 'array') {
    if (Number(rest[0]) !== properties.length) {
      const places = `${keys.slice(0, depth).join('.')} has ${properties.length} places`;
      throw new RangeError(`${keys.join('.')}: ${places}; the next is ${properties.length}`);
    }
    const at = properties.length > 0 ? endOf(properties.at(-1)!) : parent.offset + 1;
    return `${text.slice(0, at)}${properties.length > 0 ? `,${gapIn(text, parent)}` : ''}${value}${text.slice(at)}`;
  }
  const property = `${JSON.stringify(rest[0])}: ${value}`;
  if (properties.length === 0) {
    const at = parent.offset + 1;
    return text.slice(0, at) + property + text.slice(at);
  }
  const first = properties[0]!;
  const gap = gapIn(text, parent);
  const ahead = predecessor(properties, keys.slice(0, depth), rest[0]!);
  if (ahead === undefined)
    return `${text.slice(0, first.offset)}${property},${gap}${text.slice(first.offset)}`;
  return `${text.slice(0, endOf(ahead))},${gap}${property}${text.slice(endOf(ahead))}`;
}

/** The last property that the schema has ahead of a key; where the schema does not say, the last of all. */
function predecessor(properties: readonly Node[], parents: readonly string[], key: string): Node | undefined {
  const field = fieldAt(worksheetSchema, parents.join('.'));
  if (field?.is !== 'object') return properties.at(-1);
  const order = Object.keys(field.fields);
  const place = (property: Node) => order.indexOf(property.children![0]!.value as string);
  return properties.findLast((property) => place(property) < order.indexOf(key));
}

/** The text without a property or list place: the exact inverse of putting it in. */
export function removed(text: string, node: Node): string {
  const siblings = node.parent!.children!;
  const i = siblings.indexOf(node);
  const [from, to] =
    i > 0 ? [endOf(siblings[i - 1]!), endOf(node)] : [node.offset, siblings[1]?.offset ?? endOf(node)];
  return text.slice(0, from) + text.slice(to);
}

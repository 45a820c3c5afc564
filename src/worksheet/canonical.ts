/**
 * The canonical form of a document: keys in the order of the schema, two spaces for each level, and on one line what holds no
 * object or list of its own and fits.
 */

import type { Node } from 'jsonc-parser';
import { Problems } from './problem.ts';
import type { Field, ObjectField } from './schema/field.ts';
import { childOf, treeOf } from './source.ts';

/** Longest line that an object or list is put on whole. */
const width = 120;

/**
 * A document in its canonical form. Numbers and texts stand as they were written.
 *
 * @param text - a document that was read without problems
 * @param schema - its schema
 * @returns the same document, laid out; a line end closes it
 */
export function canonical(text: string, schema: ObjectField): string {
  const root = treeOf(text, new Problems(text))!;
  return `${laidOut(root, schema, text, '', 0)}\n`;
}

const own = (fields: Readonly<Record<string, Field>>, key: string): Field | undefined =>
  Object.hasOwn(fields, key) ? fields[key] : undefined;

/** The fields of an object in the order of the schema; undefined for a figure in its long form. */
function fieldsOf(node: Node, field: Field | undefined): Readonly<Record<string, Field>> {
  if (field?.is === 'object') return field.fields;
  if (field?.is === 'variant') return field.variants[String(childOf(node, 'kind')?.value)]?.fields ?? {};
  return {};
}

/** A node's text; `used` is how much of its first line is taken already. */
function laidOut(node: Node, field: Field | undefined, text: string, indent: string, used: number): string {
  const [open, close] = node.type === 'array' ? ['[', ']'] : ['{ ', ' }'];
  if (node.type !== 'object' && node.type !== 'array')
    return text.slice(node.offset, node.offset + node.length);
  const inner = `${indent}  `;
  const parts: { readonly lead: string; readonly node: Node; readonly field: Field | undefined }[] = [];
  if (node.type === 'array') {
    const of = field?.is === 'list' ? (field.of as Field) : undefined;
    for (const item of node.children!) parts.push({ lead: '', node: item, field: of });
  } else {
    const fields = fieldsOf(node, field);
    const order = Object.keys(fields);
    const place = (key: string) => order.indexOf(key);
    const entries = node.children!.map((p) => p.children as [Node, Node]);
    entries.sort(([a], [b]) => place(a.value as string) - place(b.value as string));
    for (const [key, value] of entries) {
      parts.push({
        lead: `${JSON.stringify(key.value)}: `,
        node: value,
        field: own(fields, key.value as string),
      });
    }
  }
  if (parts.length === 0) return node.type === 'array' ? '[]' : '{}';
  if (parts.every((p) => p.node.children === undefined)) {
    const line = `${open}${parts.map((p) => p.lead + laidOut(p.node, p.field, text, '', 0)).join(', ')}${close}`;
    if (used + line.length <= width) return line;
  }
  const lines = parts.map(
    (p) => `${inner}${p.lead}${laidOut(p.node, p.field, text, inner, inner.length + p.lead.length + 1)}`,
  );
  return `${open.trim()}\n${lines.join(',\n')}\n${indent}${close.trim()}`;
}

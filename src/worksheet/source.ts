/**
 * Source: from the text of a document to its tree, with the place of every value.
 *
 * Strict JSON: no comments, no trailing commas, no key twice. A document may come from a stranger, so size and depth are bounded
 * before anything recursive touches it, and no object is built from its keys.
 */
import { type Node, type ParseError, parseTree, printParseErrorCode } from 'jsonc-parser';
import { shown } from '../numbers/guard.ts';
import { type Problems, within } from './problem.ts';

/** Most characters of a document. */
export const longest = 256 * 1024;

/** Most objects and lists within one another. */
const deepest = 12;

/** What each of the parser's errors means. */
const syntax: Readonly<Record<string, string>> = {
  InvalidSymbol: 'this is no JSON value; text stands in double quotes',
  InvalidNumberFormat: 'this is no JSON number',
  PropertyNameExpected: 'a key in double quotes should stand here',
  ValueExpected: 'a value should stand here',
  ColonExpected: 'a colon should stand here',
  CommaExpected: 'a comma should stand here',
  CloseBraceExpected: 'the object is not closed; a } should stand here',
  CloseBracketExpected: 'the list is not closed; a ] should stand here',
  EndOfFileExpected: 'the document ended before this',
  InvalidCommentToken: 'comments are not allowed; put it in a "note"',
  UnexpectedEndOfComment: 'comments are not allowed; put it in a "note"',
  UnexpectedEndOfString: 'the text is not closed; a " should stand on this line',
  UnexpectedEndOfNumber: 'the number is not finished',
  InvalidUnicode: '\\u needs four hexadecimal digits',
  InvalidEscapeCharacter: 'this character needs no \\ before it',
  InvalidCharacter: 'control characters must be escaped',
};

/** Offset where the text goes deeper than allowed; undefined if it does not. Brackets in texts do not count. */
function tooDeep(text: string): number | undefined {
  let depth = 0;
  let inText = false;
  for (let i = 0; i < text.length; i++) {
    const c = text[i];
    if (inText && c === '\\') i++;
    else if (c === '"') inText = !inText;
    else if (inText) continue;
    else if (c === '{' || c === '[') {
      if (++depth > deepest) return i;
    } else if (c === '}' || c === ']') depth--;
  }
  return undefined;
}

/** The tree of a document, or undefined with the problem added. A byte order mark ahead is let pass. */
export function treeOf(text: string, problems: Problems): Node | undefined {
  const document = (offset: number) => ({ path: '', label: 'document', offset });
  if (text.length > longest) {
    return problems.add(
      document(0),
      `${text.length} characters`,
      `up to ${longest}`,
      `the document has ${text.length} characters; allowed up to ${longest}`,
    );
  }
  const json = text.startsWith('\ufeff') ? ` ${text.slice(1)}` : text;
  const deep = tooDeep(json);
  if (deep !== undefined) {
    const allowed = `up to ${deepest} objects and lists within one another`;
    return problems.add(
      document(deep),
      'more',
      allowed,
      `the document is nested too deep; allowed ${allowed}`,
    );
  }
  const errors: ParseError[] = [];
  const root = parseTree(json, errors, { disallowComments: true, allowTrailingComma: false });
  const first = errors[0];
  if (first !== undefined || root === undefined) {
    const what = syntax[first === undefined ? 'ValueExpected' : printParseErrorCode(first.error)];
    return problems.add(document(first?.offset ?? 0), '', 'JSON', `not JSON: ${what}`);
  }
  if (root.type !== 'object') {
    return problems.add(
      document(root.offset),
      root.type,
      'an object',
      'the document must be an object in { }',
    );
  }
  return root;
}

/** A key of an object in the document, with its value. */
export interface Entry {
  readonly key: string;
  readonly keyNode: Node;
  readonly node: Node;
}

/** The entries of an object; keys that stand there twice are problems. */
export function entriesOf(node: Node, path: string, problems: Problems): readonly Entry[] {
  const entries = new Map<string, Entry>();
  for (const property of node.children!) {
    const [keyNode, value] = property.children as [Node, Node];
    const key = keyNode.value as string;
    if (entries.has(key)) {
      const place = { path: within(path, key), label: key, offset: keyNode.offset };
      problems.add(place, shown(key), 'each key once', 'this key stands here a second time; take one out');
    } else entries.set(key, { key, keyNode, node: value });
  }
  return [...entries.values()];
}

/** The value of a key of an object; undefined if the key is not there. */
export const childOf = (object: Node, key: string): Node | undefined =>
  object.children!.find((p) => p.children![0]!.value === key)?.children?.[1];

/** The value node at a path; undefined if nothing stands there. */
export function nodeAt(root: Node, path: string): Node | undefined {
  let node: Node | undefined = root;
  for (const key of path.split('.')) {
    if (node?.type === 'object') {
      node = childOf(node, key);
    } else if (node?.type === 'array' && /^\d+$/.test(key)) node = node.children![Number(key)];
    else return undefined;
  }
  return node;
}

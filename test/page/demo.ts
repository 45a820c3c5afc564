/** The demo worksheets as sessions, for tests of pages. */
import { readFileSync } from 'node:fs';
import '../../src/numbers/compound.ts';
import { Session } from '../../src/page/session.ts';

export const profiles = Object.fromEntries(
  ['low-power', 'plain', 'fast'].map((name) => [name, readFileSync(`data/converters/${name}.json`, 'utf8')]),
);

// biome-ignore lint/suspicious/noExplicitAny: a document to take apart at will
type Document = any;

/** A session on a demo worksheet, with its document changed first where wanted. */
export function sessionOn(name: string, change?: (document: Document) => void): Session {
  let text = readFileSync(`data/worksheets/${name}.json`, 'utf8');
  if (change) {
    const document = JSON.parse(text) as Document;
    change(document);
    text = JSON.stringify(document, null, 2);
  }
  return new Session({ name, text, profiles, pages: [] });
}

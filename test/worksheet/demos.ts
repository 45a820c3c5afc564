import { readdirSync, readFileSync } from 'node:fs';
import { readProfile } from '../../src/worksheet/profile.ts';
import { readWorksheet, type Worksheet } from '../../src/worksheet/read.ts';
import type { Profiles } from '../../src/worksheet/schema/converter.ts';

/** The files of a folder of data/, by name without .json. */
const files = (folder: string): Record<string, string> =>
  Object.fromEntries(
    readdirSync(folder)
      .filter((f) => f.endsWith('.json'))
      .sort()
      .map((f) => [f.replace(/\.json$/, ''), readFileSync(`${folder}/${f}`, 'utf8')]),
  );

export const profileTexts = files('data/converters');
export const worksheetTexts = files('data/worksheets');

export const profiles: Profiles = Object.fromEntries(
  Object.entries(profileTexts).map(([name, text]) => [name, readProfile({ text })]),
);

const demos = new Map(
  Object.entries(worksheetTexts).map(([name, text]) => [name, readWorksheet({ text, profiles })]),
);

export const demo = (name: string): Worksheet => demos.get(name)!;

/** The beehive demo with one piece of its text replaced; the piece must be there once. */
export function beehiveWith(piece: string | RegExp, by: string): string {
  const text = worksheetTexts.beehive!;
  const parts = text.split(piece);
  if (parts.length !== 2) throw new Error(`${piece} stands in the demo ${parts.length - 1} times`);
  return parts.join(by);
}

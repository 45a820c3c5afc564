import { readFileSync } from 'node:fs';
import { join } from 'node:path';

/** The rows of a series in this folder, as text by column name; lines that start with # are its head. */
export function rowsOf(file: string): Record<string, string>[] {
  const lines = readFileSync(join(import.meta.dirname, file), 'utf8')
    .trim()
    .split('\n');
  const [names, ...rows] = lines.filter((line) => !line.startsWith('#')).map((line) => line.split(','));
  return rows.map((cells) => Object.fromEntries(names!.map((name, i) => [name, cells[i]!])));
}

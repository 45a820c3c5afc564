import { readFileSync } from 'node:fs';

/** Rows of a table in test/published, by column name. */
export function table(file: string): Record<string, string>[] {
  const lines = readFileSync(`test/published/${file}`, 'utf8').split('\n');
  const [head, ...rows] = lines.filter((line) => line && !line.startsWith('#'));
  const names = head!.split(',');
  return rows.map((row) => Object.fromEntries(row.split(',').map((field, i) => [names[i]!, field])));
}

/** One column of a table, the empty fields left out. */
export const column = (file: string, name: string): number[] =>
  table(file)
    .map((row) => row[name]!)
    .filter((field) => field !== '')
    .map(Number);

/** The recipe of [SP1065] 12.4: uniform deviates from a seed, the seed's own first. */
export function uniforms(seed: number, count: number): number[] {
  let n = seed;
  return Array.from({ length: count }, () => {
    const u = n / 2147483647;
    n = (16807 * n) % 2147483647;
    return u;
  });
}

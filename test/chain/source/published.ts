import { readFileSync } from 'node:fs';

/** The rows of a series in test/published/: numbers where they are, text where not; comments and the line of names left out. */
export const publishedRows = (file: string): string[][] =>
  readFileSync(`test/published/${file}`, 'utf8')
    .trim()
    .split('\n')
    .filter((line) => !line.startsWith('#'))
    .slice(1)
    .map((line) => line.split(','));

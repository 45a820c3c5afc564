/**
 * What pages are made of, in a package: all of it was made when the package was packed. It stands in place of sources.ts there;
 * see pack.ts.
 */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { Worker } from 'node:worker_threads';
import type { Page } from '../page/page.ts';
import { home } from './files.ts';
import type * as sources from './sources.ts';

const made = join(home, 'dist');

export const sheetPath: typeof sources.sheetPath = join(made, 'pages/sheet.css');

export const program: typeof sources.program = [join(made, 'cli/main.js')];

export const startRecordPart: typeof sources.startRecordPart = (workerData) =>
  new Worker(join(made, 'cli/recordPart.js'), { workerData });

/** Nothing in a package changes; the folder of the worksheet is watched besides. */
export const watched: typeof sources.watched = [];

export const allPages: typeof sources.allPages = async () => {
  const path = join(made, 'cli/pages.js');
  return ((await import(pathToFileURL(path).href)) as { default: Page[] }).default;
};

export const pageScripts: typeof sources.pageScripts = async (pages) =>
  new Map(pages.map(({ name }) => [name, readFileSync(join(made, `pages/${name}.js`), 'utf8')]));

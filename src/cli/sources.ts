/**
 * What pages are made of, in a checkout: page scripts are run and bundled from the sources as they stand. A package has packed.ts
 * in place of this file.
 */
import { readdirSync } from 'node:fs';
import { basename, join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { Worker } from 'node:worker_threads';
import type { Plugin } from 'esbuild';
import type { Page, PageScript } from '../page/page.ts';
import { home, InputError } from './files.ts';

/** The style sheet, without its fonts. */
export const sheetPath = join(home, 'src/page/html/sheet.css');

/** What makes node run this program anew. */
export const program: readonly string[] = ['--import', 'tsx', join(home, 'src/cli/main.ts')];

/** Starts the second thread of a long record. A thread does not inherit what lets node read TypeScript. */
export function startRecordPart(workerData: unknown): Worker {
  const [tsx, part] = [import.meta.resolve('tsx/esm/api'), import.meta.resolve('./recordPart.ts')];
  const script = `import(${JSON.stringify(tsx)}).then(({ register }) => (register(), import(${JSON.stringify(part)})))`;
  return new Worker(script, { eval: true, workerData });
}

/** Folders whose change makes other pages. */
export const watched: readonly string[] = ['src', 'notebooks', 'data/converters'].map((f) => join(home, f));

/** The page scripts of notebooks/, in their order. */
export async function allPages(): Promise<Page[]> {
  const folder = join(home, 'notebooks');
  const scripts = readdirSync(folder).filter((f) => f.endsWith('.ts'));
  const pages = await Promise.all(
    scripts.map(async (file) => {
      const module = (await import(pathToFileURL(join(folder, file)).href)) as { default?: PageScript };
      if (!module.default?.content)
        throw new InputError(`notebooks/${file}: it must export a page as its default`);
      return { name: basename(file, '.ts'), ...module.default };
    }),
  );
  return pages.sort((a, b) => a.place - b.place || a.name.localeCompare(b.name));
}

/** What starts a page; the script of one that takes a record or many draws also reads or makes them, when it runs as a worker. */
function entryOf({ name, takesRecord, takesOther, takesDraws }: Page): string {
  const start = `start({ name: ${JSON.stringify(name)}, ...script }`;
  return [
    "import './src/numbers/compound.ts';",
    "import { start } from './src/page/live/start.tsx';",
    `import script from ${JSON.stringify(`./notebooks/${name}.ts`)};`,
    ...(takesRecord
      ? [
          "import { Records } from './src/page/live/records.ts';",
          "import { serveRecords } from './src/page/live/recordWorker.ts';",
          "if (typeof document === 'undefined') serveRecords();",
          `else ${start}, (...of) => new Records(...of));`,
        ]
      : takesDraws
        ? [
            "import { Draws } from './src/page/live/draws.ts';",
            "import { serveDraws } from './src/page/live/drawWorker.ts';",
            "if (typeof document === 'undefined') serveDraws();",
            `else ${start}, undefined, (...of) => new Draws(...of));`,
          ]
        : takesOther
          ? [
              "import { Others } from './src/page/live/others.ts';",
              `${start}, (_script, ...of) => new Others(...of));`,
            ]
          : [`${start});`]),
  ].join('\n');
}

/** The script of each page by its name: page script, computation and live part in one, for a browser. */
export async function pageScripts(pages: readonly Page[]): Promise<Map<string, string>> {
  const virtual: Plugin = {
    name: 'page',
    setup(b) {
      b.onResolve({ filter: /^page:/ }, ({ path }) => ({ path: path.slice(5), namespace: 'page' }));
      b.onLoad({ filter: /.*/, namespace: 'page' }, ({ path }) => ({
        contents: entryOf(pages.find(({ name }) => name === path)!),
        resolveDir: home,
        loader: 'ts',
      }));
    },
  };
  const { build } = await import('esbuild');
  const { outputFiles } = await build({
    entryPoints: pages.map(({ name }) => ({ in: `page:${name}`, out: name })),
    plugins: [virtual],
    bundle: true,
    write: false,
    outdir: home,
    absWorkingDir: home,
    format: 'iife',
    target: 'es2022',
    minify: true,
    legalComments: 'none',
    jsx: 'automatic',
    jsxImportSource: 'preact',
    mainFields: ['module', 'main'],
    logLevel: 'silent',
  });
  return new Map(
    pages.map(({ name }) => [
      name,
      outputFiles.find((f) => f.path === join(home, `${name}.js`))!.text.trim(),
    ]),
  );
}

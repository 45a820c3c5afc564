/** Building the pages: each as one self-contained HTML file. */
import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { build as bundle, type Plugin } from 'esbuild';
import { parseHTML } from 'linkedom';
import { documentText, policyFor, scriptJson } from '../page/document.ts';
import { stillSheet } from '../page/html/still.tsx';
import { type Page, pageView } from '../page/page.ts';
import { Session, type SessionData } from '../page/session.ts';
import { allPages, home, type WorksheetFile, writeWhole } from './files.ts';

const sha256 = (text: string): string => createHash('sha256').update(text).digest('base64');

/** The script of a page: its page script, the computation and the live part, in one. */
async function scripts(pages: readonly Page[]): Promise<Map<string, string>> {
  const virtual: Plugin = {
    name: 'page',
    setup(b) {
      b.onResolve({ filter: /^page:/ }, ({ path }) => ({ path: path.slice(5), namespace: 'page' }));
      b.onLoad({ filter: /.*/, namespace: 'page' }, ({ path }) => ({
        contents: [
          "import './src/numbers/compound.ts';",
          "import { start } from './src/page/live/start.tsx';",
          `import script from ${JSON.stringify(`./notebooks/${path}.ts`)};`,
          `start({ name: ${JSON.stringify(path)}, ...script });`,
        ].join('\n'),
        resolveDir: home,
        loader: 'ts',
      }));
    },
  };
  const { outputFiles } = await bundle({
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

const faces = [
  ['Halfbit Text', 'text-regular', ''],
  ['Halfbit Text', 'text-italic', 'font-style:italic;'],
  ['Halfbit Text', 'text-bold', 'font-weight:700;'],
  ['Halfbit Math', 'math', ''],
  ['Halfbit Lettering', 'lettering', ''],
] as const;

/** The style sheet with its fonts inside. */
function styleSheet(): string {
  const fonts = faces.map(([family, file, more]) => {
    const data = readFileSync(join(home, `data/fonts/${file}.woff2`)).toString('base64');
    return `@font-face{font-family:"${family}";${more}src:url(data:font/woff2;base64,${data}) format("woff2")}`;
  });
  const css = readFileSync(join(home, 'src/page/html/sheet.css'), 'utf8');
  return `${css.replace(/\/\*[\s\S]*?\*\//g, '').replace(/\s+/g, ' ')}${fonts.join('')}`;
}

/** A page's file, ready to be written. */
export interface BuiltPage {
  readonly name: string;
  readonly html: string;
}

/**
 * The files of all pages for a worksheet. `reload`: a script that the local server adds, so that a page is loaded anew when it
 * was built anew.
 */
export async function builtPages({
  worksheet,
  profiles,
  reload,
}: {
  worksheet: WorksheetFile;
  profiles: Readonly<Record<string, string>>;
  reload?: string;
}): Promise<BuiltPage[]> {
  const pages = await allPages();
  const style = styleSheet();
  const data: SessionData = {
    name: worksheet.name,
    text: worksheet.text,
    profiles,
    pages: pages.map(({ name, short }) => ({ name, short })),
  };
  const session = new Session(data);
  const { document } = parseHTML('<!doctype html><html><body></body></html>');
  const bundled = await scripts(pages);
  return pages.map((page) => {
    const script = bundled.get(page.name)!;
    const policy = policyFor({
      script: sha256(script),
      style: sha256(style),
      ...(reload && { reload: sha256(reload) }),
    });
    const parts = {
      title: `${page.question} · Halfbit`,
      policy,
      style,
      script,
      data: scriptJson(data),
      body: stillSheet(pageView(page, session, data), document as unknown as Document),
    };
    return { name: page.name, html: documentText(parts, reload ? `<script>${reload}</script>` : '') };
  });
}

/** Writes pages into a folder, each whole or not at all; the first page also as `index.html`. */
export function writePages(pages: readonly BuiltPage[], folder: string): string[] {
  const files = pages.map(({ name, html }) => [join(folder, `${name}.html`), html] as const);
  for (const [path, html] of files) writeWhole(path, html);
  return files.map(([path]) => path);
}

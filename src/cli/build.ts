/** Building the pages: each as one self-contained HTML file. */
import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { parseHTML } from 'linkedom';
import type { PageView } from '../page/desk.ts';
import { documentText, policyFor, scriptJson } from '../page/document.ts';
import { stillSheet } from '../page/html/still.tsx';
import { pageView } from '../page/page.ts';
import { Session, type SessionData } from '../page/session.ts';
import { carriedBeside, givenBeside } from './carried.ts';
import { home, type WorksheetFile, writeWhole } from './files.ts';
import { allPages, pageScripts, sheetPath } from './sources.ts';

const sha256 = (text: string): string => createHash('sha256').update(text).digest('base64');

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
  const css = readFileSync(sheetPath, 'utf8');
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
  const bundled = await pageScripts(pages);
  const carried = await carriedBeside(worksheet, session);
  return pages.map((page) => {
    const own: SessionData = { ...data, ...carried(page) };
    const view = pageView(page, session, data, givenBeside(page, own, session));
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
      data: scriptJson(own),
      body: stillSheet(view, document as unknown as Document),
    };
    return { name: page.name, html: documentText(parts, reload ? `<script>${reload}</script>` : '') };
  });
}

/** A view as one HTML file without a script: to be read and printed. */
export function stillPage(view: PageView): string {
  const style = styleSheet();
  const { document } = parseHTML('<!doctype html><html><body></body></html>');
  return documentText({
    title: `${view.question} · Halfbit`,
    policy: policyFor({ script: sha256(''), style: sha256(style) }),
    style,
    script: '',
    data: scriptJson({}),
    body: stillSheet(view, document as unknown as Document),
  });
}

/** Writes pages into a folder, each whole or not at all; the first page also as `index.html`. */
export function writePages(pages: readonly BuiltPage[], folder: string): string[] {
  const files = pages.map(({ name, html }) => [join(folder, `${name}.html`), html] as const);
  for (const [path, html] of files) writeWhole(path, html);
  return files.map(([path]) => path);
}

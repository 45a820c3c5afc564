/** Built pages opened from disk as a reader would: no server, no network. */
import { copyFileSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import type { AxeResults } from 'axe-core';
import axe from 'axe-core';
import type { Browser, BrowserContext, Locator, Page } from 'playwright-core';
import { afterAll, beforeAll, expect } from 'vitest';
import { builtPages, writePages } from '../../src/cli/build.ts';
import { demoWorksheet, profileTexts, worksheetFile } from '../../src/cli/files.ts';
import { launch } from './chromium.ts';

/** The pages of a worksheet, built for the tests of one file. */
export interface Built {
  /** Folder that they are in. */
  readonly folder: () => string;
  readonly url: (name: string) => string;
  /** A page opened afresh; anything it asks for or complains of fails the test when it is closed. */
  readonly opened: (address: string) => Promise<Page>;
}

/** Builds all pages of a worksheet before the tests, and takes them away after. */
export function builtFor(worksheet = demoWorksheet): Built {
  let folder = '';
  let browser: Browser | undefined;
  let context: BrowserContext;
  beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), 'halfbit-pages-'));
    const pages = await builtPages({
      worksheet: worksheetFile(worksheet),
      profiles: profileTexts(worksheet),
    });
    writePages(pages, folder);
    browser = await launch();
    context = await browser.newContext({ viewport: { width: 1280, height: 900 }, acceptDownloads: true });
  });
  afterAll(async () => {
    await browser?.close();
    if (folder) rmSync(folder, { recursive: true, force: true });
  });
  const opened = async (address: string): Promise<Page> => {
    const page = await context.newPage();
    const bad: string[] = [];
    page.on('request', (request) => {
      if (!/^(file|data|blob):/.test(request.url())) bad.push(`request ${request.url()}`);
    });
    page.on('console', (message) => {
      if (message.type() === 'error' || message.type() === 'warning') bad.push(message.text());
    });
    page.on('pageerror', (error) => bad.push(error.message));
    page.on('close', () => expect(bad).toEqual([]));
    await page.goto(address);
    return page;
  };
  return { folder: () => folder, url: (name) => pathToFileURL(join(folder, `${name}.html`)).href, opened };
}

export const field = (page: Page, path: string): Locator =>
  page.locator(`input[data-path="${path}"]`).first();

export const answer = (page: Page): Promise<string> => page.locator('.answer').innerText();

/** Writes into a field as a person does: to it, everything selected, typed over. */
export async function type(page: Page, path: string, text: string): Promise<void> {
  await field(page, path).focus();
  await page.keyboard.press('Control+a');
  await page.keyboard.type(text);
}

/** What a page hands out when something is done: the name that the file would have, where it lies now, and its text. */
export async function handedOut(
  page: Page,
  act: () => Promise<void>,
): Promise<{ name: string; path: string; text: string }> {
  const [download] = await Promise.all([page.waitForEvent('download'), act()]);
  const path = await download.path();
  return { name: download.suggestedFilename(), path, text: readFileSync(path, 'utf8') };
}

/** A button of the foot. */
export const foot = (page: Page, words: string): Locator => page.locator('.acts button', { hasText: words });

/** The file that "Save a copy" hands out, put where a browser opens it as a page. */
export async function savedCopy(page: Page): Promise<{ name: string; url: string; text: string }> {
  const { name, path, text } = await handedOut(page, () => foot(page, 'Save a copy').click());
  copyFileSync(path, `${path}.html`);
  return { name, url: pathToFileURL(`${path}.html`).href, text };
}

/** How far the page runs over the side at a width, px. */
export async function overflowAt(page: Page, width: number): Promise<number> {
  await page.setViewportSize({ width, height: 800 });
  await page.waitForTimeout(80);
  return page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
}

/** What axe-core finds at a width and in a colour scheme, each with where it stands. */
export async function axeFindings(
  page: Page,
  width: number,
  colorScheme: 'light' | 'dark',
): Promise<string[]> {
  await page.setViewportSize({ width, height: 900 });
  await page.emulateMedia({ colorScheme });
  await page.evaluate(axe.source);
  const { violations } = await page.evaluate(
    async () => (await (window as unknown as { axe: typeof axe }).axe.run()) as AxeResults,
  );
  return violations.map((v) => `${v.id}: ${v.nodes.map((n) => n.html.slice(0, 120)).join(' | ')}`);
}

/** The sheets of A4 that a page prints on; fails where the paper is another. */
export async function sheetsPrinted(page: Page): Promise<number> {
  const pdf = (await page.pdf({ preferCSSPageSize: true, printBackground: true })).toString('latin1');
  expect(pdf).toMatch(/\/MediaBox\s*\[0 0 59[45][.\d]* 84[12]/);
  return pdf.match(/\/Type\s*\/Page\b/g)!.length;
}

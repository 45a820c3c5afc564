import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import { halfbit } from '../cli/halfbit.ts';
import {
  answer,
  axeFindings,
  builtFor,
  handedOut,
  overflowAt,
  savedCopy,
  sheetsPrinted,
  type,
} from './opened.ts';

/** The files that the page offers, by their names, taken by keyboard. */
async function savedFiles(page: Page): Promise<Record<string, string>> {
  const files: Record<string, string> = {};
  for (const button of await page.locator('.files button').all()) {
    await button.focus();
    const { name, text } = await handedOut(page, () => page.keyboard.press('Enter'));
    files[name] = text;
  }
  return files;
}

/** The same files by the command. */
function commanded(worksheet: string, prefix: string, ...more: string[]): Record<string, string> {
  const text = (...args: string[]): string => {
    const { code, out } = halfbit(['header', worksheet, ...more, ...args]);
    expect(code).toBe(0);
    return out;
  };
  return {
    [`${prefix}.h`]: text(),
    [`${prefix}_vectors.h`]: text('--vectors', 'c'),
    [`${prefix}_vectors.csv`]: text('--vectors', 'csv'),
  };
}

describe.each(['beehive', 'cellar', 'workbench'])('the files of %s', (demo) => {
  const worksheet = `data/worksheets/${demo}.json`;
  const { url, opened } = builtFor(worksheet);

  it('are to the byte those of the command, also after an edit and from a saved copy', async () => {
    const page = await opened(url('into-firmware'));
    const first = await savedFiles(page);
    expect(first).toEqual(commanded(worksheet, demo));
    expect(await savedFiles(page)).toEqual(first);
    await type(page, 'averaging.ratio', '32');
    await page.keyboard.press('Tab');
    const edited = await savedFiles(page);
    expect(edited).toEqual(commanded(worksheet, demo, '--set', 'averaging.ratio=32'));
    expect(edited[`${demo}.h`]).not.toBe(first[`${demo}.h`]);
    const again = await opened((await savedCopy(page)).url);
    expect(await savedFiles(again)).toEqual(edited);
    await again.close();
    await page.close();
  });
});

const { folder, url, opened } = builtFor();
const open = () => opened(url('into-firmware'));

describe('into firmware, opened from disk', () => {
  it('shows conversion, error and constants, asks for nothing and complains of nothing', async () => {
    const page = await open();
    expect(await answer(page)).toContain('A polynomial of degree 6 in 32-bit integers');
    expect(await page.locator('svg.chart.for-screen').count()).toBe(1);
    expect(await page.locator('table[data-table=constants] tbody tr').count()).toBeGreaterThan(40);
    for (const width of [320, 390, 800, 1280]) expect(await overflowAt(page, width), `${width}`).toBe(0);
    expect(readFileSync(join(folder(), 'into-firmware.html')).length).toBeLessThan(1e6);
    await page.close();
  });

  it('what is asked, changed by keyboard, changes the arithmetic; nonsense is told and changes nothing', async () => {
    const page = await open();
    await type(page, 'firmware.intermediates', '16');
    expect(await answer(page)).toMatch(/A table of \d+ entries in 16-bit integers/);
    expect(page.url()).toContain('firmware.intermediates=16');
    await type(page, 'firmware.error', '5 mK');
    const before = await answer(page);
    await type(page, 'firmware.error', '5');
    await page.keyboard.press('Tab');
    expect(await page.locator('[role=alert]').innerText()).toMatch(/has no unit/);
    expect(await answer(page)).toBe(before);
    await page.close();
  });

  it('axe-core finds nothing, wide and light, narrow and dark; it prints on a few sheets', async () => {
    const page = await open();
    expect(await axeFindings(page, 1280, 'light')).toEqual([]);
    expect(await axeFindings(page, 390, 'dark')).toEqual([]);
    const sheets = await sheetsPrinted(page);
    expect(sheets).toBeGreaterThanOrEqual(3);
    expect(sheets).toBeLessThanOrEqual(5);
    await page.close();
  });
});

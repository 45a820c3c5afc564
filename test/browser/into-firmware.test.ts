import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { answer, axeFindings, builtFor, overflowAt, sheetsPrinted, type } from './opened.ts';

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

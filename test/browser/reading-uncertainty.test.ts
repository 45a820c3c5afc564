import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { answer, axeFindings, builtFor, field, overflowAt, sheetsPrinted, type } from './opened.ts';

const { folder, url, opened } = builtFor();
const open = () => opened(url('reading-uncertainty'));

describe('reading uncertainty, opened from disk', () => {
  it('shows answer, plots and tables, asks for nothing and complains of nothing', async () => {
    const page = await open();
    expect(await answer(page)).toContain('A reading is within ±216');
    expect(await page.locator('svg.chart.for-screen').count()).toBe(2);
    expect(await page.locator('table[data-table=budget] tbody tr').count()).toBeGreaterThan(8);
    expect(await page.locator('table[data-table=witness] tbody tr').count()).toBe(3);
    for (const width of [320, 390, 1280]) expect([width, await overflowAt(page, width)]).toEqual([width, 0]);
    expect(readFileSync(join(folder(), 'reading-uncertainty.html')).length).toBeLessThan(1e6);
    await page.close();
  });

  it('follows an input changed by keyboard, and one that was not given', async () => {
    const page = await open();
    await type(page, 'requirement.uncertainty', '0.2 K');
    await page.keyboard.press('Tab');
    expect(await answer(page)).toContain('A reading may be off by 216');
    await type(page, 'calibration.drift', '0.3 K');
    await page.keyboard.press('Tab');
    expect(await answer(page)).toContain('A reading may be off by 4');
    await field(page, 'calibration.drift').focus();
    await page.keyboard.press('Control+a');
    await page.keyboard.press('Delete');
    await page.keyboard.press('Tab');
    expect(await answer(page)).toContain('A reading may be off by 216');
    expect(await field(page, 'calibration.drift').inputValue()).toBe('not given');
    await page.close();
  });

  it('nonsense is told beside the field, and the last good figures stay', async () => {
    const page = await open();
    const before = await answer(page);
    await type(page, 'conditions.warmest', '-20 degC');
    await page.keyboard.press('Tab');
    expect(await page.locator('[role=alert]').innerText()).toMatch(/^Warmest board: .*below the coldest/);
    expect(await answer(page)).toBe(before);
    await page.close();
  });

  it('axe-core finds nothing, wide and light, narrow and dark; it prints on a few sheets', async () => {
    const page = await open();
    expect(await axeFindings(page, 1280, 'light')).toEqual([]);
    expect(await axeFindings(page, 390, 'dark')).toEqual([]);
    const sheets = await sheetsPrinted(page);
    expect(sheets).toBeGreaterThanOrEqual(2);
    expect(sheets).toBeLessThanOrEqual(5);
    await page.close();
  });
});

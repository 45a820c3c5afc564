import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { answer, axeFindings, builtFor, field, overflowAt, sheetsPrinted, type } from './opened.ts';

const { folder, url, opened } = builtFor('data/worksheets/workbench.json');
const open = () => opened(url('hum-and-aliases'));

describe('hum and aliases, opened from disk', () => {
  it('shows answer, plots and tables, asks for nothing and complains of nothing', async () => {
    const page = await open();
    expect(await answer(page)).toContain('up to 47\u202f% may get through');
    expect(await page.locator('svg.chart.for-screen').count()).toBe(2);
    expect(await page.locator('table[data-table=hum] tbody tr').count()).toBe(2);
    for (const width of [320, 390, 800, 1280])
      expect([width, await overflowAt(page, width)]).toEqual([width, 0]);
    expect(readFileSync(join(folder(), 'hum-and-aliases.html')).length).toBeLessThan(1e6);
    await page.close();
  });

  it('the interval by keyboard changes the answer; the recommended window can be taken', async () => {
    const page = await open();
    await type(page, 'sampling.interval', '60 us');
    expect(await answer(page)).toContain('may get through');
    expect(await answer(page)).not.toContain('47\u202f%');
    await page.locator('.also button', { hasText: 'take it' }).click();
    expect(await field(page, 'sampling.interval').inputValue()).toMatch(/^78\.13/);
    expect(await page.locator('.also').innerText()).toContain('The window nulls the mains');
    await page.close();
  });

  it('nonsense is told beside the field, and the last good figures stay', async () => {
    const page = await open();
    const before = await answer(page);
    await type(page, 'conditioning.interference.0.tolerance', '90 %');
    await page.keyboard.press('Tab');
    expect(await page.locator('[role=alert]').innerText()).toMatch(
      /^Interference tolerance: .*still use the last good value, 1.%\.$/,
    );
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

import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { answer, axeFindings, builtFor, field, overflowAt, sheetsPrinted, type } from './opened.ts';

const { folder, url, opened } = builtFor('data/worksheets/workbench.json');
const open = () => opened(url('noise-and-dither'));

describe('noise and dither, opened from disk', () => {
  it('shows answer, plots and tables, asks for nothing and complains of nothing', async () => {
    const page = await open();
    expect(await answer(page)).toContain('There is too little noise');
    expect(await page.locator('svg.chart.for-screen').count()).toBe(3);
    expect(await page.locator('table[data-table=dithers] tbody tr').count()).toBe(6);
    for (const width of [320, 390, 800, 1280])
      expect([width, await overflowAt(page, width)]).toEqual([width, 0]);
    expect(readFileSync(join(folder(), 'noise-and-dither.html')).length).toBeLessThan(1e6);
    await page.close();
  });

  it('an input that was not given is written, changes the answer, and is left out again', async () => {
    const page = await open();
    const before = await answer(page);
    await type(page, 'noise.sourceRms', '0.3 mV');
    await page.keyboard.press('Tab');
    expect(await answer(page)).toContain('There is noise enough to average 256 conversions');
    expect(page.url()).toContain('noise.sourceRms=0.3%20mV');
    await field(page, 'noise.sourceRms').focus();
    await page.keyboard.press('Control+a');
    await page.keyboard.press('Delete');
    await page.keyboard.press('Tab');
    expect(await answer(page)).toBe(before);
    expect(await field(page, 'noise.sourceRms').inputValue()).toBe('not given');
    expect(page.url()).not.toContain('#');
    await page.close();
  });

  it('the dither that is missing can be tried', async () => {
    const page = await open();
    await page.locator('.also button', { hasText: 'Try it' }).click();
    expect(await answer(page)).toContain('There is noise enough');
    expect(await field(page, 'noise.sourceRms').inputValue()).toMatch(/µV$/);
    await page.close();
  });

  it('nonsense is told beside the field, and the last good figures stay', async () => {
    const page = await open();
    const before = await answer(page);
    await type(page, 'noise.flickerCorner', '50 V');
    await page.keyboard.press('Tab');
    expect(await page.locator('[role=alert]').innerText()).toMatch(
      /^1\/f corner: .*still use the last good value, not given\.$/,
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

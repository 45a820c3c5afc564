import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { answer, axeFindings, builtFor, field, overflowAt, sheetsPrinted, type } from './opened.ts';

const { folder, url, opened } = builtFor('data/worksheets/cellar.json');
const open = () => opened(url('supply-and-reference'));

describe('supply and reference, opened from disk', () => {
  it('shows answer, plot and tables, asks for nothing and complains of nothing', async () => {
    const page = await open();
    expect(await answer(page)).toContain('The internal reference moves the reading by up to');
    expect(await page.locator('svg.chart.for-screen').count()).toBe(1);
    expect(await page.locator('table[data-table=ways] tbody tr').count()).toBe(3);
    expect(await page.locator('table[data-table=budgets] tbody tr').count()).toBeGreaterThan(4);
    for (const width of [320, 390, 1280]) expect([width, await overflowAt(page, width)]).toEqual([width, 0]);
    expect(readFileSync(join(folder(), 'supply-and-reference.html')).length).toBeLessThan(1e6);
    await page.close();
  });

  it('follows an input changed by keyboard; a resistance that was not given draws the battery', async () => {
    const page = await open();
    await type(page, 'converter.internalReference.tolerance', '2 %');
    await page.keyboard.press('Tab');
    expect(await answer(page)).toContain('139');
    await type(page, 'power.battery.internalResistance', '5 ohm');
    await page.keyboard.press('Tab');
    expect(await page.locator('svg.chart.for-screen').count()).toBe(2);
    await field(page, 'power.battery.internalResistance').focus();
    await page.keyboard.press('Control+a');
    await page.keyboard.press('Delete');
    await page.keyboard.press('Tab');
    expect(await page.locator('svg.chart.for-screen').count()).toBe(1);
    await page.close();
  });

  it('nonsense is told beside the field, and the last good figures stay', async () => {
    const page = await open();
    const before = await answer(page);
    await type(page, 'converter.reference.ripple', '5');
    await page.keyboard.press('Tab');
    expect(await page.locator('[role=alert]').innerText()).toMatch(/^Reference ripple: /);
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

import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { answer, axeFindings, builtFor, field, overflowAt, sheetsPrinted, type } from './opened.ts';

const { folder, url, opened } = builtFor();
const open = () => opened(url('charge-and-battery'));

describe('charge and battery, opened from disk', () => {
  it('shows answer, plots and tables, asks for nothing and complains of nothing', async () => {
    const page = await open();
    expect(await answer(page)).toContain('The battery lasts 13.7\u202fyears');
    expect(await page.locator('svg.chart.for-screen').count()).toBe(3);
    expect(await page.locator('table[data-table=phases] tbody tr').count()).toBe(5);
    for (const width of [320, 390, 800, 1280])
      expect([width, await overflowAt(page, width)]).toEqual([width, 0]);
    expect(readFileSync(join(folder(), 'charge-and-battery.html')).length).toBeLessThan(1e6);
    await page.close();
  });

  it('a battery written in mAh, a part in % and a phase by keyboard change the answer', async () => {
    const page = await open();
    expect(await field(page, 'power.battery.capacity').inputValue()).toBe('220\u202fmAh');
    expect(await field(page, 'power.battery.usable').inputValue()).toBe('80\u202f%');
    await type(page, 'power.battery.usable', '40 %');
    expect(await answer(page)).toContain('The battery lasts 6.87\u202fyears');
    await type(page, 'power.phases.0.time', '50 ms');
    expect(await answer(page)).toContain('a reading takes 156\u202fµC');
    await page.close();
  });

  it('nonsense is told beside the field, and the last good figures stay', async () => {
    const page = await open();
    const before = await answer(page);
    await type(page, 'power.battery.usable', '-5 %');
    await page.keyboard.press('Tab');
    expect(await page.locator('[role=alert]').innerText()).toMatch(
      /^Usable part: .*still use the last good value, 80.%\.$/,
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

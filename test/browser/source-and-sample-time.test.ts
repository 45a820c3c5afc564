import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { answer, axeFindings, builtFor, field, overflowAt, sheetsPrinted, type } from './opened.ts';

const { folder, url, opened } = builtFor('data/worksheets/cellar.json');
const open = () => opened(url('source-and-sample-time'));

describe('source and sample time, opened from disk', () => {
  it('shows answer, plots and tables, asks for nothing and complains of nothing', async () => {
    const page = await open();
    expect(await answer(page)).toContain('Sample for 130 cycles');
    expect(await page.locator('svg.chart.for-screen').count()).toBe(3);
    expect(await page.locator('table[data-table=sample-times] tbody tr').count()).toBe(7);
    for (const width of [320, 390, 800, 1280])
      expect([width, await overflowAt(page, width)]).toEqual([width, 0]);
    expect(readFileSync(join(folder(), 'source-and-sample-time.html')).length).toBeLessThan(1e6);
    await page.close();
  });

  it('an input changed by keyboard changes the answer, and the arrow keys go along the profile', async () => {
    const page = await open();
    await type(page, 'sensor.top', '220 kohm');
    await type(page, 'sensor.bottom', '100 kohm');
    expect(await answer(page)).toContain('Sample for 11 cycles');
    expect(page.url()).toContain('sensor.bottom=100%20kohm');
    await field(page, 'sampling.sampleCycles').focus();
    await page.keyboard.press('ArrowDown');
    expect(await field(page, 'sampling.sampleCycles').inputValue()).toBe('11');
    expect(await page.locator('.also').innerText()).toContain('This is what you have chosen.');
    await page.close();
  });

  it('a row can be taken, and what else would serve can be tried', async () => {
    const page = await open();
    await page.locator('table[data-table=sample-times] tr.rec').click();
    expect(await page.locator('.also').innerText()).toContain('This is what you have chosen.');
    expect(await page.getByText('What else would serve').count()).toBe(0);
    await page.goBack();
    await page.goto(url('source-and-sample-time'));
    await page.locator('.note button', { hasText: 'Try it' }).first().click();
    expect(await field(page, 'conditioning.capacitor').inputValue()).toBe('1.5\u202fµF');
    expect(await page.locator('table[data-table=sample-times] tr.cho').innerText()).toContain(
      'chosen; settled',
    );
    await page.close();
  });

  it('a pair of resistors is chosen by keyboard, and one step back takes both back', async () => {
    const page = await open();
    const rows = page.locator('table[data-table=divider-pairs] tbody tr');
    expect(await rows.count()).toBe(7);
    await rows.nth(0).locator('input[type=radio]').focus();
    await page.keyboard.press('ArrowDown');
    const values = async (): Promise<string[]> => [
      await field(page, 'sensor.top').inputValue(),
      await field(page, 'sensor.bottom').inputValue(),
    ];
    await expect.poll(values).toEqual(['2.2\u202fMΩ', '1.1\u202fMΩ']);
    await page.keyboard.press('ArrowDown');
    await expect.poll(values).toEqual(['3\u202fMΩ', '1.5\u202fMΩ']);
    expect(page.url()).toContain('sensor.top=3%20Mohm&sensor.bottom=1.5%20Mohm');
    expect(await page.locator('table[data-table=divider-pairs] tr.cho').innerText()).toContain('1.5\u202fMΩ');
    await page.keyboard.press('Control+z');
    await page.keyboard.press('Control+z');
    await expect.poll(values).toEqual(['2.2\u202fMΩ', '1\u202fMΩ']);
    expect(page.url()).not.toContain('sensor');
    await page.close();
  });

  it('nonsense is told beside the field, and the last good figures stay', async () => {
    const page = await open();
    const before = await answer(page);
    await type(page, 'converter.sampleCapacitance', '9 V');
    await page.keyboard.press('Tab');
    expect(await page.locator('[role=alert]').innerText()).toMatch(
      /^Sampling capacitor: .*still use the last good value/,
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

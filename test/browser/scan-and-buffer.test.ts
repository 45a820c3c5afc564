import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { answer, axeFindings, builtFor, field, overflowAt, sheetsPrinted, type } from './opened.ts';

const { folder, url, opened } = builtFor('data/worksheets/workbench.json');
const open = () => opened(url('scan-and-buffer'));

describe('scan and buffer, opened from disk', () => {
  it('shows its turns and tables, asks for nothing and complains of nothing', async () => {
    const page = await open();
    expect(await answer(page)).toContain('3 channels in 38.4\u202fms');
    expect(await page.locator('svg.chart.for-screen').count()).toBe(1);
    expect(await page.locator('table.set').count()).toBe(4);
    for (const width of [320, 390, 800, 1280]) expect(await overflowAt(page, width)).toBe(0);
    expect(readFileSync(join(folder(), 'scan-and-buffer.html')).length).toBeLessThan(1e6);
    await page.close();
  });

  it('an input changed by keyboard changes answer and address; nonsense is told beside the field', async () => {
    const page = await open();
    const before = await answer(page);
    await type(page, 'scan.channels.1.sampleCycles', '95');
    expect(await answer(page)).toContain('chip temperature is sampled too short');
    expect(page.url()).toContain('scan.channels.1.sampleCycles=95');
    await type(page, 'scan.channels.1.sampleCycles', '96');
    await page.keyboard.press('Tab');
    expect(await page.locator('[role=alert]').innerText()).toMatch(/96 is no sample time of the profile/);
    expect(await answer(page)).not.toBe(before);
    await page.close();
  });

  it('a channel is added by a what-if, a length of the buffer taken from its table', async () => {
    const page = await open();
    await page.getByRole('button', { name: 'a battery voltage' }).click();
    expect(await answer(page)).toContain('4 channels');
    await page.locator('table[data-table=buffer] tbody tr').nth(1).locator('input').click();
    expect(await field(page, 'scan.buffer.scans').inputValue()).toBe('4');
    await page.close();
  });

  it('axe-core finds nothing, wide and light, narrow and dark; it prints on a few sheets', async () => {
    const page = await open();
    expect(await axeFindings(page, 1280, 'light')).toEqual([]);
    expect(await axeFindings(page, 390, 'dark')).toEqual([]);
    const sheets = await sheetsPrinted(page);
    expect(sheets).toBeGreaterThanOrEqual(2);
    expect(sheets).toBeLessThanOrEqual(4);
    await page.close();
  });
});

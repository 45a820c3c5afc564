import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { answer, axeFindings, builtFor, field, overflowAt, sheetsPrinted, type } from './opened.ts';

const { folder, url, opened } = builtFor();
const open = () => opened(url('rate-and-resolution'));

describe('bits and rate, opened from disk', () => {
  it('shows the edge, the register and its tables, asks for nothing and complains of nothing', async () => {
    const page = await open();
    expect(await answer(page)).toContain('One further bit costs 4 times the rate');
    expect(await page.locator('svg.chart.for-screen').count()).toBe(2);
    expect(await page.locator('[data-bits=register] svg.bf').count()).toBe(3);
    expect(await page.locator('table.set').count()).toBe(7);
    for (const width of [320, 390, 800, 1280]) expect(await overflowAt(page, width)).toBe(0);
    expect(readFileSync(join(folder(), 'rate-and-resolution.html')).length).toBeLessThan(1e6);
    await page.close();
  });

  it('an input changed by keyboard changes answer, register and address', async () => {
    const page = await open();
    const before = await answer(page);
    const register = await page.locator('[data-bits=register]').innerText();
    await type(page, 'averaging.ratio', '16');
    expect(await answer(page)).not.toBe(before);
    expect(await page.locator('[data-bits=register]').innerText()).not.toBe(register);
    expect(page.url()).toContain('averaging.ratio=16');
    await type(page, 'converter.timer.clock', '32 kHz');
    expect(await page.locator('main').innerText()).toContain('The timer counts to 59\u202f999');
    await page.close();
  });

  it('a row of the table is taken with resolution, ratio and shift', async () => {
    const page = await open();
    await page.locator('table[data-table=rates] tr.rec').click();
    expect(await page.locator('.also').innerText()).toContain('the fastest that meets everything');
    await page.locator('table[data-table=rates] tbody tr').last().locator('input').click();
    expect(await field(page, 'sampling.bits').inputValue()).toBe('8\u202fbits');
    expect(await page.locator('table[data-table=rates] tr.cho').count()).toBe(1);
    await page.close();
  });

  it('nonsense is told beside the field, and the last good figures stay', async () => {
    const page = await open();
    const before = await answer(page);
    await type(page, 'sampling.bits', '13');
    await page.keyboard.press('Tab');
    expect(await page.locator('[role=alert]').innerText()).toMatch(/13 is no resolution of the profile/);
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

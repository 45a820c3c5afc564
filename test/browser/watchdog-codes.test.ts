import { describe, expect, it } from 'vitest';
import { answer, axeFindings, builtFor, field, overflowAt, sheetsPrinted, type } from './opened.ts';

const { url, opened } = builtFor();
const open = () => opened(url('watchdog-codes'));

describe('watchdog codes, opened from disk', () => {
  it('shows answer, registers, plots and tables, asks for nothing and complains of nothing', async () => {
    const page = await open();
    expect(await answer(page)).toContain('Write low = 0x3230');
    expect(await page.locator('svg.chart.for-screen').count()).toBe(2);
    expect(await page.locator('svg.bf').count()).toBe(2);
    expect(await page.locator('table[data-table=other-settings] tbody tr').count()).toBe(10);
    for (const width of [320, 390, 800, 1280])
      expect([width, await overflowAt(page, width)]).toEqual([width, 0]);
    await page.close();
  });

  it('a limit changed by keyboard changes the code; its arrow keys step; a second limit makes a window', async () => {
    const page = await open();
    await type(page, 'watchdog.above', '45 degC');
    expect(await answer(page)).not.toContain('0x3230');
    expect(page.url()).toContain('watchdog.above=45%20degC');
    await field(page, 'watchdog.above').focus();
    await page.keyboard.press('ArrowDown');
    expect(await field(page, 'watchdog.above').inputValue()).toBe('44.5 degC');
    await type(page, 'watchdog.below', '10 degC');
    expect(await answer(page)).toMatch(/Write high = 0x\w+ and low = 0x\w+/);
    await type(page, 'watchdog.intent', 'must-not-trip');
    expect(await answer(page)).toContain('no converter then trips but');
    await page.close();
  });

  it('nonsense is told beside the field, and the last good figures stay', async () => {
    const page = await open();
    const before = await answer(page);
    await type(page, 'watchdog.above', '37');
    await page.keyboard.press('Tab');
    expect(await page.locator('[role=alert]').innerText()).toMatch(
      /^Upper limit: .*no unit.*still use the last good value/,
    );
    expect(await answer(page)).toBe(before);
    await page.close();
  });

  it('a row of the settings can be taken, and its code is the answer', async () => {
    const page = await open();
    await page.locator('table[data-table=other-settings] tbody tr').first().click();
    expect(await answer(page)).toContain('Write low = 0x0650');
    expect(page.url()).toContain('averaging.ratio=1');
    await page.close();
  });

  it.each([
    [1280, 'light'],
    [390, 'dark'],
  ] as const)('axe-core finds nothing at %i px, %s', async (width, scheme) => {
    const page = await open();
    expect(await axeFindings(page, width, scheme)).toEqual([]);
    await page.close();
  });

  it('prints on a few sheets of A4', async () => {
    const page = await open();
    const sheets = await sheetsPrinted(page);
    expect(sheets).toBeGreaterThanOrEqual(2);
    expect(sheets).toBeLessThanOrEqual(5);
    await page.close();
  });
});

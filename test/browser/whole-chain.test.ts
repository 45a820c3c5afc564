import { describe, expect, it } from 'vitest';
import { answer, axeFindings, builtFor, overflowAt, sheetsPrinted, type } from './opened.ts';

const { url, opened } = builtFor('data/worksheets/workbench.json');
const open = () => opened(url('whole-chain'));

describe('the whole chain, opened from disk', () => {
  it('names what is missed, and follows an input changed by keyboard', async () => {
    const page = await open();
    expect(await answer(page)).toMatch(/of \d requirements (is|are) missed/);
    const before = await page.locator('table[data-table=requirements]').innerText();
    await type(page, 'requirement.resolution', '100 mK');
    expect(await page.locator('table[data-table=requirements]').innerText()).not.toBe(before);
    for (const width of [320, 390, 800, 1280])
      expect([width, await overflowAt(page, width)]).toEqual([width, 0]);
    await page.close();
  });

  it('axe-core finds nothing, wide and light, narrow and dark; it prints on two to four sheets', async () => {
    const page = await open();
    expect(await axeFindings(page, 1280, 'light')).toEqual([]);
    expect(await axeFindings(page, 390, 'dark')).toEqual([]);
    const sheets = await sheetsPrinted(page);
    expect(sheets).toBeGreaterThanOrEqual(2);
    expect(sheets).toBeLessThanOrEqual(4);
    await page.close();
  });
});

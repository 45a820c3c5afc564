import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { describe, expect, it } from 'vitest';
import { answer, axeFindings, builtFor, field, overflowAt, sheetsPrinted, type } from './opened.ts';

const { folder, url, opened } = builtFor();
const open = () => opened(url('reading-uncertainty'));

describe('reading uncertainty, opened from disk', () => {
  it('shows answer, plots and tables, asks for nothing and complains of nothing', async () => {
    const page = await open();
    expect(await answer(page)).toContain('A reading is within ±216');
    expect(await page.locator('svg.chart.for-screen').count()).toBe(3);
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

  it('draws a million beside the page when asked by keyboard, with progress, and again after an edit', async () => {
    const page = await open();
    const table = page.locator('table[data-table=witness]');
    const plot = page.locator('figure:has([data-plot=errors])');
    const shows = (draws: string) =>
      page.waitForFunction(
        (words) => document.querySelector('table[data-table=witness]')!.textContent!.includes(words),
        `${draws} draws`,
      );
    const percents = (): Promise<number[]> => page.evaluate('window.percents');
    await page.evaluate(`window.percents = [];
      new MutationObserver(() => {
        const bar = document.querySelector('[role=progressbar]');
        const now = bar ? Number(bar.getAttribute('aria-valuenow')) : NaN;
        if (now !== window.percents.at(-1)) window.percents.push(now);
      }).observe(document.querySelector('main'), { subtree: true, childList: true, attributes: true, characterData: true });`);
    expect(await table.innerText()).toContain('10\u202f000 draws');
    const few = await table.locator('tbody tr').nth(1).innerText();
    await plot.getByRole('button', { name: 'Draw 1\u202f000\u202f000' }).focus();
    await page.keyboard.press('Enter');
    await plot.getByRole('progressbar').waitFor();
    expect(await plot.getByRole('button').innerText()).toBe('Stop');
    expect(await axeFindings(page, 1280, 'light')).toEqual([]);
    await shows('1\u202f000\u202f000');
    expect(await table.locator('tbody tr').nth(1).innerText()).toContain('207');
    expect(await page.locator('main').innerText()).toContain('1\u202f000\u202f000 times');
    // The words that ask have kept the focus; who does not see it was told once that it began, once that it is there.
    expect(await page.evaluate(() => document.activeElement!.textContent)).toBe('Go back to 10\u202f000');
    expect(await plot.getByRole('status').innerText()).toBe('1\u202f000\u202f000 draws made');
    const seen = (await percents()).filter((p) => !Number.isNaN(p));
    expect(seen.every((p, i) => p >= (seen[i - 1] ?? 0) && p < 100)).toBe(true);

    // An edit shows the few for the new input at once, then many without being asked; another during the run begins it again.
    await type(page, 'converter.inl', '6 LSB');
    await page.keyboard.press('Tab');
    expect(await table.innerText()).toContain('10\u202f000 draws');
    await plot.getByRole('progressbar').waitFor();
    await type(page, 'converter.inl', '9 LSB');
    await page.keyboard.press('Tab');
    const wider = await table.locator('tbody tr').nth(1).innerText();
    await shows('1\u202f000\u202f000');
    const many = await table.locator('tbody tr').nth(1).innerText();
    // u of few and many for the same input agree to its second digit.
    const u = (row: string): number => Number(/draws\s+([\d.]+)/.exec(row)![1]);
    expect(Math.abs(u(many) / u(wider) - 1)).toBeLessThan(0.03);
    expect(u(many)).toBeGreaterThan(1.5 * u(few));

    // The address is of inputs alone, and the way back is too.
    expect(await page.evaluate(() => location.hash)).toBe('#converter.inl=9%20LSB');
    await plot.getByRole('button').click();
    expect(await table.innerText()).toContain('10\u202f000 draws');
    expect(await plot.getByRole('button').innerText()).toBe('Draw 1\u202f000\u202f000');
    await page.close();
  });

  it('may be stopped; a saved copy has the few, draws on its own, and the page does without a worker', async () => {
    const page = await open();
    const plot = page.locator('figure:has([data-plot=errors])');
    const table = page.locator('table[data-table=witness]');
    await plot.getByRole('button').click();
    await plot.getByRole('button', { name: 'Stop' }).click();
    expect(await plot.getByRole('progressbar').count()).toBe(0);
    expect(await table.innerText()).toContain('10\u202f000 draws');
    await plot.getByRole('button').click();
    await plot.getByRole('button', { name: /^Go back/ }).waitFor();
    const row = await table.locator('tbody tr').nth(1).innerText();
    const waiting = page.waitForEvent('download');
    await page.getByRole('button', { name: 'Save a copy' }).click();
    const saved = join(folder(), 'saved.html');
    await (await waiting).saveAs(saved);
    await page.close();
    expect(readFileSync(saved, 'utf8')).toMatch(/10\u202f000 draws<\/td>/);

    const copy = await opened(pathToFileURL(saved).href);
    await copy.evaluate(() => Reflect.deleteProperty(window, 'Worker'));
    const frames =
      'window.frames_=0;requestAnimationFrame(function f(){window.frames_++;requestAnimationFrame(f)})';
    await copy.evaluate(frames);
    await copy.locator('figure:has([data-plot=errors])').getByRole('button').click();
    await copy.getByRole('button', { name: /^Go back/ }).waitFor();
    expect(await copy.evaluate<number>('window.frames_')).toBeGreaterThan(10);
    expect(await copy.locator('table[data-table=witness] tbody tr').nth(1).innerText()).toBe(row);
    await copy.close();
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

import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { answer, axeFindings, builtFor, field, overflowAt, sheetsPrinted, type } from './opened.ts';

const built = builtFor();
const url = () => built.url('temperature-ratio');
const opened = (address = url()) => built.opened(address);

describe('opened from disk', () => {
  it('shows answer, chain, plots and table, asks for nothing and complains of nothing', async () => {
    const page = await opened();
    expect(await page.locator('h1').innerText()).toContain('oversampling ratio');
    expect(await page.locator('.chain li').count()).toBe(8);
    expect(await page.locator('svg.chart.for-screen').count()).toBe(3);
    expect(await page.locator('table.set tbody tr').count()).toBeGreaterThan(5);
    expect((await answer(page)).length).toBeGreaterThan(20);
    await page.close();
  });

  it('stays under 1 MB', () => {
    expect(readFileSync(join(built.folder(), 'temperature-ratio.html')).length).toBeLessThan(1e6);
  });

  it.each([320, 390, 480, 640, 800, 1024, 1280, 1920])(
    'does not run over the side at %i px',
    async (width) => {
      const page = await opened();
      expect(await overflowAt(page, width)).toBe(0);
      await page.close();
    },
  );
});

describe('an input', () => {
  it('changed by keyboard changes answer and address, and keeps the focus', async () => {
    const page = await opened();
    const before = await answer(page);
    await type(page, 'requirement.resolution', '2 mK');
    expect(await answer(page)).not.toBe(before);
    expect(page.url()).toContain('requirement.resolution=2%20mK');
    expect(await page.evaluate(() => (document.activeElement as HTMLInputElement).dataset.path)).toBe(
      'requirement.resolution',
    );
    expect(await page.locator('.block').innerText()).toContain('1 change unsaved');
    await page.close();
  });

  it('steps through what the hardware allows with the arrow keys', async () => {
    const page = await opened();
    const ratio = field(page, 'averaging.ratio');
    await ratio.focus();
    await page.keyboard.press('ArrowUp');
    expect(await ratio.inputValue()).toBe('128');
    await page.keyboard.press('ArrowDown');
    await page.keyboard.press('ArrowDown');
    expect(await ratio.inputValue()).toBe('32');
    await page.close();
  });

  it('that makes no sense is told beside the field, and the last good figures stay', async () => {
    const page = await opened();
    const before = await answer(page);
    await type(page, 'requirement.period', '1');
    await page.keyboard.press('Tab');
    const alert = page.locator('[role=alert]');
    expect(await alert.innerText()).toMatch(
      /^Reading period: .*no unit.*The figures still use the last good value, 1.min\./,
    );
    expect(await field(page, 'requirement.period').getAttribute('aria-invalid')).toBe('true');
    expect(await answer(page)).toBe(before);
    await field(page, 'requirement.period').focus();
    await page.keyboard.press('Escape');
    expect(await alert.count()).toBe(0);
    expect(await field(page, 'requirement.period').inputValue()).toBe('1\u202fmin');
    await page.close();
  });

  it('that begins well and ends badly leaves nothing of itself', async () => {
    const page = await opened();
    await type(page, 'averaging.ratio', '1x6');
    await page.keyboard.press('Tab');
    expect(await page.locator('[role=alert]').innerText()).toContain(
      'The figures still use the last good value, 64.',
    );
    expect(page.url()).not.toContain('averaging.ratio');
    await page.close();
  });

  it('is taken back by Escape, by the words at the foot, and by Ctrl+Z', async () => {
    const page = await opened();
    const before = await answer(page);
    await type(page, 'requirement.resolution', '2 mK');
    await page.keyboard.press('Escape');
    expect(await answer(page)).toBe(before);
    await type(page, 'requirement.resolution', '2 mK');
    await page.keyboard.press('Tab');
    expect(await page.locator('.acts').innerText()).toContain('Undo: resolution 2\u202fm°C to 20\u202fm°C');
    await page.locator('.acts button', { hasText: 'Undo' }).click();
    expect(await answer(page)).toBe(before);
    expect(page.url()).not.toContain('#');
    await page.locator('.acts button', { hasText: 'Redo' }).click();
    expect(await answer(page)).not.toBe(before);
    await page.locator('h1').click();
    await page.keyboard.press('Control+z');
    expect(await answer(page)).toBe(before);
    await page.close();
  });

  it('can be chosen as a row of the table, by pointer and by keyboard', async () => {
    const page = await opened();
    const chosen = page.locator('table.set tr.cho');
    await page.locator('table.set tr.rec').click();
    expect(await page.locator('.also').innerText()).not.toMatch(/take .* instead/);
    await page.locator('table.set input[type=radio]:checked').focus();
    await page.keyboard.press('ArrowDown');
    expect(await chosen.count()).toBe(1);
    expect(page.url()).toContain('averaging.ratio=');
    await page.close();
  });
});

describe('a link', () => {
  it('opened again gives the same state', async () => {
    const page = await opened();
    await type(page, 'converter.noise', '0.15 LSB');
    const [link, words] = [page.url(), await answer(page)];
    await page.close();
    const again = await opened(link);
    expect(await answer(again)).toBe(words);
    expect(await field(again, 'converter.noise').inputValue()).toBe('0.15\u202fLSB');
    await again.close();
  });
});

describe('for everyone', () => {
  it.each([
    [1280, 'light'],
    [1280, 'dark'],
    [390, 'light'],
    [390, 'dark'],
  ] as const)('axe-core finds nothing at %i px, %s', async (width, colorScheme) => {
    const page = await opened();
    await type(page, 'requirement.period', '1');
    await page.keyboard.press('Tab');
    expect(await axeFindings(page, width, colorScheme)).toEqual([]);
    await page.close();
  });

  it('is dark where the reader wants it dark', async () => {
    const page = await opened();
    const paper = (): Promise<string> => page.evaluate(() => getComputedStyle(document.body).backgroundColor);
    expect(await paper()).toBe('rgb(247, 247, 239)');
    await page.emulateMedia({ colorScheme: 'dark' });
    expect(await paper()).toBe('rgb(21, 27, 28)');
    await page.close();
  });

  it('every plot reads its figures by arrow keys', async () => {
    const page = await opened();
    for (const plot of await page.locator('.plot').all()) {
      await plot.focus();
      await page.keyboard.press('ArrowRight');
      await page.keyboard.press('ArrowRight');
      expect(await plot.locator('.pointed text').textContent()).toMatch(/^at .+: .+/);
    }
    await page.close();
  });

  it('prints on A4 with its plots drawn for paper', async () => {
    const page = await opened();
    const sheets = await sheetsPrinted(page);
    expect(sheets).toBeGreaterThanOrEqual(2);
    expect(sheets).toBeLessThanOrEqual(4);
    expect(await page.locator('svg.chart.for-paper').count()).toBe(3);
    await page.close();
  });
});

import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import { halfbit } from '../cli/halfbit.ts';
import {
  answer,
  axeFindings,
  builtFor,
  field,
  foot,
  overflowAt,
  savedCopy,
  sheetsPrinted,
  type,
} from './opened.ts';

const { folder, url, opened } = builtFor();
const open = (hash = '') => opened(`${url('two-worksheets')}${hash}`);
const text = (page: Page, selector: string): Promise<string> => page.locator(selector).innerText();
const also = (page: Page): Promise<string> => text(page, '.also');

/** What the page says differs, as figures, once causes are named: every table, input fields by what stands in them. */
async function figures(page: Page): Promise<string[][]> {
  await page.waitForTimeout(400);
  return page.locator('table.set tbody tr').evaluateAll((rows) =>
    rows.map((row) =>
      [...row.querySelectorAll('td')].map((cell) => {
        const copy = cell.cloneNode(true) as HTMLElement;
        for (const button of copy.querySelectorAll('button')) button.remove();
        return `${cell.querySelector('input')?.value ?? ''}${copy.textContent}`.replace(/\s+/g, ' ').trim();
      }),
    ),
  );
}

/** Drops a file on the page. */
const drop = (page: Page, name: string, content: string): Promise<void> =>
  page.evaluate(
    ([fileName, body]) => {
      const dataTransfer = new DataTransfer();
      dataTransfer.items.add(new File([body!], fileName!));
      dispatchEvent(new DragEvent('drop', { dataTransfer, cancelable: true }));
    },
    [name, content],
  );

describe('two worksheets, opened from disk', () => {
  it('shows a comparison with the revision it carries, asks for nothing and complains of nothing', async () => {
    const page = await open();
    expect(await answer(page)).toContain('One requirement is lost: settling was');
    expect(await also(page)).toContain('B is revisions/beehive.json');
    expect(await page.locator('table[data-table=inputs] tbody tr').count()).toBe(8);
    for (const width of [320, 390, 800, 1280])
      expect([width, await overflowAt(page, width)]).toEqual([width, 0]);
    expect(readFileSync(join(folder(), 'two-worksheets.html')).length).toBeLessThan(1e6);
    await page.close();
  });

  it('an edit by keyboard, in the row that differs, is compared at once; undo takes it back', async () => {
    const page = await open();
    const at = 'sampling.sampleCycles';
    await page.locator('.also button', { hasText: 'swap the two' }).click();
    expect(await answer(page)).toContain('No requirement is lost');
    await page.locator('.also button', { hasText: 'as its file has it' }).click();
    expect(await answer(page)).toContain('The two say the same');
    await type(page, at, '14');
    expect(await answer(page)).toContain('No requirement is lost: One input differs');
    await type(page, 'averaging.shift', '6');
    // It is in a table by now, which came while it was typed, and in the chain.
    expect(await answer(page)).toContain('One requirement is lost: step was 3.76');
    expect(await page.locator('table[data-table=inputs] input').count()).toBe(2);
    await page.getByText('lost; by shift alone').waitFor();
    await page.keyboard.press('Tab');
    await page.locator('table[data-table=inputs] input').last().focus();
    await page.keyboard.press('Control+a');
    await page.keyboard.type('4');
    await page.keyboard.press('Enter');
    expect(await page.evaluate(() => document.activeElement!.getAttribute('data-path'))).toBe(
      'averaging.shift',
    );
    // 64 shifted by 4 is a quarter of a native code.
    expect(await answer(page)).toContain('is 7.51');
    await page.keyboard.press('Control+z');
    await page.keyboard.press('Control+z');
    expect(await answer(page)).toContain('No requirement is lost: One input differs');
    await foot(page, 'Undo').click();
    expect(await answer(page)).toContain('The two say the same');
    await page.close();
  });

  it('an input is taken over from the other, by keyboard; the row stays, and the link has it', async () => {
    const page = await open();
    const take = page.locator('table[data-table=inputs] button', { hasText: 'take it' });
    expect(await take.count()).toBe(8);
    await page.getByRole('button', { name: 'take it: 32' }).focus();
    await page.keyboard.press('Enter');
    expect(page.url()).toContain('averaging.ratio=32');
    expect(await take.count()).toBe(7);
    expect(await page.locator('table[data-table=inputs]').innerText()).toContain('the same now');
    expect(await field(page, 'averaging.ratio').inputValue()).toBe('32');
    // The link opens with the change; the other worksheet is the page's own again.
    const linked = await opened(page.url());
    expect(await figures(linked)).toEqual(await figures(page));
    await linked.close();
    await page.close();
  });

  it('another file, opened or dropped, is compared as the command does; a copy keeps both', async () => {
    const page = await open();
    await page.setInputFiles('input[type=file]', 'data/worksheets/cellar.json');
    await page.waitForFunction(() => document.querySelector('.also')!.textContent!.includes('cellar.json'));
    const { out } = halfbit(['compare', 'data/worksheets/beehive.json', 'data/worksheets/cellar.json']);
    expect(out.replace(/\s+/g, ' ')).toContain((await answer(page)).replace(/\s+/g, ' ').slice(2));
    await drop(page, '<b>mine</b>.json', readFileSync('data/worksheets/revisions/beehive.json', 'utf8'));
    await page.waitForFunction(() =>
      document.querySelector('.also')!.textContent!.includes('<b>mine</b>.json'),
    );
    await page.locator('.also button', { hasText: 'swap the two' }).click();
    await type(page, 'averaging.ratio', '16');
    await page.keyboard.press('Tab');
    const shown = await figures(page);
    expect(shown.length).toBeGreaterThan(20);
    // Through two saves: the same figures, and the same bytes.
    const first = await savedCopy(page);
    const again = await opened(first.url);
    expect(await figures(again)).toEqual(shown);
    expect(await answer(again)).toBe(await answer(page));
    const second = await savedCopy(again);
    expect(second.text).toBe(first.text);
    // There it goes on: a change, and back to what the copy carries.
    await type(again, 'averaging.ratio', '64');
    await again.keyboard.press('Tab');
    expect(await figures(again)).not.toEqual(shown);
    await foot(again, 'Undo').click();
    await again.locator('.also button', { hasText: 'as its file has it' }).click();
    expect(await answer(again)).toContain('The two say the same');
    await again.locator('.also button', { hasText: 'go back to <b>mine</b>.json' }).click();
    expect(await figures(again)).toEqual(shown);
    await again.close();
    await page.close();
  });

  it('one’s own changes against the file: a copy keeps what the file had', async () => {
    const page = await open('#averaging.shift=6');
    await page.locator('.also button', { hasText: 'as its file has it' }).click();
    expect(await answer(page)).toContain('One requirement is lost: step was 3.76');
    const shown = await figures(page);
    const copy = await savedCopy(page);
    const again = await opened(copy.url);
    expect(await figures(again)).toEqual(shown);
    expect(await also(again)).toContain('A is beehive, as its file had it');
    expect((await savedCopy(again)).text).toBe(copy.text);
    await again.close();
    await page.close();
  });

  it.each([
    ['markup', '<script>alert(1)</script>', 'line 1, column 1'],
    ['a prototype’s key', '{"halfbit": 1, "__proto__": {"x": 1}}', 'line 1, column'],
    ['nested deeply', '['.repeat(100_000), 'line 1, column'],
    ['of a later version', '{"halfbit": 99}', 'use a newer program'],
    ['too long', ' '.repeat((1 << 20) + 1), 'got 1048577 bytes; allowed up to 1048576'],
  ])(
    'a file that is none is refused with its place, and the page stays at work: %s',
    async (_, content, why) => {
      const page = await open();
      const before = await figures(page);
      await drop(page, 'x.json', content);
      await page.waitForSelector('.also [role=alert]');
      const told = await text(page, '.also [role=alert]');
      expect(told).toContain('x.json is refused: ');
      expect(told).toContain(why);
      expect(told).toContain('The page compares with revisions/beehive.json.');
      expect(await figures(page)).toEqual(before);
      await type(page, 'averaging.ratio', '16');
      expect(await figures(page)).not.toEqual(before);
      // A good one takes the refusal away.
      await drop(page, 'good.json', readFileSync('data/worksheets/cellar.json', 'utf8'));
      await page.waitForFunction(() => document.querySelector('.also')!.textContent!.includes('good.json'));
      expect(await page.locator('.also [role=alert]').count()).toBe(0);
      await page.close();
    },
  );

  it('axe-core finds nothing, wide and light, narrow and dark; it prints on a few sheets', async () => {
    const page = await open();
    expect(await axeFindings(page, 1280, 'light')).toEqual([]);
    await drop(page, 'x.json', '?');
    await page.waitForSelector('.also [role=alert]');
    expect(await axeFindings(page, 390, 'dark')).toEqual([]);
    const sheets = await sheetsPrinted(page);
    expect(sheets).toBeGreaterThanOrEqual(2);
    expect(sheets).toBeLessThanOrEqual(3);
    await page.close();
  });
});

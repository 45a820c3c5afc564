import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { afterAll, describe, expect, it } from 'vitest';
import { answer, axeFindings, builtFor, field, overflowAt, sheetsPrinted, type } from './opened.ts';

const { folder, url, opened } = builtFor();
const open = () => opened(url('recorded-codes'));
const files = mkdtempSync(join(tmpdir(), 'halfbit-codes-'));
afterAll(() => rmSync(files, { recursive: true, force: true }));

describe('recorded codes, opened from disk', () => {
  it('shows the record it carries, asks for nothing and complains of nothing', async () => {
    const page = await open();
    expect(await answer(page)).toContain('Nothing that matters is refuted');
    expect(await page.locator('svg.chart.for-screen').count()).toBe(5);
    expect(await page.locator('table[data-table=verdicts] tbody tr').count()).toBe(8);
    for (const width of [320, 390, 800, 1280])
      expect([width, await overflowAt(page, width)]).toEqual([width, 0]);
    expect(readFileSync(join(folder(), 'recorded-codes.html')).length).toBeLessThan(1e6);
    await page.close();
  });

  it('an input changed by keyboard changes the verdict, and nonsense is told beside the field', async () => {
    const page = await open();
    await type(page, 'converter.noise', '0.3 LSB');
    await page.keyboard.press('Tab');
    expect(await answer(page)).toContain('Not in every way: noise: assumed 0.3');
    await type(page, 'record.rate', '5 V');
    await page.keyboard.press('Tab');
    expect(await page.locator('[role=alert]').innerText()).toMatch(
      /^Rate of the record: .*still use the last good value/,
    );
    // The measured noise, back into the worksheet.
    await page.locator('.also button', { hasText: 'as measured' }).click();
    expect(await answer(page)).toContain('Nothing that matters is refuted');
    expect(page.url()).toContain('converter.noise.note=4096%20codes%2C%20beehive.txt');
    await page.close();
  });

  it('takes another file, goes back, and keeps it in a copy', async () => {
    const page = await open();
    await page.setInputFiles('input[type=file]', 'data/records/beehive-quiet.txt');
    await page.waitForFunction(() =>
      document.querySelector('.also')!.textContent!.includes('beehive-quiet.txt'),
    );
    expect(await answer(page)).toContain('too little noise');
    const [download] = await Promise.all([
      page.waitForEvent('download'),
      page.locator('.acts button', { hasText: 'Save a copy' }).click(),
    ]);
    const copy = join(files, 'copy.html');
    await download.saveAs(copy);
    const again = await opened(pathToFileURL(copy).href);
    expect(await answer(again)).toContain('too little noise');
    await again.close();
    await page.locator('.also button', { hasText: 'go back' }).click();
    expect(await answer(page)).toContain('Nothing that matters is refuted');
    await page.close();
  });

  it('takes a file that is dropped; nonsense is told', async () => {
    const page = await open();
    await page.evaluate(() => {
      const dataTransfer = new DataTransfer();
      dataTransfer.items.add(new File(['what\nis\nthis\n'], 'nonsense.txt'));
      dispatchEvent(new DragEvent('drop', { dataTransfer, cancelable: true }));
    });
    await page.waitForFunction(() =>
      document.querySelector('.answer')!.textContent!.includes('nonsense.txt'),
    );
    expect(await answer(page)).toContain('There are no codes to judge by');
    expect(await answer(page)).toContain('Of 3 lines: 3 without any code');
    await page.close();
  });

  it('reads a long file beside the page, which stays at work', async () => {
    const page = await open();
    // Codes that a line of sums makes: white enough, and the same every time.
    let x = 12345;
    const chunk = Array.from({ length: 100_000 }, () => {
      x = (Math.imul(x, 1103515245) + 12345) >>> 0;
      return `${1700 + ((x >>> 8) % 3)}\n`;
    }).join('');
    const long = join(files, 'long.txt');
    writeFileSync(long, chunk.repeat(30));
    await page.evaluate(
      'window.frames_=0;requestAnimationFrame(function f(){window.frames_++;requestAnimationFrame(f)})',
    );
    await page.setInputFiles('input[type=file]', long);
    await page.waitForFunction(() =>
      document.querySelector('.also')!.textContent!.includes('3\u202f000\u202f000 codes'),
    );
    expect(await page.locator('.also').innerText()).toContain('long.txt');
    // Frames went on being painted meanwhile.
    expect(await page.evaluate<number>('window.frames_')).toBeGreaterThan(3);
    // Other bits: read anew.
    await type(page, 'sampling.bits', '10');
    await page.keyboard.press('Enter');
    await page.waitForFunction(() =>
      document.querySelector('.answer')!.textContent!.includes('no codes to judge by'),
    );
    await page.close();
  });

  it('axe-core finds nothing, wide and light, narrow and dark; it prints on a few sheets', async () => {
    const page = await open();
    expect(await axeFindings(page, 1280, 'light')).toEqual([]);
    expect(await axeFindings(page, 390, 'dark')).toEqual([]);
    const sheets = await sheetsPrinted(page);
    expect(sheets).toBeGreaterThanOrEqual(3);
    expect(sheets).toBeLessThanOrEqual(6);
    await page.close();
  });

  it('steps to the field of the rate', async () => {
    const page = await open();
    expect(await field(page, 'record.rate').inputValue()).toBe('90.91\u202fkHz');
    await page.close();
  });
});

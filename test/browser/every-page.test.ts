import type { Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import { allPages } from '../../src/cli/sources.ts';
import { builtFor, field, foot, savedCopy, type } from './opened.ts';

// What holds on every page, whatever it is about: copies, links.

const { url, opened } = builtFor();
const names = (await allPages()).map(({ name }) => name);

/**
 * What a page says, piece by piece, fields by what stands in them; without the remarks on what was changed since the file, and on
 * the field that has the focus.
 */
async function said(page: Page): Promise<string[]> {
  // Causes of a difference are named once an input rests.
  if ((await page.title()).includes('two worksheets')) await page.waitForTimeout(400);
  return page.evaluate(() => {
    const main = document.querySelector('main')!.cloneNode(true) as HTMLElement;
    for (const remark of main.querySelectorAll('.margin > p, .asked')) {
      if (remark.textContent!.startsWith('△') || remark.matches('.hint, .asked')) remark.remove();
    }
    for (const input of main.querySelectorAll<HTMLInputElement | HTMLTextAreaElement>('input, textarea'))
      input.replaceWith(`[${input.value}]`);
    return [...main.querySelectorAll('h1, h2, p, li, th, td, summary, svg text')].map((e) => e.textContent!);
  });
}

/** Takes another ratio, which every page has in its chain. */
async function takeRatio(page: Page, ratio: string): Promise<void> {
  await type(page, 'averaging.ratio', ratio);
  await page.keyboard.press('Tab');
}

describe.each(names)('%s', (name) => {
  it('a copy says what the page said, goes on from there, and keeps what was changed in it', async () => {
    const page = await opened(url(name));
    const untouched = await said(page);
    await takeRatio(page, '16');
    const changed = await said(page);
    expect(changed).not.toEqual(untouched);
    const first = await savedCopy(page);
    await page.close();

    const copy = await opened(first.url);
    expect(await said(copy)).toEqual(changed);
    expect(await copy.locator('.block').innerText()).not.toContain('unsaved');
    expect((await savedCopy(copy)).text).toBe(first.text);
    await takeRatio(copy, '128');
    const further = await said(copy);
    expect(further).not.toEqual(changed);
    const second = await savedCopy(copy);
    await foot(copy, 'Undo').click();
    expect(await said(copy)).toEqual(changed);
    await copy.close();

    const last = await opened(second.url);
    expect(await said(last)).toEqual(further);
    expect(await field(last, 'averaging.ratio').inputValue()).toBe('128');
    expect((await savedCopy(last)).text).toBe(second.text);
    await last.close();
  });

  it('on paper nothing is broken that belongs together, and no mark stands without words', async () => {
    const page = await opened(url(name));
    await page.emulateMedia({ media: 'print' });
    const wrong = await page.evaluate(() => {
      const shown = (e: Element): boolean => e.getClientRects().length > 0;
      const whole = 'tr, figure, .reg, .note, .caution, .files li, .block, .chain, details[open]';
      const broken = [...document.querySelectorAll(whole)].filter(
        (e) => shown(e) && getComputedStyle(e).breakInside !== 'avoid',
      );
      const empty = [...document.querySelectorAll<HTMLElement>('main li')].filter(
        (e) => shown(e) && e.innerText.trim() === '' && !e.querySelector('svg, math'),
      );
      return [...broken, ...empty].map((e) => e.outerHTML.slice(0, 80));
    });
    expect(wrong).toEqual([]);
    await page.close();
  });

  it('a link from a stranger runs nothing, marks nothing up, tells what it left out; the page works', async () => {
    const parts = [
      'title=%3Cimg%20src%3Dx%20onerror%3Dalert(1)%3E',
      '__proto__.polluted=1',
      'constructor.prototype.polluted=1',
      'averaging.ratio=1e400',
      'requirement.resolution=1e308%20K',
      'sensor.r25=%3Cscript%3Ealert(1)%3C%2Fscript%3E',
      'halfbit=99',
      `${'a.'.repeat(500)}a=1`,
      `sensor${'.sensor'.repeat(300)}=1`,
      '%E0%A4%A',
      'averaging.shift=4',
    ];
    const page = await opened(`${url(name)}#${parts.join('&')}`);
    const notice = await page.locator('.notice').innerText();
    expect(notice).toContain('Left out of the link');
    for (const path of ['__proto__', 'constructor', 'averaging.ratio', 'resolution', 'sensor.r25', 'halfbit'])
      expect(notice).toContain(path);
    expect(await page.locator('main img, main script').count()).toBe(0);
    expect(await page.evaluate(() => ({}) as Record<string, unknown>)).not.toHaveProperty('polluted');
    // What was good is taken, and the page goes on.
    expect(await field(page, 'averaging.shift').inputValue()).toBe('4');
    const before = await said(page);
    await takeRatio(page, '16');
    expect(await said(page)).not.toEqual(before);
    expect((await said(page)).join(' ')).not.toMatch(/NaN|Infinity|undefined/);
    await page.close();
    // A longer one is not read at all.
    const long = await opened(`${url(name)}#averaging.ratio=16&${'a'.repeat(33_000)}`);
    expect(await long.locator('.notice').innerText()).toContain('longer than 32000 characters');
    expect(await field(long, 'averaging.ratio').inputValue()).toBe('64');
    await long.close();
  });
});

import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import type { Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import { answer, axeFindings, builtFor, field, overflowAt, sheetsPrinted, type } from './opened.ts';

const built = builtFor();
const open = (name: string, hash = '') => built.opened(`${built.url(name)}${hash}`);
const notes = (page: Page, on: string) => page.locator(`textarea[data-note="${on}"]`);
const state = (page: Page, on: string) => page.locator(`.hand button[data-note="${on}"]`).first();
const focused = (page: Page): Promise<string> =>
  page.evaluate(() => {
    const { tagName, dataset } = document.activeElement as HTMLElement;
    return `${tagName} ${dataset.note ?? dataset.path ?? ''}`;
  });
const link = (page: Page): string => decodeURIComponent(new URL(page.url()).hash);

/** Writes a note from the field it is on, by keyboard alone. */
async function write(page: Page, path: string, text: string): Promise<void> {
  await field(page, path).focus();
  await page.keyboard.press('Alt+n');
  await expect.poll(() => focused(page)).toBe(`TEXTAREA ${path}`);
  await page.keyboard.press('Control+a');
  await page.keyboard.type(text);
  await page.keyboard.press('Enter');
}

async function handedOut(page: Page, words: string): Promise<string> {
  const [file] = await Promise.all([
    page.waitForEvent('download'),
    page.locator('.acts button', { hasText: words }).click(),
  ]);
  const path = join(built.folder(), `review-${file.suggestedFilename()}`);
  await file.saveAs(path);
  return path;
}

describe('a note on an input', () => {
  it('is written by keyboard beside its field, and the reader is back in the field', async () => {
    const page = await open('temperature-ratio');
    const before = await answer(page);
    await write(page, 'sensor.beta', 'Which lot is this?');
    expect(await focused(page)).toBe('INPUT sensor.beta');
    expect(link(page)).toBe('#review.sensor.beta=open: Which lot is this?');
    expect(await notes(page, 'sensor.beta').inputValue()).toBe('Which lot is this?');
    expect(await state(page, 'sensor.beta').innerText()).toBe('open');
    expect(await field(page, 'sensor.beta').getAttribute('aria-description')).toContain('review note, open');
    expect(await answer(page)).toBe(before);
    await page.close();
  });

  it('is answered, taken back and done again; an undo while it is written is its own', async () => {
    const page = await open('temperature-ratio');
    await write(page, 'sensor.beta', 'Which lot?');
    await state(page, 'sensor.beta').focus();
    await page.keyboard.press('Space');
    expect(link(page)).toBe('#review.sensor.beta=answered: Which lot?');
    expect(await focused(page)).toBe('BUTTON sensor.beta');
    expect(await page.locator('.acts').innerText()).toContain('Undo: review note on beta');
    await page.keyboard.press('Control+z');
    expect(await state(page, 'sensor.beta').innerText()).toBe('open');
    await notes(page, 'sensor.beta').focus();
    await page.keyboard.press('End');
    await page.keyboard.type(' B');
    await page.keyboard.press('Control+z');
    expect(await focused(page)).toBe('TEXTAREA sensor.beta');
    expect(link(page)).toBe('#review.sensor.beta=open: Which lot?');
    await page.keyboard.press('Escape');
    await page.locator('h1').click();
    await page.keyboard.press('Control+z');
    expect(await notes(page, 'sensor.beta').count()).toBe(0);
    expect(link(page)).toBe('');
    await page.keyboard.press('Control+Shift+z');
    expect(await notes(page, 'sensor.beta').inputValue()).toBe('Which lot?');
    await page.close();
  });

  it('left empty or by Escape leaves nothing, wherever it is begun', async () => {
    const page = await open('temperature-ratio');
    for (const leave of ['Escape', 'Tab', 'Enter']) {
      await page.locator('.chain input[data-path="averaging.ratio"]').focus();
      await page.locator('.under button', { hasText: 'review note' }).click();
      await expect.poll(() => focused(page)).toBe('TEXTAREA averaging.ratio');
      if (leave === 'Escape') await page.keyboard.type('Why 64?');
      await page.keyboard.press(leave);
      await expect.poll(() => notes(page, 'averaging.ratio').count()).toBe(0);
      expect(link(page)).toBe('');
    }
    await page.close();
  });

  it('that is refused is told beside it and can be mended', async () => {
    const page = await open('temperature-ratio');
    await write(page, 'sensor.beta', 'a');
    await notes(page, 'sensor.beta').fill('a\u202eb');
    await page.keyboard.press('Enter');
    expect(await page.locator('[role=alert]').innerText()).toMatch(
      /^Review note: the character U\+202E will not do.*The worksheet keeps the note it had\.$/,
    );
    expect(await notes(page, 'sensor.beta').getAttribute('aria-invalid')).toBe('true');
    expect(link(page)).toBe('#review.sensor.beta=open: a');
    await page.keyboard.press('Escape');
    expect(await page.locator('[role=alert]').count()).toBe(0);
    expect(await notes(page, 'sensor.beta').inputValue()).toBe('a');
    await page.close();
  });

  it('goes with the link, the copy and the worksheet file, to the byte', async () => {
    const page = await open('temperature-ratio');
    await type(page, 'sensor.beta', '3500 K');
    await write(page, 'sensor.beta', 'Measured: 3500 K = “lot 7”, 100 % & #?');
    const [address, worksheet] = [page.url(), await handedOut(page, 'Worksheet file')];
    const copy = await handedOut(page, 'Save a copy');
    await page.close();
    const text = readFileSync(worksheet, 'utf8');
    expect(JSON.parse(text).review.at(-1)).toEqual({
      on: 'sensor.beta',
      note: 'Measured: 3500 K = “lot 7”, 100 % & #?',
      state: 'open',
    });
    for (const where of [address, pathToFileURL(copy).href]) {
      const again = await built.opened(where);
      expect(await notes(again, 'sensor.beta').inputValue()).toBe('Measured: 3500 K = “lot 7”, 100 % & #?');
      expect(readFileSync(await handedOut(again, 'Worksheet file'), 'utf8')).toBe(text);
      await again.close();
    }
  });

  it('from a stranger is text and nothing else', async () => {
    const hostile = [
      'review.sensor.beta=open:%20%3Cimg%20src%3Dx%20onerror%3Dalert(1)%3E',
      'review.%3Cimg%20src%3Dx%20onerror%3Dalert(1)%3E=open:%20x',
      'review.__proto__=open:%20x',
    ].join('&');
    const page = await open('whole-chain', `#${hostile}`);
    expect(await page.locator('main img').count()).toBe(0);
    expect(await notes(page, 'sensor.beta').first().inputValue()).toBe('<img src=x onerror=alert(1)>');
    expect(await page.locator('.notice').innerText()).toContain('Left out of the link');
    expect(await page.evaluate(() => ({}) as Record<string, unknown>)).not.toHaveProperty('note');
    await page.close();
  });
});

describe('the review on one sheet', () => {
  it('an input that nobody has reviewed gets its note where it is named, and the reader goes with it', async () => {
    const page = await open('whole-chain');
    expect(await page.locator('.also').innerText()).toContain('One question is open in the review.');
    await page.locator('.note button', { hasText: 'phase time' }).focus();
    await page.keyboard.press('Enter');
    await expect.poll(() => focused(page)).toBe('TEXTAREA power.phases.0.time');
    await page.keyboard.type('Measured?');
    await page.keyboard.press('Enter');
    expect(await focused(page)).toBe('TEXTAREA power.phases.0.time');
    expect(await page.locator('.also').innerText()).toContain('2 questions are open in the review.');
    await page.keyboard.press('Shift+Tab');
    await page.keyboard.press('Enter');
    expect(await focused(page)).toBe('BUTTON power.phases.0.time');
    expect(await page.locator('.also').innerText()).toContain('One question is open in the review.');
    await page.keyboard.press('Tab');
    await page.keyboard.press('Control+a');
    await page.keyboard.press('Delete');
    await page.keyboard.press('Enter');
    expect(await focused(page)).toBe('BUTTON power.phases.0.time');
    expect(link(page)).toBe('');
    await page.close();
  });

  it('a note is written in a section that had no margin', async () => {
    const page = await open('whole-chain');
    const section = page.locator('section.row', { hasText: 'What is set' });
    expect(await section.locator('.margin').count()).toBe(0);
    await write(page, 'sampling.clockDivider', 'Why so slow?');
    expect(await section.locator('.margin textarea').inputValue()).toBe('Why so slow?');
    await page.close();
  });

  it('a finding gets a note, keeps it while its figures change, and is told when it is gone', async () => {
    const page = await open('whole-chain', '#requirement.step=1%20mK');
    await page.locator('.note li', { hasText: 'The result steps by' }).locator('button.ask').click();
    await page.keyboard.type('Accept?');
    await page.keyboard.press('Enter');
    const item = page.locator('.note li', { has: notes(page, 'finding.missed.step') });
    expect(await item.innerText()).toMatch(/; 1\sm°C is wanted/);
    await type(page, 'requirement.step', '2 mK');
    expect(await item.innerText()).toMatch(/; 2\sm°C is wanted/);
    await type(page, 'requirement.step', '5 mK');
    expect(await item.innerText()).toContain('Step missed: no longer found.');
    await page.close();
  });

  it('axe-core finds nothing, a note being written and one refused among it; nothing runs over the side', async () => {
    const page = await open('whole-chain');
    await write(page, 'sensor.beta', 'x'.repeat(300));
    await notes(page, 'sensor.beta').first().fill('a\u202eb');
    await page.keyboard.press('Enter');
    await page.locator('.note button', { hasText: 'phase time' }).click();
    expect(await axeFindings(page, 1280, 'light')).toEqual([]);
    expect(await axeFindings(page, 390, 'dark')).toEqual([]);
    for (const width of [320, 390, 800, 1280])
      expect([width, await overflowAt(page, width)]).toEqual([width, 0]);
    await page.close();
  });

  it('prints with every note whole', async () => {
    const page = await open('whole-chain');
    await write(page, 'sensor.beta', 'A note of several lines. '.repeat(12).trim());
    await page.emulateMedia({ media: 'print' });
    const cut = await page.evaluate(() =>
      [...document.querySelectorAll('textarea')]
        .filter((t) => t.scrollHeight > t.clientHeight + 1)
        .map((t) => t.value),
    );
    expect(cut).toEqual([]);
    const sheets = await sheetsPrinted(page);
    expect(sheets).toBeGreaterThanOrEqual(2);
    expect(sheets).toBeLessThanOrEqual(4);
    await page.close();
  });
});

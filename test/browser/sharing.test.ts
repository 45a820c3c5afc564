import { readFileSync } from 'node:fs';
import type { Locator, Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import { builtFor, type } from './opened.ts';

// What a page hands out, opened from disk: every plot as a picture and as a drawing, the page as Markdown.

const built = builtFor();

/** A page at two points a px, as sharp as the pictures that it hands out. */
async function sharp(name: string): Promise<Page> {
  const first = await built.opened(built.url(name));
  const context = await first
    .context()
    .browser()!
    .newContext({
      viewport: { width: 1280, height: 900 },
      deviceScaleFactor: 2,
      acceptDownloads: true,
    });
  await first.close();
  const page = await context.newPage();
  const bad: string[] = [];
  page.on('console', (message) => bad.push(message.text()));
  page.on('pageerror', (error) => bad.push(error.message));
  page.on('close', () => expect(bad).toEqual([]));
  await page.goto(built.url(name));
  return page;
}

/** The files that a button of the foot hands out, by their names. */
async function handedOut(page: Page, words: string, count: number): Promise<Map<string, Buffer>> {
  const files = new Map<string, Buffer>();
  const all = new Promise<void>((done) => {
    page.on('download', async (file) => {
      files.set(file.suggestedFilename(), readFileSync(await file.path()));
      if (files.size === count) done();
    });
  });
  await page.locator('.acts button', { hasText: words }).click();
  await all;
  return files;
}

/** Of the dark points of each picture, the part that has a dark point in the other, there or next to it. */
const darkInBoth = (page: Page, pictures: readonly [Buffer, Buffer]): Promise<number[]> =>
  page.evaluate(
    async (urls) => {
      const drawn = await Promise.all(
        urls.map(async (url) => {
          const image = new Image();
          image.src = url;
          await image.decode();
          const { width, height } = image;
          const context = new OffscreenCanvas(width, height).getContext('2d')!;
          context.drawImage(image, 0, 0);
          const { data } = context.getImageData(0, 0, width, height);
          const dark = Uint8Array.from({ length: width * height }, (_, i) => Number(data[4 * i + 1]! < 110));
          return { dark, width };
        }),
      );
      const around = ({ width }: { width: number }, i: number): number[] =>
        [-width, 0, width].flatMap((row) => [i + row - 1, i + row, i + row + 1]);
      return drawn.map((one, k) => {
        const other = drawn[1 - k]!;
        const points = [...one.dark.keys()].filter((i) => one.dark[i]);
        return points.filter((i) => around(other, i).some((j) => other.dark[j])).length / points.length;
      });
    },
    pictures.map((png) => `data:image/png;base64,${png.toString('base64')}`),
  );

/** A plot as the browser shows it, put on whole points with nothing beside it. */
async function shown(page: Page, plot: Locator): Promise<Buffer> {
  const clip = await plot.evaluate((element: HTMLElement) => {
    const [width, height] = [element.clientWidth, element.clientHeight];
    const style = { position: 'fixed', top: '0', left: '0', background: 'var(--paper)', zIndex: '9' };
    Object.assign(element.style, style, { width: `${width}px` });
    return { x: 0, y: 0, width, height };
  });
  const png = await page.screenshot({ clip });
  await plot.evaluate((element: HTMLElement) => {
    element.removeAttribute('style');
  });
  return png;
}

describe('plots', () => {
  it('as PNG are what the page shows, at twice its points, letters and all', async () => {
    const page = await sharp('temperature-ratio');
    const plots = await page.locator('.plot').all();
    const files = await handedOut(page, 'Plots as PNG', plots.length);
    expect(plots.length).toBeGreaterThan(1);
    for (const plot of plots) {
      const png = files.get(`beehive-${await plot.getAttribute('data-plot')}.png`)!;
      const screen = await shown(page, plot);
      // Width and height stand at the head of the file, behind its signature.
      for (const at of [16, 20]) expect(png.readUInt32BE(at)).toBe(screen.readUInt32BE(at));
      for (const share of await darkInBoth(page, [screen, png])) expect(share).toBeGreaterThan(0.995);
    }
    await page.context().close();
  });

  it('as SVG are XML with the letters inside, which asks for nothing', async () => {
    const page = await built.opened(built.url('temperature-ratio'));
    const files = await handedOut(page, 'Plots as SVG', await page.locator('.plot').count());
    const reader = await page.context().newPage();
    for (const [name, bytes] of files) {
      const text = bytes.toString('utf8');
      expect(text, name).toMatch(/^<svg [^>]*xmlns="http:\/\/www\.w3\.org\/2000\/svg"/);
      expect(text.match(/url\(data:font/g), name).toHaveLength(2);
      expect(text.replace(/url\(data:font[^)]*\)|url\(#[\w-]+\)/g, ''), name).not.toMatch(
        /url\(|var\(|currentColor/,
      );
      const root = await reader.evaluate(
        (xml) => new DOMParser().parseFromString(xml, 'image/svg+xml').documentElement.tagName,
        text,
      );
      expect(root, name).toBe('svg');
    }
    await reader.close();
    await page.close();
  });
});

describe('the page as Markdown', () => {
  it('begins with the question and has the figures as they stand', async () => {
    const page = await built.opened(built.url('temperature-ratio'));
    await type(page, 'requirement.resolution', '3 mK');
    await page.keyboard.press('Tab');
    const [[name, bytes]] = [...(await handedOut(page, 'Page as Markdown', 1))] as [[string, Buffer]];
    expect(name).toBe('beehive-temperature-ratio.md');
    const text = bytes.toString('utf8');
    expect(text.split('\n')[0]).toBe(`## ${await page.locator('h1').innerText()}`);
    expect(text).toContain('where 3 m°C are allowed');
    expect(text).toMatch(/^\|(?:---:?\|)+$/m);
    expect(text).not.toMatch(/undefined|NaN|<\w/);
    await page.close();
  });
});

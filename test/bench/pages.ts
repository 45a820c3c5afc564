/** Speeds of the pages in Chromium: opening, and an edit until it is painted. */
import { mkdtempSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { builtPages, writePages } from '../../src/cli/build.ts';
import { demoWorksheet, profileTexts, worksheetFile } from '../../src/cli/files.ts';
import { browserPath, launch } from '../browser/chromium.ts';
import type { Speed } from './run.ts';
import { median, quantile, shown } from './timing.ts';

/** Writes into the first field that takes a number and unit, and waits for the frame that shows it; ms each. */
async function edits(): Promise<number[]> {
  const pattern = /^([\d.]+)(\u202f(?!cycle|bit|%)\D+)$/;
  const fields = [...document.querySelectorAll<HTMLInputElement>('main input[data-path]')];
  const quantity = fields.find((field) => pattern.test(field.value));
  const input = quantity ?? fields.find((field) => field.dataset.path === 'averaging.ratio')!;
  const set = Object.getOwnPropertyDescriptor(HTMLInputElement.prototype, 'value')!.set!;
  const [, number, unit] = pattern.exec(input.value) ?? [];
  input.focus();
  const times: number[] = [];
  for (let i = 0; i < 80; i++) {
    const start = performance.now();
    const scaled = `${(Number(number) * (1 + (i + 1) / 500)).toPrecision(4)}${unit}`;
    set.call(input, quantity ? scaled : i % 2 === 0 ? '32' : '64');
    input.dispatchEvent(new Event('input', { bubbles: true }));
    await new Promise<void>((painted) =>
      requestAnimationFrame(() => {
        const { port1, port2 } = new MessageChannel();
        port1.onmessage = () => painted();
        port2.postMessage(0);
      }),
    );
    times.push(performance.now() - start);
    await new Promise((rest) => setTimeout(rest, 60));
  }
  return times;
}

export async function pageSpeeds(): Promise<Speed[]> {
  if (!browserPath())
    return [{ work: 'pages in a browser', measured: 'no browser found', aim: '', ratio: '', peer: '' }];
  const folder = mkdtempSync(join(tmpdir(), 'halfbit-bench-'));
  const paths = writePages(
    await builtPages({ worksheet: worksheetFile(), profiles: profileTexts(demoWorksheet) }),
    folder,
  );
  const browser = await launch();
  const rows: Speed[] = [];
  try {
    for (const path of paths) {
      const name = path.slice(folder.length + 1, -5);
      const opened: number[] = [];
      let times: number[] = [];
      for (let i = 0; i < 5; i++) {
        const page = await browser.newPage({ viewport: { width: 1280, height: 900 } });
        await page.goto(pathToFileURL(path).href);
        opened.push(
          await page.evaluate(
            () => (performance.getEntriesByType('navigation')[0] as PerformanceNavigationTiming).loadEventEnd,
          ),
        );
        if (i === 4) times = await page.evaluate(edits);
        await page.close();
      }
      const none = { ratio: '', peer: '' };
      rows.push(
        {
          work: `${name}: an edit until painted, 95 %`,
          measured: shown(quantile(times, 0.95) / 1000),
          aim: '50 ms',
          ratio: '',
          peer: `median ${shown(median(times) / 1000)}`,
        },
        { work: `${name}: opening`, measured: shown(median(opened) / 1000), aim: '500 ms', ...none },
        {
          work: `${name}: size`,
          measured: `${Math.round(statSync(path).size / 1000)} kB`,
          aim: '1000 kB',
          ...none,
        },
      );
    }
  } finally {
    await browser.close();
    rmSync(folder, { recursive: true, force: true });
  }
  return rows;
}

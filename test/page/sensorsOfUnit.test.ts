import { readdirSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { type Page, type PageScript, pageView } from '../../src/page/page.ts';
import { markdownText } from '../../src/page/text/markdown.ts';
import { terminalText } from '../../src/page/text/terminal.ts';
import { channelNames, channels } from '../worksheet/measurands.ts';
import { sessionOn } from './demo.ts';

const names = readdirSync('notebooks')
  .filter((f) => f.endsWith('.ts'))
  .map((f) => f.replace(/\.ts$/, ''));
const pages: Page[] = await Promise.all(
  names.map(async (name) => {
    const script = (await import(`../../notebooks/${name}.ts`)) as { default: PageScript };
    return { name, ...script.default };
  }),
);

describe.each(channelNames)('every page of a %s', (name) => {
  const session = sessionOn('beehive', channels[name].change);
  const { unit } = channels[name];

  it.each(pages)('$name', (page) => {
    const view = pageView(page, session, { pages: [] });
    const terminal = terminalText(view);
    const both = `${terminal}${markdownText(view)}`;
    expect(both).not.toMatch(/NaN|undefined|Infinity|\[object|[{][A-Za-z%°]+[}]/);
    expect(Math.max(...terminal.split('\n').map((line) => [...line].length))).toBeLessThanOrEqual(80);
    expect(both).toContain(unit);
    if (unit === '°C') return;
    // Neither is it called a temperature nor told in degrees; those of the board and its clock remain.
    expect(both).not.toMatch(/m°C|temperature (reading|should|is read)|every temperature|temperature, °C/);
    expect(JSON.stringify([view.question, view.content.answer, view.content.also])).not.toMatch(
      /temperature/i,
    );
    expect(JSON.stringify(view.chain)).not.toMatch(/temperature|°C/i);
  });
});

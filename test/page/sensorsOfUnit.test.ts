import { readdirSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { besideOf } from '../../src/page/beside.ts';
import { type Page, type PageScript, pageView } from '../../src/page/page.ts';
import { scaled } from '../../src/page/sections/scaled.ts';
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
    const view = pageView(page, session, { pages: [] }, besideOf(page, {}, session));
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

it('an axis in a unit of somebody’s own has no prefix, though its first letter looks like one', () => {
  expect(scaled(0.002, '{kg}').unit).toBe('kg');
  expect(scaled(0.002, '{kg}').of(7)).toBe(7);
});

describe('a page of a current loop at work', () => {
  it('takes its own unit, steps in it, and refuses another', () => {
    const session = sessionOn('beehive', channels['current loop'].change);
    expect(session.field('watchdog.above')).toMatchObject({ text: '6\u202fbar', label: 'upper limit' });
    expect(session.write({ 'watchdog.above': '7.5 bar' })).toBeUndefined();
    expect(session.field('watchdog.above').text).toBe('7.5\u202fbar');
    expect(session.stepped('requirement.range.low', 1)).toBe('1 bar');
    expect(session.write({ 'watchdog.above': '750 kPa' })).toMatch(/not in bar; write it in bar/);
    expect(session.field('watchdog.above').text).toBe('7.5\u202fbar');
    // A limit in volts at the pin stays in volts.
    expect(session.write({ 'watchdog.above': '1.5 V' })).toBeUndefined();
    expect(session.field('watchdog.above').text).toBe('1.5\u202fV');
  });
});

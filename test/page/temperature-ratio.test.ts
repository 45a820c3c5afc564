import { describe, expect, it } from 'vitest';
import script from '../../notebooks/temperature-ratio.ts';
import { pageView } from '../../src/page/page.ts';
import { markdownText } from '../../src/page/text/markdown.ts';
import { terminalText } from '../../src/page/text/terminal.ts';
import { settingsOf } from '../../src/worksheet/settingsOf.ts';
import { sessionOn } from './demo.ts';

const page = { name: 'temperature-ratio', ...script };
const shown = (name: string, changes: Record<string, string> = {}) => {
  const session = sessionOn(name);
  expect(session.write(changes)).toBeUndefined();
  return pageView(page, session, { pages: [{ name: page.name, short: page.short }] });
};
const said = (name: string, changes?: Record<string, string>): string =>
  terminalText(shown(name, changes)).replace(/\s+/g, ' ');

describe('the answer', () => {
  it('is the cheapest setting that meets what is wanted', () => {
    expect(said('beehive')).toContain(
      'Average 8 and keep the whole sum: 7.08 m°C rms at worst, where 20 m°C are allowed.',
    );
    expect(said('beehive', { 'requirement.resolution': '0.1 K', 'requirement.step': '0.1 K' })).toContain(
      'One conversion is enough',
    );
    expect(said('beehive', { 'averaging.ratio': '8', 'averaging.shift': '0' })).toContain(
      'This is what you have chosen',
    );
  });

  it('says that none serves, why, and what would', () => {
    const text = said('workbench');
    expect(text).toContain(
      'No ratio of this converter serves: 73.6 m°C rms at best, where 25 m°C are allowed.',
    );
    expect(text).toContain('With dither of');
    expect(said('cellar')).toContain('No setting of this converter meets everything: not settled');
    expect(said('cellar')).toContain('With 130 sample cycles');
  });

  it.each(['workbench', 'cellar'])('agrees with every change that it offers for %s', (name) => {
    const { wouldServe, chosen } = settingsOf(sessionOn(name).evaluation);
    expect(wouldServe.some((w) => w.serves)).toBe(true);
    for (const { kind, path, value, serves, row } of wouldServe) {
      if (kind === 'software') continue;
      const session = sessionOn(name);
      expect(session.write({ [path]: value }), `${path} ${value}`).toBeUndefined();
      const { recommended, rows } = settingsOf(session.evaluation);
      expect(recommended !== undefined, `${kind} ${value}`).toBe(serves);
      // What it said it would give is what it gives, to the digits of the value.
      const there = rows.find((r) => r.ratio === row.ratio && r.shift === row.shift) ?? chosen;
      expect(Math.abs(there.rms / row.rms - 1)).toBeLessThan(2e-3);
    }
  });
});

describe('every page text', () => {
  it.each(['beehive', 'cellar', 'workbench'])(
    'of %s is whole: no gap in a figure, no line over 80 columns',
    (name) => {
      const view = shown(name);
      const terminal = terminalText(view);
      expect(`${terminal}${markdownText(view)}${JSON.stringify(view.content)}`).not.toMatch(
        /NaN|undefined|Infinity|\[object/,
      );
      expect(Math.max(...terminal.split('\n').map((line) => [...line].length))).toBeLessThanOrEqual(80);
    },
  );

  it('stands without what a worksheet need not give', () => {
    const session = sessionOn('beehive', (document) => {
      delete document.watchdog;
      delete document.power;
      delete document.calibration;
      delete document.requirement.resolution;
      delete document.requirement.step;
    });
    const text = terminalText(pageView(page, session, { pages: [] }));
    expect(text).toContain('One conversion is enough');
    expect(text).not.toMatch(/NaN|undefined/);
  });

  it('is the same for the same inputs', () => {
    expect(terminalText(shown('beehive'))).toBe(terminalText(shown('beehive')));
  });
});

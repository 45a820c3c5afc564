import { describe, expect, it } from 'vitest';
import script from '../../notebooks/into-firmware.ts';
import { conversionErrors } from '../../src/firmware/conversionErrors.ts';
import { conversionOf } from '../../src/firmware/conversionOf.ts';
import { pageView } from '../../src/page/page.ts';
import { markdownText } from '../../src/page/text/markdown.ts';
import { terminalText } from '../../src/page/text/terminal.ts';
import { sessionOn } from './demo.ts';

const page = { name: 'into-firmware', ...script };
const shown = (name: string, changes: Record<string, string> = {}) => {
  const session = sessionOn(name);
  expect(session.write(changes)).toBeUndefined();
  return pageView(page, session, { pages: [{ name: page.name, short: page.short }] });
};
const said = (name: string, changes?: Record<string, string>): string =>
  terminalText(shown(name, changes)).replace(/\s+/g, ' ');

describe('the answer', () => {
  it('is the smallest arithmetic and its largest error over every code', () => {
    const { evaluation } = sessionOn('beehive');
    const c = conversionOf(evaluation);
    // By a walk of its own over every code, law and divider written out here.
    let largest = 0;
    for (let code = c.lowestCode; code <= c.highestCode; code++) {
      const x = (code * 8 + 3.5) / 64 / 4096;
      const celsius = 1 / (1 / 298.15 + Math.log(x / (1 - x)) / 3435) - 273.15;
      largest = Math.max(largest, Math.abs(c.fromCode(code) / 1000 - celsius));
    }
    const text = said('beehive');
    expect(text).toContain(
      `A polynomial of degree 6 in 32-bit integers: off by ${Math.round(largest * 1e6)} µ°C at most`,
    );
    expect(text).toContain('It returns °C times 1000 for the codes 9530 to 21 234.');
    expect(text).toContain('A code C stands for (16 C + 7)/524 288 of the reference, exactly.');
  });

  it('is one multiplication for a battery’s divider, and every code has a value', () => {
    const text = said('cellar');
    expect(text).toContain('One multiplication and a shift in 32-bit integers');
    expect(text).toContain('Every code has a value; what cannot be is marked.');
    expect(text).toContain('its reference, internal, does not follow the supply');
  });

  it('follows what is asked, and says why nothing serves', () => {
    expect(said('beehive', { 'firmware.intermediates': '16' })).toMatch(/A table of \d+ entries in 16-bit/);
    expect(said('beehive', { 'firmware.error': '20 mK' })).toContain('keeps 20 m°C');
    const text = said('beehive', { 'firmware.error': '1 uK', 'firmware.intermediates': '16' });
    expect(text).toContain('No integer conversion keeps this: firmware.error: got 0.000001');
    expect(text).toContain('What is asked of the conversion');
  });
});

describe('the files', () => {
  it('are told with the command that writes them, and drop out where nothing serves', () => {
    const text = said('beehive');
    expect(text).toContain('Three files, whose names in C start with beehive.');
    expect(text).toContain('halfbit header WORKSHEET --vectors csv --out beehive_vectors.csv');
    expect(markdownText(shown('cellar'))).toContain('    halfbit header WORKSHEET --out cellar.h\n');
    const none = said('beehive', { 'firmware.error': '1 uK', 'firmware.intermediates': '16' });
    expect(none).not.toContain('halfbit header');
  });
});

describe('the page', () => {
  it.each(['beehive', 'cellar', 'workbench'])('%s: within 80 columns, no figure that is none', (name) => {
    const text = terminalText(shown(name));
    expect(Math.max(...text.split('\n').map((line) => [...line].length))).toBeLessThanOrEqual(80);
    for (const said of [text, markdownText(shown(name))]) {
      expect(said).toMatch(/^#|What goes into the firmware/m);
      expect(said).not.toMatch(/NaN|undefined|Infinity|\[object/);
    }
  });
});

describe('the errors that are drawn', () => {
  it.each(['beehive', 'cellar'])(
    '%s: rise in the measurand and reach the largest error, no further',
    (name) => {
      const { evaluation } = sessionOn(name);
      const c = conversionOf(evaluation);
      const errors = conversionErrors(evaluation, c, 40);
      expect(errors.length).toBe(40);
      for (let i = 1; i < errors.length; i++)
        expect(errors[i]!.measurand).toBeGreaterThan(errors[i - 1]!.measurand);
      const largest = Math.max(...errors.flatMap((p) => [Math.abs(p.least), Math.abs(p.most)]));
      // Long stretches are looked at in a part of their codes.
      expect(largest).toBeLessThanOrEqual(c.largestError * (1 + 1e-9));
      expect(largest).toBeGreaterThan(0.9 * c.largestError);
    },
  );
});

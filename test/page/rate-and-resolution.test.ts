import { describe, expect, it } from 'vitest';
import script from '../../notebooks/rate-and-resolution.ts';
import type { Table } from '../../src/page/blocks.ts';
import { pageView } from '../../src/page/page.ts';
import { markdownText } from '../../src/page/text/markdown.ts';
import { terminalText } from '../../src/page/text/terminal.ts';
import { sessionOn } from './demo.ts';

const page = { name: 'rate-and-resolution', ...script };
const shown = (name: string, changes: Record<string, string> = {}) => {
  const session = sessionOn(name);
  expect(session.write(changes)).toBeUndefined();
  return pageView(page, session, { pages: [{ name: page.name, short: page.short }] });
};
const said = (name: string, changes?: Record<string, string>): string =>
  terminalText(shown(name, changes)).replace(/\s+/g, ' ');
const table = (name: string, which: string, changes?: Record<string, string>): Table =>
  shown(name, changes)
    .content.sections.flatMap((s) => s.body)
    .find((b): b is Table => b.type === 'table' && b.name === which)!;
const cells = (t: Table): string[][] =>
  t.rows.map((r) => r.cells.map((c) => (typeof c === 'string' ? c : c.text)));

describe('the answer', () => {
  it('beehive: a bit more is a quarter of the rate', () => {
    // 2 MHz/(22·64) = 1420.5 and a quarter of it; √(12·(0.36 + 1/12)/64), and 8 of 64 dropped, are 13.67 bits.
    expect(said('beehive')).toContain(
      'One further bit costs 4 times the rate: 12 bits × 256, shift 4 gives 14.67 bits, 355 a second; you have 13.67 bits, 1420 a second.',
    );
    expect(said('beehive')).toContain(
      'The fastest that meets everything is 12 bits × 8, shift 0: 12.29 bits',
    );
  });

  it('workbench: two bits more of the converter bring more than averaging', () => {
    expect(said('workbench')).toContain('One further bit comes with 32 times the rate: 14 bits × 8, shift 0');
  });

  it('at the end of the edge there is none', () => {
    const text = said('beehive', { 'averaging.ratio': '256', 'averaging.shift': '4' });
    expect(text).toContain('This converter has no further bit to give: you have 14.67 bits, 355 a second');
    expect(text).toContain('no setting gives more');
  });

  it('says that nothing serves, and by what', () => {
    expect(said('cellar')).toContain('No setting meets everything.');
    expect(said('cellar')).toContain('settling 255 LSB, 0.25 LSB wanted');
  });
});

describe('tables', () => {
  it('a row taken is chosen, its figures stay', () => {
    const rates = table('beehive', 'rates');
    for (const row of rates.rows.filter((_, i) => i % 5 === 0)) {
      const after = table('beehive', 'rates', { ...row.choose!.changes });
      const taken = after.rows.find((r) => r.standing === 'chosen')!;
      expect(taken.cells).toEqual(row.cells);
    }
  });

  it('forms of the ratio, largest code and divisor, by hand', () => {
    const rows = cells(table('beehive', 'forms'));
    const plain = rows.map((r) => r.map((c) => c.replaceAll('\u202f', '')).join(' '));
    expect(plain).toContain('4 2 3 0 16380 14 16384 uint16_t');
    expect(plain).toContain('64 6 63 3 32760 15 32768 uint16_t');
    expect(plain).toContain('256 8 255 4 65520 16 65536 uint16_t');
    const odd = cells(table('cellar', 'forms', { 'averaging.ratio': '48', 'averaging.shift': '5' }));
    const chosen = odd.find((r) => r[0] === '48' && r[3] === '5')!;
    // 4095·48/32 = 6142.5, rounded up by the 16 added; 4096·48/32 = 6144.
    expect(chosen).toEqual(['48', '–', '47', '5', '6143', '13', '6144', 'uint16_t']);
  });

  it('a setting that overflows is told with its figure', () => {
    const text = said('beehive', { 'averaging.ratio': '256', 'averaging.shift': '0' });
    expect(text).toContain('overflows: needs 20 bits');
  });

  it('a figure of another unit than its limit keeps it', () => {
    // 8 bits: 2.33 °C against 25 m°C.
    const row = table('workbench', 'rates').rows.find((r) => r.cells[0] === '8' && r.cells[1] === '1')!;
    expect(row.verdicts![0]!.text).toBe('rms 2.33\u202f°C, 25\u202fm°C wanted');
  });
});

describe('the page', () => {
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

  it('stands without what a worksheet need not give, and with one conversion', () => {
    const session = sessionOn('beehive', (document) => {
      delete document.watchdog;
      delete document.power;
      delete document.requirement.resolution;
      delete document.requirement.step;
      document.averaging = { ratio: 1, shift: 0 };
    });
    const view = pageView(page, session, { pages: [] });
    const text = terminalText(view);
    expect(text).toContain('One conversion follows its input');
    expect(text).toContain('16 times too large');
    expect(`${text}${markdownText(view)}`).not.toMatch(/NaN|undefined|Infinity/);
  });

  it('draws the register: sum, result, and the misreading', () => {
    const text = terminalText(shown('beehive'));
    // 14 832 = 0x39F0 at 30 °C; its sum ends in the three bits that are dropped.
    expect(text).toContain('     -011 1001 1111 0000');
    expect(text).toContain('     0111 0011 1110 000-');
    expect(text).toContain('^^^ dropped');
  });
});

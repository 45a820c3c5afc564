import { describe, expect, it } from 'vitest';
import script from '../../notebooks/hum-and-aliases.ts';
import type { Plot, Table } from '../../src/page/blocks.ts';
import { pageView } from '../../src/page/page.ts';
import { markdownText } from '../../src/page/text/markdown.ts';
import { terminalText } from '../../src/page/text/terminal.ts';
import { sessionOn } from './demo.ts';

const page = { name: 'hum-and-aliases', ...script };
const shown = (name: string, changes: Record<string, string> = {}) => {
  const session = sessionOn(name);
  expect(session.write(changes)).toBeUndefined();
  return pageView(page, session, { pages: [{ name: page.name, short: page.short }] });
};
const said = (name: string, changes?: Record<string, string>): string =>
  terminalText(shown(name, changes)).replace(/\s+/g, ' ');
const blocks = (name: string, changes?: Record<string, string>) =>
  shown(name, changes).content.sections.flatMap((s) => s.body);
const table = (name: string, which: string, changes?: Record<string, string>): Table =>
  blocks(name, changes).find((b): b is Table => b.type === 'table' && b.name === which)!;
const cells = (t: Table): string[][] =>
  t.rows.map((r) => r.cells.map((c) => (typeof c === 'string' ? c : c.text).replaceAll('\u202f', ' ')));

describe('the answer', () => {
  it('workbench: up to 47 % of the hum gets through 12.8 ms; 20 ms would null it', () => {
    // |sin(πx)|/(πx) at x = 0.64·0.99² = 0.6273: 0.4674; 50 µV/√2 of it, and 504 m°C for 732 µV.
    const text = said('workbench');
    expect(text).toContain(
      'Of mains at 50 Hz up to 47 % may get through: 11.4 m°C rms in a reading, where 25 m°C are wanted for everything together.',
    );
    expect(text).toContain('256 conversions, one every 78.1 µs, would leave 2.0 % of 50 Hz at most');
  });

  it('a window taken nulls the mains', () => {
    const windows = table('workbench', 'windows');
    const row = windows.rows.find((r) => r.standing === 'recommended')!;
    const text = said('workbench', { ...row.choose!.changes });
    // Its 5 % hold a multiple of the rate of conversions: 4 µV/√2, and 504 m°C for 732 µV.
    expect(text).toContain('Of supply of the display at 180 kHz all may get through: 1.94 m°C rms');
    // The timer counts 4688 of 60 MHz: 20.002 ms. |sin(πx)|/(πx) at x = 1.0001·0.99² = 0.9802: 0.0202.
    expect(cells(table('workbench', 'aliases', { ...row.choose!.changes }))[0]!.slice(3, 6)).toEqual([
      '−79 dB',
      '−34 dB',
      '0.491',
    ]);
    expect(text).toContain(
      'The window nulls the mains as far as its tolerance and the clock’s allow: −34 dB',
    );
  });

  it('beehive: 0.7 ms reject nothing, a hundred would', () => {
    const text = said('beehive');
    expect(text).toContain(
      'Mains hum gets through whole: the window of 704 µs is a small part of its period',
    );
    expect(text).toContain('64 conversions, one every 1.56 ms, would leave 1.4 % of 50 and 60 Hz at most');
    expect(said('cellar')).toContain('No window of this converter nulls the mains');
  });
});

describe('tables and plots', () => {
  it('mains of the workbench: −6.9 dB exact, at most 47 % with 1 % of each', () => {
    // |sin(πx)|/(πx) at x = 0.64·0.99² = 0.6273: 0.4674.
    expect(cells(table('workbench', 'hum'))[0]).toEqual([
      '50 Hz',
      '−6.9 dB',
      '−6.8 dB',
      '−6.8 dB',
      '−6.6 dB',
      '47 %',
    ]);
  });

  it('the disturbances: where each stands, and how much is left', () => {
    const [mains, display] = cells(table('workbench', 'aliases'));
    expect(mains).toEqual(['mains', '50 Hz', '50 µV', '−6.9 dB', '−6.6 dB', '11.4', '2 s or slower']);
    expect(display!.slice(0, 5)).toEqual(['supply of the display', '180.3 kHz', '4 µV', '−28 dB', '0 dB']);
  });

  it('a filter taken from the table is the one that there is', () => {
    const filters = table('workbench', 'anti-alias');
    const row = filters.rows.find((r) => r.standing === 'recommended')!;
    expect(cells(filters).at(filters.rows.indexOf(row))!.slice(0, 2)).toEqual(['470 nF', '1 kΩ']);
    const after = cells(table('workbench', 'anti-alias', { ...row.choose!.changes }));
    expect(after[0]!.slice(0, 4)).toEqual(cells(filters)[filters.rows.indexOf(row)]!.slice(0, 4));
  });

  it('the plot of both is the sum of the two in dB, down to its floor', () => {
    const plot = blocks('workbench').find((b): b is Plot => b.type === 'plot' && b.name === 'response')!;
    const curve = (name: string) =>
      plot.marks.find((m) => m.type === 'curve' && m.name.startsWith(name)) as unknown as {
        points: number[][];
      };
    const [both, mean, low] = ['both', 'mean', 'low-pass'].map(curve);
    both!.points.forEach(([f, y], i) => {
      const sum = mean!.points[i]![1]! + low!.points[i]![1]!;
      if (mean!.points[i]![1]! > -80 && y! > -80) expect(Math.abs(y! - sum), `${f}`).toBeLessThan(1e-9);
    });
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

  it('stands for a single conversion, and without what a worksheet need not give', () => {
    for (const name of ['beehive', 'workbench']) {
      const session = sessionOn(name, (document) => {
        delete document.watchdog;
        delete document.power;
        delete document.calibration;
        delete document.requirement.resolution;
        delete document.requirement.uncertainty;
        delete document.requirement.batteryLife;
        document.averaging = { ratio: 1, shift: 0 };
      });
      expect(terminalText(pageView(page, session, { pages: [] }))).not.toMatch(/NaN|undefined|Infinity/);
    }
  });
});

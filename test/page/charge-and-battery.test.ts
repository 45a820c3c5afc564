import { describe, expect, it } from 'vitest';
import script from '../../notebooks/charge-and-battery.ts';
import type { Plot, Table } from '../../src/page/blocks.ts';
import { pageView } from '../../src/page/page.ts';
import { markdownText } from '../../src/page/text/markdown.ts';
import { terminalText } from '../../src/page/text/terminal.ts';
import { expectNear } from '../close.ts';
import { sessionOn } from './demo.ts';

const page = { name: 'charge-and-battery', ...script };
const shown = (name: string, changes: Record<string, string> = {}) => {
  const session = sessionOn(name);
  expect(session.write(changes)).toBeUndefined();
  return pageView(page, session, { pages: [{ name: page.name, short: page.short }] });
};
const said = (name: string, changes?: Record<string, string>): string =>
  terminalText(shown(name, changes)).replace(/\s+/g, ' ');
const block = <T extends Plot | Table>(name: string, which: string, changes?: Record<string, string>): T =>
  shown(name, changes)
    .content.sections.flatMap((s) => s.body)
    .find((b): b is T => (b.type === 'table' || b.type === 'plot') && b.name === which)!;

describe('the answer', () => {
  it('beehive: 13.7 years of a coin cell, 696 nC a reading', () => {
    // 46 µs of 3.1 mA, 11 µs of 0.350 mA, 713 µs of 0.770 mA; 158.4 mA·h of 176 at 1.21 µA and 0.25 µA of self-discharge.
    expect(said('beehive')).toContain(
      '✓ The battery lasts 13.7 years: a reading takes 696 nC and 2.09 µJ; 1 year is wanted. 1.21 µA on average, 1 % of it for readings. In the 1 min between readings the board takes 72 µC',
    );
  });

  it('at one reading a second the readings decide', () => {
    const text = said('beehive', { 'requirement.period': '0.5 s' });
    expect(text).toContain('the readings decide');
    expect(text).toContain('Readings decide up to one every 580 ms.');
  });

  it('says by how much the life is missed', () => {
    const text = said('beehive', { 'requirement.batteryLife': '14 year' });
    expect(text).toMatch(/✗ The battery lasts 13\.7 years: a reading takes .* 14 years is wanted\./);
    expect(text).toContain('battery life 13.7 years, 14 years wanted');
  });

  it('workbench: no battery, so no life; a coin cell gives one', () => {
    expect(said('workbench')).toContain('A reading takes 24.1 µC, 4 % of what the board draws on average.');
    const cell = {
      'power.battery.capacity': '220 mAh',
      'power.battery.usable': '80 %',
      'power.battery.selfDischarge': '1 %',
    };
    expect(said('workbench', cell)).toMatch(/The battery lasts 13\.\d days:/);
  });
});

describe('plots and tables', () => {
  it('the step line holds the charge of the reading: its area', () => {
    const { marks } = block<Plot>('beehive', 'time-line');
    const line = marks.find((m) => m.type === 'curve')!.points;
    let area = 0;
    for (let i = 1; i < line.length; i++)
      if (line[i]![0] > 0 && line[i]![0] <= 770.001)
        area += ((line[i]![1] + line[i - 1]![1]) / 2) * (line[i]![0] - line[i - 1]![0]);
    // µs·mA are nC; the sleep before and after is outside.
    expectNear(area, 695.728, 1e-4);
  });

  it('the phases of each demo add up to the reading', () => {
    for (const name of ['beehive', 'cellar', 'workbench']) {
      const { rows } = block<Table>(name, 'phases');
      const shares = rows.map((r) => Number(r.cells.at(-1)));
      expectNear(
        shares.reduce((a, b) => a + b, 0),
        100,
        0.02,
        name,
      );
    }
  });

  it('left on: the meter and the life, for the present ratio', () => {
    const { rows } = block<Table>('beehive', 'left-on');
    expect(rows[0]!.cells.map(String).map((c) => c.replace('\u202f', ' '))).toEqual([
      'as meant',
      '1.2 µA',
      '13.7 years',
    ]);
    expect(rows.at(-1)!.cells[0]).toBe('core left running');
    expect(block<Table>('workbench', 'left-on').columns).toHaveLength(2);
  });

  it('life falls with the ratio and rises with the period; the present point lies on both', () => {
    for (const name of ['beehive', 'cellar']) {
      for (const which of ['life-period', 'life-ratio']) {
        const { marks } = block<Plot>(name, which);
        const curve = marks.find((m) => m.type === 'curve' && m.style === 'first') as unknown as {
          points: number[][];
        };
        const ys = curve.points.map((p) => p[1]!);
        const sorted = [...ys].sort((a, b) => (which === 'life-period' ? a - b : b - a));
        expect(ys).toEqual(sorted);
        const at = marks.find((m) => m.type === 'point')!;
        expect(curve.points.some((p) => p[0] === at.x && p[1] === at.y)).toBe(true);
      }
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

  it('stands without what a worksheet need not give, and with nothing drawn at all', () => {
    const session = sessionOn('beehive', (document) => {
      delete document.watchdog;
      delete document.power;
      delete document.calibration;
      delete document.requirement.resolution;
      delete document.requirement.step;
      delete document.requirement.batteryLife;
      const zero = '0 mA';
      document.converter.currents = { converter: zero, coreRunning: zero, coreAsleep: zero, sleep: zero };
      document.conditioning.excitation = { switched: false };
    });
    const text = terminalText(pageView(page, session, { pages: [] }));
    expect(text).not.toMatch(/NaN|undefined|Infinity/);
    const empty = sessionOn('cellar', (document) => {
      document.power.battery.selfDischarge = '0 %';
      document.converter.currents = { converter: '0 A', coreRunning: '0 A', coreAsleep: '0 A', sleep: '0 A' };
      document.converter.currents.internalReference = '0 A';
      document.conditioning.excitation = { switched: true };
      document.power.phases = [{ name: 'nothing', current: '0 A', time: '1 us' }];
    });
    const still = terminalText(pageView(page, empty, { pages: [] }));
    expect(still).not.toMatch(/NaN|undefined|Infinity/);
  });
});

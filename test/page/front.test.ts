import { describe, expect, it } from 'vitest';
import script from '../../notebooks/rate-and-resolution.ts';
import type { Plot, Table } from '../../src/page/blocks.ts';
import { pageView } from '../../src/page/page.ts';
import { terminalText } from '../../src/page/text/terminal.ts';
import { searchOf } from '../../src/worksheet/searchOf.ts';
import { sessionOn } from './demo.ts';

const page = { name: 'rate-and-resolution', ...script };
const sessionWith = (name: string, changes: Record<string, string> = {}) => {
  const session = sessionOn(name);
  expect(session.write(changes)).toBeUndefined();
  return session;
};
const viewOf = (session: ReturnType<typeof sessionOn>) => pageView(page, session, { pages: [] });
const blocksOf = (session: ReturnType<typeof sessionOn>) =>
  viewOf(session).content.sections.flatMap((s) => s.body);
const tableOf = (session: ReturnType<typeof sessionOn>) =>
  blocksOf(session).find((b): b is Table => b.type === 'table' && b.name === 'front');
const plotOf = (session: ReturnType<typeof sessionOn>) =>
  blocksOf(session).find((b): b is Plot => b.type === 'plot' && b.name === 'front');
const saidBy = (session: ReturnType<typeof sessionOn>): string =>
  terminalText(viewOf(session)).replace(/\s+/g, ' ');

describe('the front on the page', () => {
  it.each(['beehive', 'cellar', 'workbench'])('%s: a row taken is chosen, and its figures stay', (name) => {
    const rows = tableOf(sessionWith(name))!.rows;
    for (const row of [rows[0]!, rows.at(-1)!]) {
      const session = sessionWith(name, { ...row.choose!.changes });
      const taken = tableOf(session)!.rows.filter((r) => r.standing === 'chosen');
      expect(taken).toHaveLength(1);
      expect(taken[0]!.cells).toEqual(row.cells);
      expect(saidBy(session)).toContain('Yours is one of them.');
    }
  });

  it('plots the figures of the search, with the present setting, the recommended and what is wanted', () => {
    const session = sessionWith('beehive');
    const { front, recommended } = searchOf(session.evaluation);
    const plot = plotOf(session)!;
    const curve = plot.marks.find((m) => m.type === 'curve')!;
    // nC and m°C. Conversions back to back: what takes more charge takes more time, so all are on the line.
    expect(curve.points).toEqual(front.map((p) => [p.charge * 1e9, p.error * 1e3]));
    const points = plot.marks.filter((m) => m.type === 'point');
    expect(points.map((p) => p.standing)).toEqual(['recommended', 'chosen']);
    expect(points[0]).toMatchObject({ x: recommended!.charge * 1e9, y: recommended!.error * 1e3 });
    const { averaging, reading } = session.evaluation;
    expect(points[1]).toMatchObject({ x: averaging.charge * 1e9, y: reading.rms * 1e3 });
    expect(plot.marks.find((m) => m.type === 'limit')).toMatchObject({ y: 20, forbidden: 'above' });
  });

  it('says what the present setting could save, by hand', () => {
    // 64 of (8 + 14)/2 MHz take 704 µs; 64 of (2 + 14)/3 MHz with one shift less take 341.3 µs: 2.06 times.
    expect(saidBy(sessionWith('beehive'))).toContain(
      'Yours takes 2.1 times the charge of one with no more error: 542 nC in place of 263 nC.',
    );
    expect(saidBy(sessionWith('cellar'))).toContain('Yours is rejected: not settled.');
  });

  it('where nothing serves it counts by what', () => {
    const session = sessionWith('beehive', { 'requirement.resolution': '1 uK' });
    expect(tableOf(session)).toBeUndefined();
    const said = saidBy(session);
    expect(said).toContain('None of 23 328 settings meets everything.');
    expect(said).toContain(
      'None meets every requirement. Rejected, each for the first that it misses: step too wide: 15 048',
    );
    expect(said).toContain('noise too large: 1512');
  });

  it('stands without a requirement that limits the noise', () => {
    const session = sessionOn('workbench', (document) => {
      delete document.requirement.resolution;
      delete document.requirement.step;
      delete document.requirement.latency;
    });
    const table = tableOf(session)!;
    expect(table.rows.length).toBeGreaterThan(12);
    expect(table.shown!.length).toBeLessThan(16);
    expect(JSON.stringify([table, plotOf(session)])).not.toMatch(/NaN|undefined|Infinity/);
    expect(plotOf(session)!.marks.filter((m) => m.type === 'limit')).toEqual([]);
    const { points } = plotOf(session)!.marks.find((m) => m.type === 'curve')!;
    for (let i = 1; i < points.length; i++) {
      expect(points[i]![0]).toBeGreaterThan(points[i - 1]![0]);
      expect(points[i]![1]).toBeLessThan(points[i - 1]![1]);
    }
  });
});

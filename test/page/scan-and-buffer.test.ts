import { describe, expect, it } from 'vitest';
import script from '../../notebooks/scan-and-buffer.ts';
import type { Action, Table } from '../../src/page/blocks.ts';
import { pageView } from '../../src/page/page.ts';
import { markdownText } from '../../src/page/text/markdown.ts';
import { terminalText } from '../../src/page/text/terminal.ts';
import { sessionOn } from './demo.ts';

const page = { name: 'scan-and-buffer', ...script };
const view = (session: ReturnType<typeof sessionOn>) => pageView(page, session, { pages: [] });
const shown = (name: string, changes: Record<string, string> = {}) => {
  const session = sessionOn(name);
  expect(session.write(changes)).toBeUndefined();
  return view(session);
};
const said = (name: string, changes?: Record<string, string>): string =>
  terminalText(shown(name, changes)).replace(/\s+/g, ' ');
const table = (v: ReturnType<typeof shown>, which: string): string[][] =>
  v.content.sections
    .flatMap((s) => s.body)
    .find((b): b is Table => b.type === 'table' && b.name === which)!
    .rows.map((r) => r.cells.map((c) => (typeof c === 'string' ? c : c.text).replaceAll('\u202f', ' ')));

/** The what-ifs of the page: each adds a channel. */
const actions = (v: ReturnType<typeof shown>): Action[] =>
  v.content.sections
    .flatMap((s) => s.body)
    .flatMap((b) => (b.type === 'notes' ? b.items.flat() : []))
    .flatMap((p) => (typeof p !== 'string' && p.type === 'screen' ? p.text : []))
    .filter((p): p is Action => typeof p !== 'string' && p.type === 'action');

describe('the answer', () => {
  it('workbench: three channels, 768 conversions of 50 µs', () => {
    const text = said('workbench');
    expect(text).toContain('✓ 3 channels in 38.4 ms, every 1 s: each settles to');
    expect(text).toContain('A buffer of 6 asks for the core every 1 s, without it every 333 ms.');
    expect(text).toContain('3 channels take turns: 2 of the 20 inputs and 1 on the chip.');
    expect(text).toContain('static volatile uint32_t scan_buffer[2][1][3];');
  });

  it('one channel alone, and one that does not settle', () => {
    expect(said('beehive')).toContain('✓ One channel shares it with nobody: a result 704 µs after the start');
    expect(said('cellar')).toContain('✗ As it is, this does not serve: a result is 255 LSB from settled');
  });

  it('says what is wrong: too slow, too short, too old', () => {
    expect(said('workbench', { 'scan.period': '20 ms' })).toContain(
      'it takes 38.4 ms and has to start again after 20 ms',
    );
    expect(said('workbench', { 'scan.channels.1.sampleCycles': '95' })).toContain(
      'chip temperature is sampled too short',
    );
    // Four scans of 1 s in a half: the oldest waits for three more.
    expect(said('workbench', { 'scan.buffer.scans': '4' })).toContain(
      'in the buffer a result gets 3.04 s old, 50 ms are allowed',
    );
  });
});

describe('tables', () => {
  it('turns of the workbench, by hand', () => {
    const rows = table(shown('workbench'), 'turns-table');
    expect(rows.map((r) => r.slice(0, 5))).toEqual([
      ['this channel', '2.2 µs', '3.7 µs', '0', '0'],
      ['heater supply', '2.2 µs', '3.7 µs', '12.8 ms', '+12.8 ms'],
      // Sampled 18.8 µs longer.
      ['chip temperature', '21 µs', '22.5 µs', '25.6 ms', '+25.6 ms'],
    ]);
  });

  it('buffer: a row taken is chosen; core time by hand', () => {
    const v = shown('workbench', { 'scan.buffer.scans': '16', 'scan.period': '100 ms' });
    const row = table(v, 'buffer').find((r) => r[0] === '16')!;
    // 2·16·3 results of 4 bytes; every 1.6 s 2 µs, 30 results a second of 0.4 µs each.
    expect(row.slice(0, 6)).toEqual(['16', '96', '384', '1.6 s', '13 ppm', '1.67 s']);
  });
});

describe('further channels', () => {
  it.each(['beehive', 'cellar', 'workbench'])(
    'are added to %s by what the page offers, as many as there are pins',
    (name) => {
      const session = sessionOn(name);
      const { channels } = session.worksheet.profile;
      const had = session.worksheet.inputs.scan?.channels?.length ?? 0;
      const pinsHad = had > 0 ? 2 : 1;
      for (let i = pinsHad; i < channels; i++) {
        expect(session.write(actions(view(session))[0]!.changes)).toBeUndefined();
      }
      expect(session.write(actions(view(session))[1]!.changes)).toBeUndefined();
      const text = terminalText(view(session));
      expect(text).toContain(`${channels} of the ${channels} inputs`);
      expect(Math.max(...text.split('\n').map((line) => [...line].length))).toBeLessThanOrEqual(80);
      expect(`${text}${markdownText(view(session))}`).not.toMatch(/NaN|undefined|Infinity|\[object/);
      // One more than the profile has is refused, and nothing changes.
      expect(session.write(actions(view(session))[0]!.changes)).toMatch(/the profile has/);
    },
  );

  it('beyond eight the order is said to be the best found', () => {
    const session = sessionOn('beehive');
    for (let i = 0; i < 8; i++) session.write(actions(view(session))[0]!.changes);
    expect(terminalText(view(session)).replace(/\s+/g, ' ')).toContain('in the best order found');
  });
});

describe('the page', () => {
  it.each(['beehive', 'cellar', 'workbench'])(
    'of %s is whole: no gap in a figure, no line over 80 columns',
    (name) => {
      const v = shown(name);
      const terminal = terminalText(v);
      expect(`${terminal}${markdownText(v)}${JSON.stringify(v.content)}`).not.toMatch(
        /NaN|undefined|Infinity|\[object/,
      );
      expect(Math.max(...terminal.split('\n').map((line) => [...line].length))).toBeLessThanOrEqual(80);
    },
  );

  it('stands without what a worksheet need not give', () => {
    const session = sessionOn('workbench', (document) => {
      delete document.scan.buffer;
      delete document.calibration;
      delete document.requirement.latency;
      document.averaging = { ratio: 1, shift: 0 };
    });
    const text = terminalText(view(session));
    expect(text).toContain('Say what an interrupt and a result take');
    expect(`${text}${markdownText(view(session))}`).not.toMatch(/NaN|undefined|Infinity/);
  });
});

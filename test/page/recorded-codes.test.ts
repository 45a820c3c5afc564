import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import script from '../../notebooks/recorded-codes.ts';
import { formatNumber } from '../../src/numbers/format.ts';
import type { Plot, Point } from '../../src/page/blocks.ts';
import { pageView } from '../../src/page/page.ts';
import { type CarriedRecord, carriedRecord } from '../../src/page/record.ts';
import type { Session } from '../../src/page/session.ts';
import { markdownText } from '../../src/page/text/markdown.ts';
import { terminalText } from '../../src/page/text/terminal.ts';
import { sessionOn } from './demo.ts';

const page = { name: 'recorded-codes', ...script };
const carried = (name: string): CarriedRecord => ({
  name,
  text: readFileSync(`data/records/${name}`, 'utf8'),
});
const viewOf = (session: Session, record?: CarriedRecord) =>
  pageView(
    page,
    session,
    { pages: [{ name: page.name, short: page.short }] },
    { record: record && carriedRecord(record, session.evaluation) },
  );
const shown = (worksheet: string, record?: string, changes: Record<string, string> = {}) => {
  const session = sessionOn(worksheet);
  expect(session.write(changes)).toBeUndefined();
  return viewOf(session, record === undefined ? undefined : carried(record));
};
const said = (...of: Parameters<typeof shown>): string =>
  terminalText(shown(...of)).replace(/[\s\u00a0]+/g, ' ');

const plot = (view: ReturnType<typeof shown>, name: string): Plot => {
  const found = view.content.sections
    .flatMap((s) => s.body)
    .find((b) => b.type === 'plot' && b.name === name);
  if (found?.type !== 'plot') throw new Error(`no plot ${name}`);
  return found;
};

const codes = carried('beehive.txt').text.trim().split('\n').map(Number);
const hum = { 'record.rate': '1 kHz' };

describe('the answer', () => {
  it('says that nothing that matters is refuted, with the noise', () => {
    const text = said('beehive', 'beehive.txt');
    expect(text).toMatch(
      /✓ Nothing that matters is refuted: noise assumed 0\.6 LSB, found 0\.598 ± 0\.016 LSB\./,
    );
    expect(text).toContain('beehive.txt: 4096 codes at 90.91 kHz, 45.1 ms.');
  });

  it('says what is refuted, the most costly first', () => {
    expect(said('beehive', 'beehive-hum.csv', hum)).toMatch(
      /✗ Not in every way: hum: none assumed, found 0\.9\d+ LSB rms at 50\.0 Hz \(50 Hz\): 3\.5 bits less at ratio 64\. And 1 more is refuted\./,
    );
    expect(said('beehive', 'beehive-quiet.txt')).toContain(
      '✗ Not in every way: smooths the steps: too little noise',
    );
    expect(said('beehive', 'beehive-missing.txt')).toMatch(
      /2 of 4097 lines gave none; they are listed below/,
    );
  });

  it('says that there is no record, that it is not carried, or that it holds no codes', () => {
    expect(said('beehive')).toContain('There is no record yet');
    const session = sessionOn('beehive');
    const absent = viewOf(session, {
      name: 'long.txt',
      text: '',
      absent: '12 MB are too long to be carried in a page',
    });
    expect(terminalText(absent)).toContain('long.txt: 12 MB are too long');
    const nonsense = viewOf(session, { name: 'n.bin', text: 'a\nb\n\u0000\u0001\n' });
    expect(terminalText(nonsense).replace(/\s+/g, ' ')).toContain(
      '✗ There are no codes to judge by: n.bin: no line gave a code',
    );
    const empty = viewOf(session, { name: 'e.txt', text: '' });
    expect(terminalText(empty).replace(/\s+/g, ' ')).toContain('e.txt: no line gave a code. In the terminal');
  });
});

describe('the step that takes the noise', () => {
  it('writes it as measured, with a note, in one change that can be undone', () => {
    const session = sessionOn('beehive');
    const view = viewOf(session, carried('beehive-missing.txt'));
    const screen = view.content.also.find((p) => typeof p !== 'string' && p.type === 'screen');
    if (!screen || typeof screen === 'string' || screen.type !== 'screen')
      throw new Error('nothing on the screen');
    const action = screen.text.find((p) => typeof p !== 'string' && p.type === 'action');
    if (!action || typeof action === 'string' || action.type !== 'action') throw new Error('nothing offered');
    expect(session.write(action.changes)).toBeUndefined();
    const { noise } = session.worksheet.inputs.converter;
    expect(noise).toMatchObject({ from: 'measured', note: '4093 codes, beehive-missing.txt' });
    expect(action.words).toBe(`take ${noise!.value}\u202fLSB as measured`);
    expect(session.field('converter.noise').from).toBe('measured, 4093 codes, beehive-missing.txt');
    expect(session.undo).toBe(`conversion noise ${noise!.value}\u202fLSB to 0.6\u202fLSB`);
    // The noise now holds, and the link carries all of it.
    expect(terminalText(viewOf(session, carried('beehive-missing.txt')))).toMatch(/noise +✓ assumed 1\.5/);
    const other = sessionOn('beehive');
    expect(other.goTo(session.address())).toEqual([]);
    expect(other.text).toBe(session.text);
    session.goBack();
    expect(session.text).toBe(sessionOn('beehive').text);
  });
});

describe('the sections', () => {
  it('keep effective resolution and ENOB apart', () => {
    const still = said('beehive', 'beehive.txt');
    const mean = codes.reduce((a, b) => a + b, 0) / codes.length;
    const s = Math.sqrt(codes.reduce((a, b) => a + (b - mean) ** 2, 0) / (codes.length - 1));
    expect(still).toContain(
      `effective resolution ${(12 - Math.log2(s)).toFixed(2)} bits from a still input; not the ENOB of a sine`,
    );
    expect(still).toContain(`noise-free bits ${(12 - Math.log2(6.6 * s)).toFixed(2)} bits`);
    expect(still).not.toContain('SINAD');
    const sine = said('beehive', 'beehive-sine.txt');
    expect(sine).toMatch(/ENOB 10\.\d+ bits from the residual of the sine fit/);
    expect(sine).not.toMatch(/effective resolution \d/);
  });

  it('bring a plot each, with the record, the worksheet and what is chosen', () => {
    const view = shown('beehive', 'beehive.txt');
    const names = view.content.sections
      .flatMap((section) => section.body)
      .flatMap((b) => (b.type === 'plot' ? [b.name] : []));
    expect(names).toEqual(['record', 'histogram', 'spectrum', 'allan', 'bits']);
    // The histogram by hand.
    const most = plot(view, 'histogram').figures.rows.find((row) => row[0] === '1684')!;
    expect(most[1]).toBe(
      formatNumber({ value: (100 * codes.filter((c) => c === 1684).length) / 4096, digits: 3 }),
    );
    // 64 codes averaged by hand.
    const sums = Array.from(
      { length: 64 },
      (_, i) => codes.slice(64 * i, 64 * i + 64).reduce((a, b) => a + b, 0) / 64,
    );
    const mean = sums.reduce((a, b) => a + b, 0) / 64;
    const s = Math.sqrt(sums.reduce((a, b) => a + (b - mean) ** 2, 0) / 63);
    const chosen = plot(view, 'bits').marks.find((m): m is Point => m.type === 'point');
    expect(chosen).toMatchObject({ standing: 'chosen', x: 64 });
    expect(chosen!.y).toBeCloseTo(12 - Math.log2(Math.sqrt(12) * s), 2);
  });

  it('mark the line of the mains and where averaging stops', () => {
    const view = shown('beehive', 'beehive-hum.csv', hum);
    const line = plot(view, 'spectrum').marks.find((m): m is Point => m.type === 'point');
    expect(line!.x).toBeCloseTo(50, 0);
    const least = plot(view, 'allan').marks.find((m): m is Point => m.type === 'point');
    expect(least).toMatchObject({ standing: 'recommended', x: 0.256 });
    expect(plot(view, 'bits').claim).toMatch(/^Averaging 64 gives 2\.\d bits less than the worksheet says/);
  });

  it('list the lines that gave no code', () => {
    expect(said('beehive', 'beehive-missing.txt')).toContain('line 2502: out of range: 0x7FF3');
  });

  it('take rate, averaging and column as inputs that need not be given', () => {
    const session = sessionOn('beehive');
    expect(session.field('record.column').text).toBe('not given');
    expect(session.write({ 'record.column': '2' })).toBeUndefined();
    expect(terminalText(viewOf(session, carried('beehive-hum.csv')))).toContain('4096 codes');
    expect(session.write({ 'record.column': '' })).toBeUndefined();
    expect(session.changes.size).toBe(0);
    expect(said('beehive', 'beehive-hum.csv', { 'record.rate': '' })).toContain(
      '4096 codes at 1 kHz, 4.10 s',
    );
  });
});

describe('every page text', () => {
  it.each([
    ['beehive', 'beehive.txt', {}],
    ['beehive', 'beehive-quiet.txt', {}],
    ['beehive', 'beehive-hum.csv', hum],
    ['beehive', 'beehive-missing.txt', {}],
    ['beehive', 'beehive-sine.txt', {}],
    ['workbench', 'workbench.txt', {}],
    ['cellar', 'cellar-averaged.csv', { 'record.averaged': 'true' }],
    ['cellar', 'beehive.txt', {}],
    ['workbench', 'beehive-hum.csv', {}],
    ['beehive', 'beehive.txt', { 'averaging.ratio': '1', 'averaging.shift': '0' }],
    ['beehive', 'beehive.txt', { 'sampling.bits': '8' }],
    ['beehive', 'beehive.txt', { 'converter.noise': '0 LSB' }],
    ['beehive', undefined, {}],
    ['cellar', undefined, {}],
    ['workbench', undefined, {}],
  ] as [string, string | undefined, Record<string, string>][])(
    'of %s with %s and %o is whole: no gap in a figure, no line over 80 columns',
    (worksheet, record, changes) => {
      const view = shown(worksheet, record, changes);
      const terminal = terminalText(view);
      expect(`${terminal}${markdownText(view)}${JSON.stringify(view.content)}`).not.toMatch(
        /NaN|undefined|Infinity|\[object/,
      );
      expect(Math.max(...terminal.split('\n').map((line) => [...line].length))).toBeLessThanOrEqual(80);
    },
  );

  it('stands for one code, two codes, and codes that never move', () => {
    for (const text of ['1700\n', '1700\n1701\n', '1700\n'.repeat(300)]) {
      const terminal = terminalText(viewOf(sessionOn('beehive'), { name: 'few.txt', text }));
      expect(terminal).toContain('few.txt');
      expect(terminal).not.toMatch(/NaN|undefined|Infinity/);
    }
  });
});

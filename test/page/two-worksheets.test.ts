import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { mkdir } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it, onTestFinished } from 'vitest';
import script from '../../notebooks/two-worksheets.ts';
import { besideOf } from '../../src/page/beside.ts';
import type { Content, Row } from '../../src/page/blocks.ts';
import { type CarriedWorksheet, readOther } from '../../src/page/other.ts';
import { pageView } from '../../src/page/page.ts';
import type { Session } from '../../src/page/session.ts';
import { markdownText } from '../../src/page/text/markdown.ts';
import { terminalText } from '../../src/page/text/terminal.ts';
import { halfbit } from '../cli/halfbit.ts';
import { sessionOn } from './demo.ts';

// The page's other way to the same figures is the command, which takes two files and no session.

const page = { name: 'two-worksheets', ...script };
const worksheet = (name: string) => `data/worksheets/${name}.json`;
const carried = (name: string, before = false): CarriedWorksheet => ({
  name: `${name}.json`,
  text: readFileSync(worksheet(name), 'utf8'),
  before,
});
const viewOf = (session: Session, other?: CarriedWorksheet) =>
  pageView(page, session, { pages: [] }, besideOf(page, other ? { other } : {}, session));
const said = (session: Session, other?: CarriedWorksheet): string =>
  terminalText(viewOf(session, other)).replace(/\s+/g, ' ');

/** The parts of a text in the terminal that say what differs: tables and what was found. */
const parts = (text: string): string[] => text.split(/\n-{80}\n/).slice(1);
const differences = (text: string): string[] =>
  parts(text).slice(
    0,
    parts(text).findIndex((part) => part.startsWith('The chain above')),
  );
const answerOf = (text: string): string => /\n\n([✓✗][\s\S]*?\.)\nA is/.exec(text)![1]!;

const rowsOf = ({ sections }: Content, name: string): readonly Row[] =>
  sections.flatMap((s) => s.body).flatMap((b) => (b.type === 'table' && b.name === name ? b.rows : []));
const row = (content: Content, label: string): Row =>
  rowsOf(content, 'inputs').find((r) => r.cells[0] === label)!;

describe('what differs', () => {
  const names = ['beehive', 'cellar', 'workbench', 'revisions/beehive', 'revisions/workbench'];
  it.each(names.slice(0, 3).flatMap((a) => names.filter((b) => b !== a).map((b) => [a, b] as const)))(
    '%s against %s is what the command says, in either order',
    (a, b) => {
      for (const before of [false, true]) {
        const order = before ? [worksheet(b), worksheet(a)] : [worksheet(a), worksheet(b)];
        const { out, code } = halfbit(['compare', ...order]);
        const text = terminalText(viewOf(sessionOn(a), carried(b, before)));
        expect(differences(text)).toEqual(differences(out));
        expect(answerOf(text)).toBe(answerOf(out));
        expect(answerOf(text).startsWith('✗')).toBe(code === 1);
      }
    },
  );

  it('an edit is held against the worksheet as its file has it, as the command does with --set', () => {
    const session = sessionOn('beehive');
    expect(said(session)).toContain('The two say the same: no input differs.');
    session.write({ 'averaging.shift': '6' });
    const { out } = halfbit(['compare', worksheet('beehive'), '--set', 'averaging.shift=6']);
    const text = terminalText(viewOf(session));
    expect(differences(text)).toEqual(differences(out));
    // 64 shifted by 6 is one native code: 30.1 m°C.
    expect(text).toContain('One requirement is lost: step was 3.76 m°C and is 30.1 m°C, 5 m°C wanted.');
    session.goBack();
    expect(said(session)).toContain('The two say the same');
  });

  it('one requirement is lost and another gained in the demo revision of the workbench; swapped, the other way round', () => {
    const there = said(sessionOn('workbench'), carried('revisions/workbench'));
    expect(there).toContain('One requirement is lost: latency was 12.8 ms and is 51.2 ms, 50 ms wanted.');
    expect(there).toContain('Gained: resolution.');
    const back = said(sessionOn('workbench'), carried('revisions/workbench', true));
    expect(back).toContain('One requirement is lost: resolution was');
    expect(back).toContain('Gained: latency.');
  });
});

describe('what can be changed', () => {
  it('an input taken over is as the other has it, source and note with it', () => {
    const session = sessionOn('beehive');
    const other = carried('revisions/beehive');
    for (const label of ['sleep current', 'oversampling ratio', 'latency', 'beta']) {
      const cell = row(viewOf(session, other).content, label).cells[2]!;
      const { act } = cell as Exclude<typeof cell, string>;
      expect(session.write(act!.changes), label).toBeUndefined();
    }
    const { content } = viewOf(session, other);
    const sleep = row(content, 'sleep current');
    expect(sleep.cells).toEqual([
      'sleep current',
      { text: '900\u202fnA', path: 'converter.currents.sleep' },
      '900\u202fnA',
      'the same now',
    ]);
    expect(session.field('converter.currents.sleep')).toMatchObject({
      from: 'measured, second board, 25 °C',
    });
    expect(rowsOf(content, 'sources')).toEqual([]);
    // The spread is the one thing that is not taken: 1 % of 3950 K, against half of that.
    expect(row(content, 'beta').cells.slice(1, 3)).toEqual([
      { text: '3950\u202fK ± 39.5\u202fK', path: 'sensor.beta', tail: ' ± 39.5\u202fK' },
      '3950\u202fK ± 19.8\u202fK',
    ]);
  });

  it('all that is offered is taken or refused with a reason, for channels that have little in common too', () => {
    for (const [a, b] of [
      ['beehive', 'workbench'],
      ['workbench', 'cellar'],
      ['cellar', 'beehive'],
    ] as const) {
      const offered = rowsOf(viewOf(sessionOn(a), carried(b)).content, 'inputs').flatMap((r) =>
        r.cells.flatMap((c) => (typeof c !== 'string' && c.act ? [c.act.changes] : [])),
      );
      expect(offered.length).toBeGreaterThan(10);
      for (const changes of offered) {
        const session = sessionOn(a);
        const refused = session.write(changes);
        if (refused === undefined) {
          // What could be written makes a page, without a figure that is none.
          expect(terminalText(viewOf(session, carried(b)))).not.toMatch(/NaN|undefined|Infinity|\[object/);
        } else expect(refused).toContain('The figures still use the last good value');
      }
    }
  });
});

describe('the page', () => {
  it.each(['beehive', 'cellar', 'workbench'])('%s: within 80 columns, no figure that is none', (name) => {
    for (const other of [undefined, carried('revisions/beehive')]) {
      const view = viewOf(sessionOn(name), other);
      const text = terminalText(view);
      expect(Math.max(...text.split('\n').map((line) => [...line].length))).toBeLessThanOrEqual(80);
      expect(text + markdownText(view)).not.toMatch(/NaN|undefined|Infinity|\[object/);
    }
  });
});

describe('another worksheet that is none', () => {
  const { profiles } = sessionOn('beehive').worksheet;
  const beehive = carried('beehive').text;
  const deep = `${'['.repeat(5000)}${']'.repeat(5000)}`;
  it.each([
    ['no JSON', 'what is this', /^line 1, column 1: /],
    ['empty', '', /^line 1, column 1: /],
    ['nested deeply', deep, /^line 1, column \d+: /],
    ['too long', `${beehive}${' '.repeat(300_000)}`, /256|262/],
    [
      'of a later version',
      beehive.replace('"halfbit": 1', '"halfbit": 99'),
      /^line 2, column 14: .*format 99/,
    ],
    ['an unknown key', beehive.replace('"title"', '"__proto__": {}, "title"'), /^line 3, column 3: /],
    [
      'no unit',
      beehive.replace('"value": "0.02 K"', '"value": "0.02"'),
      /^line \d+, column \d+: requirement.resolution: /,
    ],
    [
      'a huge number',
      beehive.replace('"ratio": 64', '"ratio": 1e308'),
      /^line \d+, column \d+: averaging.ratio: /,
    ],
    [
      'an unknown profile',
      beehive.replace('"low-power"', '"elsewhere"'),
      /^line \d+, column \d+: converter.profile: /,
    ],
    ['several things', beehive.replace('"0.02 K"', '"1"').replace('"5 mK"', '"2"'), /\(and 1 more\)$/],
  ])('%s: refused, with its place', (_, text, message) => {
    expect(() => readOther({ name: 'x.json', text, before: false }, profiles)).toThrow(message);
  });

  it('as a revision beside a worksheet: the build ends with 2 and the place', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'halfbit-revisions-'));
    onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
    await mkdir(join(folder, 'revisions'));
    const path = join(folder, 'mine.json');
    writeFileSync(path, beehive);
    writeFileSync(join(folder, 'revisions/mine.json'), beehive.replace('"0.02 K"', '"0.02"'));
    const { code, out, err } = halfbit(['show', 'two-worksheets', path]);
    expect([code, out]).toEqual([2, '']);
    expect(err).toMatch(
      /revisions\/mine\.json: line \d+, column \d+: requirement\.resolution: "0\.02" has no unit/,
    );
    // Other pages do not ask for it.
    expect(halfbit(['show', 'whole-chain', path]).code).toBe(0);
  });
});

import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { expectNear } from '../close.ts';

const folder = mkdtempSync(join(tmpdir(), 'halfbit-record-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** Runs the command as from a shell. */
function record(args: readonly string[], input?: string): { code: number | null; out: string; err: string } {
  const { status, stdout, stderr } = spawnSync(
    process.execPath,
    ['--import', 'tsx', 'src/cli/main.ts', 'record', ...args],
    { encoding: 'utf8', ...(input !== undefined && { input }) },
  );
  return { code: status, out: stdout, err: stderr };
}

const file = (name: string, text: string): string => {
  const path = join(folder, name);
  writeFileSync(path, text);
  return path;
};

/** The codes of a demo record. */
const codesOf = (name: string): number[] =>
  readFileSync(`data/records/${name}`, 'utf8').trim().split('\n').map(Number);

describe('record', () => {
  it('gives in JSON the figures of a general script', () => {
    const { code, out, err } = record([
      'data/records/beehive.txt',
      '--rate',
      '1000',
      '--bits',
      '12',
      '--json',
    ]);
    expect([code, err]).toEqual([0, '']);
    const found = JSON.parse(out);
    const codes = codesOf('beehive.txt');
    const mean = codes.reduce((a, b) => a + b, 0) / codes.length;
    const s = Math.sqrt(codes.reduce((a, b) => a + (b - mean) ** 2, 0) / (codes.length - 1));
    expect(found).toMatchObject({
      count: 4096,
      minimum: Math.min(...codes),
      maximum: Math.max(...codes),
      missingCodes: [],
      rate: 1000,
      lines: { unparsable: 0, outOfRange: 0, rows: 4096 },
    });
    expectNear(found.mean, mean, 1e-12);
    expectNear(found.standardDeviation, s, 1e-9);
    expectNear(found.noiseFreeBits, Math.log2(4096 / (6.6 * s)), 1e-9);
    // The slope of a straight line, per second.
    const slope = codes.reduce((a, x, i) => a + (i - 2047.5) * x, 0) / ((4096 * (4096 ** 2 - 1)) / 12);
    expectNear(found.drift.slope, slope * 1000, 1e-6);
    // Neighbouring codes: half the mean square of their differences.
    const squares = codes.slice(1).reduce((a, x, i) => a + (x - codes[i]!) ** 2, 0);
    expectNear(found.allan[0].deviation, Math.sqrt(squares / 2 / 4095), 1e-9);
    expect(found.allan[1].tau).toBe(0.002);
    expect(found.spectrum.frequencies.at(-1)).toBe(500);
    expect(found.spectrum.power).toHaveLength(found.spectrum.frequencies.length);
    expect(out).not.toMatch(/NaN|Infinity|undefined/);
  });

  it.each([
    ['beehive.txt', 0, /✓ {2}noise +assumed 0\.6 LSB, found 0\.598 ± 0\.016 LSB/],
    ['beehive-quiet.txt', 1, /✗ {2}smooths the steps +too little noise/],
    ['beehive-hum.csv', 1, /✗ {2}hum +none assumed, found 0\.9\d+ LSB rms at 50\.0 Hz/],
    ['beehive-missing.txt', 1, /✗ {2}no missing code +[^✓]*code 1685\s+never occurs/],
    ['beehive-sine.txt', 0, /ENOB +10\.\d+ bits/],
  ])('judges %s within 80 columns, exit code %i', (name, code, words) => {
    const args = name.endsWith('csv') ? ['--rate', '1 kHz'] : [];
    const found = record([`data/records/${name}`, ...args]);
    expect([found.code, found.err]).toEqual([code, '']);
    expect(found.out).toMatch(words);
    expect(Math.max(...found.out.split('\n').map((line) => [...line].length))).toBeLessThanOrEqual(80);
  });

  it('judges averaged results of another worksheet', () => {
    const { code, out } = record([
      'data/records/cellar-averaged.csv',
      'data/worksheets/cellar.json',
      '--averaged',
    ]);
    expect(code).toBe(0);
    expect(out).toContain('1024 results at 1 Hz');
    expect(out).toContain('5.100 V');
  });

  it('shows every line that gave no code with its number', () => {
    const { out } = record(['data/records/beehive-missing.txt']);
    expect(out).toContain('line 1002: unparsable: 0x7·3');
    expect(out).toContain('line 2502: out of range: 0x7FF3');
    const { lines } = JSON.parse(record(['data/records/beehive-missing.txt', '--json']).out);
    expect(lines).toMatchObject({
      total: 4097,
      rows: 4093,
      unparsable: 1,
      outOfRange: 1,
      comments: 1,
      blank: 1,
    });
    // What would steer a terminal is not passed on.
    const nasty = file('nasty.txt', '100\n\u001b]0;gone\u0007\n101\n\u009b2J\n102\n');
    const shown = record([nasty]);
    expect(shown.out).toContain('line 2: unparsable: ·]0;gone·');
    // biome-ignore lint/suspicious/noControlCharactersInRegex: these are what is looked for
    expect(shown.out).not.toMatch(/[\u001b\u0080-\u009f]/);
  });

  it('tells the same of a long file, read by two threads, as of standard input, read by one', () => {
    // Above 8 MB the file is shared by two threads. A line of nonsense and a cut one are among the codes.
    const codes = codesOf('beehive.txt');
    const text = `${Array.from({ length: 500 }, () => codes.join('\n')).join('\n')}\nnonsense\n20`;
    expect(text.length).toBeGreaterThan(2 ** 23);
    const path = file('long.txt', text);
    const rate = ['--rate', '1000', '--json'];
    const [two, one] = [record([path, ...rate]), record(['-', ...rate], text)];
    expect(two.err).toBe('');
    expect(two.code).toBe(one.code);
    const { record: name, ...figures } = JSON.parse(two.out);
    expect(name).toBe('long.txt');
    expect({ ...figures, record: 'standard input' }).toEqual(JSON.parse(one.out));
    expect(figures.count).toBe(500 * codes.length);
  });

  it('says what may be wrong with a file that gives few codes or none', () => {
    const words = file('words.txt', 'adc=2002\n'.repeat(300));
    expect(record([words]).err).toContain('A line holds a whole number, or columns set apart by');
    expect(
      record([file('wide.txt', Buffer.from('2002\n2003\n'.repeat(99), 'utf16le').toString('latin1'))]).err,
    ).toContain('zero bytes in it: if it is text, save it as UTF-8');
    expect(record([file('row.txt', '2002,'.repeat(2000))]).err).toContain(
      'Of 1 line: 1 too long. Codes stand one a line',
    );
    const few = record([file('few.txt', `2002\n${'adc\n'.repeat(9)}`)]).out;
    expect(few).toMatch(/^few\.txt: 1 code at /);
    expect(few.replace(/\s+/g, ' ')).toContain(
      'More lines were refused than gave codes. Of 10 lines: 9 unreadable.',
    );
  });

  it('says how many lines stand before the first code, and what all refused lines look like', () => {
    const codes = codesOf('beehive.txt');
    const lost = [...new Array<string>(50).fill('NaN'), ...codes].join('\n');
    expect(record(['-'], lost).out).toContain(
      'Of 4146 lines: 50 without any code before the first with one.',
    );
    const hexadecimal = codes.map((c) => c.toString(16).replace(/^\d*$/, 'abc')).join('\n');
    expect(record(['-'], hexadecimal).err).toContain('say --hex');
    const negative = codes.map((c) => -c).join('\n');
    expect(record(['-'], negative).err).toContain('Codes are plain binary, from 0');
    expect(record(['-'], `code\n${codes.join('\n')}`).out).not.toContain('without any code');
  });

  it('reads standard input, a column, hexadecimal codes', () => {
    const codes = codesOf('beehive.txt');
    const piped = record(['-', '--json', '--rate', '1000'], `${codes.join('\r\n')}`);
    expect(JSON.parse(piped.out)).toMatchObject({ count: 4096, record: 'standard input' });
    expect(piped.err).toBe('');
    const table = codes.map((c, i) => `${i / 100};${4095 - c};${c.toString(16)}`).join('\n');
    const args = ['-', '--json', '--column', '3', '--hex'];
    const { count, maximum } = JSON.parse(record(args, table).out);
    expect([count, maximum]).toEqual([4096, Math.max(...codes)]);
  });

  it.each([
    [[], 'name a file of codes, or - for standard input'],
    [['nothing.txt'], 'nothing.txt: there is no such file'],
    [['data'], 'data: this is a folder, not a file'],
    [['-', '-'], 'standard input cannot give both the worksheet and the codes'],
    [['data/records/beehive.txt', '--bits', '0'], '--bits: got "0"; allowed whole numbers 1 … 30'],
    [['data/records/beehive.txt', '--rate', '-5'], '--rate'],
    [['data/records/beehive.txt', '--rate', '5 V'], '--rate'],
    [['data/records/beehive.txt', '--rate', '0'], '--rate: got "0"; allowed above 0'],
    [['data/records/beehive.txt', '--column', '1.5'], '--column: got "1.5"'],
    [['data/records/beehive.txt', '--column', '7'], 'no line gave a code'],
    [['README.md'], 'README.md: no line gave a code'],
    [['data/records/beehive.txt', 'nothing.json'], 'nothing.json: there is no such file'],
  ])('bad input ends with 2 and one plain sentence: %j', (args, message) => {
    const { code, out, err } = record(args);
    expect([code, out]).toEqual([2, '']);
    expect(err).toContain(message);
    expect(err.trim().split('\n').length).toBeLessThanOrEqual(2);
    expect(err).not.toMatch(/\bat .*:\d+:\d+/);
  });
});

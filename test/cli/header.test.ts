import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { DOMParser } from 'linkedom';
import { afterAll, describe, expect, it } from 'vitest';

const folder = mkdtempSync(join(tmpdir(), 'halfbit-header-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** Runs the program as from a shell. */
function halfbit(...args: readonly string[]): { code: number | null; out: string; err: string } {
  const { status, stdout, stderr } = spawnSync(
    process.execPath,
    ['--import', 'tsx', 'src/cli/main.ts', ...args],
    { encoding: 'utf8' },
  );
  return { code: status, out: stdout, err: stderr };
}

describe('header', () => {
  const path = join(folder, 'nest.h');

  it('writes a header, and tells whether a committed one still matches', () => {
    expect(halfbit('header', '--prefix', 'nest', '--out', path)).toMatchObject({ code: 0, out: `${path}\n` });
    const text = readFileSync(path, 'utf8');
    expect(text).toContain('int32_t nest_from_code(uint16_t code)');
    expect(text).toContain('#define NEST_UNIT "degC"');
    expect(halfbit('header', '--prefix', 'nest').out).toBe(text);
    expect(halfbit('header', '--prefix', 'nest', '--check', path)).toMatchObject({ code: 0, err: '' });
    // Line ends and the program's version do not count; a changed input does.
    writeFileSync(path, text.replace(/\n/g, '\r\n').replace(/Halfbit \S+ from/, 'Halfbit 9.9.9 from'));
    expect(halfbit('header', '--prefix', 'nest', '--check', path).code).toBe(0);
    const changed = halfbit('header', '--prefix', 'nest', '--check', path, '--set', 'averaging.ratio=32');
    expect(changed.code).toBe(1);
    expect(changed.out).toBe('');
    expect(changed.err).toContain(`${path}:3: no longer matches its worksheet`);
    writeFileSync(path, text.replace('#endif\n', ''));
    expect(halfbit('header', '--prefix', 'nest', '--check', path).code).toBe(1);
  });

  it('takes its prefix from the worksheet’s name, and gives vectors', () => {
    expect(halfbit('header', 'data/worksheets/cellar.json')).toMatchObject({
      code: 0,
      out: expect.stringContaining('cellar_from_code(uint16_t code)'),
    });
    expect(halfbit('header', '--vectors', 'csv').out).toMatch(/\ncode,value,measurand_degC\n0,2147483647,\n/);
    expect(halfbit('header', '--vectors', 'c').out).toContain('beehive_failed_vectors');
    const { conversion } = JSON.parse(halfbit('header', '--json').out);
    expect(conversion).toMatchObject({ scale: 1000, falling: true });
  });

  it.each([
    [['--prefix', '9x'], '--prefix: got "9x"; allowed a letter'],
    // ISO/IEC 14882, [lex.name]: a name with __ anywhere in it belongs to the implementation.
    [['--prefix', 'nest_'], '--prefix: got "nest_"; allowed a letter'],
    [['--prefix', 'ne__st'], '--prefix: got "ne__st"; allowed a letter'],
    [['--vectors', 'xml'], '--vectors: got "xml"; allowed csv or c'],
    [['--check', 'x', '--out', 'y'], '--check writes nothing'],
    [['--check', join(folder, 'none.h')], 'there is no such file'],
  ])('bad input ends with 2: %j', (args, message) => {
    const { code, out, err } = halfbit('header', ...args);
    expect(code).toBe(2);
    expect(out).toBe('');
    expect(err).toContain(message);
  });
});

describe('what is written', () => {
  it('never takes the place of a worksheet', () => {
    const path = join(folder, 'mine.json');
    expect(halfbit('new', path).code).toBe(0);
    const text = readFileSync(path, 'utf8');
    // The file that --junit takes is easily left out.
    for (const args of [
      ['check', '--junit', path],
      ['header', path, '--out', path],
      ['compare', path, path, '--html', path],
    ]) {
      const { code, err } = halfbit(...args);
      expect(code, args[0]).toBe(2);
      expect(err).toContain('this is a worksheet or a profile; name another file to write');
      expect(readFileSync(path, 'utf8')).toBe(text);
    }
  });

  it('of a refused worksheet steers no terminal', () => {
    const path = join(folder, 'nasty.json');
    writeFileSync(path, '{ "halfbit": 1, "\\u001b[2J\\u202ekey": 1 }');
    const { code, err } = halfbit('check', path);
    expect(code).toBe(2);
    expect(err).toContain('[2Jkey: no key has this name');
    for (const sign of ['\u001b', '\u202e']) expect(err).not.toContain(sign);
  });
});

describe('check --junit', () => {
  it('writes a test case for each requirement, and a failure for each that is missed', () => {
    const path = join(folder, 'verdicts.xml');
    expect(halfbit('check', 'data/worksheets/cellar.json', '--junit', path).code).toBe(1);
    const text = readFileSync(path, 'utf8');
    expect(text.startsWith('<?xml version="1.0" encoding="UTF-8"?>\n')).toBe(true);
    const document = new DOMParser().parseFromString(text, 'text/xml');
    const cases = [...document.querySelectorAll('testcase')];
    const judged = JSON.parse(halfbit('check', 'data/worksheets/cellar.json', '--json').out);
    expect(cases.map((c) => c.getAttribute('name'))).toEqual([
      ...judged.requirements.map((r: { name: string }) => r.name),
      ...judged.unjudged,
    ]);
    const failed = cases.filter((c) => c.querySelector('failure')).map((c) => c.getAttribute('name'));
    expect(failed).toEqual(
      judged.requirements.filter((r: { met: boolean }) => !r.met).map((r: { name: string }) => r.name),
    );
    const suite = document.querySelector('testsuite')!;
    expect(suite.getAttribute('tests')).toBe(String(cases.length));
    expect(suite.getAttribute('failures')).toBe(String(failed.length));
    expect(suite.getAttribute('skipped')).toBe(String(judged.unjudged.length));
  });
});

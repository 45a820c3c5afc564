import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';

const folder = mkdtempSync(join(tmpdir(), 'halfbit-compare-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const compare = (...args: string[]) => {
  const { status, stdout, stderr } = spawnSync(
    process.execPath,
    ['--import', 'tsx', 'src/cli/main.ts', 'compare', ...args],
    { encoding: 'utf8' },
  );
  return { code: status, out: stdout, err: stderr };
};
const beehive = 'data/worksheets/beehive.json';
const cellar = 'data/worksheets/cellar.json';

describe('compare', () => {
  it('exit code 1 and both figures where a requirement is lost', () => {
    const { code, out } = compare(beehive, '--set', 'averaging.shift=6');
    expect(code).toBe(1);
    // 64 shifted by 6 is one native code: 30.1 m°C; by 3 it was an eighth.
    expect(out).toContain('One requirement is lost: step was 3.76 m°C and is 30.1 m°C, 5 m°C wanted.');
    expect(out).toMatch(/shift +3 +6 +assumed/);
    expect(out).toMatch(/✗ lost; by shift alone/);
  });

  it('exit code 0 where none is, even if one is missed in both', () => {
    expect(compare(cellar, '--set', 'sampling.sampleCycles=57')).toMatchObject({ code: 0 });
    const same = compare(beehive, beehive);
    expect(same.code).toBe(0);
    expect(same.out).toContain('The two say the same');
  });

  it('two worksheets that have little in common stay within 80 columns, and in Markdown', () => {
    const { code, out } = compare(cellar, 'data/worksheets/workbench.json');
    expect(code).toBe(1);
    expect(Math.max(...out.split('\n').map((line) => [...line].length))).toBeLessThanOrEqual(80);
    const markdown = compare(cellar, 'data/worksheets/workbench.json', '--markdown').out;
    expect(markdown).toContain('| kind of sensor | divider | platinum | set |');
    expect(`${out}${markdown}`).not.toMatch(/NaN|undefined|Infinity|\[object/);
  });

  it('gives everything for machines', () => {
    const { out } = compare(beehive, '--json', '--set', 'averaging.ratio=16');
    const { lost, inputs, requirements, results, a, b } = JSON.parse(out);
    expect(lost).toBe(true);
    expect(inputs).toMatchObject([
      { path: 'averaging.ratio', a: { value: 64, from: 'assumed' }, b: { value: 16 } },
    ]);
    expect(requirements.find((r: { name: string }) => r.name === 'step').change).toBe('lost');
    expect(results.find((r: { name: string }) => r.name === 'averaging.largestCode')).toMatchObject({
      a: 32760,
      // 4095·16/8
      b: 8190,
    });
    expect(a.hash).not.toBe(b.hash);
  });

  it('writes one HTML file that asks for nothing', () => {
    const path = join(folder, 'c.html');
    expect(compare(beehive, '--set', 'requirement.measurand=<b>nest</b>', '--html', path).code).toBe(0);
    const html = readFileSync(path, 'utf8');
    expect(html).toContain("default-src 'none'");
    expect(html).toContain('&lt;b>nest&lt;/b>');
    expect(html.replace(/data:font[^)]*/g, '')).not.toMatch(/https?:\/\/(?!www\.w3\.org)/);
    expect(html).not.toContain('<input');
  });

  it.each([
    [[], 'name two worksheets'],
    [[beehive], 'name two worksheets'],
    [[beehive, 'nothing.json'], 'nothing.json: there is no such file'],
    [['-', '-'], 'only one of the two'],
    [[beehive, '--set', 'averaging.ratio=48'], '48 is not a power of two'],
    [[beehive, cellar, beehive], 'one word too many'],
  ])('bad input ends with 2 and one sentence: %j', (args, message) => {
    const { code, out, err } = compare(...args);
    expect(code).toBe(2);
    expect(out).toBe('');
    expect(err).toContain(message);
  });
});

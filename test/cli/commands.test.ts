import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { bestDither } from '../../src/chain/averaging/dither.ts';
import { oversample } from '../../src/chain/averaging/oversample.ts';

const folder = mkdtempSync(join(tmpdir(), 'halfbit-cli-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** Runs the program as from a shell. */
function halfbit(args: readonly string[], input?: string): { code: number | null; out: string; err: string } {
  const { status, stdout, stderr } = spawnSync(
    process.execPath,
    ['--import', 'tsx', 'src/cli/main.ts', ...args],
    {
      encoding: 'utf8',
      ...(input !== undefined && { input }),
    },
  );
  return { code: status, out: stdout, err: stderr };
}

describe('check', () => {
  it('meets everything for the beehive, in JSON under the names of the module', () => {
    const { code, out, err } = halfbit(['check', '--json']);
    expect(err).toBe('');
    expect(code).toBe(0);
    const result = JSON.parse(out);
    expect(result.requirements.every((r: { met: boolean }) => r.met)).toBe(true);
    expect(result.requirements[0]).toMatchObject({ name: 'resolution', required: 0.02, unit: 'K' });
    expect(result.averaging).toMatchObject({
      ratio: 64,
      shift: 3,
      resultBits: 15,
      largestCode: 32760,
      overflows: false,
    });
    const worth = oversample({ bits: 12, noiseLsb: 0.6, ratio: 64, shift: 3 });
    expect(result.averaging.effectiveBits).toBe(worth.effectiveBits);
    expect(result.sampling).toMatchObject({ clock: 2e6, sampleCycles: 8, sampleTime: 4e-6 });
    // The reading: rms in LSB times the width of a code, K; 12 bits, divider 10 kΩ, β 3435 K: dT/dk = T²/(2^N β r (1 − r)).
    const [kelvin, r] = [313.15, 1 / (1 + 1 / Math.exp(3435 * (1 / 313.15 - 1 / 298.15)))];
    expect(result.reading.rms).toBeCloseTo(
      (worth.rmsErrorLsb * kelvin ** 2) / (4096 * 3435 * r * (1 - r)),
      12,
    );
  });

  it('tells by its exit code that a requirement is missed, and by which figures', () => {
    const { code, out } = halfbit(['check', 'data/worksheets/cellar.json']);
    expect(code).toBe(1);
    expect(out).toMatch(/✗ {2}settling +255 LSB {2}of +0\.25 LSB {2}missed/);
    expect(out.split('\n').every((line) => line.length <= 80)).toBe(true);
  });

  it('takes what-ifs', () => {
    const { ratio } = JSON.parse(
      halfbit(['check', '--json', '--set', 'averaging.ratio=8', '--set', 'averaging.shift=0']).out,
    ).averaging;
    expect(ratio).toBe(8);
    const dither = bestDither({ bits: 12, ratio: 16 }).noiseLsb;
    const { code } = halfbit(['check', '--set', `converter.noise=${dither} LSB`]);
    expect(code).toBe(0);
  });

  it.each([
    [['check', 'nothing.json'], 'nothing.json: there is no such file'],
    [['check', '--set', 'averaging.ratio=48'], '48 is not a power of two; the profile allows 2 … 256'],
    [['check', '--set', 'averagin.ratio=8'], 'the nearest is "averaging.ratio"'],
    [['check', '--set', 'averaging.ratio'], 'write it as PATH=VALUE'],
    [['check', '--set', 'requirement.period=1'], 'has no unit; write 1 s, 1 min or 1 h'],
    [['check', '--nope'], "Unknown option '--nope'"],
    [['check', 'a', 'b'], 'one word too many: "b"'],
    [['show', 'nopage'], 'there are temperature-ratio'],
    [['nothing'], 'there is no command "nothing"'],
    [['serve', '--port', '80'], '--port: got 80; allowed whole numbers 1024 … 65535'],
  ])('bad input ends with 2 and one plain sentence: %j', (args, message) => {
    const { code, out, err } = halfbit(args);
    expect(code).toBe(2);
    expect(out).toBe('');
    expect(err).toContain(message);
    expect(err).not.toMatch(/\bat .*:\d+:\d+/);
  });

  it('names line and column of everything that is wrong in a file', () => {
    const { code, err } = halfbit(['check', '-'], '{"halfbit": 1,\n "title": 3}');
    expect(code).toBe(2);
    expect(err).toContain('-:2:11: title: 3 will not do; allowed text of up to 120 characters');
    expect(err).toContain('-:1:1: sensor: missing');
  });
});

describe('show', () => {
  it('prints a page within 80 columns, and as Markdown', () => {
    const { code, out } = halfbit(['show', 'temperature-ratio', 'data/worksheets/workbench.json']);
    expect(code).toBe(1);
    expect(out).toContain('No ratio of this converter serves');
    expect(Math.max(...out.split('\n').map((line) => [...line].length))).toBeLessThanOrEqual(80);
    const markdown = halfbit(['show', 'temperature-ratio', '--markdown']).out;
    expect(markdown).toMatch(/^## Which oversampling ratio/);
    expect(markdown).toContain('| ratio | shift | result, bits |');
  });
});

describe('help', () => {
  it('of one command is asked for behind its name', () => {
    const { code, out } = halfbit(['check', '--help']);
    expect(code).toBe(0);
    expect(out).toMatch(/^halfbit check /m);
    expect(out).not.toContain('halfbit serve');
  });
});

describe('new', () => {
  it('writes a worksheet that checks, and never over a file', () => {
    const path = join(folder, 'mine.json');
    expect(halfbit(['new', path]).code).toBe(0);
    // The demo without its recorded codes, which lie beside the demo.
    const { record, review, ...demo } = JSON.parse(readFileSync('data/worksheets/beehive.json', 'utf8'));
    expect(record && review).toBeDefined();
    expect(JSON.parse(readFileSync(path, 'utf8'))).toEqual(demo);
    expect(halfbit(['check', path]).code).toBe(0);
    writeFileSync(path, 'mine');
    expect(halfbit(['new', path])).toMatchObject({
      code: 2,
      err: `halfbit new: ${path}: this file exists already\n`,
    });
    expect(readFileSync(path, 'utf8')).toBe('mine');
  });
});

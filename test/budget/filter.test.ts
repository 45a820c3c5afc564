import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { filterFigures, type ReadingFilter } from '../../src/budget/filter.ts';
import { filteredCodes } from '../../src/budget/filteredCodes.ts';
import { seededRandom } from '../../src/numbers/random.ts';
import { expectNear, expectPrinted } from '../close.ts';

const filters: [string, ReadingFilter][] = [
  ['mean of 1', { kind: 'mean', length: 1 }],
  ['mean of 7', { kind: 'mean', length: 7 }],
  ['mean of 64', { kind: 'mean', length: 64 }],
  ['shift 0', { kind: 'exponential', shift: 0, form: 'shift' }],
  ['shift 4', { kind: 'exponential', shift: 4, form: 'shift' }],
  ['divide 3', { kind: 'exponential', shift: 3, form: 'divide' }],
  ['accumulator 5', { kind: 'exponential', shift: 5, form: 'accumulator' }],
  ['accumulator 16', { kind: 'exponential', shift: 16, form: 'accumulator' }],
  ['median of 3', { kind: 'median', length: 3 }],
  ['median of 5', { kind: 'median', length: 5 }],
];

describe('against the same filters in C, bit for bit', () => {
  const dir = mkdtempSync(join(tmpdir(), 'filters-'));
  const program = join(dir, 'filters');
  beforeAll(() => {
    const source = fileURLToPath(new URL('filters.c', import.meta.url));
    execFileSync('cc', ['-std=c99', '-Wall', '-Wextra', '-Werror', '-O1', '-o', program, source]);
  });
  afterAll(() => rmSync(dir, { recursive: true }));

  it.each(filters)('%s: 20 000 readings, noisy, stepping, and at both ends of the range', (_, filter) => {
    const random = seededRandom(8);
    const codes = Int32Array.from({ length: 20_000 }, (_, i) => {
      const level = i % 5000 < 2000 ? 1000 : i % 5000 < 3000 ? 60_000 : i % 5000 < 4000 ? 0 : 2 ** 31 - 1;
      return Math.min(2 ** 31 - 1, Math.max(0, level + Math.round(40 * random.normal())));
    });
    const kind = filter.kind === 'exponential' ? filter.form : filter.kind;
    const parameter = filter.kind === 'exponential' ? filter.shift : filter.length;
    const printed = execFileSync(program, [kind, String(parameter)], {
      input: codes.join('\n'),
      encoding: 'utf8',
    });
    expect([...filteredCodes({ codes, filter })]).toEqual(printed.trim().split('\n').map(Number));
  });
});

describe('published: [ORDERSTATISTICS], variance of the median of normal deviates (values from memory)', () => {
  it.each([
    [3, '0.4486711'],
    [5, '0.2868337'],
  ] as const)('of %i', (length, variance) => {
    expectPrinted(filterFigures({ filter: { kind: 'median', length } }).noiseFactor ** 2, variance);
  });

  it('of 3 is 1 − √3/π, exactly', () => {
    const { noiseFactor } = filterFigures({ filter: { kind: 'median', length: 3 } });
    expectNear(noiseFactor ** 2, 1 - Math.sqrt(3) / Math.PI, 1e-13);
  });
});

describe('against the integer filters', () => {
  it.each(filters.filter(([name]) => name !== 'accumulator 16'))(
    '%s: noise of 4·10⁵ readings, to 2 %',
    (_, filter) => {
      const random = seededRandom(9);
      const codes = Int32Array.from({ length: 400_000 }, () => 1e6 + Math.round(5000 * random.normal()));
      const out = filteredCodes({ codes, filter }).subarray(1000);
      const mean = out.reduce((sum, y) => sum + y, 0) / out.length;
      const variance = out.reduce((sum, y) => sum + (y - mean) ** 2, 0) / out.length;
      // The slowest of them has 6000 independent outputs, whose spread is known to 0.9 %.
      expectNear(Math.sqrt(variance) / 5000, filterFigures({ filter }).noiseFactor, 0.02);
    },
  );

  it.each(filters)(
    '%s: readings until a step of a billion codes is followed to 90, 99 and 99.9 %',
    (_, filter) => {
      for (const settled of [0.9, 0.99, 0.999]) {
        const { stepReadings } = filterFigures({ filter, settled });
        const codes = new Int32Array(stepReadings + 2).fill(1e9);
        codes[0] = 0;
        const out = filteredCodes({ codes, filter });
        // The first reading stood before the step. 2e5 codes are more than any dead band here.
        expect(out[stepReadings]!).toBeGreaterThanOrEqual(settled * 1e9 - 2e5);
        expect(out[stepReadings - 1]!).toBeLessThan(settled * 1e9);
      }
    },
  );

  it('dead band: every start and every target over a span, for shifts 0 to 5, and both ways', () => {
    for (const form of ['shift', 'divide', 'accumulator'] as const) {
      for (let shift = 0; shift <= 5; shift++) {
        const filter: ReadingFilter = { kind: 'exponential', shift, form };
        let [below, above] = [0, 0];
        for (let start = 0; start <= 80; start += 5) {
          for (let target = 0; target <= 80; target++) {
            const codes = new Int32Array(600).fill(target);
            codes[0] = start;
            const rest = filteredCodes({ codes, filter }).at(-1)! - target;
            below = Math.max(below, -rest);
            above = Math.max(above, rest);
          }
        }
        expect({ below, above }, `${form} ${shift}`).toEqual(filterFigures({ filter }).deadBand);
      }
    }
  });
});

describe('properties', () => {
  it('a steady input stays as it is, and no filter leaves the range of its readings', () => {
    const random = seededRandom(10);
    for (const [name, filter] of filters) {
      expect([...filteredCodes({ codes: [77, 77, 77, 77], filter })], name).toEqual([77, 77, 77, 77]);
      const codes = Int32Array.from({ length: 500 }, () => 100 + Math.floor(50 * random.uniform()));
      for (const y of filteredCodes({ codes, filter })) {
        expect(y, name).toBeGreaterThanOrEqual(100);
        expect(y, name).toBeLessThan(150);
      }
    }
  });

  it('one false reading of three, or two of five, do not pass a median', () => {
    const spikes = [50, 50, 50, 4095, 50, 50, 50, 50, 0, 4095, 50, 50, 50];
    expect(new Set(filteredCodes({ codes: spikes, filter: { kind: 'median', length: 5 } }))).toEqual(
      new Set([50]),
    );
    expect(filteredCodes({ codes: spikes, filter: { kind: 'median', length: 3 } }).subarray(0, 8)).toEqual(
      new Int32Array(8).fill(50),
    );
  });
});

describe('limits', () => {
  it('no readings', () => {
    expect(filteredCodes({ codes: [], filter: { kind: 'mean', length: 3 } })).toEqual(new Int32Array());
  });

  it('figures of a mean: 100 readings take 99, 10 take 10', () => {
    const steps = (length: number) => filterFigures({ filter: { kind: 'mean', length } }).stepReadings;
    expect([steps(1), steps(10), steps(100), steps(101)]).toEqual([1, 10, 99, 100]);
    // 0.55·100 is 55.00000000000001 in doubles.
    expect(filterFigures({ filter: { kind: 'mean', length: 100 }, settled: 0.55 }).stepReadings).toBe(55);
  });
});

describe('errors', () => {
  it('name the argument, the value and the range', () => {
    expect(() => filterFigures({ filter: { kind: 'mean', length: 0 } })).toThrow(
      new RangeError('filterFigures.filter.length: got 0; allowed whole numbers 1 … 4096'),
    );
    expect(() => filterFigures({ filter: { kind: 'median', length: 4 as never } })).toThrow(
      new RangeError('filterFigures.filter.length: got 4; allowed 3 or 5'),
    );
    expect(() => filterFigures({ filter: { kind: 'other' } as never })).toThrow(
      new RangeError(
        "filterFigures.filter: got an object; allowed a filter {kind: 'mean' | 'exponential' | 'median', …}",
      ),
    );
    expect(() => filteredCodes({ codes: [1, -1], filter: { kind: 'mean', length: 1 } })).toThrow(
      new RangeError(
        'filteredCodes.codes: got an array of 2; allowed an array of whole numbers 0 … 2147483647',
      ),
    );
  });
});

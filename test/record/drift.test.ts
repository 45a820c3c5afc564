import { describe, expect, it } from 'vitest';
import { seededRandom } from '../../src/numbers/random.ts';
import { drift } from '../../src/record/drift.ts';
import { summarizeCodes } from '../../src/record/summary.ts';
import { expectNear, expectPrinted } from '../close.ts';
import { column } from './series.ts';

describe('published: slope, and intercept at index 0 of a count from 1', () => {
  it('[SP1065] table 30, 9 values', () => {
    const { slope, start } = drift({ values: column('allan-9.csv', 'y'), rate: 1 });
    expectPrinted(slope, '-10.2');
    expectPrinted(start - slope, '839.8889');
  });

  it('[SP1065] table 31, 1000 values (from memory)', () => {
    const { slope, start } = drift({ values: column('allan-1000.csv', 'y'), rate: 1 });
    expectPrinted(slope, '6.490910e-06');
    expectPrinted(start - slope, '4.865258e-01');
  });
});

describe('simulated: 2000 records of a line in white noise, seed 2', () => {
  it('the slope scatters as its uncertainty says', () => {
    const random = seededRandom(2);
    let mean = 0;
    let square = 0;
    let said = 0;
    for (let r = 0; r < 2000; r++) {
      const values = Array.from({ length: 50 }, (_, i) => 5 + 0.1 * i + random.normal());
      const { slope, slopeUncertainty } = drift({ values, rate: 10 });
      mean += slope / 2000;
      square += (slope - 1) ** 2 / 2000;
      said += slopeUncertainty ** 2 / 2000;
    }
    expectNear(mean, 1, 0, 'slope', 5 * Math.sqrt(said / 2000));
    // 2000 draws tell a variance to 3 %.
    expectNear(square, said, 0.13);
  });
});

describe('both ways agree', () => {
  it('exact sums over codes, and passes over values', () => {
    const codes = seededRandom(5)
      .fillNormal(new Float64Array(5000))
      .map((z, i) => Math.round(1000 + 3 * z + 0.01 * i));
    const a = drift({ values: codes, rate: 1 });
    const b = summarizeCodes({ codes, bits: 12 }).drift as typeof a;
    for (const name of ['slope', 'start', 'slopeUncertainty', 'residual'] as const)
      expectNear(b[name], a[name], 1e-11, name);
  });
});

describe('limits and errors', () => {
  it('a line leaves nothing', () => {
    const { slope, start, residual, slopeUncertainty } = drift({ values: [1, 3, 5, 7], rate: 2 });
    expect([slope, start, residual, slopeUncertainty]).toEqual([4, 1, 0, 0]);
  });

  it('arguments', () => {
    expect(() => drift({ values: [1, 2], rate: 1 })).toThrow('drift.values: got an array of 2');
    expect(() => drift({ values: [1, 2, 3], rate: 0 })).toThrow('drift.rate: got 0');
  });
});

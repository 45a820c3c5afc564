import { describe, expect, it } from 'vitest';
import { seededRandom } from '../../src/numbers/random.ts';
import { type AllanKind, allanDeviation } from '../../src/record/allan.ts';
import { allanConfidence, allanFreedom, allanMinimum } from '../../src/record/allanConfidence.ts';
import { expectNear } from '../close.ts';
import { column } from './series.ts';

const thousand = column('allan-1000.csv', 'y');

describe('published: [SP1065] table 32, 1000 values, factor 10, overlapping, white, 95 %', () => {
  const point = allanDeviation({ values: thousand, rate: 1, kind: 'overlapping', factors: [10] })[0]!;
  const [band] = allanConfidence({
    points: [point],
    recordLength: 1000,
    kind: 'overlapping',
    noise: 'white',
    confidence: 0.95,
  });

  it('981 terms; degrees of freedom 146.177, by an approximation good to a thousandth', () => {
    expect(band!.terms).toBe(981);
    expectNear(band!.degreesOfFreedom, 146.177, 1e-3);
  });

  it('limits 0.08223942 and 0.1035201', () => {
    // The print takes χ² from an approximate quantile. With its 146.177 and exact quantiles the limits are 0.08219489 and
    // 0.10345356 (SciPy); with the exact degrees of freedom the ends move by another 4e-5. Hence within 1e-3, and not to the print.
    expectNear(band!.low, 0.08223942, 1e-3);
    expectNear(band!.high, 0.1035201, 1e-3);
    expectNear(band!.low, 0.08219489, 1e-4);
    expectNear(band!.high, 0.10345356, 1e-4);
  });
});

describe('published: [SP1065] table 5, white noise, overlapping (approximation, from memory)', () => {
  it.each([1, 2, 5, 10, 20, 50, 100])('factor %i of 1000', (m) => {
    const N = 1001;
    const approximate = ((3 * (N - 1)) / (2 * m) - (2 * (N - 2)) / N) * ((4 * m * m) / (4 * m * m + 5));
    // The approximation is within 2 % up to a tenth of the record.
    expectNear(
      allanFreedom({ noise: 'white', kind: 'overlapping', factor: m, recordLength: 1000 }),
      approximate,
      m < 20 ? 1e-3 : 0.02,
    );
  });
});

describe('by simulation: ν = 2·mean²/variance of the Allan variance of 3000 records, seed 21', () => {
  const records = 3000;
  const length = 300;
  const random = seededRandom(21);
  const white = Array.from({ length: records }, () => random.fillNormal(new Float64Array(length)));
  const walks = white.map((record) => {
    let sum = 0;
    return record.map((z) => {
      sum += z;
      return sum;
    });
  });
  it.each([
    ['white', 'overlapping', 1],
    ['white', 'overlapping', 8],
    ['white', 'overlapping', 60],
    ['white', 'adjacent', 8],
    ['white', 'modified', 16],
    ['random walk', 'overlapping', 8],
    ['random walk', 'adjacent', 8],
    ['random walk', 'modified', 16],
  ] as const)('%s, %s, factor %i', (noise, kind, factor) => {
    const variances = (noise === 'white' ? white : walks).map(
      (values) => allanDeviation({ values, rate: 1, kind, factors: [factor] })[0]!.deviation ** 2,
    );
    const mean = variances.reduce((sum, v) => sum + v, 0) / records;
    const spread = variances.reduce((sum, v) => sum + (v - mean) ** 2, 0) / records;
    // A variance of 3000 draws is known to 2.6 % (more with the long tail of few degrees of freedom): four times that.
    expectNear(allanFreedom({ noise, kind, factor, recordLength: length }), (2 * mean ** 2) / spread, 0.12);
  });

  it('the band holds the true deviation as often as it says', () => {
    const factor = 30;
    let held = 0;
    for (const values of white) {
      const points = allanDeviation({ values, rate: 1, kind: 'overlapping', factors: [factor] });
      const { low, high } = allanConfidence({
        points,
        recordLength: length,
        kind: 'overlapping',
        noise: 'white',
        confidence: 0.9,
      })[0]!;
      if (low <= 1 / Math.sqrt(factor) && 1 / Math.sqrt(factor) <= high) held++;
    }
    // 90 % of 3000, give or take 0.55 %; the variance is not quite χ².
    expectNear(held / records, 0.9, 0, 'share', 0.025);
  });
});

describe('noise by the slope', () => {
  const noiseOf = (slope: number) =>
    allanConfidence({
      points: [1, 2, 4, 8].map((factor) => ({ factor, tau: factor, deviation: factor ** slope, terms: 9 })),
      recordLength: 100,
      kind: 'overlapping',
    }).map((p) => p.noise);

  it.each([
    [-1, 'white'],
    [-0.5, 'white'],
    [0, 'flicker'],
    [0.5, 'random walk'],
    [1, 'random walk'],
  ] as const)('slope %d: %s', (slope, noise) => {
    expect(noiseOf(slope)).toEqual([noise, noise, noise, noise]);
  });

  it('one point, or no scatter, is taken as white', () => {
    const point = { factor: 1, tau: 1, deviation: 0, terms: 9 };
    const band = allanConfidence({ points: [point], recordLength: 100, kind: 'adjacent' })[0]!;
    expect([band.noise, band.low, band.high]).toEqual(['white', 0, 0]);
  });
});

describe('properties', () => {
  const kinds: AllanKind[] = ['adjacent', 'overlapping', 'modified'];

  it('at factor 1 all kinds are one', () => {
    const [a, b, c] = kinds.map((kind) =>
      allanFreedom({ noise: 'white', kind, factor: 1, recordLength: 500 }),
    );
    expect([b, c]).toEqual([a, a]);
  });

  it('fewer with longer averaging, never below one', () => {
    for (const kind of kinds) {
      let before = Number.POSITIVE_INFINITY;
      for (let factor = 1; factor <= 2 ** 20; factor *= 2) {
        const v = allanFreedom({ noise: 'flicker', kind, factor, recordLength: 3.2e6 });
        expect(v).toBeLessThan(before * 1.02);
        expect(v).toBeGreaterThanOrEqual(1);
        before = v;
      }
    }
  });
});

describe('the lowest point', () => {
  const points = [3, 2, 4].map((deviation, i) => ({ factor: 2 ** i, tau: 2 ** i / 10, deviation, terms: 9 }));

  it('inside, and at the end', () => {
    expect(allanMinimum({ points })).toEqual({ factor: 2, tau: 0.2, deviation: 2, atEnd: false });
    expect(allanMinimum({ points: points.slice(0, 2) }).atEnd).toBe(true);
  });
});

describe('errors', () => {
  it('arguments', () => {
    expect(() => allanMinimum({ points: [] })).toThrow('allanMinimum.points');
    expect(() => allanFreedom({ noise: 'white', kind: 'modified', factor: 40, recordLength: 100 })).toThrow(
      'allanFreedom.factor: got 40; a record of 100 leaves no term, modified',
    );
    const points = [{ factor: 1, tau: 1, deviation: 1, terms: 1 }];
    expect(() => allanConfidence({ points, recordLength: 9, kind: 'adjacent', confidence: 1 })).toThrow(
      'allanConfidence.confidence: got 1; allowed 0.01 … 0.9999',
    );
  });
});

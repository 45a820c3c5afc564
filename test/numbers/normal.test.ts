import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { logNormalTail, normalDensity, normalQuantile, normalTail } from '../../src/numbers/normal.ts';
import { expectNear } from '../close.ts';

const rows = (name: string): number[][] =>
  readFileSync(new URL(`../published/${name}`, import.meta.url), 'utf8')
    .split('\n')
    .filter((line) => /^-?\d/.test(line))
    .map((line) => line.split(',').map(Number));

describe('against multi-precision values (mpmath), test/published', () => {
  const tail = rows('normal_tail.csv');

  it('1275 tails: relative error below 2e-15 to 37 σ, and below 1e-10 down to 1e-300', () => {
    expect(tail).toHaveLength(1275);
    for (const [z, q] of tail) {
      if (z! <= 37) expectNear(normalTail(z!), q!, 2e-15, `Q(${z})`);
      else expectNear(normalTail(z!), q!, 1e-10, `Q(${z})`);
    }
  });

  it('their logarithms, and those beyond the smallest double and below zero: 2e-15', () => {
    for (const [z, , logq] of tail) expectNear(logNormalTail(z!), logq!, 2e-15, `ln Q(${z})`);
    // ln Q(−38) is a subnormal double, which has fewer digits: an absolute error of 1e-323 is allowed.
    for (const [z, logq] of rows('normal_log_tail.csv')) {
      expectNear(logNormalTail(z!), logq!, 2e-15, `ln Q(${z})`, 1e-323);
    }
  });

  it('quantiles from 5e-324 to 1 − 2⁻⁵³: 1e-15 of the larger of 1 and |z|', () => {
    const quantiles = rows('normal_quantile.csv');
    expect(quantiles.length).toBeGreaterThan(180);
    // Probabilities are exact doubles, so one rounding of 1 − p or ln p is what is left.
    for (const [p, z] of quantiles) expectNear(normalQuantile(p!), z!, 1e-15, `p ${p}`, 1e-15);
  });
});

describe('properties', () => {
  const z = fc.double({ min: -8, max: 37, noNaN: true });

  it('Q(z) + Q(−z) = 1, and Q falls', () => {
    fc.assert(
      fc.property(z, z, (a, b) => {
        expectNear(normalTail(a) + normalTail(-a), 1, 4e-16);
        if (a + 1e-9 < b) expect(normalTail(a)).toBeGreaterThanOrEqual(normalTail(b));
      }),
      { seed: 3 },
    );
  });

  it('the density is the slope of the tail (central difference, to its own error of 1e-7)', () => {
    fc.assert(
      fc.property(fc.double({ min: -5, max: 5, noNaN: true }), (a) => {
        const h = 1e-4;
        expectNear((normalTail(a - h) - normalTail(a + h)) / (2 * h), normalDensity(a), 1e-7);
      }),
      { seed: 4 },
    );
  });

  it('the quantile of an upper tail is that distance again', () => {
    fc.assert(
      fc.property(fc.double({ min: 0.01, max: 37, noNaN: true }), (a) => {
        expectNear(-normalQuantile(normalTail(a)), a, 2e-15, `${a}`, 2e-15);
      }),
      { seed: 5 },
    );
  });
});

describe('limits', () => {
  it('the middle and the ends', () => {
    expect(normalTail(0)).toBe(0.5);
    expect(normalTail(-50)).toBe(1);
    expect(normalTail(50)).toBe(0);
    expect(normalTail(1e300)).toBe(0);
    expect(normalDensity(1e300)).toBe(0);
    expect(normalQuantile(0.5)).toBe(0);
    expect(normalQuantile(0.5 - 2 ** -54)).toBeLessThanOrEqual(0);
    expect(logNormalTail(-50)).toBeCloseTo(0, 300);
  });
});

describe('errors', () => {
  it('a probability of 0, 1 or none', () => {
    for (const p of [0, 1, -0.1, Number.NaN]) {
      expect(() => normalQuantile(p)).toThrow(
        new RangeError(`normalQuantile.p: got ${p}; allowed above 0 and below 1`),
      );
    }
  });
});

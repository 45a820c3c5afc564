import { describe, expect, it } from 'vitest';
import { chiSquareQuantile, chiSquareTail } from '../../src/numbers/chiSquare.ts';
import { normalQuantile, normalTail } from '../../src/numbers/normal.ts';
import { expectNear } from '../close.ts';
import { table } from '../record/series.ts';

describe('[CHISQUARE] quantiles, ν 0.5 … 10⁸', () => {
  for (const row of table('chi-square.csv')) {
    const nu = Number(row.nu);
    const p = Number(row.p);
    const x = Number(row.x);
    // Beyond 10⁴ the density's exponent is a difference of large numbers in either library.
    const allowed = nu > 1e4 ? 1e-11 : 2e-13;
    it(`ν ${nu}, ${row.tail} ${p}`, () => {
      if (row.tail === 'lower') {
        expectNear(chiSquareQuantile(p, nu), x, allowed);
        expectNear(1 - chiSquareTail(x, nu), p, 1e-9);
      } else {
        // 1 − p rounds p by up to 1.1e-16, which at p = 1e-6 is 1e-10 of the tail.
        expectNear(chiSquareQuantile(1 - p, nu), x, Math.max(allowed, 1e-16 / p));
        expectNear(chiSquareTail(x, nu), p, allowed);
      }
    });
  }
});

describe('one and two degrees of freedom are known', () => {
  it.each([0.1, 1, 4, 30, 200])('x = %d', (x) => {
    expectNear(chiSquareTail(x, 1), 2 * normalTail(Math.sqrt(x)), 2e-13);
    expectNear(chiSquareTail(x, 2), Math.exp(-x / 2), 2e-13);
  });

  it('the quantile of ν = 1 is the square of a normal one', () => {
    expectNear(chiSquareQuantile(0.95, 1), normalQuantile(0.975) ** 2, 1e-13);
  });
});

describe('limits and errors', () => {
  it('at and below 0 everything lies above', () => {
    expect([chiSquareTail(0, 3), chiSquareTail(-1, 3)]).toEqual([1, 1]);
  });

  it('degrees of freedom above 0', () => {
    expect(() => chiSquareQuantile(0.5, 0)).toThrow(
      'chiSquareQuantile.degreesOfFreedom: got 0; allowed above 0',
    );
    expect(() => chiSquareQuantile(1, 3)).toThrow(RangeError);
  });
});

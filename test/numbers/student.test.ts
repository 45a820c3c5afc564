import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { normalQuantile, normalTail } from '../../src/numbers/normal.ts';
import { studentQuantile, studentTail } from '../../src/numbers/student.ts';
import { expectNear, expectPrinted } from '../close.ts';

const rows = readFileSync(new URL('../published/student_tail.csv', import.meta.url), 'utf8')
  .split('\n')
  .filter((line) => /^\d/.test(line))
  .map((line) => line.split(',').map(Number) as [number, number, number]);

describe('against multi-precision values (mpmath), test/published', () => {
  it('375 tails, 1 to 1e9 degrees of freedom, 0.5 to 1e-300: 1e-12 down to 1e-100, 1e-11 below', () => {
    expect(rows).toHaveLength(375);
    for (const [nu, t, q] of rows) {
      expectNear(studentTail(t, nu), q, q > 1e-100 ? 1e-12 : 1e-11, `Q(${t}; ${nu})`);
    }
  });

  it('the quantile of those tails is the distance again: 1e-12', () => {
    for (const [nu, t, q] of rows) {
      // Near the median a rounding of q is a larger part of t.
      if (q > 1e-100) expectNear(-studentQuantile(q, nu), t, 1e-12, `t(${q}; ${nu})`, 1e-15);
    }
  });
});

describe('published: [TFACTORS], ten digits', () => {
  it.each([
    [0.95, 2, '4.30265273'],
    [0.95, 3, '3.182446305'],
    [0.95, 5, '2.570581836'],
    [0.95, 10, '2.228138852'],
    [0.95, 50, '2.008559112'],
    [0.99, 5, '4.032142984'],
  ])('p = %d, ν = %i', (p, nu, t) => expectPrinted(-studentQuantile((1 - p) / 2, nu), t));
});

describe('published: [GUM] table G.2, p = 95.45 % (values from memory)', () => {
  it.each([
    [1, '13.97'],
    [2, '4.53'],
    [4, '2.87'],
    [10, '2.28'],
    [20, '2.13'],
  ])('ν = %i', (nu, t) => expectPrinted(-studentQuantile((1 - 0.9545) / 2, nu), t));
});

describe('properties', () => {
  const freedom = fc.double({ min: 1, max: 1e8, noNaN: true });

  it('tails on both sides add to 1, and the tail falls', () => {
    fc.assert(
      fc.property(freedom, fc.double({ min: -30, max: 30, noNaN: true }), (nu, t) => {
        expectNear(studentTail(t, nu) + studentTail(-t, nu), 1, 4e-16);
        expect(studentTail(t + 1e-3, nu)).toBeLessThan(studentTail(t, nu) * (1 + 1e-12));
      }),
      { seed: 1 },
    );
  });

  it('fewer degrees of freedom have the longer tail, and the normal tail is the shortest', () => {
    fc.assert(
      fc.property(
        freedom,
        fc.double({ min: 1.01, max: 10, noNaN: true }),
        fc.double({ min: 0.1, max: 8, noNaN: true }),
        (nu, more, t) => {
          expect(studentTail(t, nu * more)).toBeLessThan(studentTail(t, nu) * (1 + 2e-12));
          expect(normalTail(t)).toBeLessThan(studentTail(t, nu) * (1 + 2e-12));
        },
      ),
      { seed: 2 },
    );
  });
});

describe('limits', () => {
  it('one degree of freedom is ½ − atan(t)/π, two are ½ − t/(2√(2 + t²))', () => {
    for (const t of [0, 0.3, 1, 1.7, 1.8, 5, 50]) {
      expectNear(studentTail(t, 1), 0.5 - Math.atan(t) / Math.PI, 1e-13, `${t}`, 1e-15);
      expectNear(studentTail(t, 2), 0.5 - t / (2 * Math.sqrt(2 + t * t)), 1e-13, `${t}`, 1e-15);
    }
  });

  it('many degrees of freedom are the normal distribution', () => {
    expectNear(studentQuantile(0.025, 1e15), normalQuantile(0.025), 1e-14);
    expect(studentTail(1e150, 1e6)).toBe(0);
    expect(studentTail(-1e150, 1e6)).toBe(1);
  });

  it('the middle', () => {
    expect(studentQuantile(0.5, 3)).toBe(0);
    expect(studentTail(0, 3)).toBe(0.5);
    expect(studentTail(0, 1e5)).toBe(0.5);
    expect(studentQuantile(0.9, 3)).toBe(-studentQuantile(1 - 0.9, 3));
  });
});

describe('errors', () => {
  it('name the argument, the value and the range', () => {
    expect(() => studentTail(1, 0.5)).toThrow(
      new RangeError('studentTail.degreesOfFreedom: got 0.5; allowed finite numbers from 1'),
    );
    expect(() => studentTail(Number.NaN, 3)).toThrow(
      new RangeError('studentTail.t: got NaN; allowed -1e150 … 1e150'),
    );
    for (const p of [0, 1, Number.NaN]) {
      expect(() => studentQuantile(p, 3)).toThrow(
        new RangeError(`studentQuantile.p: got ${p}; allowed 1e-100 … 1 - 1e-16`),
      );
    }
  });
});

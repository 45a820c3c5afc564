import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { rootBetween } from '../../src/numbers/roots.ts';
import { expectNear, expectPrinted } from '../close.ts';

// Two units of the last place, what rootBetween promises.
const full = 2 * 2 ** -52;

describe('roots known in closed form', () => {
  it('√2, ln 10⁻⁵, ∛0.001, 10⁻⁷ at a jump, each to full precision', () => {
    expectNear(
      rootBetween((x) => x * x - 2, 0, 2),
      Math.SQRT2,
      full,
    );
    expectNear(
      rootBetween((x) => Math.exp(x) - 1e-5, -1000, 10),
      Math.log(1e-5),
      full,
    );
    expectNear(
      rootBetween((x) => x ** 3 - 1e-3, 0, 1e6),
      0.1,
      full,
    );
    expectNear(
      rootBetween((x) => (x < 1e-7 ? -1 : 1), 0, 1),
      1e-7,
      full,
    );
  });

  it('the fixed point of the cosine, 0.739085133215161, in at most ten calls', () => {
    let calls = 0;
    const root = rootBetween(
      (x) => {
        calls++;
        return Math.cos(x) - x;
      },
      0,
      1,
    );
    expectPrinted(root, '0.739085133215161');
    expect(calls).toBeLessThanOrEqual(10);
  });
});

describe('properties', () => {
  it('finds the root of any odd power about any point, whichever way the ends are given', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -1e6, max: 1e6, noNaN: true }),
        fc.constantFrom(1, 3),
        fc.boolean(),
        (at, power, swap) => {
          const f = (x: number): number => (x - at) ** power;
          const ends: [number, number] = swap ? [2e6, -3e6] : [-3e6, 2e6];
          // A cube is flat at its root: it underflows to 0 within 1e-108 of it, nearer than any double but 0.
          expectNear(rootBetween(f, ...ends), at, full, `${at}`, 1e-107);
        },
      ),
      { seed: 1 },
    );
  });

  it('a looser tolerance is kept and takes fewer calls', () => {
    fc.assert(
      fc.property(fc.double({ min: 1, max: 1e6, noNaN: true }), (at) => {
        let calls = 0;
        const f = (x: number): number => {
          calls++;
          return Math.atan(x - at);
        };
        const loose = rootBetween(f, 0, 2e6, 1e-3);
        const few = calls;
        calls = 0;
        rootBetween(f, 0, 2e6);
        expectNear(loose, at, 1e-3);
        expect(few).toBeLessThanOrEqual(calls);
      }),
      { seed: 2 },
    );
  });
});

describe('limits', () => {
  it('an end that is a root is returned', () => {
    expect(rootBetween((x) => x - 3, 3, 5)).toBe(3);
    expect(rootBetween((x) => x - 5, 3, 5)).toBe(5);
    expect(rootBetween((x) => 3 - x, 3, 5)).toBe(3);
  });
});

describe('errors', () => {
  it('no sign change, a value that is not finite, ends or tolerance out of range', () => {
    expect(() => rootBetween((x) => x * x + 1, -1, 2)).toThrow(
      new RangeError('rootBetween: no sign change, f(-1) is 2 and f(2) is 5'),
    );
    expect(() => rootBetween((x) => Math.log(x), -1, 2)).toThrow(
      new RangeError('rootBetween: f(-1) is NaN; allowed finite numbers'),
    );
    expect(() => rootBetween((x) => x, -Infinity, 2)).toThrow(/got ends -Infinity and 2/);
    expect(() => rootBetween((x) => x, -1, 2, -1)).toThrow('rootBetween.relative: got -1; allowed 0 … 1');
  });
});

import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { seededRandom } from '../../src/numbers/random.ts';
import { type Costs, frontOf, toCompare } from '../../src/plan/front.ts';

/** Every pair compared: those that no other is at least as good as in all and better than in one; of equals the first. */
const pairwise = (points: readonly Costs[]): Costs[] =>
  points.filter(
    (p, i) =>
      !points.some(
        (o, k) =>
          o.error <= p.error &&
          o.charge <= p.charge &&
          o.time <= p.time &&
          (o.error < p.error || o.charge < p.charge || o.time < p.time || k < i),
      ),
  );

const sorted = (points: readonly Costs[]): string[] => points.map((p) => JSON.stringify(p)).sort();

describe('the front is what comparing every pair gives', () => {
  it('whole numbers, so that many are equal in one, two or all figures', () => {
    const figure = fc.integer({ min: 1, max: 6 });
    const points = fc.array(fc.record({ error: figure, charge: figure, time: figure }), { maxLength: 60 });
    fc.assert(
      fc.property(points, (list) => {
        expect(sorted(frontOf(list))).toEqual(sorted(pairwise(list)));
      }),
      { seed: 11, numRuns: 2000 },
    );
  });

  it('2000 settings of all sizes, of which more than a hundred stay', () => {
    const random = seededRandom(5);
    const list = Array.from({ length: 2000 }, () => {
      const [error, charge] = [Math.exp(8 * random.uniform()), Math.exp(8 * random.uniform())];
      // About as much of one as is saved of the others.
      return { error, charge, time: Math.exp(3 * random.uniform()) / (error * charge) };
    });
    const front = frontOf(list);
    expect(front.length).toBeGreaterThan(100);
    expect(sorted(front)).toEqual(sorted(pairwise(list)));
  });

  it('of equals the very first', () => {
    const twice = [
      { error: 1, charge: 1, time: 1, name: 'first' },
      { error: 1, charge: 1, time: 1, name: 'second' },
    ];
    expect(frontOf(twice).map((p) => p.name)).toEqual(['first']);
  });
});

describe('figures', () => {
  it('that differ by the rounding of a sum are equal; by one part in 1e11 they are not', () => {
    let sum = 0;
    for (let i = 0; i < 1000; i++) sum += 0.1;
    expect(sum).toBeLessThan(100);
    expect(toCompare(sum)).toBe(toCompare(100));
    expect(toCompare(1e-6)).not.toBe(toCompare(1e-6 * (1 + 1e-11)));
    // A charge smaller by a rounding alone does not save a setting that is worse in error.
    const list = [
      { error: 1, charge: 100, time: 1 },
      { error: 2, charge: sum, time: 1 },
    ];
    expect(frontOf(list)).toEqual([list[0]]);
  });

  it('come by rising charge, then time', () => {
    const list = [
      { error: 1, charge: 3, time: 1 },
      { error: 3, charge: 1, time: 2 },
      { error: 4, charge: 1, time: 1 },
    ];
    expect(frontOf(list)).toEqual([list[2], list[1], list[0]]);
  });
});

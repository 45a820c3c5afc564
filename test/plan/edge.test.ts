import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { edgeOf, type Traded } from '../../src/plan/edge.ts';

const setting = fc.record({
  outputRate: fc.integer({ min: 1, max: 12 }),
  effectiveBits: fc.integer({ min: 1, max: 12 }),
});

/** Whether another setting is at least as good in both and better in one. */
const beaten = (s: Traded, all: readonly Traded[]): boolean =>
  all.some(
    (o) =>
      o.outputRate >= s.outputRate &&
      o.effectiveBits >= s.effectiveBits &&
      (o.outputRate > s.outputRate || o.effectiveBits > s.effectiveBits),
  );

describe('the edge', () => {
  it('is what comparing every pair leaves, each pair of figures once', () => {
    fc.assert(
      fc.property(fc.array(setting, { maxLength: 40 }), (all) => {
        const words = (s: Traded) => `${s.outputRate}/${s.effectiveBits}`;
        const left = new Set(all.filter((s) => !beaten(s, all)).map(words));
        const edge = edgeOf(all);
        expect(new Set(edge.map(words))).toEqual(left);
        expect(edge).toHaveLength(left.size);
        for (const s of edge) expect(all).toContain(s);
      }),
      { numRuns: 500 },
    );
  });

  it('runs from the fastest to the one of most bits', () => {
    fc.assert(
      fc.property(fc.array(setting, { minLength: 1, maxLength: 40 }), (all) => {
        const edge = edgeOf(all);
        expect(edge[0]!.outputRate).toBe(Math.max(...all.map((s) => s.outputRate)));
        expect(edge.at(-1)!.effectiveBits).toBe(Math.max(...all.map((s) => s.effectiveBits)));
        edge.forEach((s, i) => {
          if (i === 0) return;
          expect(s.outputRate).toBeLessThan(edge[i - 1]!.outputRate);
          expect(s.effectiveBits).toBeGreaterThan(edge[i - 1]!.effectiveBits);
        });
      }),
    );
  });

  it('takes rates that differ by rounding alone as one', () => {
    const edge = edgeOf([
      { outputRate: 1000 * (1 + 1e-13), effectiveBits: 11 },
      { outputRate: 1000, effectiveBits: 12 },
    ]);
    expect(edge.map((s) => s.effectiveBits)).toEqual([12]);
  });
});

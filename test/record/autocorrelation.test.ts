import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { seededRandom } from '../../src/numbers/random.ts';
import {
  type Autocorrelation,
  autocorrelation,
  autocorrelationStream,
} from '../../src/record/autocorrelation.ts';
import { expectNear } from '../close.ts';

function byDefinition(values: ArrayLike<number>, lags: number): number[] {
  const list = Array.from(values);
  const mean = list.reduce((a, x) => a + x, 0) / list.length;
  const product = (k: number): number =>
    list.reduce((a, x, i) => (i + k < list.length ? a + (x - mean) * (list[i + k]! - mean) : a), 0);
  const all = product(0);
  return Array.from({ length: lags + 1 }, (_, k) => product(k) / all);
}

/** A first-order autoregressive record. */
function hanging(rho: number, count: number, seed: number): Float64Array {
  const values = seededRandom(seed).fillNormal(new Float64Array(count));
  for (let i = 1; i < count; i++) values[i] = rho * values[i - 1]! + Math.sqrt(1 - rho * rho) * values[i]!;
  return values;
}

describe('by the definition', () => {
  it.each([2, 3, 64, 65, 3967, 4096, 9000])('%i values, 64 lags', (count) => {
    const values = hanging(0.6, count, count).map((x) => 1000 + x);
    const { correlations } = autocorrelation({ values });
    byDefinition(values, 64).forEach((r, k) => {
      expectNear((correlations as Float64Array)[k]!, r, 0, `lag ${k}`, 1e-11);
    });
  });

  it('in pieces of any size the same, and may be asked in between', () => {
    const values = hanging(0.9, 5000, 1);
    const whole = autocorrelation({ values, lags: 20 });
    for (const piece of [1, 19, 20, 21, 4097]) {
      const stream = autocorrelationStream({ lags: 20 });
      for (let i = 0; i < 5000; i += piece) {
        stream.add(values.subarray(i, i + piece));
        if (i % 3 === 0) stream.autocorrelation();
      }
      const out = stream.autocorrelation() as Autocorrelation;
      expect(out.count).toBe(5000);
      (out.correlations as Float64Array).forEach((r, k) => {
        expectNear(r, (whole.correlations as Float64Array)[k]!, 0, `lag ${k}`, 1e-12);
      });
    }
  });

  it('properties: r[0] = 1, |r| ≤ 1, no offset or factor in it', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 0, max: 100 }), { minLength: 2, maxLength: 60 }), (values) => {
        const { correlations } = autocorrelation({ values, lags: 10 });
        if (correlations === 'none') return expect(new Set(values).size).toBe(1);
        expectNear(correlations[0]!, 1, 1e-12);
        const other = autocorrelation({ values: values.map((x) => 7 - 3 * x), lags: 10 }).correlations;
        correlations.forEach((r, k) => {
          expect(Math.abs(r)).toBeLessThan(1 + 1e-9);
          expectNear((other as Float64Array)[k]!, r, 0, `lag ${k}`, 1e-9);
        });
      }),
      { seed: 18 },
    );
  });
});

describe('effective count', () => {
  it('first-order noise of ρ 0.8: M·(1 − ρ)/(1 + ρ), 4·10⁵ values, seed 6', () => {
    const { effectiveCount, lags } = autocorrelation({ values: hanging(0.8, 4e5, 6) });
    // Lags up to where chance takes over: the sum of the rest and the scatter of the terms come to a few per cent.
    expectNear(effectiveCount, (4e5 * 0.2) / 1.8, 0.05);
    expect(lags).toBeGreaterThan(15);
  });

  it('white noise is worth its count', () => {
    const { effectiveCount } = autocorrelation({ values: hanging(0, 1e5, 7) });
    expectNear(effectiveCount, 1e5, 0.03);
  });

  it('what does not die out by the last lag says so', () => {
    const { lags } = autocorrelation({ values: Array.from({ length: 500 }, (_, i) => i), lags: 30 });
    expect(lags).toBe(30);
  });

  it("values that are all equal: 'none'", () => {
    expect(autocorrelation({ values: [4, 4, 4] })).toEqual({
      correlations: 'none',
      count: 3,
      effectiveCount: 3,
      lags: 0,
    });
  });
});

describe('errors', () => {
  it('arguments', () => {
    expect(() => autocorrelation({ values: [1] })).toThrow('autocorrelation.values: got an array of 1');
    expect(() => autocorrelationStream({ lags: 0 })).toThrow('autocorrelationStream.lags: got 0');
  });
});

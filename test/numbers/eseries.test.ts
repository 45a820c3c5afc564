import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { nearestInSeries, seriesNames, seriesValues, stepSeries } from '../../src/numbers/eseries.ts';
import published from '../published/e_series.json' with { type: 'json' };

describe('published: [IEC60063], test/published/e_series.json (E3 and E192 from memory)', () => {
  it.each(seriesNames)('%s', (series) => {
    const first = published[series][0]!;
    expect(seriesValues({ series })).toEqual(published[series].map((v) => v / first));
  });

  it('check values 10-04 … 10-07: nearest to 4321, 950 000 and 1234', () => {
    expect(nearestInSeries({ value: 4321, series: 'E24' })).toBe(4300);
    expect(nearestInSeries({ value: 4321, series: 'E96' })).toBe(4320);
    expect(nearestInSeries({ value: 950_000, series: 'E12' })).toBe(1e6);
    expect(nearestInSeries({ value: 1234, series: 'E24' })).toBe(1200);
  });
});

describe('properties', () => {
  const value = fc.double({ min: 1e-15, max: 1e12, noNaN: true });
  const series = fc.constantFrom(...seriesNames);

  it('the nearest is one of the two neighbours, and nearer by ratio than the other', () => {
    fc.assert(
      fc.property(value, series, (v, s) => {
        const near = nearestInSeries({ value: v, series: s });
        const up = stepSeries({ value: v, series: s, direction: 'up' });
        const down = stepSeries({ value: v, series: s, direction: 'down' });
        expect(down).toBeLessThan(v);
        expect(up).toBeGreaterThan(v);
        const ratio = (a: number): number => Math.max(a / v, v / a);
        if (near !== up && near !== down) expect(ratio(near)).toBeLessThanOrEqual(1 + 1e-9);
        expect(ratio(near)).toBeLessThanOrEqual(Math.min(ratio(up), ratio(down)));
      }),
      { seed: 6 },
    );
  });

  it('as many steps up as the series has values make exactly a decade, and each goes back', () => {
    fc.assert(
      fc.property(fc.integer({ min: -14, max: 11 }), series, (decade, s) => {
        let v = Number(`1e${decade}`);
        for (let i = 0; i < Number(s.slice(1)); i++) {
          const up = stepSeries({ value: v, series: s, direction: 'up' });
          expect(stepSeries({ value: up, series: s, direction: 'down' })).toBe(v);
          v = up;
        }
        expect(v).toBe(Number(`1e${decade + 1}`));
      }),
      { seed: 7, numRuns: 30 },
    );
  });
});

describe('limits', () => {
  it('a value of the series with rounding noise on it steps to its neighbour', () => {
    expect(stepSeries({ value: 4700 * (1 - 1e-12), series: 'E24', direction: 'up' })).toBe(5100);
    expect(stepSeries({ value: 4700 * (1 + 1e-12), series: 'E24', direction: 'down' })).toBe(4300);
  });
});

describe('errors', () => {
  it('name the argument', () => {
    expect(() => nearestInSeries({ value: 0, series: 'E24' })).toThrow(
      new RangeError('nearestInSeries.value: got 0; allowed 1e-30 … 1e+30'),
    );
    expect(() => seriesValues({ series: 'E5' as 'E6' })).toThrow(
      /seriesValues.series: got "E5"; allowed 'E3' or/,
    );
    expect(() => stepSeries({ value: 1, series: 'E6', direction: 'left' as 'up' })).toThrow(
      new RangeError(`stepSeries.direction: got "left"; allowed 'up' or 'down'`),
    );
  });
});

import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { falseTripInterval, falseTripRate } from '../../../src/chain/watchdog/falseTrips.ts';
import { normalTail } from '../../../src/numbers/normal.ts';
import { expectNear, expectPrinted } from '../../close.ts';
import { alarmsOfChain, meanOf, simulatedIntervals } from './chain.ts';

describe('independent: 120-digit arithmetic (test/published/watchdog/make-series.py), LSB, Hz, 1/s', () => {
  const rows = readFileSync('test/published/watchdog/false-trips.csv', 'utf8')
    .trim()
    .split('\n')
    .filter((line) => /^[-\d]/.test(line))
    .map((line) => line.split(',').map(Number) as [number, number, number, number, number, number]);
  // What limits it is the rounding of margin/noise, up to z²·c·1e-16, and of a tail to the power c: 1e-10 is what is promised.
  const relative = 2e-13;

  it('rates down to 1e-300', () => {
    let counted = 0;
    for (const [marginLsb, noiseLsb, rate, consecutive, expected] of rows) {
      if (expected < 1e-300) continue;
      counted++;
      const given = { marginLsb, noiseLsb, rate, consecutive };
      expectNear(falseTripRate(given), expected, relative, JSON.stringify(given));
    }
    expect(counted).toBeGreaterThan(300);
  });

  it('log10 of intervals, those too long for a double among them', () => {
    for (const [marginLsb, noiseLsb, rate, consecutive, , expected] of rows) {
      const given = { marginLsb, noiseLsb, rate, consecutive };
      expectNear(falseTripInterval(given) as number, expected, 2e-15, JSON.stringify(given), 1e-13);
    }
    expect(Math.max(...rows.map((row) => row[5]))).toBeGreaterThan(1e5);
  });

  it('the points of the design', () => {
    const at = (marginLsb: number, consecutive: number) =>
      falseTripRate({ marginLsb, noiseLsb: 1, rate: 1000, consecutive });
    ['22.7501', '0.506056', '0.0115070'].forEach((printed, i) => {
      expectPrinted(at(2, i + 1), printed);
    });
    ['500', '166.667', '71.4286'].forEach((printed, i) => {
      expectPrinted(at(0, i + 1), printed);
    });
  });
});

describe('independent: the counter as a Markov chain', () => {
  it('alarms in the long run, c = 1 … 6, from rare to always', () => {
    for (const consecutive of [1, 2, 3, 4, 5, 6]) {
      for (const z of [-4, -1.5, -0.3, 0, 0.4, 1, 2]) {
        const rate = falseTripRate({ marginLsb: z * 0.5, noiseLsb: 0.5, rate: 1, consecutive });
        // Power iteration ends within about 1e-14 of its fixed point.
        expectNear(rate, alarmsOfChain(normalTail(z), consecutive), 1e-9, `z ${z}, c ${consecutive}`);
      }
    }
  });

  for (const consecutive of [1, 2, 3]) {
    it(`c = ${consecutive}: mean time between alarms of a simulation, within four standard errors`, () => {
      for (const marginLsb of [-0.5, 0, 0.4, 0.8]) {
        const given = { marginLsb, noiseLsb: 0.7, consecutive };
        const { mean, standardError } = meanOf(simulatedIntervals(given, 400000, 11 + consecutive));
        const expected = 1 / falseTripRate({ ...given, rate: 1 });
        expect(standardError).toBeLessThan(0.05 * expected);
        expect(Math.abs(mean - expected)).toBeLessThan(4 * standardError);
      }
    });
  }
});

describe('properties', () => {
  const question = fc.record({
    marginLsb: fc.double({ min: -1e9, max: 1e9, noNaN: true }),
    noiseLsb: fc.double({ min: 0, max: 1e6, noNaN: true }),
    rate: fc.double({ min: 1e-9, max: 1e15, noNaN: true }),
    consecutive: fc.integer({ min: 1, max: 1000 }),
  });

  it('a rate is from 0 to rate/c; an interval is finite, or none', () => {
    fc.assert(
      fc.property(question, (given) => {
        const rate = falseTripRate(given);
        expect(rate).toBeGreaterThanOrEqual(0);
        expect(rate).toBeLessThanOrEqual((given.rate / given.consecutive) * (1 + 1e-14));
        const interval = falseTripInterval(given);
        if (interval === 'none') expect([rate, given.noiseLsb]).toEqual([0, 0]);
        else {
          expect(Number.isFinite(interval)).toBe(true);
          if (rate > 1e-300) expectNear(interval, -Math.log10(rate), 1e-13, '', 1e-12);
        }
      }),
      { seed: 7, numRuns: 300 },
    );
  });

  it('more margin or more in a row: fewer alarms', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -6, max: 30, noNaN: true }),
        fc.double({ min: 0.01, max: 3, noNaN: true }),
        fc.integer({ min: 1, max: 50 }),
        (marginLsb, more, consecutive) => {
          const at = (m: number, c: number) =>
            falseTripInterval({ marginLsb: m, noiseLsb: 1, rate: 1, consecutive: c }) as number;
          expect(at(marginLsb + more, consecutive)).toBeGreaterThanOrEqual(at(marginLsb, consecutive));
          expect(at(marginLsb, consecutive + 1)).toBeGreaterThan(at(marginLsb, consecutive));
        },
      ),
      { seed: 7, numRuns: 300 },
    );
  });
});

describe('limits', () => {
  it('without noise: never within the threshold, at every chance beyond, and at the threshold as with the smallest noise', () => {
    const given = { noiseLsb: 0, rate: 1000, consecutive: 2 };
    expect(falseTripRate({ ...given, marginLsb: 1e-9 })).toBe(0);
    expect(falseTripInterval({ ...given, marginLsb: 1e-9 })).toBe('none');
    expect(falseTripRate({ ...given, marginLsb: -1e-9 })).toBe(500);
    expectNear(falseTripInterval({ ...given, marginLsb: -1e-9 }) as number, Math.log10(1 / 500), 1e-15);
    expect(falseTripRate({ ...given, marginLsb: 0 })).toBe(
      falseTripRate({ ...given, marginLsb: 0, noiseLsb: Number.MIN_VALUE }),
    );
  });

  it('p next to 1 keeps its digits: 1 − p^c does not cancel', () => {
    expect(falseTripRate({ marginLsb: -9, noiseLsb: 1, rate: 300, consecutive: 3 })).toBe(100);
    expect(falseTripRate({ marginLsb: -1e9, noiseLsb: 1e-12, rate: 300, consecutive: 3 })).toBe(100);
  });

  it('the widest arguments stay finite', () => {
    const far = falseTripInterval({
      marginLsb: 1e9,
      noiseLsb: Number.MIN_VALUE,
      rate: 1e-9,
      consecutive: 1000,
    });
    expect(Number.isFinite(far)).toBe(true);
  });
});

describe('errors', () => {
  const plain = { marginLsb: 1, noiseLsb: 1, rate: 1 };
  const cases: [object, string][] = [
    [{ marginLsb: Number.NaN }, 'marginLsb: got NaN; allowed -1000000000 … 1000000000 LSB'],
    [{ noiseLsb: -1 }, 'noiseLsb: got -1; allowed 0 … 1000000 LSB'],
    [{ rate: 0 }, 'rate: got 0; allowed 1e-9 … 1000000000000000 Hz'],
    [{ consecutive: 0 }, 'consecutive: got 0; allowed whole numbers 1 … 1000'],
  ];
  it.each(cases)('%j', (given, message) => {
    expect(() => falseTripRate({ ...plain, ...given })).toThrow(`falseTripRate.${message}`);
    expect(() => falseTripInterval({ ...plain, ...given })).toThrow(`falseTripInterval.${message}`);
  });
});

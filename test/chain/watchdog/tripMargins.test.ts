import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { falseTripInterval } from '../../../src/chain/watchdog/falseTrips.ts';
import {
  consecutiveForInterval,
  hysteresisForInterval,
  marginForInterval,
} from '../../../src/chain/watchdog/tripMargins.ts';
import { expectNear } from '../../close.ts';
import { simulatedCycle } from './chain.ts';

const question = fc.record({
  interval: fc.double({ min: -6, max: 290, noNaN: true }).map((log) => 10 ** log),
  noiseLsb: fc.double({ min: 1e-3, max: 1e3, noNaN: true }),
  rate: fc.double({ min: -3, max: 9, noNaN: true }).map((log) => 10 ** log),
  consecutive: fc.integer({ min: 1, max: 40 }),
});

describe('round trip through the rate', () => {
  it('the margin gives the interval wanted; any only if alarms cannot come faster', () => {
    fc.assert(
      fc.property(question, (given) => {
        const { interval, ...rest } = given;
        const marginLsb = marginForInterval(given);
        const least = Math.log10(rest.consecutive / rest.rate);
        if (marginLsb === 'any') expect(Math.log10(interval)).toBeLessThanOrEqual(least + 1e-12);
        else {
          expect(Math.log10(interval)).toBeGreaterThan(least - 1e-12);
          // Two units of the last place of the margin, where its hundreds of σ² make the exponent.
          expectNear(
            falseTripInterval({ ...rest, marginLsb }) as number,
            Math.log10(interval),
            1e-12,
            '',
            1e-12,
          );
        }
      }),
      { seed: 7, numRuns: 300 },
    );
  });

  it('the count is the fewest that serve', () => {
    fc.assert(
      fc.property(question, fc.double({ min: -2, max: 8, noNaN: true }), (given, sigmas) => {
        const { interval, noiseLsb, rate } = given;
        const rest = { marginLsb: sigmas * noiseLsb, noiseLsb, rate };
        const at = (consecutive: number) => falseTripInterval({ ...rest, consecutive }) as number;
        const count = consecutiveForInterval({ ...rest, interval });
        const wanted = Math.log10(interval);
        if (count === 'none') expect(at(1000)).toBeLessThan(wanted);
        else {
          expect(at(count)).toBeGreaterThanOrEqual(wanted - 1e-12);
          if (count > 1) expect(at(count - 1)).toBeLessThan(wanted + 1e-12);
        }
      }),
      { seed: 7, numRuns: 300 },
    );
  });
});

describe('hysteresis', () => {
  it('wherever the input stands, the mean time from alarm to alarm is at least the one wanted; half way it is that', () => {
    fc.assert(
      fc.property(question, fc.double({ min: -0.5, max: 1.5, noNaN: true }), (given, part) => {
        const { interval, ...rest } = given;
        const h = hysteresisForInterval(given);
        const log = (marginLsb: number) => falseTripInterval({ ...rest, marginLsb }) as number;
        const cycle = (a: number) => {
          const [one, other] = [log(a), log(h - a)];
          return Math.max(one, other) + Math.log10(1 + 10 ** -Math.abs(one - other));
        };
        expect(cycle(part * h)).toBeGreaterThanOrEqual(Math.log10(interval) - 1e-11);
        if (h > 0) expectNear(cycle(h / 2), Math.log10(interval), 1e-12, '', 1e-12);
      }),
      { seed: 7, numRuns: 300 },
    );
  });

  it('a simulated alarm that is set and cleared comes as often as wanted half way, and more seldom elsewhere', () => {
    for (const consecutive of [1, 2, 3]) {
      const given = { noiseLsb: 0.8, rate: 1, consecutive };
      const hysteresis = hysteresisForInterval({ ...given, interval: 200 });
      const at = (part: number) =>
        simulatedCycle({ below: part * hysteresis, hysteresis, noiseLsb: 0.8, consecutive }, 1e6, 21);
      const middle = at(0.5);
      expect(Math.abs(middle.mean - 200)).toBeLessThan(4 * middle.standardError);
      expect(middle.standardError).toBeLessThan(4);
      for (const part of [0.2, 0.8]) expect(at(part).mean).toBeGreaterThan(200 + 4 * at(part).standardError);
    }
  });
});

describe('limits', () => {
  it('without noise no margin and no hysteresis is needed', () => {
    expect(marginForInterval({ interval: 1e9, noiseLsb: 0, rate: 1 })).toBe(0);
    expect(hysteresisForInterval({ interval: 1e9, noiseLsb: 0, rate: 1 })).toBe(0);
  });

  it('alarms that cannot come so fast need no margin, no hysteresis and one value', () => {
    const given = { interval: 0.5, rate: 1, noiseLsb: 1 };
    expect(marginForInterval(given)).toBe('any');
    expect(hysteresisForInterval(given)).toBe(0);
    expect(consecutiveForInterval({ ...given, marginLsb: -5 })).toBe(1);
  });

  it('an input always beyond the threshold: the count is the interval in values; more than 1000 is none', () => {
    const given = { rate: 10, noiseLsb: 0, marginLsb: -1 };
    expect(consecutiveForInterval({ ...given, interval: 4.95 })).toBe(50);
    expect(consecutiveForInterval({ ...given, interval: 101 })).toBe('none');
  });

  it('the widest arguments', () => {
    const far = marginForInterval({ interval: 1e300, noiseLsb: 1, rate: 1e15 });
    expect(far).toBeGreaterThan(37);
    expect(far).toBeLessThan(39);
  });
});

describe('errors', () => {
  it('name the argument', () => {
    const given = { interval: 0, noiseLsb: 1, rate: 1 };
    const allowed = 'interval: got 0; allowed 1e-15 … 1e+300 s';
    expect(() => marginForInterval(given)).toThrow(`marginForInterval.${allowed}`);
    expect(() => hysteresisForInterval(given)).toThrow(`hysteresisForInterval.${allowed}`);
    expect(() => consecutiveForInterval({ ...given, marginLsb: 1 })).toThrow(
      `consecutiveForInterval.${allowed}`,
    );
  });
});

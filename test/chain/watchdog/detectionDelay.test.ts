import { describe, expect, it } from 'vitest';
import { detectionDelay, logValuesUntil, valuesUntil } from '../../../src/chain/watchdog/detectionDelay.ts';
import { normalTail } from '../../../src/numbers/normal.ts';
import { expectNear } from '../../close.ts';
import { meanOf, simulatedIntervals, survivalOfChain } from './chain.ts';

describe('independent: the counter as a Markov chain', () => {
  it('mean and confident delay, c = 1 … 5, at three confidences', () => {
    for (const consecutive of [1, 2, 3, 4, 5]) {
      for (const marginLsb of [-2, -0.9, -0.2, 0, 0.5]) {
        const survival = survivalOfChain(normalTail(marginLsb / 0.7), consecutive, 40000);
        for (const confidence of [0.5, 0.99, 0.999]) {
          const delay = detectionDelay({ marginLsb, noiseLsb: 0.7, rate: 8, consecutive, confidence });
          expect(delay.confident).toBe(survival.findIndex((left) => left <= 1 - confidence) / 8);
          // The mean of a count is the sum of its survival.
          expectNear(
            delay.mean as number,
            survival.reduce((a, b) => a + b, 0) / 8,
            1e-9,
            `c ${consecutive}, margin ${marginLsb}`,
          );
        }
      }
    }
  });

  it('simulated delays: mean within four standard errors, share within the confident delay', () => {
    const given = { marginLsb: -0.4, noiseLsb: 0.7, consecutive: 3 };
    const delays = simulatedIntervals(given, 400000, 31);
    const { mean, standardError } = meanOf(delays);
    const delay = detectionDelay({ ...given, rate: 1, confidence: 0.9 });
    expect(Math.abs(mean - (delay.mean as number))).toBeLessThan(4 * standardError);
    const share = (n: number) => delays.filter((d) => d <= n).length / delays.length;
    const error = 4 * 0.3 * delays.length ** -0.5;
    expect(share(delay.confident as number)).toBeGreaterThan(0.9 - error);
    expect(share((delay.confident as number) - 1)).toBeLessThan(0.9 + error);
  });

  it('the slowest part alone is the whole where it takes over', () => {
    // [distance, count], mean between 3e4 and 2e5 values
    for (const [z, count] of [
      [1.4, 4],
      [2, 3],
      [0.6, 9],
      [4.3, 1],
      [-1, 60],
      [-2, 300],
      [-2.4, 700],
    ] as const) {
      for (const left of [0.5, 0.01, 2 ** -40]) {
        const n = valuesUntil(left, z, count);
        expect(Math.ceil(Math.exp(logValuesUntil(left, z, count)))).toBe(n);
      }
    }
  });
});

describe('limits', () => {
  it('without noise both are c values', () => {
    const delay = detectionDelay({ marginLsb: -1, noiseLsb: 0, rate: 4, consecutive: 3 });
    expect(delay).toEqual({ mean: 0.75, confident: 0.75 });
  });

  it('rare to the point of never: a finite number to 1e300 s, then none', () => {
    expect(detectionDelay({ marginLsb: 1, noiseLsb: 0, rate: 1 })).toEqual({
      mean: 'none',
      confident: 'none',
    });
    expect(detectionDelay({ marginLsb: 38, noiseLsb: 1, rate: 1 })).toEqual({
      mean: 'none',
      confident: 'none',
    });
    const { mean, confident } = detectionDelay({ marginLsb: 37, noiseLsb: 1, rate: 1 });
    // An exponential distribution: ln 100 times the mean; the tail at 37 is in test/published/watchdog/false-trips.csv.
    expectNear((mean as number) * 5.72557122252458e-300, 1, 1e-12);
    expectNear((confident as number) / (mean as number), Math.log(100), 1e-12);
  });

  it('an unlikely but finite delay is given at once', () => {
    const { confident } = detectionDelay({ marginLsb: 0, noiseLsb: 1, rate: 1, consecutive: 900 });
    // About 2^901·ln 100 values.
    expectNear(confident as number, 2 ** 901 * Math.log(100), 1e-12);
  });
});

describe('errors', () => {
  it('name the argument', () => {
    const given = { marginLsb: -1, noiseLsb: 1, rate: 1 };
    expect(() => detectionDelay({ ...given, confidence: 1 })).toThrow(
      'detectionDelay.confidence: got 1; allowed 0.5 … ',
    );
    expect(() => detectionDelay({ ...given, consecutive: 1.5 })).toThrow(
      'detectionDelay.consecutive: got 1.5; allowed whole numbers 1 … 1000',
    );
  });
});

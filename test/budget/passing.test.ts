import { describe, expect, it } from 'vitest';
import { passingFraction } from '../../src/budget/passing.ts';
import { normalTail } from '../../src/numbers/normal.ts';
import { expectNear } from '../close.ts';

const draws = 200_000;
const within = (fraction: number, p: number, what: string) =>
  expectNear(fraction, p, 0, what, 4.5 * Math.sqrt((p * (1 - p)) / draws));

describe('against exact fractions, 2·10⁵ boards, to 4.5 standard deviations of the count', () => {
  it.each([
    ['rectangular', 0.75],
    ['triangular', 1 - 0.5 ** 2 / 2],
    ['arcsine', 0.5 + Math.asin(0.5) / Math.PI],
    ['normal', normalTail(-1.5)],
  ] as const)('%s within ±2, at most 1', (distribution, p) => {
    const { fraction } = passingFraction({
      requirements: [{ name: 'r', value: ({ a }) => a!, most: 1 }],
      inputs: { a: { nominal: 0.5, low: -2, high: 2, distribution } },
      draws,
    });
    within(fraction, p, distribution);
  });

  it('the sum of two rectangular ones, and both requirements on one board', () => {
    const { fraction, failures } = passingFraction({
      requirements: [
        { name: 'not below', value: ({ a, b }) => a! + b!, least: -1 },
        { name: 'not above', value: ({ a, b }) => a! + b!, most: 0 },
        { name: 'twice not above', value: ({ a, b }) => 2 * (a! + b!), most: 0 },
      ],
      inputs: { a: { nominal: 0, low: -1, high: 1 }, b: { nominal: 0, low: -1, high: 1 } },
      draws,
    });
    within(fraction, 0.5 - 1 / 8, 'between −1 and 0');
    expect(failures.map((f) => f.requirement)).toEqual(['not above', 'twice not above', 'not below']);
    within(failures[0]!.count / draws, 0.5, 'not above');
    expect(failures[1]!.count).toBe(failures[0]!.count);
    within(failures[2]!.count / draws, 1 / 8, 'not below');
  });
});

describe('the 95 % interval', () => {
  const of = (most: number, seed = 0, count = 400) =>
    passingFraction({
      requirements: [{ name: 'r', value: ({ a }) => a!, most }],
      inputs: { a: { nominal: 0.5, low: 0, high: 1 } },
      draws: count,
      seed,
    });

  it('has ends at which the count lies 1.96 standard deviations off ([STATHANDBOOK] 7.2.4.1)', () => {
    for (const most of [0.02, 0.3, 0.97]) {
      const { interval, fraction } = of(most);
      for (const p of [interval.low, interval.high]) {
        expectNear(Math.abs(fraction - p), 1.959963985 * Math.sqrt((p * (1 - p)) / 400), 1e-8);
      }
    }
  });

  it('holds the true fraction for about 95 % of 2000 seeds', () => {
    for (const p of [0.1, 0.5, 0.9]) {
      let held = 0;
      for (let seed = 0; seed < 2000; seed++) {
        const { interval } = of(p, seed, 100);
        if (interval.low <= p && p <= interval.high) held++;
      }
      // Standard deviation 0.5 %; the interval's own coverage at 100 boards strays by 1.5 %.
      expectNear(held / 2000, 0.95, 0, `p ${p}`, 0.03);
    }
  });

  it('no failure among 400 boards is no proof: the upper end is 1, the lower 0.99', () => {
    const { interval, fraction } = of(1);
    expect(fraction).toBe(1);
    expect(interval.high).toBe(1);
    expectNear(interval.low, 1 / (1 + 1.959963985 ** 2 / 400), 1e-9);
    expect(of(-1).interval.low).toBe(0);
  });
});

describe('properties', () => {
  it('the same seed gives the same boards; further requirements do not change them', () => {
    const inputs = { a: { nominal: 0, low: -1, high: 1 }, b: { nominal: 0, low: -1, high: 1 } };
    const r = { name: 'r', value: ({ a, b }: Readonly<Record<string, number>>) => a! * b!, most: 0.1 };
    const one = passingFraction({ requirements: [r], inputs, draws: 3000, seed: 4 });
    expect(passingFraction({ requirements: [r], inputs, draws: 3000, seed: 4 })).toEqual(one);
    expect(passingFraction({ requirements: [r], inputs, draws: 3000, seed: 5 }).passed).not.toBe(one.passed);
    const two = passingFraction({
      requirements: [r, { name: 's', value: () => 0, least: 0 }],
      inputs,
      draws: 3000,
      seed: 4,
    });
    expect(two.passed).toBe(one.passed);
  });
});

describe('errors', () => {
  it('name the argument', () => {
    expect(() =>
      passingFraction({
        requirements: [{ name: 'r', value: () => 1, most: 1 }],
        inputs: { a: { nominal: 0, low: 0, high: 0, distribution: 'even' as never } },
      }),
    ).toThrow(
      new RangeError(
        "passingFraction.inputs.a.distribution: got \"even\"; allowed 'rectangular' or 'triangular' or 'arcsine' or 'normal'",
      ),
    );
    expect(() =>
      passingFraction({
        requirements: [{ name: 'r', value: () => 1, most: 1 }],
        inputs: { a: { nominal: 0, low: 0, high: 0 } },
        draws: 1,
      }),
    ).toThrow(new RangeError('passingFraction.draws: got 1; allowed whole numbers 100 … 10000000'));
  });
});

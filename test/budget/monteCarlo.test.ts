import { describe, expect, it } from 'vitest';
import { numericalTolerance } from '../../src/budget/coverageInterval.ts';
import type { Input } from '../../src/budget/inputs.ts';
import { monteCarlo, monteCarloRun } from '../../src/budget/monteCarlo.ts';
import { correlationOfMeans, meanOfObservations } from '../../src/budget/observations.ts';
import { propagateUncertainty } from '../../src/budget/propagation.ts';
import { normalTail } from '../../src/numbers/normal.ts';
import { studentTail } from '../../src/numbers/student.ts';
import { expectNear, expectPrinted } from '../close.ts';
import { columnsOf, massCalibration } from './published.ts';

const sum = ({ a, b, c, d }: Readonly<Record<string, number>>): number => a! + b! + c! + d!;
const four = (input: Input) => ({ a: input, b: input, c: input, d: input });
const rectangular = (standardUncertainty: number): Input => ({
  estimate: 0,
  halfWidth: Math.sqrt(3) * standardUncertainty,
  distribution: 'rectangular',
});

// A 95 % end of M = 10⁶ draws has a standard deviation of √(0.025·0.975/M)/density, 0.005 here; 0.02 is four of them.
const end = 0.02;

describe('published: [JCGM101] 9.2, sum of four inputs, 10⁶ draws (values from memory)', () => {
  it('9.2.2, table 2: standard normal each, u 2.00, interval ±3.92', () => {
    const result = monteCarlo({
      model: sum,
      inputs: four({ estimate: 0, standardUncertainty: 1 }),
      coverage: 0.95,
    });
    expectPrinted(result.standardUncertainty, '2.00');
    expectNear(result.symmetric.low, -3.92, 0, 'low', end);
    expectNear(result.symmetric.high, 3.92, 0, 'high', end);
    expectNear(result.shortest.high - result.shortest.low, 2 * 3.92, 0, 'width', end);
  });

  it('9.2.3, table 3: rectangular of u 1 each, interval ±3.88, exactly ±2√3·(2 − (3/5)^¼); by propagation ±3.92', () => {
    const inputs = four(rectangular(1));
    const exact = 2 * Math.sqrt(3) * (2 - (3 / 5) ** 0.25);
    expectPrinted(exact, '3.88');
    const { symmetric, standardUncertainty } = monteCarlo({ model: sum, inputs, coverage: 0.95 });
    expectPrinted(standardUncertainty, '2.00');
    expectNear(symmetric.low, -exact, 0, 'low', end);
    expectNear(symmetric.high, exact, 0, 'high', end);
    expectPrinted(propagateUncertainty({ model: sum, inputs, coverage: 0.95 }).expanded, '3.92');
  });

  it('9.2.4: one of them ten times as wide, interval ±17.0; by propagation ±19.9', () => {
    const inputs = { ...four(rectangular(1)), d: rectangular(10) };
    const { symmetric, standardUncertainty } = monteCarlo({ model: sum, inputs, coverage: 0.95 });
    expectPrinted(Math.sqrt(103), '10.1');
    expectNear(standardUncertainty, Math.sqrt(103), 0, 'u', end);
    expectPrinted(symmetric.low, '-17.0');
    expectPrinted(symmetric.high, '17.0');
    expectPrinted(propagateUncertainty({ model: sum, inputs, coverage: 0.95 }).expanded, '19.9');
  });
});

describe('published: [JCGM101] 9.3.3, mass calibration in mg (values from memory)', () => {
  it('u 0.0754, shortest interval [1.0834, 1.3825], which propagation of first order misses by far', () => {
    const result = monteCarlo({ ...massCalibration, coverage: 0.95 });
    expectPrinted(result.estimate, '1.234');
    // u is 0.0755 to four digits with four million draws; the print's 0.0754 is from fewer.
    expectNear(result.standardUncertainty, 0.0754, 0, 'u', 0.0002);
    // The shortest interval of so flat a top moves by 0.001 between seeds, its width does not.
    expectNear(result.shortest.low, 1.0834, 0, 'low', 0.002);
    expectNear(result.shortest.high, 1.3825, 0, 'high', 0.002);
    expectPrinted(result.shortest.high - result.shortest.low, '0.299');
  });
});

describe('published: [JCGM101] 7.9.2, numerical tolerance (values from memory)', () => {
  it.each([
    [0.00035, 2, 0.5e-5],
    [0.00035, 1, 0.5e-4],
    [2, 1, 0.5],
    [0.0996, 2, 0.5e-2],
  ])('u %d with %i digits: %d', (standardUncertainty, digits, tolerance) => {
    expectNear(numericalTolerance({ standardUncertainty, digits }), tolerance, 1e-14);
  });
});

describe('against the exact distribution functions, 2·10⁵ draws', () => {
  const count = 200_000;
  const cases: [string, Input, (z: number) => number][] = [
    ['rectangular', { estimate: 5, halfWidth: 2, distribution: 'rectangular' }, (z) => (z + 2) / 4],
    [
      'triangular',
      { estimate: 5, halfWidth: 2, distribution: 'triangular' },
      (z) => (z < 0 ? (z + 2) ** 2 / 8 : 1 - (2 - z) ** 2 / 8),
    ],
    [
      'arcsine',
      { estimate: 5, halfWidth: 2, distribution: 'arcsine' },
      (z) => 0.5 + Math.asin(z / 2) / Math.PI,
    ],
    ['normal', { estimate: 5, standardUncertainty: 0.8 }, (z) => normalTail(-z / 0.8)],
    [
      't, ν 3',
      { estimate: 5, standardUncertainty: 0.5, degreesOfFreedom: 3 },
      (z) => studentTail(-z / 0.5, 3),
    ],
    [
      't, ν 40',
      { estimate: 5, standardUncertainty: 0.5, degreesOfFreedom: 40 },
      (z) => studentTail(-z / 0.5, 40),
    ],
  ];
  const levels = [-1.9, -1.5, -1, -0.5, -0.1, 0, 0.3, 0.7, 1.2, 1.8, 1.99];

  it.each(cases)(
    '%s: the part below each of 11 levels, to 4.5 standard deviations of the count',
    (_, x, cdf) => {
      const below = levels.map(() => 0);
      monteCarlo({
        model: (v) => {
          levels.forEach((level, i) => {
            if (v.x! < 5 + level) below[i]!++;
          });
          return v.x!;
        },
        inputs: { x },
        coverage: 0.95,
        draws: count,
        seed: 3,
      });
      levels.forEach((level, i) => {
        const p = cdf(level);
        const sd = Math.sqrt((p * (1 - p)) / count);
        expectNear(below[i]! / count, p, 0, `below ${level}`, 4.5 * sd);
      });
    },
  );
});

describe('correlated normal inputs', () => {
  it('[GUM] H.2: the law of propagation and the draws agree to 0.5 %', () => {
    const { V_volt: v, I_mA: i, phi_rad: p } = columnsOf('gum-h2.csv');
    const input = (values: number[]) => {
      const { estimate, standardUncertainty } = meanOfObservations({ values });
      return { estimate, standardUncertainty };
    };
    const given = {
      inputs: { v: input(v!), still: { estimate: 1, standardUncertainty: 0 }, i: input(i!), p: input(p!) },
      correlations: [
        ['v', 'i', correlationOfMeans({ first: v!, second: i! })],
        ['p', 'v', correlationOfMeans({ first: v!, second: p! })],
        ['i', 'p', correlationOfMeans({ first: i!, second: p! })],
      ],
      coverage: 0.95,
    } as const;
    for (const model of [
      (x: Readonly<Record<string, number>>) => (1000 * x.v!) / x.i!,
      (x: Readonly<Record<string, number>>) => ((1000 * x.v!) / x.i!) * Math.sin(x.p!),
      (x: Readonly<Record<string, number>>) => ((1000 * x.v!) / x.i!) * Math.cos(x.p!),
    ]) {
      const drawn = monteCarlo({ model, ...given, draws: 200_000 });
      const propagated = propagateUncertainty({ model, ...given });
      expectNear(drawn.standardUncertainty, propagated.combined, 0.005);
      expectNear(drawn.estimate, propagated.estimate, 0, 'mean', propagated.combined / 100);
    }
  });

  it('fully correlated, equal and opposite: nothing is left', () => {
    const { standardUncertainty } = monteCarlo({
      model: ({ a, b }) => a! + b!,
      inputs: { a: { estimate: 1, standardUncertainty: 1 }, b: { estimate: 2, standardUncertainty: 1 } },
      correlations: [['a', 'b', -1]],
      coverage: 0.95,
      draws: 1000,
    });
    expectNear(standardUncertainty, 0, 0, 'u', 1e-12);
  });
});

describe('properties', () => {
  const given = {
    model: ({ a, b, c }: Readonly<Record<string, number>>) => a! * b! + c!,
    inputs: {
      a: { estimate: 3, standardUncertainty: 1, degreesOfFreedom: 5 },
      b: { estimate: 2, halfWidth: 1, distribution: 'triangular' },
      c: { estimate: 0, standardUncertainty: 1 },
    },
    coverage: 0.9,
    draws: 20_000,
    seed: 11,
  } as const;

  it('made in parts of any size, the result is the same', () => {
    const run = monteCarloRun(given);
    const parts: number[] = [];
    let size = 1;
    while (run.advance(size)) {
      parts.push(run.drawn);
      size = (size * 7 + 1) % 4999;
    }
    expect(parts.length).toBeGreaterThan(5);
    expect(run.drawn).toBe(run.draws);
    expect(run.summary()).toEqual(monteCarlo(given));
    expect(run.advance(5)).toBe(false);
    expect(run.drawn).toBe(given.draws);
  });

  it('a summary halfway is that of a run of half the draws, and leaves the rest as it would be', () => {
    const run = monteCarloRun(given);
    run.advance(10_000);
    expect(run.summary()).toEqual(monteCarlo({ ...given, draws: 10_000 }));
    run.advance(10_000);
    expect(run.summary()).toEqual(monteCarlo(given));
  });

  it('the seed decides', () => {
    expect(monteCarlo({ ...given, seed: 12 }).estimate).not.toBe(monteCarlo(given).estimate);
  });

  it('intervals hold the part they should, and none is shorter than the shortest', () => {
    const drawn: number[] = [];
    const { shortest, symmetric } = monteCarlo({
      ...given,
      model: (x) => {
        const y = Math.exp(x.c!);
        drawn.push(y);
        return y;
      },
    });
    const inside = ({ low, high }: { low: number; high: number }) =>
      drawn.filter((y) => low <= y && y <= high).length;
    const q = 0.9 * given.draws;
    expect(inside(shortest)).toBe(q + 1);
    expect(inside(symmetric)).toBe(q + 1);
    expect(drawn.filter((y) => y < symmetric.low)).toHaveLength(999);
    expect(drawn.filter((y) => y > symmetric.high)).toHaveLength(1000);
    drawn.sort((a, b) => a - b);
    const least = Math.min(...drawn.slice(0, -q).map((y, r) => drawn[r + q]! - y));
    expect(shortest.high - shortest.low).toBe(least);
    expect(symmetric.high - symmetric.low).toBeGreaterThan(least);
  });

  it('a small spread about a large value keeps its digits', () => {
    const { standardUncertainty } = monteCarlo({
      model: ({ x }) => x! + 1e9 / 3,
      inputs: { x: { estimate: 0, standardUncertainty: 1e-5 } },
      coverage: 0.95,
      draws: 100_000,
    });
    expectNear(standardUncertainty, 1e-5, 0.01);
  });
});

describe('errors', () => {
  const inputs = { a: { estimate: 0, standardUncertainty: 1 }, b: rectangular(1) };

  it('name the argument, the value and the range', () => {
    const model = () => 1;
    expect(() => monteCarlo({ model, inputs, coverage: 0.99999 })).toThrow(
      new RangeError('monteCarlo.coverage: got 0.99999; allowed 0.01 … 0.9999'),
    );
    expect(() => monteCarloRun({ model, inputs, coverage: 0.9, draws: 99 })).toThrow(
      new RangeError('monteCarloRun.draws: got 99; allowed whole numbers 100 … 20000000'),
    );
    expect(() => monteCarlo({ model, inputs, correlations: [['a', 'b', 0.5]], coverage: 0.9 })).toThrow(
      new RangeError(
        'monteCarlo.correlations: got b; allowed inputs with a standardUncertainty without degreesOfFreedom',
      ),
    );
    expect(() => monteCarlo({ model: ({ a }) => 1 / (a! - a!), inputs, coverage: 0.9 })).toThrow(
      /^monteCarlo\.model: got Infinity for a /,
    );
    expect(() => monteCarloRun({ model, inputs, coverage: 0.9 }).summary()).toThrow(
      new RangeError('summary: got 0 draws; allowed from 100, made by advance'),
    );
    expect(() => monteCarloRun({ model, inputs, coverage: 0.9 }).advance(0)).toThrow(
      new RangeError('advance.count: got 0; allowed whole numbers 1 … 20000000'),
    );
  });
});

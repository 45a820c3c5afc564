import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  budgetLines,
  type Contribution,
  combineUncertainty,
  coverageFactor,
} from '../../src/budget/uncertainty.ts';
import { expectNear, expectPrinted } from '../close.ts';

describe('published: [GUM] H.1, end gauge, uncertainty in nm', () => {
  // Inputs as in H.1: 50.000623 mm, δα within ±1e-6/K at 0.1 K from 20 °C, δθ within ±0.05 K at 11.5e-6/K.
  const length = 50_000_623;
  const comparator: Contribution[] = [
    { name: 'mean difference', standardUncertainty: 5.8, degreesOfFreedom: 24 },
    { name: 'comparator, random', standardUncertainty: 3.9, degreesOfFreedom: 5 },
    { name: 'comparator, systematic', standardUncertainty: 6.7, degreesOfFreedom: 8 },
  ];
  const contributions: Contribution[] = [
    { name: 'standard', standardUncertainty: 25, degreesOfFreedom: 18 },
    ...comparator,
    {
      name: 'difference of expansion',
      halfWidth: 1e-6,
      distribution: 'rectangular',
      sensitivity: 0.1 * length,
      degreesOfFreedom: 50,
    },
    {
      name: 'difference of temperature',
      halfWidth: 0.05,
      distribution: 'rectangular',
      sensitivity: -11.5e-6 * length,
      degreesOfFreedom: 2,
    },
  ];

  it('u(d) is 9.7; its degrees of freedom are 25.45 (print: 25.6, which comes of rounding u(d) to 9.7 first)', () => {
    const d = combineUncertainty({ contributions: comparator, coverage: 0.95 });
    expectPrinted(d.combined, '9.7', 'u(d)');
    expectPrinted(d.combined, '9.682', 'u(d)');
    expectPrinted(d.degreesOfFreedom as number, '25.45', 'ν');
    const rounded = comparator.reduce(
      (sum, c) =>
        sum + ('standardUncertainty' in c ? c.standardUncertainty ** 4 / Number(c.degreesOfFreedom) : 0),
      0,
    );
    expectPrinted(9.7 ** 4 / rounded, '25.6', 'ν from the rounded u(d)');
  });

  it('u_c is 32, ν_eff 16.75 (print: 16.7, d combined first), t for 99 % at 16 degrees of freedom 2.92', () => {
    const l = combineUncertainty({ contributions, coverage: 0.99 });
    expectPrinted(l.combined, '32', 'u_c');
    expectPrinted(l.combined, '31.66', 'u_c');
    expectPrinted(l.degreesOfFreedom as number, '16.75', 'ν_eff');
    expectPrinted(l.coverageFactor, '2.92', 'k');
    const withD = combineUncertainty({
      contributions: [
        ...contributions.filter((c) => !comparator.includes(c)),
        { name: 'd', standardUncertainty: 9.7, degreesOfFreedom: 25.6 },
      ],
      coverage: 0.99,
    });
    expectNear(withD.degreesOfFreedom as number, 16.7, 0, 'ν_eff with d', 0.1);
  });

  it('U is 92.5 from the unrounded u_c, and the printed 93 from 32', () => {
    const l = combineUncertainty({ contributions, coverage: 0.99 });
    expectPrinted(l.expanded, '92.5', 'U');
    expectPrinted(l.coverageFactor * 32, '93', 'U from 32');
  });
});

describe('published: other examples of [GUM] (values from memory)', () => {
  it('G.4.1 note: 0.25, 0.57 and 0.82 % of 10, 5 and 15 observations give 1.03 %, ν 19.0, U 2.2 %', () => {
    const result = combineUncertainty({
      contributions: [
        { name: 'a', standardUncertainty: 0.25, degreesOfFreedom: 9 },
        { name: 'b', standardUncertainty: 0.57, degreesOfFreedom: 4 },
        { name: 'c', standardUncertainty: 0.82, degreesOfFreedom: 14 },
      ],
      coverage: 0.95,
    });
    expectPrinted(result.combined, '1.03');
    expectPrinted(result.degreesOfFreedom as number, '19.0');
    expectPrinted(result.expanded, '2.2');
    // The print takes t at 19, 2.09. Unrounded, ν_eff is 18.9987, which is rounded down to 18 here: 2.10.
    expectPrinted(result.degreesOfFreedom as number, '18.9987');
    expectPrinted(result.coverageFactor, '2.10');
    expectPrinted(coverageFactor({ coverage: 0.95, degreesOfFreedom: 19 }), '2.09');
  });

  it('5.1.5: 12 µV of repeats and ±15 µV of a voltmeter give 15 µV', () => {
    const result = combineUncertainty({
      contributions: [
        { name: 'repeats', standardUncertainty: 12e-6 },
        { name: 'voltmeter', halfWidth: 15e-6, distribution: 'rectangular' },
      ],
      coverage: 0.95,
    });
    expectPrinted(result.combined, '15e-6');
    expectPrinted(result.combined, '14.79864859e-6');
  });

  it('4.3.4: 129 µΩ at 99 % is 50 µΩ', () => {
    expectPrinted(129 / coverageFactor({ coverage: 0.99, degreesOfFreedom: 'any' }), '50');
  });

  it('4.3.7, 4.3.9 and H.1.3.4: √3, √6 and √2', () => {
    const of = (halfWidth: number, distribution: 'rectangular' | 'triangular' | 'arcsine') =>
      combineUncertainty({ contributions: [{ name: 'x', halfWidth, distribution }], coverage: 0.95 })
        .combined;
    expectPrinted(of(0.4e-6, 'rectangular'), '0.23e-6');
    expectPrinted(of(0.5, 'arcsine'), '0.35');
    expectNear(of(1, 'rectangular'), 1 / Math.sqrt(3), 1e-15);
    expectNear(of(1, 'triangular'), 1 / Math.sqrt(6), 1e-15);
    expectNear(of(1, 'arcsine'), 1 / Math.sqrt(2), 1e-15);
  });
});

describe('own arithmetic: error budget in LSB', () => {
  it('limits 2, 3, 1.5, 0.8 and 0.5: worst case 7.8, root of squares 4.017462', () => {
    const limits = [2, 3, 1.5, 0.8, 0.5];
    const { worstCase } = combineUncertainty({
      contributions: limits.map((halfWidth) => ({ name: '', halfWidth, distribution: 'rectangular' })),
      coverage: 0.95,
    });
    expectNear(worstCase, 7.8, 1e-15);
    const { combined } = combineUncertainty({
      contributions: limits.map((standardUncertainty) => ({ name: '', standardUncertainty })),
      coverage: 0.95,
    });
    expectPrinted(combined, '4.017462');
  });

  it('a normal contribution counts three standard uncertainties in the worst case, times |c|', () => {
    const { worstCase } = combineUncertainty({
      contributions: [
        { name: 'a', standardUncertainty: 2, sensitivity: -5 },
        { name: 'b', halfWidth: 1, distribution: 'triangular', sensitivity: -7 },
      ],
      coverage: 0.95,
    });
    expect(worstCase).toBe(37);
  });
});

const anyContribution = fc.record({
  name: fc.constant('x'),
  standardUncertainty: fc.double({ min: 1e-9, max: 1e9, noNaN: true }),
  sensitivity: fc.double({ min: -1e3, max: 1e3, noNaN: true }).filter((c) => Math.abs(c) > 1e-3),
  degreesOfFreedom: fc.double({ min: 1, max: 1000, noNaN: true }),
});
const anyBudget = fc.array(anyContribution, { minLength: 1, maxLength: 8 });

describe('properties', () => {
  it('u_c lies between the largest contribution and their sum; ν_eff between the least and their sum', () => {
    fc.assert(
      fc.property(anyBudget, (contributions) => {
        const { combined, degreesOfFreedom } = combineUncertainty({ contributions, coverage: 0.95 });
        const u = contributions.map((c) => Math.abs(c.sensitivity) * c.standardUncertainty);
        const nu = contributions.map((c) => c.degreesOfFreedom);
        const sum = (v: number[]) => v.reduce((a, b) => a + b, 0);
        expect(combined).toBeGreaterThanOrEqual(Math.max(...u) * (1 - 1e-12));
        expect(combined).toBeLessThanOrEqual(sum(u) * (1 + 1e-12));
        expect(degreesOfFreedom).toBeGreaterThanOrEqual(Math.min(...nu) * (1 - 1e-12));
        expect(degreesOfFreedom).toBeLessThanOrEqual(sum(nu) * (1 + 1e-12));
      }),
      { seed: 1 },
    );
  });

  it('any unit: the result scales with its contributions, k does not', () => {
    fc.assert(
      fc.property(anyBudget, fc.double({ min: 1e-150, max: 1e150, noNaN: true }), (contributions, scale) => {
        const one = combineUncertainty({ contributions, coverage: 0.9 });
        const other = combineUncertainty({
          contributions: contributions.map((c) => ({ ...c, sensitivity: c.sensitivity * scale })),
          coverage: 0.9,
        });
        expectNear(other.combined, one.combined * scale, 1e-13);
        expectNear(other.worstCase, one.worstCase * scale, 1e-13);
        expectNear(other.coverageFactor, one.coverageFactor, 1e-12);
      }),
      { seed: 2 },
    );
  });

  it('two contributions with correlation r: √(a² + b² + 2·r·a·b), the signs of the sensitivities counted', () => {
    fc.assert(
      fc.property(fc.double({ min: -1, max: 1, noNaN: true }), fc.boolean(), (r, flip) => {
        const { combined } = combineUncertainty({
          contributions: [
            { name: 'a', standardUncertainty: 3 },
            { name: 'b', standardUncertainty: 4, sensitivity: flip ? -1 : 1 },
          ],
          correlations: [[1, 0, r]],
          coverage: 0.95,
        });
        expectNear(combined ** 2, 25 + (flip ? -24 : 24) * r, 1e-13, `r ${r}`, 1e-14);
      }),
      { seed: 3 },
    );
  });

  it('correlated contributions count as one: simultaneous observations keep their degrees of freedom', () => {
    const { degreesOfFreedom } = combineUncertainty({
      contributions: [
        { name: 'a', standardUncertainty: 3, degreesOfFreedom: 4 },
        { name: 'b', standardUncertainty: 4, degreesOfFreedom: 4, sensitivity: -1 },
        { name: 'c', standardUncertainty: 5 },
      ],
      correlations: [[0, 1, 0.5]],
      coverage: 0.95,
    });
    // Joint variance 9 + 16 − 12 of 13 + 25.
    expectNear(degreesOfFreedom as number, 4 * (38 / 13) ** 2, 1e-14);
    const still = combineUncertainty({
      contributions: [
        { name: 'a', standardUncertainty: 3, degreesOfFreedom: 4 },
        { name: 'b', standardUncertainty: 0, degreesOfFreedom: 1 },
      ],
      correlations: [[0, 1, 0.5]],
      coverage: 0.95,
    });
    expectNear(still.degreesOfFreedom as number, 4, 1e-14);
  });

  it('the lines of the budget: largest first, shares add to 1', () => {
    fc.assert(
      fc.property(anyBudget, (contributions) => {
        const lines = budgetLines({ contributions });
        expectNear(
          lines.reduce((sum, line) => sum + line.share, 0),
          1,
          1e-14,
        );
        lines.slice(1).forEach((line, i) => {
          expect(line.uncertainty).toBeLessThanOrEqual(lines[i]!.uncertainty);
        });
      }),
      { seed: 4 },
    );
  });
});

describe('limits', () => {
  const whole = (n: number) => ({ name: 'x', standardUncertainty: 1, degreesOfFreedom: n });

  it('degrees of freedom are rounded down, but not past a whole number that they meet but for rounding', () => {
    expect(coverageFactor({ coverage: 0.95, degreesOfFreedom: 5.999 })).toBe(
      coverageFactor({ coverage: 0.95, degreesOfFreedom: 5 }),
    );
    for (let n = 1; n <= 60; n++) {
      for (const count of [1, 2, 3, 7]) {
        const { degreesOfFreedom, coverageFactor: k } = combineUncertainty({
          contributions: Array.from({ length: count }, () => ({ ...whole(n), standardUncertainty: 0.1 })),
          coverage: 0.95,
        });
        expectNear(degreesOfFreedom as number, n * count, 1e-13);
        expect(k).toBe(coverageFactor({ coverage: 0.95, degreesOfFreedom: n * count }));
      }
    }
  });

  it('exactly known contributions give any degrees of freedom', () => {
    const result = combineUncertainty({
      contributions: [
        { name: 'a', standardUncertainty: 1 },
        { name: 'b', standardUncertainty: 1, degreesOfFreedom: 'any' },
        { name: 'c', standardUncertainty: 0, degreesOfFreedom: 3 },
      ],
      coverage: 0.95,
    });
    expect(result.degreesOfFreedom).toBe('any');
    expectNear(result.coverageFactor, 1.959963984540054, 1e-15);
  });

  it('no uncertainty at all', () => {
    const { combined, degreesOfFreedom, expanded, worstCase } = combineUncertainty({
      contributions: [{ name: 'a', standardUncertainty: 0, degreesOfFreedom: 3 }],
      coverage: 0.95,
    });
    expect({ combined, degreesOfFreedom, expanded, worstCase }).toEqual({
      combined: 0,
      degreesOfFreedom: 'any',
      expanded: 0,
      worstCase: 0,
    });
    expect(budgetLines({ contributions: [{ name: 'a', standardUncertainty: 0 }] })[0]!.share).toBe(0);
  });

  it('equal and opposite, fully correlated: nothing is left', () => {
    const { combined } = combineUncertainty({
      contributions: [
        { name: 'a', standardUncertainty: 0.1, degreesOfFreedom: 5 },
        { name: 'b', standardUncertainty: 0.1, degreesOfFreedom: 5 },
      ],
      correlations: [[0, 1, -1]],
      coverage: 0.95,
    });
    expect(combined).toBe(0);
  });
});

describe('errors', () => {
  const one = { name: 'a', standardUncertainty: 1 } as const;
  const combine = (contributions: unknown, correlations?: unknown, coverage: unknown = 0.95) =>
    combineUncertainty({ contributions, correlations, coverage } as never);

  it('name the contribution, the value and the range', () => {
    expect(() => combine([])).toThrow(
      new RangeError(
        'combineUncertainty.contributions: got an array of 0; allowed an array of at least 1 contribution',
      ),
    );
    expect(() => combine([one, { name: 'b', standardUncertainty: -1 }])).toThrow(
      new RangeError(
        'combineUncertainty.contributions[1].standardUncertainty: got -1; allowed finite numbers from 0',
      ),
    );
    expect(() => combine([{ name: 'b', halfWidth: 1 }])).toThrow(
      new RangeError(
        "combineUncertainty.contributions[0].distribution: got undefined; allowed 'rectangular' or 'triangular' or 'arcsine'",
      ),
    );
    expect(() => combine([{ name: 'b' }])).toThrow(
      new RangeError(
        'combineUncertainty.contributions[0]: got neither; allowed one of standardUncertainty or halfWidth',
      ),
    );
    expect(() => combine([{ ...one, halfWidth: 1, distribution: 'rectangular' }])).toThrow(
      new RangeError(
        'combineUncertainty.contributions[0]: got both; allowed one of standardUncertainty or halfWidth',
      ),
    );
    expect(() => combine([{ ...one, distribution: 'arcsine' }])).toThrow(
      new RangeError(
        'combineUncertainty.contributions[0].distribution: got "arcsine"; allowed only with halfWidth',
      ),
    );
    expect(() => combine([{ ...one, degreesOfFreedom: 0.9 }])).toThrow(
      new RangeError(
        "combineUncertainty.contributions[0].degreesOfFreedom: got 0.9; allowed numbers from 1 or 'any'",
      ),
    );
    expect(() => combine([{ ...one, sensitivty: 1 }])).toThrow(
      new TypeError(
        'combineUncertainty.contributions[0]: no argument is named "sensitivty"; the nearest is "sensitivity"',
      ),
    );
    expect(() => combine([{ ...one, standardUncertainty: 1e300, sensitivity: 1e300 }])).toThrow(
      new RangeError('combineUncertainty.contributions: got Infinity; allowed a finite sum of limits'),
    );
    expect(() => combine([one], undefined, 1)).toThrow(
      new RangeError('combineUncertainty.coverage: got 1; allowed 0.01 … 0.999999999'),
    );
  });

  it('correlations: places, coefficients, repeats, and what cannot stand together', () => {
    const three = [one, one, one];
    const allowed = 'allowed [i, j, r], i and j two different whole numbers 0 … 2, r -1 … 1';
    for (const [pair, got] of [
      [[0, 3, 0.5], '[0, 3, 0.5]'],
      [[1, 1, 0.5], '[1, 1, 0.5]'],
      [[0, 1, 1.1], '[0, 1, 1.1]'],
      [[0, 1], '[0, 1]'],
      ['x', '"x"'],
    ] as const) {
      expect(() => combine(three, [pair])).toThrow(
        new RangeError(`combineUncertainty.correlations[0]: got ${got}; ${allowed}`),
      );
    }
    expect(() => combine(three, 'x')).toThrow(
      new RangeError('combineUncertainty.correlations: got "x"; allowed an array of [i, j, r]'),
    );
    expect(() =>
      combine(three, [
        [0, 1, 0.5],
        [1, 0, 0.5],
      ]),
    ).toThrow(new RangeError('combineUncertainty.correlations[1]: got [1, 0] again; allowed each pair once'));
    // a like b, b like c, a unlike c.
    expect(() =>
      combine(three, [
        [0, 1, 0.9],
        [1, 2, 0.9],
        [0, 2, -0.9],
      ]),
    ).toThrow(
      new RangeError(
        'combineUncertainty.correlations: got coefficients that no quantities can have together; allowed a positive semidefinite matrix',
      ),
    );
    expect(() =>
      combine(three, [
        [0, 1, 1],
        [0, 2, 0.5],
      ]),
    ).toThrow('positive semidefinite');
  });
});

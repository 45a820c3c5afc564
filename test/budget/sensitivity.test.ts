import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { requirementSensitivities } from '../../src/budget/sensitivity.ts';
import { expectNear } from '../close.ts';

describe('own arithmetic: a current through two resistors, at most 1.4 mA and at least 0.6 mA', () => {
  const [current] = requirementSensitivities({
    requirements: [{ name: 'current', value: ({ v, a, b }) => v! / (a! + b!), least: 0.6e-3, most: 1.4e-3 }],
    inputs: {
      a: { nominal: 1000, low: 990, high: 1010 },
      v: { nominal: 3, low: 2.4, high: 3.6 },
      b: { nominal: 2000, low: 1500, high: 2500 },
    },
  });

  it('nominal, and one input at a time by falling swing', () => {
    expectNear(current!.nominal, 1e-3, 1e-15);
    expectNear(current!.margin, 0.4e-3, 1e-14);
    expect(current!.rows.map((row) => row.input)).toEqual(['v', 'b', 'a']);
    const [v, b] = current!.rows;
    expectNear(v!.atLow, 0.8e-3, 1e-14);
    expectNear(v!.atHigh, 1.2e-3, 1e-14);
    expectNear(v!.swing, 0.4e-3, 1e-13);
    expectNear(v!.margin, 0.2e-3, 1e-13);
    expectNear(b!.atLow, 3 / 2500, 1e-14);
    expectNear(b!.atHigh, 3 / 3500, 1e-14);
  });

  it('the corner breaks the limit that no single input does', () => {
    expect(current!.rows.every((row) => row.margin > 0)).toBe(true);
    expect(current!.corner.inputs).toEqual({ a: 990, v: 3.6, b: 1500 });
    expectNear(current!.corner.value, 3.6 / 2490, 1e-14);
    expectNear(current!.corner.margin, 1.4e-3 - 3.6 / 2490, 1e-12);
    expect(current!.corner.exhaustive).toBe(true);
  });
});

describe('properties', () => {
  const spread = fc.tuple(
    fc.double({ min: -1, max: 1, noNaN: true }),
    fc.double({ min: 0, max: 1, noNaN: true }),
    fc.double({ min: 0, max: 1, noNaN: true }),
  );
  const spreads = fc.array(spread, { minLength: 1, maxLength: 6 });
  const inputsOf = (list: [number, number, number][]) =>
    Object.fromEntries(
      list.map(([nominal, down, up], i) => [`x${i}`, { nominal, low: nominal - down, high: nominal + up }]),
    );

  it('no corner is worse than the one found, interactions and all (every corner tried again here)', () => {
    fc.assert(
      fc.property(spreads, fc.boolean(), (list, most) => {
        const inputs = inputsOf(list);
        const names = Object.keys(inputs);
        const value = (v: Readonly<Record<string, number>>) =>
          names.reduce((p, n) => p * (0.3 + v[n]!), 1) + v.x0! ** 2;
        const [result] = requirementSensitivities({
          requirements: [{ name: 'r', value, ...(most ? { most: 1 } : { least: -1 }) }],
          inputs,
        });
        let worst = Number.POSITIVE_INFINITY;
        for (let corner = 0; corner < 2 ** names.length; corner++) {
          const point = Object.fromEntries(
            names.map((n, i) => [n, (corner >> i) & 1 ? inputs[n]!.high : inputs[n]!.low]),
          );
          worst = Math.min(worst, most ? 1 - value(point) : value(point) + 1);
        }
        expect(result!.corner.margin).toBe(worst);
      }),
      { seed: 1 },
    );
  });

  it('a sum over more inputs than are tried exhaustively has its corner at the ends that add up', () => {
    fc.assert(
      fc.property(fc.array(spread, { minLength: 13, maxLength: 16 }), (list) => {
        const inputs = inputsOf(list);
        const value = (v: Readonly<Record<string, number>>) =>
          Object.values(v).reduce((sum, x, i) => sum + (i % 2 ? x : -x), 0);
        const [result] = requirementSensitivities({
          requirements: [{ name: 'r', value, most: 0 }],
          inputs,
        });
        const expected = Object.values(inputs).reduce((sum, x, i) => sum + (i % 2 ? x.high : -x.low), 0);
        expectNear(result!.corner.value, expected, 1e-12, 'corner', 1e-12);
      }),
      { seed: 2 },
    );
  });
});

describe('limits', () => {
  it('an input without spread has no swing; a value worst in the middle has its swing and margin', () => {
    const [result] = requirementSensitivities({
      requirements: [{ name: 'r', value: ({ a }) => 1 - a! * a!, most: 1.5 }],
      inputs: { fixed: { nominal: 1, low: 1, high: 1 }, a: { nominal: 0, low: -1, high: 1 } },
    });
    expect(result!.rows).toEqual([
      { input: 'a', atLow: 0, atHigh: 0, swing: 1, margin: 0.5 },
      { input: 'fixed', atLow: 1, atHigh: 1, swing: 0, margin: 0.5 },
    ]);
  });

  it('more than 12 inputs are not tried exhaustively, and say so', () => {
    const of = (count: number) =>
      requirementSensitivities({
        requirements: [{ name: 'r', value: ({ x0 }) => x0!, most: 0 }],
        inputs: Object.fromEntries(
          Array.from({ length: count }, (_, i) => [`x${i}`, { nominal: 0, low: -1, high: 1 }]),
        ),
      })[0]!.corner;
    expect(of(12).exhaustive).toBe(true);
    expect(of(13).exhaustive).toBe(false);
    expect(of(13).value).toBe(1);
  });

  it('where no single input matters, changes of one end still find the corner', () => {
    const names = Array.from({ length: 14 }, (_, i) => `x${i}`);
    const [result] = requirementSensitivities({
      requirements: [
        {
          name: 'r',
          value: (v) => names.reduce((sum, n) => sum + (n === 'x0' ? 0 : -v.x0! * v[n]!), 0),
          most: 0,
        },
      ],
      inputs: Object.fromEntries(names.map((n) => [n, { nominal: 0, low: -1, high: 1 }])),
    });
    expect(result!.corner.value).toBe(13);
  });
});

describe('errors', () => {
  const inputs = { a: { nominal: 0, low: -1, high: 1 } };
  const value = () => 1;

  it('name the requirement or the input', () => {
    expect(() => requirementSensitivities({ requirements: [{ name: 'r', value }], inputs })).toThrow(
      new RangeError(
        'requirementSensitivities.requirements[0]: got neither least nor most; allowed one of them, or both',
      ),
    );
    expect(() =>
      requirementSensitivities({
        requirements: [{ name: 'r', value, most: 1 }],
        inputs: { a: { nominal: 2, low: -1, high: 1 } },
      }),
    ).toThrow(
      new RangeError('requirementSensitivities.inputs.a.nominal: got 2; allowed -1 … 1, its low and high'),
    );
    expect(() =>
      requirementSensitivities({ requirements: [{ name: 'r', value: () => Number.NaN, most: 1 }], inputs }),
    ).toThrow(
      new RangeError('requirementSensitivities.requirements[0].value: got NaN; allowed finite numbers'),
    );
    expect(() => requirementSensitivities({ requirements: [], inputs })).toThrow(
      new RangeError(
        'requirementSensitivities.requirements: got an array of 0; allowed an array of at least 1 requirement',
      ),
    );
  });
});

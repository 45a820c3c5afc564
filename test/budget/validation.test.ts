import { describe, expect, it } from 'vitest';
import type { Input } from '../../src/budget/inputs.ts';
import { monteCarlo } from '../../src/budget/monteCarlo.ts';
import { propagateUncertainty } from '../../src/budget/propagation.ts';
import { secondOrderUncertainty } from '../../src/budget/secondOrder.ts';
import { validation } from '../../src/budget/validation.ts';
import { expectNear, expectPrinted } from '../close.ts';
import { massCalibration } from './published.ts';

const sum = ({ a, b, c, d }: Readonly<Record<string, number>>): number => a! + b! + c! + d!;
const rectangular = (u: number): Input => ({
  estimate: 0,
  halfWidth: Math.sqrt(3) * u,
  distribution: 'rectangular',
});
const normal: Input = { estimate: 0, standardUncertainty: 1 };

/** Both ways on four inputs, compared to two or one digits. */
function both(inputs: Readonly<Record<string, Input>>, digits: number) {
  const given = { model: sum, inputs, coverage: 0.95 };
  const { combined, expanded } = propagateUncertainty(given);
  return validation({
    propagated: { low: -expanded, high: expanded },
    drawn: monteCarlo(given).symmetric,
    standardUncertainty: combined,
    digits,
  });
}

describe('published: [JCGM101] 9.2 and 9.3, tables 2, 3, 4 and 6, 10⁶ draws (values from memory)', () => {
  it('9.2.2: four normal inputs are validated, δ 0.05', () => {
    const { tolerance, outcome } = both({ a: normal, b: normal, c: normal, d: normal }, 2);
    expect([tolerance, outcome]).toEqual([0.05, 'validated']);
  });

  it('9.2.3: four rectangular inputs, 3.92 against 3.88, are validated, δ 0.05', () => {
    const one = rectangular(1);
    const { tolerance, lowDifference, highDifference, outcome } = both({ a: one, b: one, c: one, d: one }, 2);
    expect([tolerance, outcome]).toEqual([0.05, 'validated']);
    // Exact ends differ by 0.042; the drawn ones stand by a standard deviation of 0.004.
    expectNear(lowDifference, 0.042, 0, 'low', 0.016);
    expectNear(highDifference, 0.042, 0, 'high', 0.016);
  });

  it('9.2.4: one of them ten times as wide, 19.9 against 17.0, is not validated, δ 0.5', () => {
    const one = rectangular(1);
    const { tolerance, lowDifference, highDifference, outcome } = both(
      { a: one, b: one, c: one, d: rectangular(10) },
      2,
    );
    expect([tolerance, outcome]).toEqual([0.5, 'not validated']);
    expectNear(lowDifference, 19.9 - 17.0, 0, 'low', 0.1);
    expectNear(highDifference, 19.9 - 17.0, 0, 'high', 0.1);
  });

  it('9.3.3: mass calibration, first order is not validated, with terms of higher order it is, δ 0.005', () => {
    const drawn = monteCarlo({ ...massCalibration, coverage: 0.95 });
    const compared = (of: { estimate: number; expanded: number }) =>
      validation({
        propagated: { low: of.estimate - of.expanded, high: of.estimate + of.expanded },
        drawn: drawn.shortest,
        standardUncertainty: drawn.standardUncertainty,
        digits: 1,
      });
    const propagated = propagateUncertainty({ ...massCalibration, coverage: 0.95 });
    const first = compared(propagated);
    expect([first.tolerance, first.outcome]).toEqual([0.005, 'not validated']);
    // The shortest interval of so flat a top moves by 0.001 between seeds.
    expectNear(first.lowDifference, 0.0451, 0, 'low', 0.003);
    expectNear(first.highDifference, 0.043, 0, 'high', 0.003);
    const { combined } = secondOrderUncertainty(massCalibration);
    const second = compared({ estimate: propagated.estimate, expanded: 1.959964 * combined });
    expect(second.outcome).toBe('validated');
  });

  it('the printed intervals of table 6 give the printed differences', () => {
    const drawn = { low: 1.0834, high: 1.3825 };
    const of = (low: number, high: number) =>
      validation({ propagated: { low, high }, drawn, standardUncertainty: 0.0754, digits: 1 });
    const first = of(1.1285, 1.3395);
    expectPrinted(first.lowDifference, '0.0451');
    expectPrinted(first.highDifference, '0.0430');
    expect(first.outcome).toBe('not validated');
    const second = of(1.087, 1.381);
    expectPrinted(second.lowDifference, '0.0036');
    expectPrinted(second.highDifference, '0.0015');
    expect(second.outcome).toBe('validated');
  });
});

describe('the scatter of the drawn ends', () => {
  const of = (difference: number, scatter: number) =>
    validation({
      propagated: { low: -10, high: 10 },
      drawn: { low: -10 + difference, high: 10 },
      standardUncertainty: 5.1,
      digits: 2,
      scatter: { low: scatter, high: 0 },
    }).outcome;

  it('leaves the outcome open within two standard deviations of δ, 0.05 here', () => {
    expect(of(0.04, 0)).toBe('validated');
    expect(of(0.04, 0.004)).toBe('validated');
    expect(of(0.04, 0.006)).toBe('open');
    expect(of(0.06, 0.006)).toBe('open');
    expect(of(0.06, 0.004)).toBe('not validated');
  });
});

describe('errors', () => {
  it('name the argument, the value and what is allowed', () => {
    const good = { drawn: { low: 0, high: 1 }, standardUncertainty: 1, digits: 2 };
    expect(() => validation({ ...good, propagated: { low: 2, high: 1 } })).toThrow(
      new RangeError(
        'validation.propagated: got an object; allowed {low, high}, finite numbers with low ≤ high',
      ),
    );
    expect(() => validation({ ...good, propagated: good.drawn, scatter: { low: -1, high: 0 } })).toThrow(
      new RangeError('validation.scatter: got an object; allowed {low, high}, finite numbers with both ≥ 0'),
    );
    expect(() => validation({ ...good, propagated: good.drawn, standardUncertainty: 0 })).toThrow(
      /^validation\.standardUncertainty: got 0/,
    );
  });
});

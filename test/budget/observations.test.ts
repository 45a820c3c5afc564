import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { correlationOfMeans, meanOfObservations } from '../../src/budget/observations.ts';
import { expectNear, expectPrinted } from '../close.ts';
import { columnsOf } from './published.ts';

describe('published: [GUM] table 1, twenty temperatures in °C (values from memory)', () => {
  it('mean 100.145, s 1.489, s/√n 0.333', () => {
    const t = meanOfObservations({ values: columnsOf('gum-table1.csv').t_C! });
    expectPrinted(t.estimate, '100.145');
    expectPrinted(t.standardDeviation, '1.489');
    expectPrinted(t.standardUncertainty, '0.333');
    expect(t.degreesOfFreedom).toBe(19);
  });
});

describe('published: [GUM] H.2, table H.2, five simultaneous observations', () => {
  const { V_volt: volts, I_mA: milliamperes, phi_rad: phase } = columnsOf('gum-h2.csv');

  it('means and their standard uncertainties, V, mA and rad', () => {
    const v = meanOfObservations({ values: volts! });
    const i = meanOfObservations({ values: milliamperes! });
    const p = meanOfObservations({ values: phase! });
    expectPrinted(v.estimate, '4.9990');
    expectPrinted(v.standardUncertainty, '0.0032');
    expectPrinted(i.estimate, '19.6610');
    expectPrinted(i.standardUncertainty, '0.0095');
    expectPrinted(p.estimate, '1.04446');
    expectPrinted(p.standardUncertainty, '0.00075');
  });

  it('correlations −0.36, 0.86 and −0.65', () => {
    expectPrinted(correlationOfMeans({ first: volts!, second: milliamperes! }), '-0.36');
    expectPrinted(correlationOfMeans({ first: volts!, second: phase! }), '0.86');
    expectPrinted(correlationOfMeans({ first: milliamperes!, second: phase! }), '-0.65');
  });
});

describe('properties', () => {
  const values = fc.array(fc.double({ min: -1e3, max: 1e3, noNaN: true }), { minLength: 2, maxLength: 30 });

  it('a shift and a factor: the mean takes both, u the factor, the correlation neither', () => {
    fc.assert(
      fc.property(values, fc.double({ min: 0.1, max: 10, noNaN: true }), (x, factor) => {
        const y = x.map((v) => -factor * v + 7);
        const [a, b] = [meanOfObservations({ values: x }), meanOfObservations({ values: y })];
        expectNear(b.estimate, -factor * a.estimate + 7, 1e-10, 'mean', 1e-10);
        expectNear(b.standardUncertainty, factor * a.standardUncertainty, 1e-9, 'u', 1e-10);
        if (a.standardUncertainty > 1e-3) {
          expectNear(correlationOfMeans({ first: x, second: y }), -1, 1e-9);
          expectNear(correlationOfMeans({ first: x, second: x }), 1, 1e-12);
        }
      }),
      { seed: 1 },
    );
  });
});

describe('limits', () => {
  it('a quantity that does not vary', () => {
    expect(meanOfObservations({ values: new Uint16Array([3, 3, 3]) })).toEqual({
      estimate: 3,
      standardDeviation: 0,
      standardUncertainty: 0,
      degreesOfFreedom: 2,
    });
    expect(correlationOfMeans({ first: [1, 2], second: [5, 5] })).toBe(0);
  });
});

describe('errors', () => {
  it('name the argument', () => {
    expect(() => meanOfObservations({ values: [1] })).toThrow(
      new RangeError(
        'meanOfObservations.values: got an array of 1; allowed an array of at least 2 finite numbers',
      ),
    );
    expect(() => correlationOfMeans({ first: [1, 2], second: [1, 2, 3] })).toThrow(
      new RangeError('correlationOfMeans.second: got an array of 3; allowed as many as in first, 2'),
    );
  });
});

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { correlationOfMeans, meanOfObservations } from '../../src/budget/observations.ts';
import { propagateUncertainty, sensitivities } from '../../src/budget/propagation.ts';
import { expectNear, expectPrinted } from '../close.ts';
import { columnsOf, endGauge, massCalibration } from './published.ts';

describe('published: [GUM] H.1, end gauge, by its model, in nm', () => {
  const result = propagateUncertainty({ ...endGauge, coverage: 0.99 });

  it('length 50 000 838, u_c 32, ν_eff 16.75', () => {
    expect(result.estimate).toBe(50_000_838);
    expectPrinted(result.combined, '32');
    expectPrinted(result.combined, '31.66');
    expectPrinted(result.degreesOfFreedom as number, '16.75');
    expectPrinted(result.expanded, '92.5');
  });

  it('sensitivities as in H.1.3: c of expansion and temperature vanish', () => {
    const c = result.sensitivities;
    expect(c.standard).toBe(1);
    // A length of 5e7 carries a rounding of 7e-9, the difference is over a quarter of 5.8.
    expectNear(c.difference!, 1, 1e-8);
    for (const name of ['expansion', 'meanTemperature', 'cycle']) {
      expectNear(c[name]!, 0, 0, name, 1e-6);
    }
    expectNear(c.expansionDifference!, 0.1 * 50_000_623, 1e-8);
    expectNear(c.temperatureDifference!, -11.5e-6 * 50_000_623, 1e-8);
  });
});

describe('published: [GUM] H.2, resistance, reactance and impedance in Ω, correlated inputs', () => {
  const {
    V_volt: volts,
    I_mA: milliamperes,
    phi_rad: phase,
  } = columnsOf('gum-h2.csv') as Record<'V_volt' | 'I_mA' | 'phi_rad', number[]>;
  const amperes = milliamperes.map((i) => i / 1000);
  const observed = (values: number[]) => {
    const { estimate, standardUncertainty, degreesOfFreedom } = meanOfObservations({ values });
    return { estimate, standardUncertainty, degreesOfFreedom };
  };
  const inputs = { v: observed(volts), i: observed(amperes), p: observed(phase) };
  const correlations = [
    ['v', 'i', correlationOfMeans({ first: volts, second: amperes })],
    ['v', 'p', correlationOfMeans({ first: volts, second: phase })],
    ['i', 'p', correlationOfMeans({ first: amperes, second: phase })],
  ] as const;
  type Values = Readonly<Record<string, number>>;
  const resistance = ({ v, i, p }: Values) => (v! / i!) * Math.cos(p!);
  const reactance = ({ v, i, p }: Values) => (v! / i!) * Math.sin(p!);
  const impedance = ({ v, i }: Values) => v! / i!;
  const of = (model: (values: Values) => number) =>
    propagateUncertainty({ model, inputs, correlations, coverage: 0.95 });

  it('table H.3: R 127.732(71), X 219.847(295), Z 254.260(236)', () => {
    const [r, x, z] = [of(resistance), of(reactance), of(impedance)];
    expectPrinted(r.estimate, '127.732');
    expectPrinted(x.estimate, '219.847');
    expectPrinted(z.estimate, '254.260');
    expectPrinted(r.combined, '0.071');
    expectPrinted(z.combined, '0.236');
    // The print has 0.295 for X, which is what approach 2 below gives; the law of propagation gives 0.29558.
    expectPrinted(x.combined, '0.29558');
  });

  it('correlations of the results, from the uncertainties of their sums: −0.588, −0.485, 0.993', () => {
    const correlation = (a: (v: Values) => number, b: (v: Values) => number) => {
      const [first, second, sum] = [of(a).combined, of(b).combined, of((v) => a(v) + b(v)).combined];
      return (sum ** 2 - first ** 2 - second ** 2) / (2 * first * second);
    };
    expectPrinted(correlation(resistance, reactance), '-0.588');
    expectPrinted(correlation(resistance, impedance), '-0.485');
    // Unrounded 0.9925; the print's 0.993 is it rounded up from 0.99251.
    expectPrinted(correlation(reactance, impedance), '0.9925');
    expectNear(correlation(reactance, impedance), 0.993, 0, 'r(X, Z)', 0.0005);
  });

  it('table H.4, approach 2, each of the five sets by itself: 0.071, 0.295, 0.236, from which first order is 0.3 % off', () => {
    const each = (model: (values: Values) => number) =>
      meanOfObservations({
        values: volts.map((v, k) => model({ v, i: amperes[k]!, p: phase[k]! })),
      }).standardUncertainty;
    expectPrinted(each(resistance), '0.071');
    expectPrinted(each(reactance), '0.295');
    expectPrinted(each(impedance), '0.236');
    for (const model of [resistance, reactance, impedance]) {
      expectNear(of(model).combined, each(model), 3e-3);
    }
    // One set of five observations has four degrees of freedom, whichever way it is reduced.
    expectNear(of(resistance).degreesOfFreedom as number, 4, 1e-12);
  });
});

describe('published: [JCGM101] 9.3.3, mass calibration, first order, in mg (values from memory)', () => {
  it('u 0.0539, interval [1.1285, 1.3395]', () => {
    const { estimate, combined, expanded } = propagateUncertainty({ ...massCalibration, coverage: 0.95 });
    expectNear(estimate, 1.234, 1e-9);
    expectPrinted(combined, '0.0539');
    expectPrinted(estimate - expanded, '1.1285');
    expectPrinted(estimate + expanded, '1.3395');
  });
});

describe('published: [QUAM] A1, a calibration standard in mg/L', () => {
  it('1002.7 with u 0.8352', () => {
    const { estimate, combined } = propagateUncertainty({
      model: ({ mass, purity, flask, repeats, warmth }) =>
        (1000 * mass! * purity!) / (flask! + repeats! + warmth!),
      inputs: {
        mass: { estimate: 100.28, standardUncertainty: 0.05 },
        purity: { estimate: 0.9999, halfWidth: 1e-4, distribution: 'rectangular' },
        flask: { estimate: 100, halfWidth: 0.1, distribution: 'triangular' },
        repeats: { estimate: 0, standardUncertainty: 0.02 },
        warmth: { estimate: 0, halfWidth: 0.084, distribution: 'rectangular' },
      },
      coverage: 0.95,
    });
    expectPrinted(estimate, '1002.70');
    expectPrinted(combined, '0.8352');
  });
});

describe('properties', () => {
  const x = fc.double({ min: 0.5, max: 5, noNaN: true });

  it('derivatives of elementary functions: 1e-8 for a spread of a hundredth of the argument', () => {
    fc.assert(
      fc.property(x, (at) => {
        const of = (f: (v: number) => number) =>
          sensitivities({
            model: ({ v }) => f(v!),
            inputs: { v: { estimate: at, standardUncertainty: at / 100 } },
          }).v!;
        expectNear(of(Math.exp), Math.exp(at), 1e-8);
        expectNear(of(Math.log), 1 / at, 1e-8);
        expectNear(of(Math.sin), Math.cos(at), 1e-8, '', 1e-8);
        expectNear(
          of((v) => v ** 5),
          5 * at ** 4,
          1e-8,
        );
        expectNear(
          of((v) => 1 / v),
          -1 / at ** 2,
          1e-8,
        );
      }),
      { seed: 1 },
    );
  });

  it('a polynomial of the sixth degree is exact even for a wide spread (the error is of the seventh)', () => {
    const c = sensitivities({
      model: ({ v }) => v! ** 6,
      inputs: { v: { estimate: 2, standardUncertainty: 1.5 } },
    });
    expectNear(c.v!, 6 * 2 ** 5, 1e-12);
  });

  it('a product of powers: relative uncertainties add in squares, each times its power', () => {
    fc.assert(
      fc.property(x, x, x, (a, b, c) => {
        const { estimate, combined } = propagateUncertainty({
          model: (v) => (v.a! ** 2 * v.b!) / v.c!,
          inputs: {
            a: { estimate: a, standardUncertainty: 0.003 * a },
            b: { estimate: b, standardUncertainty: 0.004 * b },
            c: { estimate: c, standardUncertainty: 0.005 * c },
          },
          coverage: 0.95,
        });
        expectNear(combined / estimate, Math.hypot(2 * 0.003, 0.004, 0.005), 1e-9);
      }),
      { seed: 2 },
    );
  });
});

describe('limits', () => {
  it('an input without spread has its coefficient nevertheless', () => {
    const c = sensitivities({
      model: ({ a, b }) => a! * a! + 3 * b!,
      inputs: { a: { estimate: 4, standardUncertainty: 0 }, b: { estimate: 0, standardUncertainty: 0 } },
    });
    // b has no scale, so its step is 1e-6, over which 16 has lost 9 digits of 16 to rounding.
    expectNear(c.a!, 8, 1e-10);
    expectNear(c.b!, 3, 1e-8);
  });
});

describe('errors', () => {
  const inputs = { a: { estimate: 0, standardUncertainty: 1 } };

  it('a result that is not finite, with the place', () => {
    expect(() => sensitivities({ model: ({ a }) => Math.log(a!), inputs })).toThrow(
      new RangeError('sensitivities.model: got NaN for a -1; allowed finite numbers'),
    );
  });

  it('the argument, the input or the pair', () => {
    expect(() => sensitivities({ model: 3, inputs } as never)).toThrow(
      new RangeError('sensitivities.model: got 3; allowed a function of one object of values by name'),
    );
    expect(() => sensitivities({ model: () => 1, inputs: {} })).toThrow(
      new RangeError('sensitivities.inputs: got an object; allowed an object of at least 1 named input'),
    );
    expect(() => sensitivities({ model: () => 1, inputs: { a: { estimate: Number.NaN } } } as never)).toThrow(
      new RangeError('sensitivities.inputs.a.estimate: got NaN; allowed finite numbers'),
    );
    expect(() =>
      propagateUncertainty({ model: () => 1, inputs, correlations: [['a', 'b', 0.5]], coverage: 0.9 }),
    ).toThrow(new RangeError('propagateUncertainty.correlations[0]: got "b"; allowed a'));
  });
});

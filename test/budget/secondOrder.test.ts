import { describe, expect, it } from 'vitest';
import { secondOrderUncertainty } from '../../src/budget/secondOrder.ts';
import { expectNear, expectPrinted } from '../close.ts';
import { endGauge, massCalibration } from './published.ts';

describe('published: [GUM] H.1.7, end gauge, in nm', () => {
  const result = secondOrderUncertainty(endGauge);
  const termOf = (...wanted: string[][]) =>
    Math.sqrt(
      result.terms
        .filter(({ names }) => wanted.some((pair) => pair.every((name) => names.includes(name))))
        .reduce((sum, term) => sum + term.variance, 0),
    );

  it('l_s·u(δα)·u(θ) is 11.7, l_s·u(α)·u(δθ) 1.7', () => {
    // θ is the mean temperature and the cycle about it together.
    const theta = termOf(['expansionDifference', 'meanTemperature'], ['expansionDifference', 'cycle']);
    expectPrinted(theta, '11.7');
    expectPrinted(theta, '11.73');
    expectPrinted(termOf(['expansion', 'temperatureDifference']), '1.7');
    expectPrinted(termOf(['expansion', 'temperatureDifference']), '1.667');
  });

  it('u_c rises from 32 to 34', () => {
    expectPrinted(result.firstOrder, '31.66');
    expectPrinted(result.combined, '34');
    expectPrinted(result.combined, '33.81');
  });
});

describe('published: [JCGM101] 9.3.3, mass calibration, higher order, in mg (values from memory)', () => {
  it('u 0.0750, interval [1.0870, 1.3810] of a normal distribution', () => {
    const { firstOrder, combined } = secondOrderUncertainty(massCalibration);
    expectPrinted(firstOrder, '0.0539');
    expectPrinted(combined, '0.0750');
    // Ends as remembered are 1.0870 and 1.3810 from the rounded u; unrounded they are 1.0871 and 1.3809.
    expectPrinted(1.234 - 1.959964 * combined, '1.0871');
    expectPrinted(1.234 + 1.959964 * combined, '1.3809');
  });
});

describe('limits', () => {
  it('the square of a normal input: variance 4x²u² + 2u⁴ and mean x² + u², exactly', () => {
    const { combined, shift } = secondOrderUncertainty({
      model: ({ x }) => x! * x!,
      inputs: { x: { estimate: 3, standardUncertainty: 0.7 } },
    });
    expectNear(combined ** 2, 4 * 9 * 0.49 + 2 * 0.7 ** 4, 1e-12);
    expectNear(shift, 0.49, 1e-12);
  });

  it('exp of a normal input, to the order of u⁴: variance e^{2x}·(u² + 3u⁴/2)', () => {
    // ½·f″² + f′·f‴ is 3/2·e^{2x}.
    const u = 0.01;
    const { combined } = secondOrderUncertainty({
      model: ({ x }) => Math.exp(x!),
      inputs: { x: { estimate: 1, standardUncertainty: u } },
    });
    expectNear(combined ** 2 / (Math.E ** 2 * u * u) - 1, 1.5 * u * u, 1e-4);
  });

  it('a product of two: the term of third derivatives counts, f = x·y², in either order', () => {
    // Exact for independent normal inputs: E f² − (E f)², with E y⁴ = y⁴ + 6y²v + 3v², v = u²(y).
    const [x, y, u, w] = [2, 3, 0.01, 0.02];
    const [a, v] = [u * u, w * w];
    const exact = (x * x + a) * (y ** 4 + 6 * y * y * v + 3 * v * v) - (x * (y * y + v)) ** 2;
    const inputs = {
      x: { estimate: x, standardUncertainty: u },
      y: { estimate: y, standardUncertainty: w },
    };
    const first = y ** 4 * a + 4 * x * x * y * y * v;
    const model = (p: Readonly<Record<string, number>>) => p.x! * p.y! ** 2;
    for (const { combined } of [
      secondOrderUncertainty({ model, inputs }),
      secondOrderUncertainty({ model, inputs: { y: inputs.y, x: inputs.x } }),
    ]) {
      // What is left is of third order, 3·a·v².
      expectNear(combined ** 2, exact, 1e-9);
      expectNear(combined ** 2 - first, exact - first, 1e-3);
    }
  });

  it('a linear model has none', () => {
    const { combined, firstOrder, shift } = secondOrderUncertainty({
      model: ({ a, b }) => 2 * a! - 3 * b!,
      inputs: { a: { estimate: 1, standardUncertainty: 0.1 }, b: { estimate: 5, standardUncertainty: 0.2 } },
    });
    expectNear(combined, firstOrder, 1e-10);
    expectNear(shift, 0, 0, '', 1e-12);
  });
});

describe('errors', () => {
  it('a result that is not finite', () => {
    expect(() =>
      secondOrderUncertainty({
        model: ({ a }) => Math.sqrt(a!),
        inputs: { a: { estimate: 0, standardUncertainty: 1 } },
      }),
    ).toThrow(/^secondOrderUncertainty\.model: got NaN for a -/);
  });
});

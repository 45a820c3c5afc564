import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type CalibrationKind, calibratedValue, calibration } from '../../src/budget/calibration.ts';
import { seededRandom } from '../../src/numbers/random.ts';
import { expectNear, expectPrinted } from '../close.ts';

describe('published: [GUM] H.3, a thermometer, table H.6, in °C (values from memory, they recompute to the printed results)', () => {
  const readings = [21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.01, 26.511];
  const corrections = [171, 169, 166, 159, 164, 165, 156, 157, 159, 161, 160].map((b) => -b / 1000);
  const line = calibration({
    points: readings.map((reading, i) => ({ reading, reference: corrections[i]! })),
    kind: 'line',
    origin: 20,
  });
  const covariance = line.covariance as number[][];

  it('intercept −0.1712 with s 0.0029, slope 0.00218 with s 0.00067, r −0.930, s 0.0035', () => {
    const [s1, s2] = [Math.sqrt(covariance[0]![0]!), Math.sqrt(covariance[1]![1]!)];
    expectPrinted(line.coefficients[0]!, '-0.1712');
    expectPrinted(line.coefficients[1]!, '0.00218');
    expectPrinted(s1, '0.0029');
    expectPrinted(s2, '0.00067');
    expectPrinted(covariance[0]![1]! / (s1 * s2), '-0.930');
    expectPrinted(line.residual as number, '0.0035');
    expect(line.degreesOfFreedom).toBe(9);
  });

  it('the correction at 30 °C is −0.1494 with u 0.0041, outside the points', () => {
    const at = calibratedValue({ calibration: line, reading: 30 });
    expectPrinted(at.value, '-0.1494');
    expectPrinted(at.standardUncertainty as number, '0.0041');
    expect(at.inside).toBe(false);
  });
});

describe('against calibrations made over and over (10⁴ seeded repeats)', () => {
  const kinds: [CalibrationKind, number[]][] = [
    ['offset', [3]],
    ['gain', [1, 4]],
    ['line', [1, 2, 5]],
    ['quadratic', [0, 1, 3, 4, 6]],
    ['cubic', [0, 1, 2, 4, 5, 7]],
  ];
  it.each(kinds)(
    '%s: uncertainties inside and outside are the spread of the repeats, to 3 %',
    (kind, readings) => {
      const random = seededRandom(5);
      const u = readings.map((_, i) => 0.01 * (1 + i / 2));
      const at = [readings[0]!, 2.5, 9];
      const sums = at.map(() => [0, 0]);
      const repeats = 10_000;
      const once = () =>
        calibration({
          points: readings.map((reading, i) => ({
            reading,
            reference: 2 * reading + u[i]! * random.normal(),
            standardUncertainty: u[i]!,
          })),
          kind,
        });
      for (let n = 0; n < repeats; n++) {
        const calibrated = once();
        at.forEach((reading, i) => {
          const { value } = calibratedValue({ calibration: calibrated, reading });
          sums[i]![0]! += value;
          sums[i]![1]! += value * value;
        });
      }
      const last = once();
      at.forEach((reading, i) => {
        const mean = sums[i]![0]! / repeats;
        const spread = Math.sqrt(sums[i]![1]! / repeats - mean * mean);
        const { standardUncertainty } = calibratedValue({ calibration: last, reading });
        // The spread of 10⁴ repeats is known to 0.7 %.
        expectNear(standardUncertainty as number, spread, 0.03, `at ${reading}`);
      });
    },
  );

  it('without stated uncertainties the covariance is that of the scatter: on average the stated one', () => {
    const random = seededRandom(6);
    const readings = [0, 1, 2, 3, 4, 5];
    let sum = 0;
    for (let n = 0; n < 4000; n++) {
      const points = readings.map((reading) => ({ reading, reference: 3 + 0.1 * random.normal() }));
      sum += (calibration({ points, kind: 'line' }).covariance as number[][])[0]![0]!;
    }
    // At the mean of the readings the variance is u²/6; the mean of 4000 is known to 1.1 %.
    expectNear(sum / 4000, 0.01 / 6, 0.04);
  });
});

describe('properties', () => {
  const coefficient = fc.double({ min: -10, max: 10, noNaN: true });

  it('points on the curve give the curve back, whatever the origin', () => {
    fc.assert(
      fc.property(fc.array(coefficient, { minLength: 2, maxLength: 4 }), coefficient, (c, origin) => {
        const curve = (x: number) => c.reduceRight((sum, k) => sum * x + k, 0);
        const kind = (['line', 'quadratic', 'cubic'] as const)[c.length - 2]!;
        const points = [-3, -1, 0, 2, 5].map((reading) => ({ reading, reference: curve(reading) }));
        const fit = calibration({ points, kind, origin });
        for (const reading of [-3, 0.7, 8]) {
          expectNear(
            calibratedValue({ calibration: fit, reading }).value,
            curve(reading),
            1e-8,
            `${reading}`,
            1e-8,
          );
        }
        expectNear(fit.residual as number, 0, 0, 'residual', 1e-8);
      }),
      { seed: 1 },
    );
  });

  it('the value and its uncertainty do not depend on the origin', () => {
    fc.assert(
      fc.property(fc.array(coefficient, { minLength: 4, maxLength: 4 }), coefficient, (y, origin) => {
        const points = y.map((reference, i) => ({ reading: i * i, reference }));
        const of = (x0?: number) =>
          calibratedValue({ calibration: calibration({ points, kind: 'line', origin: x0 }), reading: 4.5 });
        expectNear(of(origin).value, of().value, 1e-9, 'value', 1e-9);
        expectNear(
          of(origin).standardUncertainty as number,
          of().standardUncertainty as number,
          1e-8,
          'u',
          1e-9,
        );
      }),
      { seed: 2 },
    );
  });

  it('the uncertainty is least among the points and grows outside', () => {
    const points = [0, 1, 2, 3].map((reading) => ({ reading, reference: reading, standardUncertainty: 0.1 }));
    const fit = calibration({ points, kind: 'line' });
    const u = (reading: number) =>
      calibratedValue({ calibration: fit, reading }).standardUncertainty as number;
    expectNear(u(1.5), 0.05, 1e-14);
    expect(u(3)).toBeGreaterThan(u(1.5));
    expect(u(6)).toBeGreaterThan(u(3));
    expect(u(-6)).toBeGreaterThan(u(0));
  });
});

describe('limits', () => {
  it('one point: an offset, or a gain', () => {
    const points = [{ reading: 10, reference: 11, standardUncertainty: 0.2 }];
    const offset = calibration({ points, kind: 'offset' });
    expect(calibratedValue({ calibration: offset, reading: 50 })).toEqual({
      value: 51,
      standardUncertainty: 0.2,
      inside: false,
    });
    const gain = calibration({ points, kind: 'gain' });
    const at = calibratedValue({ calibration: gain, reading: 50 });
    expectNear(at.value, 55, 1e-14);
    expectNear(at.standardUncertainty as number, 1, 1e-14);
    expect(gain.chiSquareRatio).toBe('none');
    expect(gain.degreesOfFreedom).toBe('any');
  });

  it('two points and a line, nothing stated: no residual, and nobody knows the uncertainty', () => {
    const points = [
      { reading: 10, reference: 11 },
      { reading: 20, reference: 23 },
    ];
    const line = calibration({ points, kind: 'line', origin: 0 });
    expectNear(line.coefficients[0]!, -1, 1e-13);
    expectNear(line.coefficients[1]!, 1.2, 1e-13);
    expect([line.residual, line.covariance, line.degreesOfFreedom]).toEqual(['none', 'none', 'none']);
    const at = calibratedValue({ calibration: line, reading: 15 });
    expectNear(at.value, 17, 1e-13);
    expect(at.standardUncertainty).toBe('none');
    expect(at.inside).toBe(true);
    expect(calibratedValue({ calibration: line, reading: 9.9 }).inside).toBe(false);
    expect(calibratedValue({ calibration: line, reading: 20 }).inside).toBe(true);
  });

  it('weights: a point ten times as certain counts a hundredfold', () => {
    const { coefficients, chiSquareRatio } = calibration({
      points: [
        { reading: 0, reference: 1, standardUncertainty: 0.1 },
        { reading: 0, reference: 2, standardUncertainty: 1 },
      ],
      kind: 'offset',
    });
    expectNear(coefficients[0]!, 1 + 1 / 101, 1e-14);
    // (1/101/0.1)² + (100/101)², over one degree of freedom.
    expectNear(chiSquareRatio as number, (10 / 101) ** 2 + (100 / 101) ** 2, 1e-13);
  });
});

describe('errors', () => {
  const at = (reading: number) => ({ reading, reference: 1 });

  it('name the point, the value and the range', () => {
    expect(() => calibration({ points: [at(1)], kind: 'line' })).toThrow(
      new RangeError("calibration.points: got 1; allowed at least 2 for 'line'"),
    );
    expect(() => calibration({ points: [at(1), at(1)], kind: 'line' })).toThrow(
      new RangeError(
        'calibration.points: got readings 1, 1; allowed readings that tell 2 coefficients apart',
      ),
    );
    expect(() => calibration({ points: [at(1), at(1 + 1e-13)], kind: 'line', origin: 0 })).toThrow(
      'allowed readings that tell 2 coefficients apart',
    );
    expect(() => calibration({ points: [at(0)], kind: 'gain' })).toThrow(
      new RangeError('calibration.points: got readings 0; allowed readings that tell 1 coefficients apart'),
    );
    expect(() => calibration({ points: [at(1), at(Number.NaN)], kind: 'line' })).toThrow(
      new RangeError('calibration.points[1].reading: got NaN; allowed finite numbers'),
    );
    expect(() =>
      calibration({ points: [at(1), { ...at(2), standardUncertainty: 1 }], kind: 'line' }),
    ).toThrow(
      new RangeError(
        'calibration.points: got a standardUncertainty in 1 of 2; allowed in every point or in none',
      ),
    );
    expect(() => calibratedValue({ calibration: {} as never, reading: 1 })).toThrow(
      new RangeError('calibratedValue.calibration: got an object; allowed a result of calibration'),
    );
  });
});

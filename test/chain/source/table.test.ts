import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type TablePoints, table } from '../../../src/chain/source/table.ts';
import { thermistor } from '../../../src/chain/source/thermistor.ts';
import { expectNear } from '../../close.ts';
import { sensorLaws } from './laws.ts';
import { publishedRows } from './published.ts';

const kinds = { measurand: 'temperature', electrical: 'voltage' } as const;
const eight: TablePoints = [
  [0, 2],
  [1, 1.2],
  [1.5, 1],
  [4, 0.6],
  [6, 0.2],
  [7, 0.15],
  [10, -1],
  [15, -3.5],
];

/** The resistance table's rows, but for the one suspected of a typing error. */
const resistances = publishedRows('thermistor-10k-curve.csv')
  .filter(([celsius]) => celsius !== '19')
  .map(([celsius, ohms]) => [Number(celsius), Number(ohms)] as const);

describe('against a general numerical library: [PCHIP]', () => {
  it('value and slope at 61 places', () => {
    const s = table({ ...kinds, points: eight });
    const rows = publishedRows('monotone-cubic.csv');
    expect(rows.length).toBe(61);
    for (const [x, y, slope] of rows) {
      expectNear(s.toElectrical(Number(x)), Number(y), 1e-13, `${x}`, 1e-14);
      expectNear(s.slope(Number(x)), Number(slope), 1e-13, `${x}`, 1e-14);
    }
  });
});

describe('published: [NTC10K] resistance table', () => {
  it('every third row, on the logarithmic scale, tells the rows between better than straight lines could', () => {
    // ln R of a β curve bends by 2β/T³ and falls by β/T²: straight lines over gaps of h are up to h²/(4T) off, in K.
    const points = resistances.filter((_, i) => i % 3 === 0);
    const s = table({ points, measurand: 'temperature', electrical: 'resistance', scale: 'logarithmic' });
    const linear = table({ points, measurand: 'temperature', electrical: 'resistance' });
    let [worst, worstLinear] = [0, 0];
    for (const [celsius, ohms] of resistances.filter(([t]) => t >= -20 && t <= 100)) {
      const i = points.findIndex(([t]) => t > celsius);
      const gap = points[i]![0] - points[i - 1]![0];
      const error = Math.abs(s.toMeasurand(ohms) - celsius);
      expect(error).toBeLessThanOrEqual(gap ** 2 / (4 * (celsius + 273.15)));
      worst = Math.max(worst, error);
      worstLinear = Math.max(worstLinear, Math.abs(linear.toMeasurand(ohms) - celsius));
    }
    expect(worst).toBeGreaterThan(0);
    expect(worstLinear).toBeGreaterThan(2 * worst);
  });

  it('passes every point', () => {
    const s = table({
      points: resistances,
      measurand: 'temperature',
      electrical: 'resistance',
      scale: 'logarithmic',
    });
    for (const [celsius, ohms] of resistances) {
      expectNear(s.toElectrical(celsius), ohms, 1e-14);
      expectNear(s.toMeasurand(ohms), celsius, 0, '', 1e-11);
    }
  });
});

describe('laws', () => {
  // Where two stretches meet the slope is the same and its derivative is not, so differences across a point are left out.
  const at = (points: TablePoints) => ({ joints: points.map(([m]) => m) });
  sensorLaws('eight points, falling', () => table({ ...kinds, points: eight }), at(eight));
  const two: TablePoints = [
    [3, 10],
    [-2, -7],
  ];
  sensorLaws('two points, in any order', () => table({ ...kinds, points: two }), at(two));
  const curve = thermistor({ r25: 10000, beta: 3976 });
  const sampled = [-40, -20, 0, 20, 50, 90, 125].map((t) => [t, curve.toElectrical(t)] as const);
  sensorLaws(
    'logarithmic',
    () =>
      table({ points: sampled, measurand: 'temperature', electrical: 'resistance', scale: 'logarithmic' }),
    at(sampled),
  );

  it('two points make a straight line', () => {
    const s = table({
      ...kinds,
      points: [
        [0, 1],
        [4, 9],
      ],
    });
    for (const m of [0, 1, 2.5, 4]) expectNear(s.toElectrical(m), 1 + 2 * m, 1e-15);
  });

  it('whatever monotone points: never outside two neighbours, never flat, there and back', () => {
    const gaps = fc.array(
      fc.tuple(
        fc.double({ min: 0.01, max: 100, noNaN: true }),
        fc.double({ min: 0.01, max: 100, noNaN: true }),
      ),
      { minLength: 2, maxLength: 20 },
    );
    fc.assert(
      fc.property(gaps, fc.boolean(), (list, falls) => {
        const points: [number, number][] = [[-5, 3]];
        for (const [dm, de] of list) {
          const [m, e] = points.at(-1)!;
          points.push([m + dm, e + (falls ? -de : de)]);
        }
        const s = table({ ...kinds, points });
        const sign = falls ? -1 : 1;
        for (let i = 1; i < points.length; i++) {
          const [[m0, e0], [m1, e1]] = [points[i - 1]!, points[i]!];
          for (const part of [0.01, 0.3, 0.5, 0.9]) {
            const m = m0 + part * (m1 - m0);
            const e = s.toElectrical(m);
            expect(sign * (e - e0)).toBeGreaterThan(0);
            expect(sign * (e1 - e)).toBeGreaterThan(0);
            expect(sign * s.slope(m)).toBeGreaterThan(0);
            expectNear(s.toMeasurand(e), m, 0, '', 1e-9 * (m1 - m0) + 1e-12);
          }
        }
      }),
      { seed: 1 },
    );
  });

  it('an end whose three-point slope would turn keeps a quarter of its secant', () => {
    // Three-point slope at 0: ((2 + 1)·0.1 − 1·10)/2 < 0.
    const s = table({
      ...kinds,
      points: [
        [0, 0],
        [1, 0.1],
        [2, 10.1],
      ],
    });
    expectNear(s.slope(0), 0.025, 1e-14);
  });
});

describe('errors', () => {
  const good = {
    ...kinds,
    points: [
      [0, 1],
      [1, 2],
    ],
  };
  it.each([
    [{ ...good, points: [[0, 1]] }, RangeError, 'table.points: got an array of 1; allowed two or more'],
    [
      {
        ...good,
        points: [
          [0, 1],
          [1, 2],
          [2, 2],
        ],
      },
      RangeError,
      'table.points: got an array of 3; allowed two or more',
    ],
    [
      {
        ...good,
        points: [
          [0, 1],
          [1, 2],
          [2, 1],
        ],
      },
      RangeError,
      'always rising or always falling',
    ],
    [
      {
        ...good,
        points: [
          [0, 1],
          [0, 2],
        ],
      },
      RangeError,
      'no measurand twice',
    ],
    [
      {
        ...good,
        points: [
          [0, 1],
          [1, Number.NaN],
        ],
      },
      RangeError,
      'finite',
    ],
    [
      {
        ...good,
        points: [
          [0, 0],
          [1, 2],
        ],
        scale: 'logarithmic',
      },
      RangeError,
      'table.points: got an electrical value of 0 or below',
    ],
    [{ ...good, measurand: 'heat' }, RangeError, `table.measurand: got "heat"; allowed 'temperature' or`],
    [{ ...good, electrical: 'heat' }, RangeError, `table.electrical: got "heat"; allowed 'resistance' or`],
    [{ ...good, unit: 3 }, RangeError, 'table.unit: got 3; allowed the unit as text'],
    [{ ...good, scale: 'log' }, RangeError, `table.scale: got "log"; allowed 'linear' or 'logarithmic'`],
    [{ ...good, pints: 1 }, TypeError, 'table: no argument is named "pints"; the nearest is "points"'],
  ])('%j', (given, kind, message) => {
    expect(() => table(given as never)).toThrow(kind);
    expect(() => table(given as never)).toThrow(message);
  });

  it('outside the points, in the unit given', () => {
    const s = table({
      points: [
        [0, 1],
        [5, 2],
      ],
      measurand: 'quantity',
      unit: 'bar',
      electrical: 'voltage',
    });
    expect(() => s.toElectrical(6)).toThrow('table.toElectrical: got 6; allowed 0 … 5 bar');
    expect(() => s.toMeasurand(0)).toThrow('table.toMeasurand: got 0; allowed 1 … 2 V');
  });
});

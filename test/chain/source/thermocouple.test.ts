import { describe, expect, it } from 'vitest';
import { type ThermocoupleType, thermocouple } from '../../../src/chain/source/thermocouple.ts';
import { expectNear, expectPrinted } from '../../close.ts';
import { sensorLaws } from './laws.ts';
import { publishedRows } from './published.ts';

/** Error ranges of the approximate inverses as printed, K: [type, from mV, to mV, least, most]; of two that overlap the first reaches on. */
const inverseErrors: [ThermocoupleType, number, number, string, string][] = [
  ['B', 0.291, 2.431, '-0.02', '0.03'],
  ['B', 2.431, 13.82, '-0.01', '0.02'],
  ['E', -8.825, 0, '-0.01', '0.03'],
  ['E', 0, 76.373, '-0.02', '0.02'],
  ['J', -8.095, 0, '-0.05', '0.03'],
  ['J', 0, 42.919, '-0.04', '0.04'],
  ['J', 42.919, 69.553, '-0.04', '0.03'],
  ['K', -5.891, 0, '-0.02', '0.04'],
  ['K', 0, 20.644, '-0.05', '0.04'],
  ['K', 20.644, 54.886, '-0.05', '0.06'],
  ['N', -3.99, 0, '-0.02', '0.03'],
  ['N', 0, 20.613, '-0.02', '0.03'],
  ['N', 20.613, 47.513, '-0.04', '0.02'],
  ['R', -0.226, 1.923, '-0.02', '0.02'],
  ['R', 1.923, 13.228, '-0.005', '0.005'],
  ['R', 13.228, 19.739, '-0.0005', '0.001'],
  ['R', 19.739, 21.103, '-0.001', '0.002'],
  ['S', -0.235, 1.874, '-0.02', '0.02'],
  ['S', 1.874, 11.95, '-0.01', '0.01'],
  ['S', 11.95, 17.536, '-0.0002', '0.0002'],
  ['S', 17.536, 18.693, '-0.002', '0.002'],
  ['T', -5.603, 0, '-0.02', '0.04'],
  ['T', 0, 20.872, '-0.03', '0.03'],
];

/** Where two pieces of a reference function meet, °C. */
const joints: Record<ThermocoupleType, number[]> = {
  B: [630.615],
  E: [0],
  J: [760],
  K: [0],
  N: [0],
  R: [1064.18, 1664.5],
  S: [1064.18, 1664.5],
  T: [0],
};

const types = ['B', 'E', 'J', 'K', 'N', 'R', 'S', 'T'] as const;

describe('published: [SRD60], mV and °C, reference junction at 0 °C', () => {
  it.each(types)('every emf of the table, type %s', (type) => {
    // Below its valid range the reference function still serves as a cold junction, so the emf there is read from the other end.
    const rows = publishedRows('thermocouple-emf.csv').filter(([t]) => t === type);
    expect(rows.length).toBeGreaterThan(12);
    const { validRange, toElectrical } = thermocouple({ type });
    for (const [, celsius, millivolts] of rows) {
      const t = Number(celsius);
      const at =
        t >= validRange.low
          ? toElectrical(t)
          : toElectrical(validRange.low) -
            thermocouple({ type, coldJunction: t }).toElectrical(validRange.low);
      expectPrinted(at * 1000, millivolts!, `${type} at ${celsius} °C`);
    }
  });

  it.each([
    ['K', 25, 1.000242355],
    ['K', 100, 4.096230219],
    ['K', -50, -1.88938333],
    ['K', 1000, 41.27560646],
    ['J', 200, 10.77874605],
    ['J', -100, -4.63252368],
    ['T', 100, 4.278518616],
    ['T', -150, -4.648467718],
  ] as const)('type %s at %d °C by the polynomial, computed apart: %d mV', (type, celsius, millivolts) => {
    expectNear(thermocouple({ type }).toElectrical(celsius) * 1000, millivolts, 1e-9);
  });

  it.each([
    ['K', 4.096, 99.9632856],
    ['K', -3.554, -100.003685],
    ['J', 10.779, 199.9944],
    ['T', 4.279, 100.014956],
  ] as const)(
    'type %s, %d mV by the inverse polynomial, computed apart: %d °C',
    (type, millivolts, celsius) => {
      expectNear(thermocouple({ type }).polynomialMeasurand(millivolts / 1000), celsius, 0, '', 1e-6);
    },
  );

  it('10.000 mV with the cold junction at 25 °C, by the inverse polynomial, computed apart: 270.727936 °C', () => {
    const k = thermocouple({ type: 'K', coldJunction: 25 });
    expectNear(k.polynomialMeasurand(0.01), 270.727936, 0, '', 1e-6);
    // The polynomial is 14 mK off there; its stated error is 0.05 K.
    expectNear(k.toMeasurand(0.01), 270.713685166, 0, '', 1e-8);
  });

  it.each(inverseErrors)(
    'the inverse polynomial of type %s from %d to %d mV is off by %s … %s K, as printed',
    (type, low, high, least, most) => {
      const s = thermocouple({ type });
      const range = [s.validRange.low, s.validRange.high].map((t) => s.toElectrical(t) * 1000);
      let [under, over] = [0, 0];
      for (let i = 1; i <= 4000; i++) {
        const millivolts = low + ((high - low) * i) / 4000;
        if (millivolts < range[0]! || millivolts > range[1]!) continue;
        const error = s.polynomialMeasurand(millivolts / 1000) - s.toMeasurand(millivolts / 1000);
        under = Math.min(under, error);
        over = Math.max(over, error);
      }
      // The ranges are printed rounded: half a unit of the last digit more.
      const half = (text: string) => 0.5 * 10 ** -text.split('.')[1]!.length;
      expect(under).toBeGreaterThanOrEqual(Number(least) - half(least));
      expect(over).toBeLessThanOrEqual(Number(most) + half(most));
      // And they are nearly reached, so that a range that belongs to other coefficients would show.
      expect(over - under).toBeGreaterThan(0.4 * (Number(most) - Number(least)));
    },
  );
});

describe('laws', () => {
  for (const type of types)
    sensorLaws(`type ${type}`, () => thermocouple({ type }), { joints: joints[type] });
  sensorLaws(
    'a warm cold junction',
    () => thermocouple({ type: 'K', coldJunction: 40, tolerance: { kelvin: 1, relative: 0.01 } }),
    { joints: joints.K },
  );

  it('reads the cold junction’s own temperature at 0 V', () => {
    for (const type of types.filter((t) => t !== 'B')) {
      for (const coldJunction of [-40, 0, 25, 85]) {
        expectNear(thermocouple({ type, coldJunction }).toMeasurand(0), coldJunction, 0, type, 1e-9);
      }
    }
  });

  it('the pieces of each reference function meet: no step over 1e-7 mV, none in the slope over 2e-4 of it but for type N', () => {
    for (const [type, joint] of types.flatMap((t) => joints[t].map((j) => [t, j] as const))) {
      const s = thermocouple({ type });
      const step = s.toElectrical(joint + 1e-9) - s.toElectrical(joint);
      expectNear(step * 1000, s.slope(joint) * 1e-6, 0, `${type} at ${joint}`, 1e-7);
      // The published coefficients of N change by 0.9 % in slope at 0 °C.
      expectNear(s.slope(joint + 1e-9), s.slope(joint), type === 'N' ? 9e-3 : 2e-4, `${type} at ${joint}`);
    }
  });

  it('the cold junction’s sensitivity is what a small error of it does', () => {
    for (const type of types) {
      const s = thermocouple({ type, coldJunction: 25 });
      const off = thermocouple({ type, coldJunction: 25.001 });
      for (const t of [300, 360]) {
        const moved = off.toMeasurand(s.toElectrical(t)) - t;
        expectNear(s.coldJunctionSensitivity(t), moved / 0.001, 1e-4, type, 1e-5);
      }
    }
  });

  it('the tolerance is the larger of both parts', () => {
    const s = thermocouple({ type: 'K', tolerance: { kelvin: 2.5, relative: 0.0075 } });
    expect(s.tolerance!(-100)).toBe(2.5);
    expectNear(s.tolerance!(1000), 7.5, 1e-15);
    expect(thermocouple({ type: 'K' }).tolerance).toBeUndefined();
  });
});

describe('errors', () => {
  it.each([
    [{ type: 'C' }, RangeError, `thermocouple.type: got "C"; allowed 'B' or 'E' or 'J' or`],
    [
      { type: 'K', coldJunction: -300 },
      RangeError,
      'thermocouple.coldJunction: got -300; allowed -270 … 1372 °C',
    ],
    [
      { type: 'K', coldJunction: Number.NaN },
      RangeError,
      'thermocouple.coldJunction: got NaN; allowed finite numbers of °C',
    ],
    [{ type: 'K', tolerance: 2 }, RangeError, 'thermocouple.tolerance: got 2; allowed an object'],
    [
      { type: 'K', tolerance: { kelvin: -1, relative: 0 } },
      RangeError,
      'thermocouple.tolerance.kelvin: got -1; allowed finite numbers from 0 K',
    ],
    [
      { type: 'K', tolerance: { kelvin: 1 } },
      RangeError,
      'thermocouple.tolerance.relative: got undefined; allowed finite numbers from 0',
    ],
    [{ typ: 'K' }, TypeError, 'thermocouple: no argument is named "typ"; the nearest is "type"'],
  ])('%j', (given, kind, message) => {
    expect(() => thermocouple(given as never)).toThrow(kind);
    expect(() => thermocouple(given as never)).toThrow(message);
  });

  it('the inverse polynomial refuses what the sensor refuses', () => {
    expect(() => thermocouple({ type: 'K' }).polynomialMeasurand(0.06)).toThrow(
      /toMeasurand: got 0.06; allowed -0.0058/,
    );
  });
});

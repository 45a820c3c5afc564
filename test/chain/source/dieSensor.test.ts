import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { dieSensor } from '../../../src/chain/source/dieSensor.ts';
import { expectNear } from '../../close.ts';
import { sensorLaws } from './laws.ts';

/** Codes of the size that controllers store (common practice, no source): 30 and 110 °C, 12 bits, 3.0 V. */
const stored = {
  low: { celsius: 30, code: 1035 },
  high: { celsius: 110, code: 1380 },
  bits: 12,
  reference: 3,
} as const;

describe('the stored points', () => {
  it.each([0.5, 1] as const)(
    'read back as they were stored, first transition at %d LSB',
    (firstTransition) => {
      const s = dieSensor({ ...stored, firstTransition });
      expectNear(s.measurandFromCode(1035, 12, 3), 30, 1e-12);
      expectNear(s.measurandFromCode(1380, 12, 3), 110, 1e-12);
    },
  );

  it('80 K over 345 codes of 3 V/4096: 3.158569 mV/K, by hand', () => {
    expectNear(dieSensor(stored).slope(0), ((345 / 80) * 3) / 4096, 1e-15);
    expectNear(dieSensor(stored).toElectrical(30), (1035 * 3) / 4096, 1e-15);
    expectNear(dieSensor({ ...stored, firstTransition: 1 }).toElectrical(30), (1035.5 * 3) / 4096, 1e-15);
  });
});

describe('another reference and width now', () => {
  const now = fc.record({
    celsius: fc.double({ min: -40, max: 125, noNaN: true }),
    bits: fc.integer({ min: 8, max: 16 }),
    reference: fc.double({ min: 1.6, max: 5, noNaN: true }),
  });

  it('a converter simulated now reads within half its code of the temperature', () => {
    for (const firstTransition of [0.5, 1] as const) {
      const s = dieSensor({ ...stored, firstTransition, validRange: { low: -60, high: 150 } });
      fc.assert(
        fc.property(now, ({ celsius, bits, reference }) => {
          const q = reference / 2 ** bits;
          // The number of transitions at or under the voltage, as a converter counts them.
          const code = Math.floor(s.toElectrical(celsius) / q + 1 - firstTransition);
          const read = s.measurandFromCode(code, bits, reference);
          expect(Math.abs(read - celsius)).toBeLessThanOrEqual((0.5 * q) / s.slope(celsius) + 1e-9);
        }),
        { seed: 1 },
      );
    }
  });

  it('forgetting a supply of 3.3 V reads 24 K off at 30 °C', () => {
    const s = dieSensor(stored);
    const code = (s.toElectrical(30) / 3.3) * 4096;
    expectNear(s.measurandFromCode(code, 12, 3.3), 30, 1e-12);
    expectNear(s.measurandFromCode(code, 12, 3), 30 - (1035 * (1 - 3 / 3.3)) / (345 / 80), 1e-12);
  });
});

describe('tolerance', () => {
  it('is half a code between the points, and grows beyond them: worst case over both stored codes', () => {
    const s = dieSensor({ ...stored, tolerance: 1 });
    for (const t of [-40, 0, 30, 70, 110, 125]) {
      let worst = 0;
      for (const dl of [-0.5, 0.5]) {
        for (const dh of [-0.5, 0.5]) {
          // True codes before rounding; the line through them gives the true voltage at t.
          const lowCode = stored.low.code + dl;
          const highCode = stored.high.code + dh;
          const code = lowCode + ((t - 30) * (highCode - lowCode)) / 80;
          worst = Math.max(worst, Math.abs(30 + ((code - 1035) * 80) / 345 - t));
        }
      }
      expectNear(s.tolerance!(t), 1 + worst, 1e-12, `${t} °C`);
    }
  });
});

describe('laws', () => {
  sensorLaws('rising', () => dieSensor(stored));
  sensorLaws('falling', () =>
    dieSensor({
      low: { celsius: 25, code: 3000 },
      high: { celsius: 85, code: 2600 },
      bits: 14,
      reference: 1.2,
      tolerance: 2,
    }),
  );
});

describe('errors', () => {
  it.each([
    [{ ...stored, low: 5 }, RangeError, 'dieSensor.low: got 5; allowed an object'],
    [{ ...stored, low: { celsius: 30 } }, RangeError, 'dieSensor.low.code: got undefined; allowed 0 … 4095'],
    [
      { ...stored, low: { celsius: 30, code: 4096 } },
      RangeError,
      'dieSensor.low.code: got 4096; allowed 0 … 4095',
    ],
    [
      { ...stored, high: { celsius: -300, code: 1 } },
      RangeError,
      'dieSensor.high.celsius: got -300; allowed -273 … 3000 °C',
    ],
    [
      { ...stored, high: { celsius: 30, code: 1380 } },
      RangeError,
      'dieSensor.high.celsius: got 30; allowed temperatures above low.celsius, 30 °C',
    ],
    [
      { ...stored, high: { celsius: 110, code: 1035 } },
      RangeError,
      'dieSensor.high.code: got 1035; allowed codes other than low.code, 1035',
    ],
    [{ ...stored, bits: 0 }, RangeError, 'dieSensor.bits: got 0; allowed whole numbers 1 … 32'],
    [{ ...stored, reference: 0 }, RangeError, 'dieSensor.reference: got 0; allowed finite numbers above 0 V'],
    [{ ...stored, firstTransition: 0 }, RangeError, 'dieSensor.firstTransition: got 0; allowed 0.5 or 1'],
    [
      { ...stored, tolerance: -1 },
      RangeError,
      'dieSensor.tolerance: got -1; allowed finite numbers from 0 K',
    ],
    [
      { ...stored, low: { celsius: 30, kode: 1 } },
      TypeError,
      'dieSensor.low: no argument is named "kode"; the nearest is "code"',
    ],
    [
      { ...stored, refernce: 3 },
      TypeError,
      'dieSensor: no argument is named "refernce"; the nearest is "reference"',
    ],
  ])('%j', (given, kind, message) => {
    expect(() => dieSensor(given as never)).toThrow(kind);
    expect(() => dieSensor(given as never)).toThrow(message);
  });
});

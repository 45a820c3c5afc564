import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { supplyFromReference } from '../../../src/chain/reading/supplyFromReference.ts';
import { expectNear } from '../../close.ts';

const given = { referenceVoltage: 1.2, referenceCode: 1489, bits: 12, firstTransition: 0.5 } as const;

describe('the supply', () => {
  it('lies between those at which a simulated converter gives that code', () => {
    for (const firstTransition of [0.5, 1] as const) {
      fc.assert(
        fc.property(
          fc.double({ min: 1.6, max: 5.5, noNaN: true }),
          fc.integer({ min: 8, max: 16 }),
          (supply, bits) => {
            const code = Math.floor((1.2 * 2 ** bits) / supply + 1 - firstTransition);
            const found = supplyFromReference({ ...given, referenceCode: code, bits, firstTransition });
            // Half a code either side of the truth; the law is curved, so a little more above.
            expect(Math.abs(found.voltage - supply)).toBeLessThanOrEqual(
              0.5 * found.perCode * (1 + 2 / code),
            );
          },
        ),
        { seed: 1 },
      );
    }
  });

  it('is exact for the fractional code that has no rounding', () => {
    for (const supply of [1.8, 2.5, 3, 3.3]) {
      const steps = (1.2 * 4096) / supply;
      expectNear(supplyFromReference({ ...given, referenceCode: steps }).voltage, supply, 1e-15);
      expectNear(
        supplyFromReference({ ...given, referenceCode: steps - 0.5, firstTransition: 1 }).voltage,
        supply,
        1e-15,
      );
    }
  });

  it('per code: the difference of two neighbours', () => {
    const at = (referenceCode: number) => supplyFromReference({ ...given, referenceCode });
    expectNear(at(1489).perCode, (at(1488.5).voltage - at(1489.5).voltage) / 1, 1e-6);
    expect(at(1489).perCode).toBeGreaterThan(0);
  });
});

describe('its uncertainty', () => {
  it('is the spread of seeded draws of both inputs', () => {
    const u = { referenceUncertainty: 0.006, codeUncertainty: 2 };
    const { uncertainty, voltage } = supplyFromReference({ ...given, ...u });
    // Normal draws: the sum of twelve uniform numbers, from a 32-bit generator with a fixed start.
    let state = 1;
    const uniform = () => {
      state = (state + 0x6d2b79f5) | 0;
      let x = Math.imul(state ^ (state >>> 15), state | 1);
      x ^= x + Math.imul(x ^ (x >>> 7), x | 61);
      return ((x ^ (x >>> 14)) >>> 0) / 2 ** 32;
    };
    const normal = () => {
      let sum = -6;
      for (let i = 0; i < 12; i++) sum += uniform();
      return sum;
    };
    let square = 0;
    const draws = 200000;
    for (let i = 0; i < draws; i++) {
      const v = ((1.2 + 0.006 * normal()) * 4096) / (1489 + 2 * normal());
      square += (v - voltage) ** 2;
    }
    // 200 000 draws leave 0.16 % (one standard deviation); four of those, and 3e-5 of curvature.
    expectNear(uncertainty!, Math.sqrt(square / draws), 0.0065);
  });

  it('takes one that is not stated as zero, and is absent without either', () => {
    const { voltage, perCode, uncertainty } = supplyFromReference({ ...given, codeUncertainty: 2 });
    expectNear(uncertainty!, 2 * perCode, 1e-15);
    expectNear(
      supplyFromReference({ ...given, referenceUncertainty: 0.012 }).uncertainty!,
      voltage / 100,
      1e-14,
    );
    expect(supplyFromReference(given)).toEqual({ voltage, perCode });
  });
});

describe('errors', () => {
  it.each([
    [
      { ...given, referenceVoltage: 0 },
      RangeError,
      'supplyFromReference.referenceVoltage: got 0; allowed 1e-30 … 1e+30 V',
    ],
    [
      { ...given, referenceCode: 0 },
      RangeError,
      'supplyFromReference.referenceCode: got 0; allowed 1 … 4095',
    ],
    [
      { ...given, referenceCode: 4096 },
      RangeError,
      'supplyFromReference.referenceCode: got 4096; allowed 1 … 4095',
    ],
    [
      { ...given, bits: 12.5 },
      RangeError,
      'supplyFromReference.bits: got 12.5; allowed whole numbers 1 … 32',
    ],
    [
      { ...given, firstTransition: undefined },
      RangeError,
      'supplyFromReference.firstTransition: got undefined; allowed 0.5 or 1',
    ],
    [
      { ...given, referenceUncertainty: -1 },
      RangeError,
      'supplyFromReference.referenceUncertainty: got -1; allowed 0 … 1e+30 V',
    ],
    [
      { ...given, codeUncertainty: Number.NaN },
      RangeError,
      'supplyFromReference.codeUncertainty: got NaN; allowed 0 … 10000000000',
    ],
    [{ ...given, code: 1 }, TypeError, 'supplyFromReference: no argument is named "code"'],
  ])('case %#', (wrong, kind, message) => {
    expect(() => supplyFromReference(wrong as never)).toThrow(kind);
    expect(() => supplyFromReference(wrong as never)).toThrow(message);
  });
});

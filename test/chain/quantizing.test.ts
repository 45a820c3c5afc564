import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  codeBinWidth,
  codeFromVoltage,
  commonModeWindow,
  differentialBinWidth,
  differentialCodeFromVoltage,
  differentialVoltageFromCode,
  effectiveBitsFromSinad,
  idealSnrDb,
  voltageFromCode,
} from '../../src/chain/quantizing.ts';
import { expectNear, expectPrinted } from '../close.ts';

describe('published: [HANDBOOK2005] ch. 2, table of LSB sizes, 10 V full scale (values from memory)', () => {
  const table: [bits: number, unit: number, printed: string][] = [
    [8, 1e-3, '39.1'],
    [10, 1e-3, '9.77'],
    [12, 1e-3, '2.44'],
    [16, 1e-6, '153'],
    [18, 1e-6, '38'],
    [24, 1e-9, '596'],
  ];
  it.each(table)('%i bits', (bits, unit, printed) => {
    expectPrinted(codeBinWidth({ bits, reference: 10 }) / unit, printed);
  });
});

describe('published: [MT001] full-scale sine SNR, 6.02·N + 1.76 dB, both constants to two decimals', () => {
  it.each([6, 8, 10, 12, 16, 20, 24])('%i bits', (bits) => {
    // Half a unit of the second decimal of 6.02, N times, and of 1.76.
    expectNear(idealSnrDb({ bits }), 6.02 * bits + 1.76, 0, '', 0.005 * bits + 0.005);
  });

  it('is 20·log10 2 a bit from 10·log10 1.5', () => {
    expectNear(idealSnrDb({ bits: 12 }), 74.00811155, 1e-10);
    expectNear(idealSnrDb({ bits: 6 }), 37.88451207, 2e-10);
  });
});

describe('published: effective bits from SINAD, [MT003] (formula)', () => {
  it('a data sheet that states 72 dB has 11.67 bits, the formula with constants as printed', () => {
    // The printed constants have two decimals; the exact ones give 0.0013 bits less.
    expectNear(effectiveBitsFromSinad({ sinadDb: 72 }), (72 - 1.76) / 6.02, 0, '', 0.0015);
    expectNear(effectiveBitsFromSinad({ sinadDb: 72 }), Math.log2(10 ** (72 / 20) / Math.sqrt(1.5)), 1e-14);
  });

  it('is the inverse of the ideal SNR', () => {
    for (let bits = 1; bits <= 32; bits++) {
      expectNear(effectiveBitsFromSinad({ sinadDb: idealSnrDb({ bits }) }), bits, 1e-14);
    }
  });
});

describe('transitions by exact arithmetic', () => {
  it('3.3 V, 12 bits: 1.000 V is code 1241 where codes start on transitions, 1.3010 V is 1615 where they are centred', () => {
    expect(codeFromVoltage({ volts: 1, bits: 12, reference: 3.3, firstTransition: 1 })).toBe(1241);
    expect(codeFromVoltage({ volts: 1.301, bits: 12, reference: 3.3, firstTransition: 0.5 })).toBe(1615);
    expect(codeFromVoltage({ volts: 1.301, bits: 12, reference: 3.3, firstTransition: 1 })).toBe(1614);
  });

  it('every limit of six decimals that stands on a transition of 12 bits is at or above it, exactly', () => {
    // In integers: V = v·1e-6 and V_ref = r·1e-6, so T[k] ≤ V where (2k − 2 + 2·first)·r ≤ 2·v·2^12.
    let onTransition = 0;
    for (const r of [
      1_024_000, 1_500_000, 2_048_000, 2_500_000, 3_000_000, 3_300_000, 4_096_000, 5_000_000,
    ]) {
      for (const twice of [1, 2] as const) {
        for (let k = 1; k < 4096; k++) {
          const v = ((2 * k - 2 + twice) * r) / 8192;
          if (!Number.isInteger(v)) continue;
          onTransition++;
          const at = (micro: number) =>
            codeFromVoltage({
              volts: Number(`${micro}e-6`),
              bits: 12,
              reference: Number(`${r}e-6`),
              firstTransition: (twice / 2) as 0.5 | 1,
            });
          expect(at(v), `${v} µV of ${r} µV`).toBe(k);
          expect(at(v - 1), `${v - 1} µV of ${r} µV`).toBe(k - 1);
        }
      }
    }
    expect(onTransition).toBeGreaterThan(4000);
  });

  it('clamps at both ends', () => {
    for (const firstTransition of [0.5, 1] as const) {
      const at = (volts: number) => codeFromVoltage({ volts, bits: 12, reference: 3.3, firstTransition });
      expect([at(3.3), at(-0.01), at(1e308), at(-1e308)]).toEqual([4095, 0, 4095, 0]);
    }
  });
});

describe('properties', () => {
  const settings = fc.record({
    bits: fc.integer({ min: 1, max: 24 }),
    reference: fc.double({ min: 0.1, max: 10, noNaN: true }),
    firstTransition: fc.constantFrom<0.5 | 1>(0.5, 1),
  });

  it('every code of 12 bits, both customs: the code of its centre is itself', () => {
    for (const firstTransition of [0.5, 1] as const) {
      for (const reference of [1.2, 3.3, 4.096]) {
        const with_ = { bits: 12, reference, firstTransition };
        for (let code = 0; code < 4096; code++) {
          expect(codeFromVoltage({ ...with_, volts: voltageFromCode({ ...with_, code }) })).toBe(code);
        }
      }
    }
  });

  it('a code never falls as the voltage rises, and is within half a width of the voltage inside the range', () => {
    fc.assert(
      fc.property(settings, fc.integer({ min: 0, max: 1e6 }), fc.integer({ min: 0, max: 1e6 }), (s, a, b) => {
        const low = (Math.min(a, b) / 1e6) * s.reference;
        const high = (Math.max(a, b) / 1e6) * s.reference;
        const code = codeFromVoltage({ ...s, volts: high });
        expect(codeFromVoltage({ ...s, volts: low })).toBeLessThanOrEqual(code);
        if (code > 0 && code < 2 ** s.bits - 1) {
          const q = codeBinWidth({ bits: s.bits, reference: s.reference });
          expect(Math.abs(voltageFromCode({ ...s, code }) - high)).toBeLessThanOrEqual(0.5 * q * (1 + 1e-6));
        }
      }),
    );
  });

  it('a fractional code is worth its place between its neighbours', () => {
    const with_ = { bits: 10, reference: 2, firstTransition: 1 } as const;
    const mean = (voltageFromCode({ ...with_, code: 511 }) + voltageFromCode({ ...with_, code: 512 })) / 2;
    expectNear(voltageFromCode({ ...with_, code: 511.5 }), mean, 1e-15);
  });
});

describe('differential input', () => {
  it('every two’s complement code of 10 bits is that of its centre, and q is twice V_ref over 2^N', () => {
    for (const firstTransition of [0.5, 1] as const) {
      const with_ = { bits: 10, reference: 1.25, firstTransition };
      for (let code = -512; code < 512; code++) {
        expect(
          differentialCodeFromVoltage({ ...with_, volts: differentialVoltageFromCode({ ...with_, code }) }),
        ).toBe(code);
      }
    }
    expectNear(differentialBinWidth({ bits: 10, reference: 1.25 }), 2.5 / 1024, 1e-15);
  });

  it('clamps to −2^(N−1) … 2^(N−1) − 1, and reads 0 V as 0, not as −0', () => {
    const at = (volts: number, firstTransition: 0.5 | 1) =>
      differentialCodeFromVoltage({ volts, bits: 12, reference: 2, firstTransition });
    expect([at(2, 0.5), at(-2, 0.5), at(3, 1), at(-3, 1)]).toEqual([2047, -2048, 2047, -2048]);
    expect(Object.is(at(-0, 1), 0)).toBe(true);
    expect(Object.is(at(-(0.5 + 2 ** -53) / 1024, 0.5), 0)).toBe(true);
    expect(at(-1e-9, 1)).toBe(-1);
    expect(at(-1e-9, 0.5)).toBe(0);
  });

  it('agrees with a single-ended converter of twice the reference, moved by half the range', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: -5_000_000, max: 5_000_000 }),
        fc.constantFrom<0.5 | 1>(0.5, 1),
        (n, firstTransition) => {
          const volts = n / 2 ** 21;
          const single = codeFromVoltage({ volts: volts + 2, bits: 14, reference: 4, firstTransition });
          expect(differentialCodeFromVoltage({ volts, bits: 14, reference: 2, firstTransition })).toBe(
            single - 8192,
          );
        },
      ),
    );
  });
});

describe('errors', () => {
  it('name the argument, the value and the range', () => {
    expect(() => codeBinWidth({ bits: 12.5, reference: 3.3 })).toThrow(
      new RangeError('codeBinWidth.bits: got 12.5; allowed whole numbers 1 … 32'),
    );
    expect(() => codeBinWidth({ bits: 12, reference: 0 })).toThrow(
      new RangeError('codeBinWidth.reference: got 0; allowed 1e-30 … 1e+30 V'),
    );
    expect(() => codeFromVoltage({ volts: Number.NaN, bits: 12, reference: 1, firstTransition: 1 })).toThrow(
      new RangeError('codeFromVoltage.volts: got NaN; allowed finite numbers of V'),
    );
    expect(() => voltageFromCode({ code: 1, bits: 12, reference: 1, firstTransition: 0 as 1 })).toThrow(
      new RangeError('voltageFromCode.firstTransition: got 0; allowed 0.5 or 1'),
    );
    expect(() => idealSnrDb({ bits: 33 })).toThrow(RangeError);
    expect(() => effectiveBitsFromSinad({ sinadDb: Number.POSITIVE_INFINITY })).toThrow(RangeError);
    expect(() => codeBinWidth({ bits: 12, refrence: 3.3 } as never)).toThrow(
      new TypeError('codeBinWidth: no argument is named "refrence"; the nearest is "reference"'),
    );
  });
});

describe('common mode window', () => {
  it('holds exactly the means of the pairs of inputs that both stay in range', () => {
    // Both inputs in steps of 1/16 V from −1 to 4 V; allowed from 0 to 3 V.
    for (let a = -16; a <= 64; a++) {
      for (let b = -16; b <= 64; b++) {
        const [plus, minus] = [a / 16, b / 16];
        const window = commonModeWindow({ volts: plus - minus, lowest: 0, highest: 3 });
        const mean = (plus + minus) / 2;
        const kept = window !== 'none' && window.low <= mean && mean <= window.high;
        expect(kept, `${plus} V and ${minus} V`).toBe(
          Math.min(plus, minus) >= 0 && Math.max(plus, minus) <= 3,
        );
      }
    }
  });

  it('refuses a range that is none', () => {
    expect(() => commonModeWindow({ volts: 1, lowest: 3, highest: 3 })).toThrow(
      'commonModeWindow.highest: got 3; allowed above lowest, 3 V',
    );
  });
});

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import '../../src/numbers/compound.ts';
import { QuantityError, quantity } from '../../src/numbers/quantity.ts';
import { expectNear } from '../close.ts';

const value = (text: string, unit: string): number => quantity({ text, unit }).value;
const refusal = (text: string, unit: string): string => {
  try {
    return `${JSON.stringify(quantity({ text, unit }))} was accepted`;
  } catch (error) {
    expect(error).toBeInstanceOf(QuantityError);
    return (error as QuantityError).message;
  }
};

describe('by hand', () => {
  it.each([
    ['10 mV/degC', 'V/K', 0.01],
    ['10 mV/°C', 'V/K', 0.01],
    ['-2.1 mV/K', 'V/K', -0.0021],
    ['1.5 mW/K', 'W/K', 0.0015],
    ['3 uA*s', 'C', 3e-6],
    ['3 µA·s', 'C', 3e-6],
    ['1 mA*h', 'C', 3.6],
    ['10 V/A', 'ohm', 10],
    ['4.7 kohm*nF', 's', 4.7e-6],
    ['3.3 V*mA', 'W', 0.0033],
    ['100 nV/Hz^0.5', 'V/Hz^0.5', 1e-7],
    ['100 nV/√Hz', 'V/Hz^0.5', 1e-7],
    ['50 ppm/K', '1/K', 5e-5],
    ['0.01 1/K', '1/K', 0.01],
    ['0.01 /K', '1/K', 0.01],
    ['0.01 K^-1', '1/K', 0.01],
    ['0.3 %/year', '1/year', 0.003],
    ['2 mV/V', '1', 0.002],
    ['10 Hz', '1/s', 10],
    ['5 K/min', 'K/h', 300],
    ['8 mJ/(K*s)', 'W/K', 0.008],
    ['8 mJ/K/s', 'W/K', 0.008],
    ['5 LSB/V', 'LSB/V', 5],
    ['2 V^2/Hz', 'V^2/Hz', 2],
    ['5 mm^3/s', 'm^3/s', 5e-9],
  ])('%s in %s', (text, unit, expected) => expect(value(text, unit)).toBe(expected));

  it('a factor that is no decimal is rounded once: a third, and a root of a thousand', () => {
    expect(value('5 K/min', 'K/s')).toBe(5 / 60);
    expect(value('1 %/year', '1/s')).toBe(0.01 / 31_536_000);
    expectNear(value('100 nV/kHz^0.5', 'V/Hz^0.5'), 1e-7 / Math.sqrt(1000), 4e-16);
  });

  it('spreads', () => {
    expect(quantity({ text: '10 mV/K ± 2 %', unit: 'V/K' })).toEqual({
      value: 0.01,
      spread: { relative: 0.02 },
    });
    expect(quantity({ text: '10 mV/K +/- 100 uV/K', unit: 'V/K' })).toEqual({
      value: 0.01,
      spread: { absolute: 1e-4 },
    });
  });
});

describe('properties', () => {
  it('prefixes above and below the line scale as their powers of ten, exactly', () => {
    const prefixes = fc.constantFrom(['n', -9], ['u', -6], ['m', -3], ['', 0], ['k', 3]);
    fc.assert(
      fc.property(fc.nat({ max: 99999 }), prefixes, prefixes, (digits, [p, above], [q, below]) => {
        const expected = Number(`${digits}e${Number(above) - Number(below) - 2}`);
        expect(value(`${(digits / 100).toFixed(2)} ${p}V/${q}C`, 'V/C')).toBe(expected);
      }),
      { seed: 12 },
    );
  });

  it('any text is a finite quantity or a QuantityError', () => {
    const likely = fc.stringMatching(/^[0-9]{1,3} ?[0-9.e+\-µkmΩVRnp%± /^*()°CKsHz√·]{0,30}$/);
    fc.assert(
      fc.property(likely, fc.constantFrom('V/K', '1/K', 'V/Hz^0.5', 'C', '1', 'degC'), (text, unit) => {
        try {
          const { value: v, spread: s } = quantity({ text, unit });
          expect(Number.isFinite(v) && Number.isFinite(s?.absolute ?? s?.relative ?? 0)).toBe(true);
        } catch (error) {
          expect(error, text).toBeInstanceOf(QuantityError);
        }
      }),
      { seed: 13, numRuns: 3000 },
    );
  });
});

describe('errors', () => {
  it.each([
    ['10 mV/s', 'V/K', '"10 mV/s" is in V/s; write it in V/K'],
    ['10 mV', 'V/K', '"10 mV" is in V; write it in V/K'],
    ['10 V/V', 'V', '"10 V/V" is in V/V; write it in V'],
    ['10 K*s/s', 'degC', '"10 K*s/s" is in K*s/s; write it in degC'],
    ['5', 'V/K', '"5" has no unit; write 5 V/K'],
    ['5 mV/xK', 'V/K', '"5 mV/xK": no unit is "xK"; the nearest is K'],
    ['5 acre/K', 'V/K', '"5 acre/K": no unit is "acre"; the nearest is A'],
    ['5 V/__proto__', 'V/K', '"5 V/__proto__": the unit "V/__proto__" is not like V/K or V/Hz^0.5'],
    ['5 V/K;', 'V/K', '"5 V/K;": the unit "V/K;" is not like V/K or V/Hz^0.5'],
    ['5 V/(K', 'V/K', '"5 V/(K": the unit "V/(K" is not like V/K or V/Hz^0.5'],
    ['5 V/K/', 'V/K', '"5 V/K/": the unit "V/K/" is not like V/K or V/Hz^0.5'],
    ['5 mm3/s', 'm^3/s', '"5 mm3/s": the unit "mm3/s" is not like V/K or V/Hz^0.5'],
    ['5 V*3/K', 'V/K', '"5 V*3/K": the unit "V*3/K" is not like V/K or V/Hz^0.5'],
    ['5 V/K 3', 'V/K', '"5 V/K 3": the unit "V/K 3" is not like V/K or V/Hz^0.5'],
    ['5 V^9999999999/K', 'V/K', '"5 V^9999999999/K": the unit "V^9999999999/K" is not like V/K or V/Hz^0.5'],
    ['1e400 V/K', 'V/K', '"1e400 V/K" is too large for a number'],
    ['1e-400 V/K', 'V/K', '"1e-400 V/K" is too small for a number'],
  ])('%j in %s', (text, unit, message) => expect(refusal(text, unit)).toBe(message));
});

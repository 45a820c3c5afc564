import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import '../../src/numbers/compound.ts';
import {
  asciiQuantity,
  formatDeciding,
  formatFixed,
  formatNumber,
  formatQuantity,
} from '../../src/numbers/format.ts';
import { quantity } from '../../src/numbers/quantity.ts';
import { units } from '../../src/numbers/units.ts';
import { expectNear } from '../close.ts';

/** Text with its narrow spaces and minus as plain ones, for reading here. */
const eased = (text: string): string => text.replaceAll('\u202f', '_').replaceAll('\u2212', '-');

describe('common practice, no source: quantities in print', () => {
  it.each([
    [10000, 'ohm', 3, '10_kΩ'],
    [4700, 'ohm', 3, '4.7_kΩ'],
    [0.0301, 'K', 3, '30.1_m°C'],
    [1.5, 'K', 3, '1.5_°C'],
    [391e-9, 'C', 3, '391_nC'],
    [640e-6, 's', 3, '640_µs'],
    [0, 'V', 3, '0_V'],
    [0, 's', 3, '0_s'],
    [-0.005, 'V', 3, '-5_mV'],
    [25, 'degC', 3, '25_°C'],
    [-0.05, 'degC', 3, '-0.05_°C'],
    [0.0015, 'W/K', 3, '1.5_mW/K'],
    [0.01, 'V/K', 3, '10_mV/K'],
    [1e-7, 'V/Hz^0.5', 3, '100_nV/√Hz'],
    [2e-12, 'V^2/Hz', 3, '2_×_10⁻¹²_V^2/Hz'],
    [5e-5, '1/K', 3, '50_ppm/K'],
    [0.003, '1/year', 3, '0.3_%/year'],
    [0.01, '%', 3, '1_%'],
    [5e-5, 'ppm', 3, '50_ppm'],
    [0.8, '1', 3, '0.8'],
    [0.5, 'LSB', 3, '0.5_LSB'],
    [1.2e-7, 'LSB', 3, '1.2_×_10⁻⁷_LSB'],
    [1, 'bit', 3, '1_bit'],
    [14.838, 'bit', 4, '14.84_bits'],
    [12.5, 'cycle', 3, '12.5_cycles'],
    [2e16, 'Hz', 3, '20_000_000_GHz'],
  ])('%d %s to %d digits', (value, unit, digits, text) =>
    expect(eased(formatQuantity({ value, unit, digits }))).toBe(text),
  );

  it.each([
    [59.5, '59.5_s'],
    [60, '1_min'],
    [90, '90_s'],
    [5400, '90_min'],
    [3600, '1_h'],
    [86_460, '24_h'],
    [172_800, '2_days'],
    [31_536_000, '1_year'],
    [100_000, '27.8_h'],
    [1e6, '11.6_days'],
    [1.03e8, '3.27_years'],
    [-60, '-1_min'],
  ])('%d s', (value, text) =>
    expect(eased(formatQuantity({ value, unit: 's' })).replace('24.0', '24')).toBe(text),
  );

  it('at the border of a prefix the digits round first', () => {
    expect(eased(formatQuantity({ value: 999.4, unit: 'ohm' }))).toBe('999_Ω');
    expect(eased(formatQuantity({ value: 999.9996, unit: 'ohm' }))).toBe('1.00_kΩ');
    expect(eased(formatQuantity({ value: 999.9996, unit: 'ohm', digits: 7 }))).toBe('999.9996_Ω');
    expect(eased(formatQuantity({ value: 0.9999996, unit: 'V' }))).toBe('1.00_V');
  });

  it('zeros stay where the number was rounded, and go where its digits give it', () => {
    expect(eased(formatQuantity({ value: 9999.6, unit: 'ohm' }))).toBe('10.0_kΩ');
    expect(eased(formatQuantity({ value: 0.1 + 0.2, unit: 'V', digits: 5 }))).toBe('300_mV');
    expect(eased(formatNumber({ value: 2, digits: 4 }))).toBe('2');
    expect(eased(formatNumber({ value: 2, digits: 4, trailing: true }))).toBe('2.000');
    expect(eased(formatNumber({ value: 2.0000001, digits: 4 }))).toBe('2.000');
  });
});

describe('published: [SIBROCHURE] 5.4.4, groups of three (common practice: from five digits on)', () => {
  it('in numbers', () => {
    expect(eased(formatNumber({ value: 4095, digits: 5 }))).toBe('4095');
    expect(eased(formatNumber({ value: 13072, digits: 5 }))).toBe('13_072');
    expect(eased(formatNumber({ value: -1234567.25, digits: 9 }))).toBe('-1_234_567.25');
    expect(eased(formatNumber({ value: 13072 }))).toBe('13_100');
    expect(eased(formatNumber({ value: 1e16 }))).toBe('1_×_10¹⁶');
  });

  it('and with a fixed number of decimals, where zero has no sign', () => {
    expect(eased(formatFixed({ value: 13072.5, decimals: 2 }))).toBe('13_072.50');
    expect(eased(formatFixed({ value: -0.0293, decimals: 2 }))).toBe('-0.03');
    expect(eased(formatFixed({ value: -0.004, decimals: 2 }))).toBe('0.00');
    expect(eased(formatFixed({ value: 1e20, decimals: 0 }))).toBe('100_000_000_000_000_000_000');
  });
});

describe('the digits that decide', () => {
  it.each([
    [20.0088, 20, '1', 3, '20.01', '20'],
    [20.0088, 20, '1', 2, '20.01', '20'],
    [7.08, 20, '1', 2, '7.1', '20'],
    [20.01, 20.004, '1', 3, '20.01', '20.00'],
    [20, 20, '1', 3, '20', '20'],
    [20 + 1e-13, 20, '1', 3, '20', '20'],
    [0.020008, 0.02, 'K', 2, '20.01_m°C', '20_m°C'],
    [0.99996, 1, 'V', 3, '999.96_mV', '1_V'],
    [86_400 * 3, 86_400 * 3 - 0.5, 's', 3, '3_days', '2.99999_days'],
  ])('%d against %d', (value, limit, unit, digits, v, l) => {
    const texts = formatDeciding({ value, limit, unit, digits });
    expect([eased(texts.value), eased(texts.limit)]).toEqual([v, l]);
  });
});

describe('worksheet text', () => {
  it.each([
    [1e-7, 'F', '100 nF'],
    [4700, 'ohm', '4.7 kohm'],
    [47e-6, 'F', '47 uF'],
    [0.1, 'V', '100 mV'],
    [0, 'V', '0 V'],
    [0.02, 'K', '20 mK'],
    [-0.05, 'degC', '-0.05 degC'],
    [60, 's', '1 min'],
    [61.5, 's', '61.5 s'],
    [3600, 's', '1 h'],
    [172_800, 's', '2 days'],
    [792, 'C', '792 C'],
    [0.8, '1', '0.8'],
    [0.01, '%', '1 %'],
    [5e-5, '1/K', '50 ppm/K'],
    [0.0015, 'W/K', '1.5 mW/K'],
    [12, 'bit', '12 bits'],
    [0.1 + 0.2, 'V', '300.00000000000004 mV'],
  ])('%d %s', (value, unit, text) => expect(asciiQuantity({ value, unit })).toBe(text));
});

describe('round trips', () => {
  const finite = fc.double({ noNaN: true, noDefaultInfinity: true });
  const usual = fc.double({ min: -1e9, max: 1e9, noNaN: true });
  const symbols = [
    ...units.map((u) => u.symbol),
    'V/K',
    'W/K',
    '1/K',
    '1/year',
    'V/Hz^0.5',
    'LSB/V',
    'V^2/Hz',
  ];
  const unit = fc.constantFrom(...symbols);
  const possible = (value: number, symbol: string): boolean => symbol !== 'degC' || value >= -273.15;

  it('worksheet text gives the very same double, for every unit', () => {
    fc.assert(
      fc.property(fc.oneof(finite, usual), unit, (value, symbol) => {
        fc.pre(possible(value, symbol));
        const text = asciiQuantity({ value, unit: symbol });
        expect(text).toMatch(/^[ -~]+$/);
        // Zero has one sign in text.
        expect(quantity({ text, unit: symbol }).value, text).toBe(value === 0 ? 0 : value);
      }),
      { seed: 14, numRuns: 3000 },
    );
  });

  it('decimals as people write them come back as few digits', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 9999 }),
        fc.integer({ min: -12, max: 6 }),
        unit,
        (n, power, symbol) => {
          const value = Number(`${n}e${power}`);
          const [number] = /^[\d.]+/.exec(asciiQuantity({ value, unit: symbol }))!;
          expect(number!.replace('.', '').replace(/^0+|0+$/g, '').length).toBeLessThanOrEqual(4);
        },
      ),
      { seed: 15 },
    );
  });

  it('print to 17 digits gives the same double; a time in longer units to two roundings', () => {
    fc.assert(
      fc.property(fc.oneof(finite, usual), unit, (value, symbol) => {
        // The largest doubles, as years, round up past the largest double.
        fc.pre(possible(value, symbol) && !(symbol === 's' && Math.abs(value) > 1e308));
        const text = formatQuantity({ value, unit: symbol, digits: 17 });
        const back = quantity({ text, unit: symbol }).value;
        if (symbol === 's' && Math.abs(value) >= 7200) expectNear(back, value, 4.5e-16, text);
        else expect(back, text).toBe(value === 0 ? 0 : value);
      }),
      { seed: 16, numRuns: 3000 },
    );
  });

  it('print to n digits is within half a unit of the nth digit', () => {
    fc.assert(
      fc.property(usual, unit, fc.integer({ min: 1, max: 12 }), (value, symbol, digits) => {
        fc.pre(possible(value, symbol) && Math.abs(value) > 1e-30);
        const text = formatQuantity({ value, unit: symbol, digits });
        const back = quantity({ text, unit: symbol }).value;
        expectNear(back, value, 0.5 * 10 ** (1 - digits) * (1 + 1e-12), text);
      }),
      { seed: 17, numRuns: 2000 },
    );
  });

  it('a number with fixed decimals is within half a unit of the last', () => {
    fc.assert(
      fc.property(usual, fc.integer({ min: 0, max: 6 }), (value, decimals) => {
        const back = quantity({ text: formatFixed({ value, decimals }), unit: '1' }).value;
        expect(Math.abs(back - value)).toBeLessThanOrEqual(0.5 * 10 ** -decimals + 1e-7 * 2 ** -20);
      }),
      { seed: 18 },
    );
  });

  it('value and limit differ as printed wherever they differ by a part in 10¹¹ or more', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1e-9, max: 1e9, noNaN: true }),
        fc.integer({ min: -11, max: -1 }),
        fc.constantFrom('1', 'V', 'K', 's', 'ohm'),
        (value, power, symbol) => {
          const limit = value * (1 + 1.5 * 10 ** power);
          const texts = formatDeciding({ value, limit, unit: symbol });
          const read = (text: string): number => quantity({ text, unit: symbol }).value;
          expect(read(texts.value), texts.value).toBeLessThan(read(texts.limit));
        },
      ),
      { seed: 19 },
    );
  });
});

describe('errors', () => {
  it('name the argument', () => {
    expect(() => formatQuantity({ value: Number.NaN, unit: 'V' })).toThrow(
      new RangeError('formatQuantity.value: got NaN; allowed finite numbers'),
    );
    expect(() => formatQuantity({ value: 1, unit: 'furlong' })).toThrow(
      /formatQuantity.unit: got "furlong"; allowed V/,
    );
    expect(() => formatNumber({ value: 1, digits: 0 })).toThrow(
      new RangeError('formatNumber.digits: got 0; allowed whole numbers 1 … 17'),
    );
    expect(() => formatFixed({ value: 1, decimals: 21 })).toThrow(/formatFixed.decimals: got 21/);
    expect(() => formatFixed({ value: 1e21, decimals: 0 })).toThrow(/formatFixed.value: got 1e\+21/);
    expect(() => formatDeciding({ value: 1, limit: Infinity })).toThrow(/formatDeciding.limit: got Infinity/);
    expect(() => asciiQuantity({ value: 1, unit: '__proto__' })).toThrow(/asciiQuantity.unit/);
  });
});

import fc from 'fast-check';
import { describe, expect, it, vi } from 'vitest';
import { asciiQuantity, formatQuantity } from '../../src/numbers/format.ts';
import { needsCompound, QuantityError, quantity, spread } from '../../src/numbers/quantity.ts';
import { units, writtenUnits } from '../../src/numbers/units.ts';

const value = (text: string, unit: string): number => quantity({ text, unit }).value;
const refusal = (text: string, unit: string): string => {
  try {
    return `${JSON.stringify(quantity({ text, unit }))} was accepted`;
  } catch (error) {
    expect(error).toBeInstanceOf(QuantityError);
    return (error as QuantityError).message;
  }
};

describe('published: [IEC60062] marking codes, check values 10-10 … 10-23 (capacitors from memory)', () => {
  it.each([
    ['R47', 'ohm', 0.47],
    ['4R7', 'ohm', 4.7],
    ['470R', 'ohm', 470],
    ['4K7', 'ohm', 4700],
    ['47K3', 'ohm', 47300],
    ['47K', 'ohm', 47000],
    ['2u2', 'F', 2.2e-6],
    ['47n', 'F', 47e-9],
    ['p33', 'F', 0.33e-12],
    ['4n7', 'F', 4.7e-9],
    ['1p0', 'F', 1e-12],
  ])('%s', (text, unit, expected) => expect(value(text, unit)).toBe(expected));

  it('common practice, no source: lower-case k, micro signs, inductances, a gap before the letter', () => {
    expect(value('4k7', 'ohm')).toBe(4700);
    expect(value('2M2', 'ohm')).toBe(2.2e6);
    expect(value('2µ2', 'F')).toBe(2.2e-6);
    expect(value('10u', 'H')).toBe(10e-6);
    expect(value('10 k', 'ohm')).toBe(10000);
    expect(value('4.7 n', 'F')).toBe(4.7e-9);
  });

  it('only where ohm, F or H is asked for, only letters of that unit, and never a letter alone', () => {
    expect(refusal('4k7', 'V')).toBe('"4k7": no unit is "k7"; the nearest is kV');
    expect(refusal('2u2', 'ohm')).toMatch(/no unit is "u2"/);
    expect(refusal('R', 'ohm')).toBe('"R" has no number at its start; write 1 ohm or 1 kohm');
    expect(refusal('10 K', 'ohm')).toBe(
      '"10 K" is a temperature difference; write a resistance, 1 ohm or 1 kohm',
    );
  });
});

describe('published: [SIBROCHURE] prefixes, Celsius, spaces and groups', () => {
  it('999 tenths with each of six prefixes are the doubles of their decimal literals', () => {
    const powers = { m: -3, u: -6, n: -9, p: -12, k: 3, M: 6 };
    for (let tenths = 1; tenths <= 999; tenths++) {
      for (const [prefix, power] of Object.entries(powers)) {
        const text = (tenths / 10).toFixed(1);
        const unit = prefix === 'p' || prefix === 'n' ? 'F' : 'ohm';
        if (unit === 'ohm' && !/[mukM]/.test(prefix)) continue;
        expect(value(`${text} ${prefix}${unit}`, unit)).toBe(Number(`${text}e${power}`));
      }
    }
  });

  it('the letters of micro, ohm, degree and minus', () => {
    for (const micro of ['u', '\u00b5', '\u03bc']) expect(value(`2.5 ${micro}s`, 's')).toBe(2.5e-6);
    for (const ohm of ['ohm', 'ohms', '\u03a9', '\u2126']) expect(value(`47 k${ohm}`, 'ohm')).toBe(47000);
    for (const degree of ['degC', '°C', '\u2103']) expect(value(`25 ${degree}`, 'degC')).toBe(25);
    expect(value('\u22125.5 mV', 'V')).toBe(-0.0055);
    expect(value('1e\u22123 V', 'V')).toBe(0.001);
  });

  it('spaces before the unit and between groups of three', () => {
    for (const space of ['', ' ', '\u202f', '\u00a0', '\u2009']) expect(value(`3.3${space}V`, 'V')).toBe(3.3);
    expect(value('10\u202f000\u202f000\u202fHz', 'Hz')).toBe(1e7);
    expect(value('13\u2009072.5 Hz', 'Hz')).toBe(13072.5);
    expect(value('1.2\u202f×\u202f10⁻⁷ LSB', 'LSB')).toBe(1.2e-7);
  });

  it('0 °C is 273.15 K, exactly in decimals', () => {
    expect(value('298.15 K', 'degC')).toBe(25);
    expect(value('273.15 K', 'degC')).toBe(0);
    expect(value('273.25 K', 'degC')).toBe(0.1);
    expect(value('20 m°C', 'K')).toBe(0.02);
    expect(value('0.02 °C', 'K')).toBe(0.02);
    expect(value('20 mK', 'K')).toBe(0.02);
  });
});

describe('units', () => {
  it('no spelling means two things', () => {
    const spellings = writtenUnits.map(([spelling]) => spelling);
    expect(new Set(spellings).size).toBe(spellings.length);
  });

  it('times, charges, energies and rates by their whole factors', () => {
    expect(value('1 min', 's')).toBe(60);
    expect(value('0.1 h', 's')).toBe(360);
    expect(value('2 days', 's')).toBe(172_800);
    expect(value('1 year', 's')).toBe(8760 * 3600);
    expect(value('220 mAh', 'C')).toBe(792);
    expect(value('0.7 uAh', 'C')).toBe(0.00252);
    expect(value('1 mWh', 'J')).toBe(3.6);
    expect(value('200 ksps', 'Hz')).toBe(200_000);
    expect(value('1.14 MSPS', 'Hz')).toBe(1_140_000);
  });

  it('ratios and counts', () => {
    expect(value('1 %', '1')).toBe(0.01);
    expect(value('50 ppm', '1')).toBe(5e-5);
    expect(value('0.8', '1')).toBe(0.8);
    expect(value('0.5 LSB', 'LSB')).toBe(0.5);
    expect(value('12 bits', 'bit')).toBe(12);
    expect(value('12.5 cycles', 'cycle')).toBe(12.5);
  });

  it('what an error offers is itself accepted', () => {
    for (const { symbol, offers } of units) {
      for (const offer of offers) expect(value(`1 ${offer}`, symbol), offer).not.toBeNaN();
    }
  });
});

describe('spreads', () => {
  it('a share, a quantity, and a difference for a temperature', () => {
    expect(quantity({ text: '10 kohm ± 1 %', unit: 'ohm' })).toEqual({
      value: 10000,
      spread: { relative: 0.01 },
    });
    expect(quantity({ text: '10 kΩ +/- 50 ohm', unit: 'ohm' })).toEqual({
      value: 10000,
      spread: { absolute: 50 },
    });
    expect(quantity({ text: '25 degC ± 0.5 K', unit: 'degC' })).toEqual({
      value: 25,
      spread: { absolute: 0.5 },
    });
    expect(quantity({ text: '25 °C±0.5 °C', unit: 'degC' })).toEqual({
      value: 25,
      spread: { absolute: 0.5 },
    });
    expect(quantity({ text: '1 V ± 100 ppm', unit: 'V' })).toEqual({ value: 1, spread: { relative: 1e-4 } });
  });

  it('of a ratio: in the same where it is written in % or ppm, else a share', () => {
    expect(quantity({ text: '80 % ± 5 %', unit: '1' })).toEqual({ value: 0.8, spread: { absolute: 0.05 } });
    expect(quantity({ text: '0.8 ± 5 %', unit: '1' })).toEqual({ value: 0.8, spread: { relative: 0.05 } });
    expect(quantity({ text: '0.8 ± 0.1', unit: '1' })).toEqual({ value: 0.8, spread: { absolute: 0.1 } });
  });

  it('alone', () => {
    expect(spread({ text: '1 %', unit: 'ohm' })).toEqual({ relative: 0.01 });
    expect(spread({ text: '± 50 ohm', unit: 'ohm' })).toEqual({ absolute: 50 });
    expect(spread({ text: '0.5 K', unit: 'degC' })).toEqual({ absolute: 0.5 });
  });

  it('refused: a share of a temperature, a sign, two of them', () => {
    expect(refusal('25 degC ± 1 %', 'degC')).toBe('"1 %" of a temperature in °C has no meaning; write 0.5 K');
    expect(refusal('1 V ± -1 %', 'V')).toBe('"-1 %" is below zero; a spread is a half-width');
    expect(refusal('1 V ± 1 % ± 2 %', 'V')).toBe('"1 V ± 1 % ± 2 %" has more than one spread');
    expect(refusal('10 ± 1 V', 'V')).toBe('"10" has no unit; write 10 V or 10 mV');
    expect(refusal('10 V ±', 'V')).toMatch(/has no number/);
  });
});

describe('properties', () => {
  it('any decimal is read as its literal is, whatever the prefix', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: -(10 ** 9), max: 10 ** 9 }),
        fc.integer({ min: 0, max: 9 }),
        fc.constantFrom(['n', -9], ['u', -6], ['m', -3], ['', 0], ['k', 3]),
        (digits, decimals, [prefix, power]) => {
          const expected = Number(`${digits}e${Number(power) - decimals}`);
          expect(value(`${(digits / 10 ** decimals).toFixed(decimals)} ${prefix}V`, 'V')).toBe(
            digits === 0 ? 0 : expected,
          );
        },
      ),
      { seed: 10 },
    );
  });

  it('any text is a finite quantity or a QuantityError', () => {
    const likely = fc.stringMatching(/^[0-9.eE+\-µkmΩVRnp%± /^*(),°CK]{0,30}$/);
    fc.assert(
      fc.property(
        fc.oneof(fc.string({ maxLength: 120 }), likely),
        fc.constantFrom(...units),
        (text, { symbol }) => {
          try {
            const { value: v, spread: s } = quantity({ text, unit: symbol });
            expect(Number.isFinite(v) && Number.isFinite(s?.absolute ?? s?.relative ?? 0)).toBe(true);
          } catch (error) {
            const told = (error as Error).message.endsWith('import numbers/compound.ts to read them');
            expect(error instanceof QuantityError || told, String(error)).toBe(true);
          }
        },
      ),
      { seed: 11, numRuns: 3000 },
    );
  });
});

describe('errors', () => {
  it.each([
    ['1', 's', '"1" has no unit; write 1 s, 1 min or 1 h'],
    ['0', 'V', '"0" has no unit; write 0 V or 0 mV'],
    ['', 'V', 'a text without characters; write 1 V or 1 mV'],
    [' \u202f', 'F', 'a text without characters; write 1 nF or 1 pF'],
    ['V', 'V', '"V" has no number at its start; write 1 V or 1 mV'],
    ['--1 V', 'V', '"--1 V" has no number at its start; write 1 V or 1 mV'],
    ['10 kom', 'ohm', '"10 kom": no unit is "kom"; the nearest is kohm'],
    ['10 kHy', 'Hz', '"10 kHy": no unit is "kHy"; the nearest is kHz'],
    ['10 constructor', 'V', '"10 constructor": no unit is "constructor"; the nearest is minute'],
    ['10 mV', 'ohm', '"10 mV" is a voltage; write a resistance, 1 ohm or 1 kohm'],
    ['25 C', 'degC', '"25 C" is a charge; write a temperature, 1 degC'],
    ['1 %', 'V', '"1 %" is a ratio; write a voltage, 1 V or 1 mV'],
    ['2,5 V', 'V', '"2,5 V" has a comma; write a decimal point, as in 2.5, and no mark between thousands'],
    ['10 000 V', 'V', '"10 000 V" has more than one number; write digits without gaps, as in 10000'],
    ['1.2.3 V', 'V', '"1.2.3 V" has more than one number; write digits without gaps, as in 10000'],
    ['1e400 V', 'V', '"1e400 V" is too large for a number'],
    ['1e308 kV', 'V', '"1e308 kV" is too large for a number'],
    ['1e-400 V', 'V', '"1e-400 V" is too small for a number'],
    ['1e-320 pF', 'F', '"1e-320 pF" is too small for a number'],
    ['NaN V', 'V', '"NaN V" has no number at its start; write 1 V or 1 mV'],
    ['Infinity V', 'V', '"Infinity V" has no number at its start; write 1 V or 1 mV'],
    ['0x10 V', 'V', '"0x10 V": no unit is "x10 V"; the nearest is V'],
    ['20 mK', 'degC', '"20 mK" looks like a difference; write a temperature, 25 degC or 298.15 K'],
    ['20 m°C', 'degC', '"20 m°C" looks like a difference; write a temperature, 25 degC or 298.15 K'],
    ['0.5 K', 'degC', '"0.5 K" looks like a difference; write a temperature, 25 degC or 298.15 K'],
    ['−300 °C', 'degC', '"−300 °C" is below absolute zero, -273.15 degC'],
    ['-300 degC', 'degC', '"-300 degC" is below absolute zero, -273.15 degC'],
    ['1e400 K', 'degC', '"1e400 K" is too large for a number'],
  ])('%j as %s', (text, unit, message) => expect(refusal(text, unit)).toBe(message));

  it('a text of more than 100 characters, shown by its first 40', () => {
    expect(value(`1${'0'.repeat(97)} V`, 'V')).toBe(1e97);
    expect(refusal(`1${'0'.repeat(99)} V`, 'V')).toBe(
      `"1${'0'.repeat(39)}…" has 102 characters; at most 100 are read`,
    );
  });

  it('an argument that is no text, a unit that is not known, a name that is not known', () => {
    expect(() => quantity({ text: 10 as unknown as string, unit: 'V' })).toThrow(
      'quantity.text: got 10; allowed text with a number and its unit',
    );
    expect(() => quantity({ text: '10 V', unit: 'furlong' })).toThrow(
      /^quantity.unit: got "furlong"; allowed V, A, ohm/,
    );
    expect(() => quantity({ txt: '10 V', unit: 'V' } as never)).toThrow(
      new TypeError('quantity: no argument is named "txt"; the nearest is "text"'),
    );
  });
});

describe('compound units', () => {
  it('needsCompound sees products, quotients and powers, and no spread', () => {
    for (const text of ['10 mV/K', '3 uA*s', '3 µA·s', '5 V/Hz^0.5', '5 V/√Hz', '10 V/K +/- 1 %']) {
      expect(needsCompound(text), text).toBe(true);
    }
    for (const text of ['10 mV', '10 kohm +/- 1 %', '4k7', '']) expect(needsCompound(text), text).toBe(false);
  });

  it('are an error that says what to import while compound.ts is not', async () => {
    vi.resetModules();
    const fresh = await import('../../src/numbers/quantity.ts');
    const message = '"10 mV/K" takes compound units; import numbers/compound.ts to read them';
    expect(() => fresh.quantity({ text: '10 mV/K', unit: 'V/K' })).toThrow(new Error(message));
    expect(() => fresh.quantity({ text: '10 mV/K', unit: 'V' })).toThrow(new Error(message));
  });
});

describe('a unit of somebody’s own', () => {
  it('is written exactly so, without prefix', () => {
    for (const [text, unit, expected] of [
      ['6 bar', '{bar}', 6],
      ['6bar', '{bar}', 6],
      ['-40 %RH', '{%RH}', -40],
      ['1e3 lx', '{lx}', 1000],
      ['12.5 mg/m3', '{mg/m3}', 12.5],
      ['90 °', '{°}', 90],
      // Even where it looks like one of the table's, with a prefix or without.
      ['5 m', '{m}', 5],
      ['5 mV', '{mV}', 5],
      ['5 μg', '{µg}', 5],
    ] as const) {
      expect(value(text, unit), text).toBe(expected);
    }
    expect(refusal('6 mbar', '{bar}')).toBe('"6 mbar" is not in bar; write it in bar');
    expect(refusal('500 cm', '{m}')).toBe('"500 cm" is not in m; write it in m');
    expect(refusal('6', '{bar}')).toBe('"6" has no unit; write 6 bar');
    expect(refusal('bar', '{bar}')).toBe('"bar" has no number at its start; write 1 bar');
  });

  it('has its spread in the same unit, or as a share; in % that of a value in %', () => {
    expect(quantity({ text: '6 bar ± 0.1 bar', unit: '{bar}' }).spread).toEqual({ absolute: 0.1 });
    expect(quantity({ text: '6 bar ± 1 %', unit: '{bar}' }).spread).toEqual({ relative: 0.01 });
    expect(quantity({ text: '50 % ± 2 %', unit: '{%}' })).toEqual({ value: 50, spread: { absolute: 2 } });
    expect(spread({ text: '0.1 bar', unit: '{bar}' })).toEqual({ absolute: 0.1 });
  });

  it('reads what print and worksheets write, any number', () => {
    fc.assert(
      fc.property(
        fc.double({ noNaN: true, noDefaultInfinity: true, min: -1e15, max: 1e15 }),
        fc.constantFrom('{bar}', '{%RH}', '{m}', '{kg}', '{°}', '{mg/m3}'),
        (number, unit) => {
          fc.pre(number === 0 || Math.abs(number) > 1e-290);
          expect(value(asciiQuantity({ value: number, unit }), unit)).toBe(number === 0 ? 0 : number);
          expect(value(formatQuantity({ value: number, unit, digits: 17 }), unit)).toBe(
            number === 0 ? 0 : number,
          );
        },
      ),
      { seed: 16 },
    );
  });

  it('is no text that could end a comment, a line or a string, and no number', () => {
    for (const unit of [
      '{}',
      '{*/}',
      '{a"b}',
      '{a\\}',
      '{a b}',
      '{3}',
      '{a\n}',
      '{\u202e}',
      '{abcdefghijklm}',
      'bar',
    ])
      expect(() => quantity({ text: '1 a', unit }), unit).toThrow(/quantity\.unit: got/);
  });
});

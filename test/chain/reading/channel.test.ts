import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { channel, codeWidths } from '../../../src/chain/reading/channel.ts';
import { divider } from '../../../src/chain/source/divider.ts';
import { linearSensor } from '../../../src/chain/source/linearSensor.ts';
import { platinum } from '../../../src/chain/source/platinum.ts';
import { thermistor } from '../../../src/chain/source/thermistor.ts';
import { expectNear } from '../../close.ts';

const ntc = thermistor({ r25: 10_000, beta: 3435 });
const common = { reference: 3, bits: 12, firstTransition: 0.5 } as const;

/** The β equation by hand: resistance, and its share of the divider with 10 kΩ. */
const ohms = (celsius: number) => 10_000 * Math.exp(3435 * (1 / (celsius + 273.15) - 1 / 298.15));
const share = (celsius: number) => ohms(celsius) / (ohms(celsius) + 10_000);
/** d share/dT = −β/T²·share·(1 − share), so one code is worth: */
const perCode = (celsius: number) =>
  (celsius + 273.15) ** 2 / (3435 * share(celsius) * (1 - share(celsius)) * 4096);

describe('a thermistor and 10 kΩ, by hand', () => {
  const of = channel({ sensor: ntc, divider: { resistor: 10_000, side: 'low' }, ...common });

  it('one code of 12 bits is 30.06 m°C at 40 °C and 24.67 m°C at 20 °C', () => {
    expectNear(of.perCode(40), perCode(40), 1e-12);
    expectNear(of.perCode(20), perCode(20), 1e-12);
    expect(perCode(40).toFixed(5)).toBe('0.03006');
    expect(perCode(20).toFixed(5)).toBe('0.02467');
  });

  it('code, fraction, source resistance and current', () => {
    expectNear(of.fraction(36), share(36), 1e-12);
    expectNear(of.codeOf(36), share(36) * 4096, 1e-12);
    expectNear(of.sourceResistance(20), (ohms(20) * 10_000) / (ohms(20) + 10_000), 1e-12);
    expectNear(of.excitationCurrent(20), 3 / (ohms(20) + 10_000), 1e-12);
    expect(of.falling).toBe(true);
    // At 25 °C both are 10 kΩ.
    expectNear(of.codeOf(25), 2048, 1e-12);
  });

  it('is widest at the warm end of 20 … 40 °C and narrowest at the cold one', () => {
    const { worst, best } = codeWidths(of, 20, 40);
    expect([worst.measurand, best.measurand]).toEqual([40, 20]);
    expectNear(worst.perCode, perCode(40), 1e-12);
  });

  it('is narrowest somewhere inside −20 … 60 °C, widest at the cold end', () => {
    const { worst, best } = codeWidths(of, -20, 60);
    expect(worst.measurand).toBe(-20);
    expect(perCode(-20)).toBeGreaterThan(perCode(60));
    let least = -20;
    for (let t = -20; t <= 60; t += 1e-3) if (perCode(t) < perCode(least)) least = t;
    // A minimum is flat: half a millikelvin of grid, and 80 K · 1e-6 of the search.
    expect(Math.abs(best.measurand - least)).toBeLessThan(6e-4);
    expectNear(best.perCode, perCode(least), 1e-9);
  });

  it('the reference does not matter where the wiring is ratiometric', () => {
    const other = channel({
      sensor: ntc,
      divider: { resistor: 10_000, side: 'low' },
      ...common,
      reference: 1.8,
    });
    for (const t of [20, 30, 40]) expectNear(other.codeOf(t), of.codeOf(t), 1e-12);
  });

  it('it does where the excitation is another voltage', () => {
    const absolute = channel({
      sensor: ntc,
      divider: { resistor: 10_000, side: 'low' },
      excitation: 2.5,
      ...common,
      reference: 2,
    });
    expectNear(absolute.fraction(30), (share(30) * 2.5) / 2, 1e-12);
    expectNear(absolute.perCode(30), (perCode(30) * 2) / 2.5, 1e-12);
  });
});

describe('other channels, by hand', () => {
  it('platinum with a lead, sensor at the excitation', () => {
    const of = channel({
      sensor: platinum({ r0: 1000 }),
      divider: { resistor: 4700, side: 'high', leadResistance: 2 },
      seriesResistor: 1000,
      ...common,
    });
    // 100 °C is 1385.055 Ω of 1000: [IEC60751], coefficients of the standard.
    expectNear(of.fraction(100), 4700 / (4700 + 1387.055), 1e-12);
    expectNear(of.sourceResistance(100), (4700 * 1387.055) / (4700 + 1387.055) + 1000, 1e-12);
    expect(of.falling).toBe(true);
  });

  it('a linear sensor behind an amplifier, first transition at a whole code', () => {
    const of = channel({
      sensor: linearSensor({ voltsPerDegree: 0.01, voltsAtZero: 0.5 }),
      outputResistance: 800,
      amplifier: { gain: 4, zero: 0.6, outputResistance: 50 },
      ...common,
      firstTransition: 1,
    });
    // 25 °C: 0.75 V, (0.75 − 0.6)·4 = 0.6 V of 3 V.
    expectNear(of.fraction(25), 0.2, 1e-12);
    expectNear(of.codeOf(25), 0.2 * 4096 - 0.5, 1e-12);
    expectNear(of.perCode(25), 3 / 4096 / 4 / 0.01, 1e-12);
    expect(of.sourceResistance(25)).toBe(50);
    expect(of.excitationCurrent(25)).toBe(0);
    expect(of.falling).toBe(false);
  });

  it('a battery divider', () => {
    const of = channel({
      sensor: divider({ upper: 2.2e6, lower: 1e6 }),
      outputResistance: 687_500,
      ...common,
      reference: 2.2,
    });
    expectNear(of.fraction(6.4), 2 / 2.2, 1e-12);
    expectNear(of.perCode(5), (2.2 / 4096) * 3.2, 1e-12);
    expect(of.sourceResistance(5)).toBe(687_500);
  });
});

describe('properties', () => {
  const channels = fc.constantFrom(
    channel({ sensor: ntc, divider: { resistor: 10_000, side: 'low' }, ...common }),
    channel({
      sensor: ntc,
      divider: { resistor: 4700, side: 'high', leadResistance: 12 },
      ...common,
      firstTransition: 1,
    }),
    channel({
      sensor: platinum({ r0: 1000 }),
      divider: { resistor: 4700, side: 'low' },
      excitation: 2.5,
      amplifier: { gain: 5, zero: 0.4, outputResistance: 10 },
      ...common,
    }),
    channel({ sensor: linearSensor({ voltsPerDegree: -0.002, voltsAtZero: 0.7 }), ...common }),
  );
  const celsius = fc.double({ min: -40, max: 120, noNaN: true });

  it('the code leads back to the measurand', () => {
    fc.assert(
      // Rounding of a code near 4096 against codes that are at most 1 °C wide.
      fc.property(channels, celsius, (c, t) => expectNear(c.measurandOf(c.codeOf(t)), t, 0, '', 1e-9)),
      { seed: 3 },
    );
  });

  it('the width of a code is the slope of the way back', () => {
    fc.assert(
      fc.property(channels, celsius, (c, t) => {
        const code = c.codeOf(t);
        const apart = Math.abs(c.measurandOf(code + 0.01) - c.measurandOf(code - 0.01)) / 0.02;
        // The third derivative over a hundredth of a code, and cancellation.
        expectNear(c.perCode(t), apart, 1e-6);
      }),
      { seed: 4 },
    );
  });
});

describe('errors', () => {
  it('a resistance needs a divider, a voltage has none', () => {
    const only = 'allowed one where the sensor is a resistance, none where it gives a voltage or a ratio';
    expect(() => channel({ sensor: ntc, ...common })).toThrow(
      new RangeError(`channel.divider: got none; ${only}`),
    );
    expect(() =>
      channel({
        sensor: linearSensor({ voltsPerDegree: 0.01, voltsAtZero: 0 }),
        divider: { resistor: 1, side: 'low' },
        ...common,
      }),
    ).toThrow(new RangeError(`channel.divider: got one; ${only}`));
  });

  it('arguments outside their ranges', () => {
    const of = (extra: object) => () =>
      channel({ sensor: ntc, divider: { resistor: 10_000, side: 'low' }, ...common, ...extra });
    expect(of({ bits: 0 })).toThrow('channel.bits: got 0; allowed whole numbers 1 … 32');
    expect(of({ reference: 0 })).toThrow('channel.reference: got 0; allowed finite numbers above 0 V');
    expect(of({ excitation: -1 })).toThrow('channel.excitation: got -1; allowed finite numbers above 0 V');
    expect(of({ seriesResistor: -1 })).toThrow(
      'channel.seriesResistor: got -1; allowed finite numbers from 0 Ω',
    );
    expect(of({ divider: { resistor: 0, side: 'low' } })).toThrow(
      'channel.divider.resistor: got 0; allowed finite numbers above 0 Ω',
    );
    expect(of({ amplifier: { gain: 2, zero: 0, outputResistance: -1 } })).toThrow(
      'channel.amplifier.outputResistance: got -1; allowed finite numbers from 0 Ω',
    );
    expect(of({ firstTransition: 0 })).toThrow('channel.firstTransition: got 0; allowed 0.5 or 1');
    expect(of({ refrence: 3 })).toThrow(
      new TypeError('channel: no argument is named "refrence"; the nearest is "reference"'),
    );
    expect(() => of({})().measurandOf(-5)).toThrow(RangeError);
    expect(() => of({})().fraction(900)).toThrow(RangeError);
  });
});

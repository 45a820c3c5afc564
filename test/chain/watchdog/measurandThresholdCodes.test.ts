import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { codeFromVoltage } from '../../../src/chain/quantizing.ts';
import { measurandThresholdCodes } from '../../../src/chain/watchdog/measurandThresholdCodes.ts';
import { thresholdCodes } from '../../../src/chain/watchdog/thresholdCodes.ts';
import { trips } from './driven.ts';

const range = { low: -40, high: 120 };
const shared = {
  bits: 12,
  reference: 3,
  firstTransition: 0.5,
  compare: { stage: 'conversion', bits: 12 },
} as const;

/** Voltage of a 10 kΩ resistor under, or over, a resistance that falls exponentially with the temperature. */
const resistance = (celsius: number): number => 10e3 * Math.exp(3900 * (1 / (celsius + 273.15) - 1 / 298.15));
const curves = {
  rising: (celsius: number): number => 3 / (1 + resistance(celsius) / 10e3),
  falling: (celsius: number): number => 3 / (1 + 10e3 / resistance(celsius)),
};

describe('brute force: the measurand driven through the curve and the converter', () => {
  for (const [name, voltageOf] of Object.entries(curves)) {
    it(`${name} curve: the guarantee holds in the measurand, and one code nearer breaks it`, () => {
      fc.assert(
        fc.property(
          fc.double({ min: -30, max: 40, noNaN: true }),
          fc.double({ min: 1, max: 60, noNaN: true }),
          fc.boolean(),
          fc.boolean(),
          (below, apart, inclusive, must) => {
            const above = below + apart;
            const compare = { ...shared.compare, inclusive };
            const intent = must ? 'must-trip' : 'must-not-trip';
            const answer = measurandThresholdCodes({
              ...shared,
              compare,
              intent,
              above,
              below,
              voltageOf,
              range,
            });
            expect(answer.swapped).toBe(name === 'falling');
            const { high, low } = answer;
            const upper = answer.swapped
              ? ({ side: 'below', code: low!.code } as const)
              : ({ side: 'above', code: high!.code } as const);
            const lower = answer.swapped
              ? ({ side: 'above', code: high!.code } as const)
              : ({ side: 'below', code: low!.code } as const);
            const value = (celsius: number) => codeFromVoltage({ ...only, volts: voltageOf(celsius) });
            const drive = (limit: number) =>
              [-30, -3, -0.3, -0.03, -1e-3, -1e-6, -1e-9, 0, 1e-9, 1e-6, 1e-3, 0.03, 0.3, 3, 30].map(
                (d) => limit + d,
              );
            const step = (side: 'above' | 'below') => ((side === 'above') === must ? 1 : -1);
            for (const [end, limit, beyond] of [
              [upper, above, (m: number) => m > above],
              [lower, below, (m: number) => m < below],
            ] as const) {
              let broken = false;
              for (const m of drive(limit)) {
                if (beyond(m) !== must) continue;
                expect(trips(end.side, end.code, value(m), compare)).toBe(must);
                broken ||= trips(end.side, end.code + step(end.side), value(m), compare) !== must;
              }
              expect(broken).toBe(true);
            }
          },
        ),
        { seed: 5, numRuns: 300 },
      );
    });
  }
  const only = { bits: 12, reference: 3, firstTransition: 0.5 } as const;
});

describe('the same as in volts', () => {
  const given = {
    ...shared,
    intent: 'must-trip',
    tolerance: { offsetLsb: 2, gain: 0.001 },
    noiseLsb: 0.6,
  } as const;
  const settings = [{ bits: 10, ratio: 1, shift: 0 }];

  it('rising: limits stay; falling: above becomes the low threshold', () => {
    const rising = measurandThresholdCodes({
      ...given,
      settings,
      above: 60,
      voltageOf: curves.rising,
      range,
    });
    expect(rising).toEqual(thresholdCodes({ ...given, settings, above: curves.rising(60) }));
    const falling = measurandThresholdCodes({
      ...given,
      settings,
      above: 60,
      voltageOf: curves.falling,
      range,
    });
    expect(falling).toEqual({
      ...thresholdCodes({ ...given, settings, below: curves.falling(60) }),
      swapped: true,
    });
    const both = measurandThresholdCodes({ ...given, above: 60, below: 5, voltageOf: curves.falling, range });
    expect(both).toEqual({
      ...thresholdCodes({ ...given, above: curves.falling(5), below: curves.falling(60) }),
      swapped: true,
    });
  });
});

describe('errors', () => {
  const given = { ...shared, intent: 'must-trip', above: 60, voltageOf: curves.rising, range } as const;
  const cases: [object, string][] = [
    [{ above: undefined }, '.above: got undefined; allowed a limit: above, below or both'],
    [{ below: 60 }, '.below: got 60; allowed below above, 60'],
    [{ above: 121 }, '.above: got 121; allowed -40 … 120'],
    [
      { range: { low: 1, high: 1 } },
      '.range: got an object; allowed an object {low, high}, finite numbers, low < high',
    ],
    [{ voltageOf: 3 }, '.voltageOf: got 3; allowed a function from measurand to volts'],
    [{ voltageOf: () => Number.NaN }, '.voltageOf: 120 gives NaN; allowed finite numbers of V to ±1e12'],
    [
      { voltageOf: (m: number) => m * m },
      '.voltageOf: got a curve that is flat or turns before -38.75; allowed one that keeps rising or falling over -40 … 120',
    ],
    [{ voltageOf: () => 1 }, '.voltageOf: got a curve that is flat or turns before -38.75'],
    [
      { above: -39, voltageOf: (m: number) => (m + 40) / 1e4 },
      '.above, -39 in volts: got 0.0001; allowed from 0.0003662109 V: 0 ≥ 0 always trips',
    ],
    [{ celsius: 3 }, ': no argument is named "celsius"'],
  ];
  it.each(cases)('%j', (change, message) => {
    expect(() => measurandThresholdCodes({ ...given, ...change })).toThrow(
      `measurandThresholdCodes${message}`,
    );
  });
});

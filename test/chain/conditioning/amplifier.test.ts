import { describe, expect, it } from 'vitest';
import { amplifier } from '../../../src/chain/conditioning/amplifier.ts';
import { bridge } from '../../../src/chain/source/bridge.ts';
import { linearSensor } from '../../../src/chain/source/linearSensor.ts';
import { platinum } from '../../../src/chain/source/platinum.ts';
import { shunt } from '../../../src/chain/source/shunt.ts';
import { thermocouple } from '../../../src/chain/source/thermocouple.ts';
import { expectNear } from '../../close.ts';
import { sensorLaws } from '../source/laws.ts';

const sensor = thermocouple({ type: 'K', coldJunction: 25, tolerance: { kelvin: 2.5, relative: 0.0075 } });
const linear = linearSensor({ voltsPerDegree: 0.01, voltsAtZero: 0.5 });

describe('by hand', () => {
  it('100 °C over a cold junction of 25 °C, times 101', () => {
    // Table values of [SRD60]: 4.096 mV and 1.000 mV, half a microvolt each.
    expectNear(
      amplifier({ sensor, gain: 101, offset: 0.5 }).toElectrical(100),
      0.5 + 101 * 3.096e-3,
      0,
      '',
      101e-6,
    );
  });

  it('a shunt both ways, lifted to the middle of 3 V', () => {
    const s = amplifier({
      sensor: shunt({ resistance: 0.01, validRange: { low: -5, high: 5 } }),
      gain: 20,
      offset: 1.5,
    });
    expectNear(s.toElectrical(-5), 0.5, 1e-14);
    expectNear(s.toElectrical(5), 2.5, 1e-14);
  });

  it('a bridge keeps its ratio and its unit', () => {
    const s = amplifier({ sensor: bridge({ sensitivity: 0.002, fullScale: 50, unit: 'kg' }), gain: 200 });
    expect([s.kind, s.measurand, s.unit, s.electrical]).toEqual(['bridge', 'quantity', 'kg', 'ratio']);
    expectNear(s.toElectrical(50), 0.4, 1e-14);
  });
});

describe('output', () => {
  it('narrows the range at the end it cuts, and only there', () => {
    // 0.5 V + 10 mV/K twice amplified: 3 V at 100 °C, and -55 °C gives -0.1 V.
    expect(amplifier({ sensor: linear, gain: 2, output: { low: -1, high: 3 } }).validRange).toEqual({
      low: -55,
      high: 100,
    });
    const both = amplifier({ sensor: linear, gain: 2, output: { low: 0, high: 3 } });
    expectNear(both.validRange.low, -50, 1e-13);
    expect(() => both.toElectrical(101)).toThrow(/amplifier.toElectrical: got 101; allowed -50.* … 100 °C/);
    expect(amplifier({ sensor: linear, gain: 1, output: { low: -1, high: 5 } }).validRange).toEqual(
      linear.validRange,
    );
  });

  it('with an inverting amplifier cuts the other end', () => {
    // 4 V − 2·(0.5 V + 10 mV/K·t): 1 V at 100 °C.
    const s = amplifier({ sensor: linear, gain: -2, offset: 4, output: { low: 1, high: 10 } });
    expect(s.validRange.low).toBe(-55);
    expectNear(s.validRange.high, 100, 1e-13);
  });
});

describe('tolerance', () => {
  it("adds gain and input offset to the sensor's, as an amplifier with those errors reads", () => {
    const nominal = amplifier({ sensor, gain: 100, gainTolerance: 0.001, inputOffset: 10e-6 });
    const exact = amplifier({ sensor, gain: 100 });
    for (const t of [-50, 100, 800]) {
      const input = sensor.toElectrical(t);
      const sign = Math.sign(input);
      const moved = exact.toMeasurand(100 * (1 + 0.001) * input + sign * 100 * 10e-6) - t;
      // First order; E bends by less than 1 % over this error.
      expectNear(nominal.tolerance!(t) - exact.tolerance!(t), Math.abs(moved), 0.01, `${t} °C`);
      expect(exact.tolerance!(t)).toBe(sensor.tolerance!(t));
    }
    expect(amplifier({ sensor: linear, gain: 2 }).tolerance).toBeUndefined();
  });
});

describe('laws', () => {
  sensorLaws('thermocouple', () => amplifier({ sensor, gain: 101, offset: 0.5, gainTolerance: 0.001 }), {
    joints: [0],
  });
  sensorLaws(
    'inverting, cut',
    () => amplifier({ sensor: linear, gain: -2, offset: 4, output: { low: 1, high: 5 } }),
    { step: 2e-12 },
  );

  it('reads back its ends even where the offset leaves few digits: a microvolt on 1.5 V', () => {
    for (let i = 1; i < 40; i++) {
      const validRange = { low: -1 / i, high: 1 / i };
      const s = amplifier({ sensor: shunt({ resistance: 1e-6, validRange }), gain: 3, offset: 1.5 });
      for (const end of [-1 / i, 1 / i]) expectNear(s.toMeasurand(s.toElectrical(end)), end, 0, '', 1e-9);
    }
  });
});

describe('errors', () => {
  const good = { sensor: linear, gain: 2 };
  it.each([
    [
      { ...good, sensor: platinum({ r0: 100 }) },
      RangeError,
      "amplifier.sensor: got an object; allowed a sensor whose electrical side is 'voltage' or 'ratio'",
    ],
    [{ ...good, gain: 0 }, RangeError, 'amplifier.gain: got 0; allowed finite numbers other than 0'],
    [{ ...good, offset: Number.NaN }, RangeError, 'amplifier.offset: got NaN; allowed finite numbers'],
    [
      { ...good, output: { low: 3, high: 1 } },
      RangeError,
      'amplifier.output: got an object; allowed {low, high}',
    ],
    [
      { ...good, output: { low: 5, high: 6 } },
      RangeError,
      "amplifier.output: got 5 … 6; allowed a range that meets the sensor's, -0.1",
    ],
    [{ ...good, gainTolerance: 1 }, RangeError, 'amplifier.gainTolerance: got 1; allowed 0 … 0.5'],
    [
      { ...good, inputOffset: -1 },
      RangeError,
      'amplifier.inputOffset: got -1; allowed finite numbers from 0',
    ],
    [{ ...good, gian: 1 }, TypeError, 'amplifier: no argument is named "gian"; the nearest is "gain"'],
  ])('case %#', (given, kind, message) => {
    expect(() => amplifier(given as never)).toThrow(kind);
    expect(() => amplifier(given as never)).toThrow(message);
  });
});

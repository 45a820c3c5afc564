import { describe, expect, it } from 'vitest';
import { linearSensor } from '../../../src/chain/source/linearSensor.ts';
import { expectNear } from '../../close.ts';
import { sensorLaws } from './laws.ts';

describe('published: [LINEAR500] output, V', () => {
  const s = linearSensor({ voltsPerDegree: 0.01, voltsAtZero: 0.5 });
  it.each([
    [25, 0.75],
    [0, 0.5],
    [-40, 0.1],
  ])('%d °C: %d V', (celsius, volts) => expectNear(s.toElectrical(celsius), volts, 1e-15));
});

describe('computed', () => {
  it('10 mV/K from 0 mV: code 310 of 12 bits at 3.3 V, transitions on whole codes, is 25.015869 °C', () => {
    // The scale is from memory; the voltage is that of the code's centre.
    const s = linearSensor({ voltsPerDegree: 0.01, voltsAtZero: 0 });
    expectNear(s.toMeasurand((310.5 * 3.3) / 4096), 25.015869, 0, '', 1e-6);
  });
});

describe('laws', () => {
  sensorLaws('rising', () => linearSensor({ voltsPerDegree: 0.01, voltsAtZero: 0.5, tolerance: 2 }));
  sensorLaws('a junction, falling 2 mV a kelvin (common practice, no source)', () =>
    linearSensor({ voltsPerDegree: -0.002, voltsAtZero: 0.65 }),
  );

  it('the tolerance is what was stated, or absent', () => {
    expect(linearSensor({ voltsPerDegree: 0.01, voltsAtZero: 0.5, tolerance: 2 }).tolerance!(80)).toBe(2);
    expect(linearSensor({ voltsPerDegree: 0.01, voltsAtZero: 0.5 }).tolerance).toBeUndefined();
  });
});

describe('errors', () => {
  const good = { voltsPerDegree: 0.01, voltsAtZero: 0.5 };
  it.each([
    [
      { ...good, voltsPerDegree: 0 },
      RangeError,
      'linearSensor.voltsPerDegree: got 0; allowed finite numbers of V/K other than 0',
    ],
    [
      { voltsPerDegree: 0.01 },
      RangeError,
      'linearSensor.voltsAtZero: got undefined; allowed finite numbers of V',
    ],
    [
      { ...good, tolerance: -1 },
      RangeError,
      'linearSensor.tolerance: got -1; allowed finite numbers from 0 K',
    ],
    [
      { ...good, validRange: { low: -300, high: 0 } },
      RangeError,
      'linearSensor.validRange: got an object; allowed {low, high} with -273 ≤',
    ],
    [
      { ...good, voltAtZero: 1 },
      TypeError,
      'linearSensor: no argument is named "voltAtZero"; the nearest is "voltsAtZero"',
    ],
  ])('%j', (given, kind, message) => {
    expect(() => linearSensor(given as never)).toThrow(kind);
    expect(() => linearSensor(given as never)).toThrow(message);
  });
});

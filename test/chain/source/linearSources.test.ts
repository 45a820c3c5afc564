import { describe, expect, it } from 'vitest';
import { bridge } from '../../../src/chain/source/bridge.ts';
import { currentLoop } from '../../../src/chain/source/currentLoop.ts';
import { divider } from '../../../src/chain/source/divider.ts';
import { potentiometer } from '../../../src/chain/source/potentiometer.ts';
import { shunt } from '../../../src/chain/source/shunt.ts';
import { expectNear } from '../../close.ts';
import { sensorLaws } from './laws.ts';

// Ohm's law by hand is the check of these; each figure can be had without a calculator.

const travel = { low: 0, high: 270, unit: '°' };

describe('divider', () => {
  const d = divider({ upper: 300000, lower: 100000, resistorTolerance: 0.01 });
  it('by hand: 4 V over 300 kΩ and 100 kΩ', () => {
    expectNear(d.toElectrical(4), 1, 1e-15);
    expectNear(d.theveninResistance, 75000, 1e-15);
    expectNear(d.current(4), 1e-5, 1e-15);
    // 1 nA into the tap: 75 µV there, 300 µV of reading.
    expectNear(d.leakageShift(1e-9), 300e-6, 1e-14);
    expectNear(d.toMeasurand(1 + 1e-9 * 75000) - 4, 300e-6, 1e-9);
  });

  it('the tolerance is the worst of four corners, read by the nominal divider', () => {
    let worst = 0;
    for (const u of [0.99, 1.01]) {
      for (const l of [0.99, 1.01]) {
        const real = divider({ upper: 300000 * u, lower: 100000 * l });
        worst = Math.max(worst, Math.abs(d.toMeasurand(real.toElectrical(4)) - 4));
      }
    }
    expectNear(d.tolerance!(4), worst, 1e-12);
    expect(divider({ upper: 1, lower: 1 }).tolerance).toBeUndefined();
    // With hardly any upper resistor there is hardly any error; upper 0 is a wire.
    expect(divider({ upper: 0, lower: 1000, resistorTolerance: 0.01 }).tolerance!(4)).toBe(0);
  });
  sensorLaws('divider', () => divider({ upper: 300000, lower: 100000, resistorTolerance: 0.01 }));
});

describe('potentiometer', () => {
  it('by hand: a third of the way along 9 kΩ', () => {
    const p = potentiometer({ resistance: 9000, travel, linearity: 0.01 });
    expectNear(p.toElectrical(90), 1 / 3, 1e-15);
    // 3 kΩ beside 6 kΩ.
    expectNear(p.theveninResistance(90), 2000, 1e-14);
    expect([p.theveninResistance(0), p.theveninResistance(270)]).toEqual([0, 0]);
    expectNear(p.tolerance!(10), 2.7, 1e-15);
    expect([p.measurand, p.unit]).toEqual(['quantity', '°']);
  });
  it('without travel it is a ratio', () => {
    const p = potentiometer({ resistance: 10000 });
    expect([p.measurand, p.toElectrical(0.25), p.unit, p.tolerance]).toEqual([
      'ratio',
      0.25,
      undefined,
      undefined,
    ]);
  });
  sensorLaws('potentiometer', () => potentiometer({ resistance: 9000, travel, linearity: 0.01 }));
});

describe('shunt', () => {
  const range = { low: -2, high: 2 };
  it('by hand: half an ampere through 0.1 Ω', () => {
    const s = shunt({ resistance: 0.1, validRange: range, resistorTolerance: 0.01 });
    expectNear(s.toElectrical(0.5), 0.05, 1e-15);
    expectNear(s.power(-0.5), 0.025, 1e-15);
    expectNear(s.tolerance!(-0.5), 0.005, 1e-15);
    expect(shunt({ resistance: 0.1, validRange: range }).tolerance).toBeUndefined();
  });
  sensorLaws('shunt', () => shunt({ resistance: 0.1, validRange: range, resistorTolerance: 0.01 }));
});

describe('current loop', () => {
  const given = { low: -1, high: 9, unit: 'bar', resistance: 100 };
  it('by hand: 4, 12 and 20 mA at the ends and the middle', () => {
    const s = currentLoop({ ...given, resistorTolerance: 0.001 });
    expectNear(s.toElectrical(-1), 0.4, 1e-14);
    expectNear(s.current(4), 0.012, 1e-14);
    expectNear(s.toElectrical(9), 2, 1e-14);
    // 0.1 % of 20 mA is 20 µA, and a bar is 1.6 mA.
    expectNear(s.tolerance!(9), 0.0125, 1e-13);
    const real = currentLoop({ ...given, resistance: 100.1 });
    expectNear(s.tolerance!(4), s.toMeasurand(real.toElectrical(4)) - 4, 1e-9);
    expect(currentLoop(given).tolerance).toBeUndefined();
  });
  it('other ends, and a falling one', () => {
    const s = currentLoop({ ...given, currentAtLow: 0.02, currentAtHigh: 0 });
    expectNear(s.toElectrical(-1), 2, 1e-15);
    expectNear(s.slope(0), -0.2, 1e-15);
  });
  sensorLaws('current loop', () => currentLoop({ ...given, resistorTolerance: 0.001 }));
});

describe('bridge', () => {
  const given = { sensitivity: 0.002, fullScale: 50, unit: 'kg' };
  it('by hand: 2 mV/V and 50 kg, 10 kg on it', () => {
    expectNear(bridge(given).toElectrical(10), 0.0004, 1e-15);
    expectNear(bridge({ ...given, zero: 1e-5 }).toElectrical(0), 1e-5, 1e-15);
    expect(bridge({ ...given, tolerance: 0.05 }).tolerance!(10)).toBe(0.05);
    expect(bridge(given).validRange).toEqual({ low: 0, high: 50 });
    expect(bridge(given).tolerance).toBeUndefined();
  });
  sensorLaws('bridge', () =>
    bridge({ ...given, zero: -3e-5, tolerance: 0.1, validRange: { low: -50, high: 60 } }),
  );
});

describe('errors', () => {
  const loop = { low: 0, high: 10, unit: 'bar', resistance: 100 };
  const cell = { sensitivity: 0.002, fullScale: 50, unit: 'kg' };
  const wire = { resistance: 0.1, validRange: { low: 0, high: 1 } };
  it.each([
    [divider, { upper: -1, lower: 1 }, RangeError, 'divider.upper: got -1; allowed finite numbers from 0 Ω'],
    [divider, { upper: 1, lower: 0 }, RangeError, 'divider.lower: got 0; allowed finite numbers above 0 Ω'],
    [
      divider,
      { upper: 1, lower: 1, resistorTolerance: 1 },
      RangeError,
      'divider.resistorTolerance: got 1; allowed 0 … 0.5',
    ],
    [
      divider,
      { upper: 1, lower: 1, validRange: 5 },
      RangeError,
      'divider.validRange: got 5; allowed {low, high} with 0 ≤ low < high ≤ 10000 V',
    ],
    [divider, { uper: 1 }, TypeError, 'divider: no argument is named "uper"; the nearest is "upper"'],
    [
      potentiometer,
      { resistance: 0 },
      RangeError,
      'potentiometer.resistance: got 0; allowed finite numbers above 0 Ω',
    ],
    [
      potentiometer,
      { resistance: 1, travel: { low: 0, high: 1 } },
      RangeError,
      'potentiometer.travel: got an object; allowed {low, high, unit}',
    ],
    [
      potentiometer,
      { resistance: 1, linearity: -1 },
      RangeError,
      'potentiometer.linearity: got -1; allowed 0 … 0.5',
    ],
    [potentiometer, { resistence: 1 }, TypeError, 'the nearest is "resistance"'],
    [
      shunt,
      { ...wire, resistance: -1 },
      RangeError,
      'shunt.resistance: got -1; allowed finite numbers above 0 Ω',
    ],
    [shunt, { resistance: 1 }, RangeError, 'shunt.validRange: got undefined; allowed {low, high}'],
    [shunt, { ...wire, resistorTolerance: 2 }, RangeError, 'shunt.resistorTolerance: got 2; allowed 0 … 0.5'],
    [shunt, { ...wire, gain: 2 }, TypeError, 'shunt: no argument is named "gain"'],
    [currentLoop, { ...loop, low: '0' }, RangeError, 'currentLoop.low: got "0"; allowed finite numbers'],
    [currentLoop, { ...loop, high: 0 }, RangeError, 'currentLoop.high: got 0; allowed values above low, 0'],
    [currentLoop, { ...loop, unit: 1 }, RangeError, 'currentLoop.unit: got 1; allowed the unit as text'],
    [
      currentLoop,
      { ...loop, resistance: 0 },
      RangeError,
      'currentLoop.resistance: got 0; allowed finite numbers above 0 Ω',
    ],
    [
      currentLoop,
      { ...loop, currentAtLow: -1 },
      RangeError,
      'currentLoop.currentAtLow: got -1; allowed 0 … 1 A',
    ],
    [
      currentLoop,
      { ...loop, currentAtHigh: 0.004 },
      RangeError,
      'currentLoop.currentAtHigh: got 0.004; allowed currents other than currentAtLow',
    ],
    [
      currentLoop,
      { ...loop, resistorTolerance: 2 },
      RangeError,
      'currentLoop.resistorTolerance: got 2; allowed 0 … 0.5',
    ],
    [currentLoop, { ...loop, lo: 2 }, TypeError, 'the nearest is "low"'],
    [
      bridge,
      { ...cell, sensitivity: 0 },
      RangeError,
      'bridge.sensitivity: got 0; allowed finite numbers above 0 V/V',
    ],
    [
      bridge,
      { ...cell, fullScale: 0 },
      RangeError,
      'bridge.fullScale: got 0; allowed finite numbers above 0',
    ],
    [bridge, { ...cell, unit: 5 }, RangeError, 'bridge.unit: got 5; allowed the unit as text'],
    [
      bridge,
      { ...cell, zero: Number.NaN },
      RangeError,
      'bridge.zero: got NaN; allowed finite numbers of V/V',
    ],
    [
      bridge,
      { ...cell, tolerance: -1 },
      RangeError,
      'bridge.tolerance: got -1; allowed finite numbers from 0',
    ],
    [
      bridge,
      { ...cell, validRange: { low: 1, high: 0 } },
      RangeError,
      'bridge.validRange: got an object; allowed {low, high}',
    ],
    [bridge, { ...cell, fullscale: 5 }, TypeError, 'the nearest is "fullScale"'],
  ] as [(given: never) => unknown, object, new () => Error, string][])(
    'case %#',
    (make, given, kind, message) => {
      expect(() => make(given as never)).toThrow(kind);
      expect(() => make(given as never)).toThrow(message);
    },
  );
});

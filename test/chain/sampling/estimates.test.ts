import { describe, expect, it } from 'vitest';
import {
  equivalentInputImpedance,
  kick,
  leakageError,
  meanDroop,
  settlingTimeConstants,
} from '../../../src/chain/sampling/estimates.ts';
import { minSampleTime } from '../../../src/chain/sampling/sampleTime.ts';
import { settle } from '../../../src/chain/sampling/settle.ts';
import { expectNear, expectPrinted } from '../../close.ts';

describe('published: settling table of [SETTLING-TABLE], values from memory', () => {
  it('time constants to half an LSB', () => {
    const table = {
      6: '4.85',
      8: '6.24',
      10: '7.62',
      12: '9.01',
      14: '10.40',
      16: '11.78',
      18: '13.17',
      22: '15.94',
    };
    for (const [bits, printed] of Object.entries(table)) {
      expectPrinted(
        settlingTimeConstants({ bits: Number(bits), allowedErrorLsb: 0.5 }),
        printed,
        `${bits} bits`,
      );
    }
  });
});

describe('formula: charge shared by two capacitors', () => {
  it('10 pF empty, 10 nF outside, 12 bits full scale: 4.0919 LSB', () => {
    const droop = kick({ voltageStep: -4096, sampleCapacitance: 10e-12, pinCapacitance: 10e-9 });
    expectPrinted(droop, '-4.091908092');
  });
});

describe('against the exact settling', () => {
  const parts = {
    sourceResistance: 1e9,
    pinCapacitance: 1e-9,
    switchResistance: 1,
    sampleCapacitance: 6e-12,
  };

  it('the kick is the first error where the source is too far away to act', () => {
    const { error } = settle({ ...parts, sampleTime: 1e-7, sourceVoltage: 1.5 });
    expectNear(
      kick({ voltageStep: -1.5, ...{ sampleCapacitance: 6e-12, pinCapacitance: 1e-9 } }),
      error,
      1e-6,
    );
  });

  it('the mean droop is the steady error where the pin hardly moves within a period', () => {
    const large = { ...parts, sourceResistance: 150e3, pinCapacitance: 1e-3 };
    const { error } = settle({ ...large, sampleTime: 1e-6, sourceVoltage: 1.5, period: 25e-6 });
    const droop = { voltageStep: -1.5, sourceResistance: 150e3, sampleCapacitance: 6e-12, rate: 40e3 };
    expectNear(meanDroop(droop), error, 1e-5);
    // The sampled error is larger where it does move.
    const moving = settle({
      ...large,
      pinCapacitance: 2.2e-9,
      sampleTime: 1e-6,
      sourceVoltage: 1.5,
      period: 25e-6,
    });
    expect(moving.error).toBeLessThan(meanDroop(droop));
  });

  it('the equivalent resistor divides the source voltage to the same droop', () => {
    const shunt = equivalentInputImpedance({ rate: 40e3, sampleCapacitance: 6e-12 });
    expectPrinted(shunt / 1e6, '4.1666667', 'MΩ');
    const droop = meanDroop({
      voltageStep: -1.5,
      sourceResistance: 150e3,
      sampleCapacitance: 6e-12,
      rate: 40e3,
    });
    expectNear(droop, (1.5 * shunt) / (shunt + 150e3) - 1.5, 1e-12);
  });

  it('the rule counts the time constants of a bare capacitor', () => {
    const demand = { bits: 14, allowedErrorLsb: 0.1, reference: 2 };
    const bare = {
      sourceResistance: 9e3,
      pinCapacitance: 0,
      switchResistance: 1e3,
      sampleCapacitance: 1e-11,
    };
    const time = minSampleTime({ ...bare, ...demand }) as number;
    expectNear(time / 1e-7, settlingTimeConstants({ bits: 14, allowedErrorLsb: 0.1 }), 1e-12);
  });

  it('leakage drops I·R_s, with its sign', () => {
    expectNear(leakageError({ leakageCurrent: -50e-9, sourceResistance: 1e6 }), -0.05, 1e-15);
  });
});

describe('limits', () => {
  it('an allowed error as large as the step needs no time', () => {
    expect(settlingTimeConstants({ bits: 4, allowedErrorLsb: 16 })).toBe(0);
    expect(settlingTimeConstants({ bits: 4, allowedErrorLsb: 20 })).toBe(0);
  });
  it('without a pin capacitance the whole step is seen; a source without limit droops by all of it', () => {
    expect(kick({ voltageStep: 2, sampleCapacitance: 1e-12, pinCapacitance: 0 })).toBe(2);
    const far = { sourceResistance: 1e30, sampleCapacitance: 1e6, rate: 1e15 };
    expect(meanDroop({ voltageStep: 2, ...far })).toBe(2);
  });
});

describe('errors', () => {
  it('names the argument, the value and the range', () => {
    expect(() => kick({ voltageStep: 1, sampleCapacitance: 0, pinCapacitance: 0 })).toThrow(
      new RangeError('kick.sampleCapacitance: got 0; allowed 1e-24 … 1000000 F'),
    );
    expect(() => equivalentInputImpedance({ rate: 0, sampleCapacitance: 1e-12 })).toThrow(RangeError);
    expect(() => settlingTimeConstants({ bits: 12.5 })).toThrow(RangeError);
    expect(() => leakageError({ leakageCurrent: Number.NaN, sourceResistance: 1 })).toThrow(RangeError);
    expect(() => meanDroop({ voltageStep: 1, sourceResistance: -1, sampleCapacitance: 1, rate: 1 })).toThrow(
      RangeError,
    );
  });
});

import { describe, expect, it } from 'vitest';
import { burstError } from '../../../src/chain/sampling/burst.ts';
import { wakeDelay, wakeError } from '../../../src/chain/sampling/wake.ts';
import { conversionWaveform } from '../../../src/chain/sampling/waveform.ts';
import { expectNear } from '../../close.ts';
import { Circuit } from './circuit.ts';

const source = { sourceResistance: 20e3, pinCapacitance: 5e-11, switchResistance: 1.5e3 };
const network = { ...source, sampleCapacitance: 7e-12, sampleTime: 2e-6, sourceVoltage: 1.9 };
const period = 5e-6;

const circuit = (pin: number, held: number): Circuit => {
  const made = new Circuit([{ ...source, voltage: 1.9 }], source.switchResistance, 7e-12, 1200);
  made.pins[0] = pin;
  made.held = held;
  return made;
};

describe('brute force: the circuit stepped from a pin that was switched on a moment ago', () => {
  for (const startsAt of ['previous', 'own'] as const) {
    it(`eight conversions, C_s starts at ${startsAt}`, () => {
      const wakeTime = 1.3e-6;
      const stepped = circuit(0, 0.4);
      stepped.pass(wakeTime);
      let sum = 0;
      for (let n = 0; n < 8; n++) {
        if (startsAt === 'previous') stepped.held = 0.4;
        stepped.pass(network.sampleTime, 0);
        sum += stepped.held - 1.9;
        stepped.pass(period - network.sampleTime);
      }
      const burst = { ...network, startsAt, period, ratio: 8 };
      const error = burstError({ ...burst, previousVoltage: 0.4 }) + wakeError({ ...burst, wakeTime });
      // Runge–Kutta at a sixth of the fastest time constant.
      expectNear(error, sum / 8, 1e-6);
    });
  }

  it('the waveform of the first conversion, and of one of many', () => {
    const times = [1e-8, 3e-7, 2e-6, 2.4e-6, 5e-6];
    for (const many of [false, true]) {
      const stepped = circuit(1.9, 0);
      for (let n = 0; n < (many ? 60 : 0); n++) {
        stepped.held = 0;
        stepped.pass(network.sampleTime, 0);
        stepped.pass(period - network.sampleTime);
      }
      stepped.held = 0;
      const { pin, sample } = conversionWaveform({ ...network, times, ...(many && { period }) });
      times.forEach((time, i) => {
        const before = times[i - 1] ?? 0;
        stepped.pass(time - before, before < network.sampleTime ? 0 : undefined);
        expectNear(pin[i]!, stepped.pins[0]! - 1.9, 1e-6, `pin at ${time}`);
        expectNear(sample[i]!, stepped.held - 1.9, 1e-6, `C_s at ${time}`);
      });
    }
  });
});

describe('properties', () => {
  it('after the delay the error is the allowed one', () => {
    const burst = { ...network, pinCapacitance: 1e-8, period, ratio: 16 };
    for (const startsAt of ['previous', 'own'] as const) {
      const wakeTime = wakeDelay({ ...burst, startsAt, allowedErrorLsb: 0.1, bits: 14, reference: 3 });
      expectNear(-wakeError({ ...burst, startsAt, wakeTime }), (0.1 * 3) / 2 ** 14, 1e-9);
    }
  });

  it('no capacitance at the pin and the steady state wait for nothing', () => {
    const asked = { ...network, bits: 12, reference: 3 };
    expect(wakeDelay({ ...asked, pinCapacitance: 0 })).toBe(0);
    expect(wakeDelay({ ...asked, period })).toBe(0);
    expect(wakeError({ ...network, pinCapacitance: 0, wakeTime: 0 })).toBe(0);
  });

  it('one of many moves nothing where C_s keeps its charge', () => {
    const { pin, sample } = conversionWaveform({ ...network, startsAt: 'own', period, times: [1e-7, 4e-6] });
    expect([...pin, ...sample]).toEqual([0, 0, 0, 0]);
  });
});

describe('errors', () => {
  it('names the argument, the value and the range', () => {
    expect(() => wakeError({ ...network, wakeTime: -1 })).toThrow(
      new RangeError('wakeError.wakeTime: got -1; allowed 0 … 1e+40 s'),
    );
    expect(() => wakeDelay({ ...network, bits: 12, reference: 3, period: 1e-6 })).toThrow(
      new RangeError('wakeDelay.period: got 0.000001; allowed from sampleTime, 0.000002 s'),
    );
    expect(() => conversionWaveform({ ...network, times: [] })).toThrow(
      new RangeError(
        'conversionWaveform.times: got an array of 0; allowed an array of at least 1 finite numbers',
      ),
    );
  });
});

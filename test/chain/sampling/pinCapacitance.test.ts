import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { burstError } from '../../../src/chain/sampling/burst.ts';
import { pinCapacitanceWindows } from '../../../src/chain/sampling/pinCapacitance.ts';
import { settle } from '../../../src/chain/sampling/settle.ts';
import { expectNear, expectPrinted } from '../../close.ts';
import { Circuit } from './circuit.ts';

const probe = {
  sourceResistance: 5e3,
  switchResistance: 1.2e3,
  sampleCapacitance: 6e-12,
  sampleTime: 1e-6,
};

describe('worked case: 5 kΩ, 1.2 kΩ, 6 pF, 1 µs, a quarter LSB of 12 bits', () => {
  it('up to 17 pF or from 98 nF, for any reference', () => {
    for (const reference of [1, 3]) {
      const { small, large } = pinCapacitanceWindows({ ...probe, bits: 12, reference });
      expectPrinted((small![1] as number) * 1e12, '17', 'pF');
      expectPrinted(large![0] * 1e9, '98', 'nF');
      expect(small![0]).toBe(0);
      expect(large![1]).toBe('any');
    }
  });

  it('46 LSB at 190 pF, in between', () => {
    const { error } = settle({ ...probe, pinCapacitance: 190e-12, sourceVoltage: 1 });
    expectPrinted(error * 4096, '-46', 'LSB');
  });
});

describe('formula: the smallest capacitor that gives its charge, C_s·(2^(N+1) − 1)', () => {
  it('10 pF, 12 bits, half an LSB: 81.91 nF', () => {
    // The source is too far away to help within the sample time, the switch out of the way.
    const far = { sourceResistance: 1e15, switchResistance: 1, sampleCapacitance: 10e-12, sampleTime: 1e-6 };
    const { large } = pinCapacitanceWindows({ ...far, bits: 12, reference: 3, allowedErrorLsb: 0.5 });
    expectNear(large![0], 81.91e-9, 1e-9);
  });
});

describe('the upper end: the burst after the source wakes', () => {
  /** |error| that the stepped circuit shows on the mean of a burst, the pin starting at 0 V `wakeTime` earlier, V. */
  function woken(
    farads: number,
    wakeTime: number,
    burst: { period: number; ratio: number },
    own: boolean,
  ): number {
    const pin = { voltage: 1, sourceResistance: probe.sourceResistance, pinCapacitance: farads };
    const circuit = new Circuit([pin], probe.switchResistance, probe.sampleCapacitance, 400);
    circuit.pins[0] = 1 - Math.exp(-wakeTime / (probe.sourceResistance * farads));
    let sum = 0;
    for (let n = 0; n < burst.ratio; n++) {
      if (!own) circuit.held = 0;
      circuit.pass(probe.sampleTime, 0);
      sum += circuit.held - 1;
      circuit.pass(burst.period - probe.sampleTime);
    }
    return Math.abs(sum / burst.ratio);
  }

  for (const startsAt of ['previous', 'own'] as const) {
    it(`at C3 the mean of 6 woken conversions is off by what is allowed, '${startsAt}'`, () => {
      const burst = { period: 4e-6, ratio: 6 };
      const wakeTime = 60e-3;
      const demand = { bits: 12, reference: 1, allowedErrorLsb: 0.25, startsAt };
      const { large } = pinCapacitanceWindows({ ...probe, ...demand, ...burst, wakeTime });
      for (const end of large as number[]) {
        expectNear(woken(end, wakeTime, burst, startsAt === 'own') * 4096, 0.25, 1e-6, `${end} F`);
      }
    });
  }

  it('too short a wake leaves no upper range, and a longer one a wider', () => {
    const at = (wakeTime: number) => pinCapacitanceWindows({ ...probe, bits: 12, reference: 3, wakeTime });
    expect(at(1e-3).large).toBeNull();
    const [low, high] = at(10e-3).large as [number, number];
    const [wideLow, wideHigh] = at(20e-3).large as [number, number];
    expect(wideLow <= low && low < high && high < wideHigh).toBe(true);
  });
});

describe('brute force: a scan of every range', () => {
  it('what lies in a range serves, what lies outside does not', () => {
    const power = (min: number, max: number) => fc.double({ min, max, noNaN: true }).map((x) => 10 ** x);
    const seen = { small: 0, large: 0, neither: 0 };
    fc.assert(
      fc.property(
        power(2, 6),
        power(1, 4),
        power(-12, -10.5),
        power(-8, -5),
        power(-1.5, 2),
        fc.integer({ min: 8, max: 16 }),
        fc.constantFrom('previous' as const, 'own' as const),
        fc.option(fc.record({ gap: power(-7, -3), ratio: fc.option(fc.integer({ min: 1, max: 512 })) })),
        (rs, rsw, cs, sampleTime, allowedErrorLsb, bits, startsAt, on) => {
          const a = {
            sourceResistance: rs,
            switchResistance: rsw,
            sampleCapacitance: cs,
            sampleTime,
            startsAt,
          };
          const period = on ? sampleTime + on.gap : undefined;
          const ratio = on?.ratio ?? undefined;
          const demand = { bits, reference: 1, allowedErrorLsb };
          const { small, large } = pinCapacitanceWindows({ ...a, ...demand, period, ratio });
          seen.small += small ? 1 : 0;
          seen.large += large ? 1 : 0;
          seen.neither += small || large ? 0 : 1;
          const inside = (c: number, slack: number): boolean =>
            [small, large].some(
              (range) =>
                range && c >= range[0] * (1 - slack) && (range[1] === 'any' || c <= range[1] * (1 + slack)),
            );
          for (let x = -17; x <= 3; x += 0.07) {
            const farads = 10 ** x;
            const network = { ...a, pinCapacitance: farads, sourceVoltage: -1 };
            const error =
              ratio === undefined
                ? settle({ ...network, period }).error
                : burstError({ ...network, period: period!, ratio });
            const serves = error * 2 ** bits <= allowedErrorLsb;
            if (serves) expect(inside(farads, 1e-9), `${farads} F serves`).toBe(true);
            else expect(inside(farads, -1e-9), `${farads} F fails`).toBe(false);
          }
        },
      ),
      { seed: 3, numRuns: 120 },
    );
    expect(Math.min(seen.small, seen.large, seen.neither)).toBeGreaterThan(8);
  });
});

describe('limits', () => {
  it('a step within what is allowed serves with any capacitance', () => {
    expect(pinCapacitanceWindows({ ...probe, bits: 12, reference: 3, previousVoltage: 3 })).toEqual({
      small: [0, 'any'],
      large: null,
    });
  });

  it('too slow a switch leaves none', () => {
    expect(pinCapacitanceWindows({ ...probe, sampleTime: 2e-8, bits: 12, reference: 3 })).toEqual({
      small: null,
      large: null,
    });
  });
});

describe('errors', () => {
  it('names the argument, the value and the range', () => {
    const a = { ...probe, bits: 12, reference: 3 };
    expect(() => pinCapacitanceWindows({ ...a, period: 1e-7 })).toThrow(
      new RangeError('pinCapacitanceWindows.period: got 1e-7; allowed from sampleTime, 0.000001 s'),
    );
    expect(() => pinCapacitanceWindows({ ...a, wakeTime: 0 })).toThrow(
      new RangeError('pinCapacitanceWindows.wakeTime: got 0; allowed 1e-30 … 1e+40 s'),
    );
    expect(() => pinCapacitanceWindows({ ...a, pinCapacitance: 1 } as never)).toThrow(TypeError);
  });
});

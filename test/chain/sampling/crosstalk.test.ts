import { describe, expect, it } from 'vitest';
import { crosstalk } from '../../../src/chain/sampling/crosstalk.ts';
import { bestScanOrder } from '../../../src/chain/sampling/scanOrder.ts';
import { settle } from '../../../src/chain/sampling/settle.ts';
import { expectNear } from '../../close.ts';
import { Circuit } from './circuit.ts';

const channels = [
  { voltage: 0.3, sourceResistance: 10e3, pinCapacitance: 8e-12, sampleTime: 3e-7 },
  { voltage: 2.9, sourceResistance: 40e3, pinCapacitance: 1e-10, sampleTime: 3e-7 },
  { voltage: 1.1, sourceResistance: 5e3, pinCapacitance: 2e-11, sampleTime: 1e-7 },
  { voltage: 2.2, sourceResistance: 20e3, pinCapacitance: 6e-12, sampleTime: 2e-7 },
];
const scan = { channels, switchResistance: 1.5e3, sampleCapacitance: 7e-12, holdTime: 2e-7 };

describe('brute force: the circuit stepped through forty scans', () => {
  for (const dummy of [false, true, 3]) {
    for (const order of [
      [0, 1, 2, 3],
      [2, 0, 3, 1],
    ]) {
      it(`order ${order.join(' ')}, ${Number(dummy)} left out ahead of each`, () => {
        const period = dummy === 3 ? 7e-6 : 5e-6;
        const circuit = new Circuit(channels, scan.switchResistance, scan.sampleCapacitance, 100);
        let errors: number[] = [];
        for (let n = 0; n < 40; n++) {
          errors = [];
          let busy = 0;
          for (const i of order) {
            for (let turn = 0; turn <= Number(dummy); turn++) {
              circuit.pass(channels[i]!.sampleTime, i);
              if (turn === Number(dummy)) errors.push(circuit.held - channels[i]!.voltage);
              circuit.pass(scan.holdTime);
              busy += channels[i]!.sampleTime + scan.holdTime;
            }
          }
          circuit.pass(period - busy);
        }
        const answer = crosstalk({ ...scan, order, period, dummy });
        expect(answer.map((c) => c.channel)).toEqual(order);
        expect(answer.map((c) => c.previous)).toEqual([order[3], order[0], order[1], order[2]]);
        // Runge–Kutta steps of a fifth of the fastest time constant: 1e-6 of the error.
        answer.forEach((c, k) => {
          expectNear(c.error, errors[k]!, 1e-5, `channel ${c.channel}`);
        });
      });
    }
  }
});

describe('properties', () => {
  it('with settled pins a pair is the first conversion from what the other held', () => {
    const answer = crosstalk({ ...scan, order: [0, 1, 2, 3] });
    answer.forEach(({ channel, previous, error }, k) => {
      const { voltage, ...network } = channels[channel]!;
      const before = channels[previous]!.voltage + answer.at(k - 1)!.error;
      const parts = { switchResistance: 1.5e3, sampleCapacitance: 7e-12 };
      const held = settle({ ...network, ...parts, previousVoltage: before, sourceVoltage: voltage });
      expectNear(error, held.error, 1e-12);
    });
  });

  it('a dummy conversion lowers every error; equal voltages leave none', () => {
    const once = crosstalk({ ...scan, period: 1e-5 });
    const twice = crosstalk({ ...scan, period: 1e-5, dummy: true });
    once.forEach((c, k) => {
      expect(Math.abs(twice[k]!.error)).toBeLessThan(Math.abs(c.error));
    });
    const equal = channels.map((c) => ({ ...c, voltage: 1.7 }));
    expect(crosstalk({ ...scan, channels: equal }).map((c) => c.error)).toEqual([0, 0, 0, 0]);
  });

  it('nothing that settles gives finite errors', () => {
    const stuck = channels.map((c) => ({ ...c, sourceResistance: 1e30, pinCapacitance: 0 }));
    for (const { error } of crosstalk({ ...scan, channels: stuck, period: 1 })) {
      expect(Number.isFinite(error)).toBe(true);
    }
  });
});

/** Numbers from 0 to 1, one after another. */
function uniform(seed: number): () => number {
  let s = seed;
  return () => {
    s = (s * 48271) % 2147483647;
    return s / 2147483647;
  };
}

const likeChannels = (voltages: number[]) =>
  voltages.map((voltage) => ({ voltage, sourceResistance: 10e3, pinCapacitance: 8e-12, sampleTime: 3e-6 }));

const worst = (errors: { error: number }[]): number => Math.max(...errors.map((c) => Math.abs(c.error)));

describe('the best order', () => {
  it('of four channels is the best of all 24, whatever starts', () => {
    const best = bestScanOrder({ ...scan, period: 1e-5 });
    let least = Number.POSITIVE_INFINITY;
    for (let code = 0; code < 256; code++) {
      const order = [code & 3, (code >> 2) & 3, (code >> 4) & 3, code >> 6];
      if (new Set(order).size < 4) continue;
      least = Math.min(least, worst(crosstalk({ ...scan, period: 1e-5, order })));
    }
    expectNear(best.worstError, least, 1e-12);
    expect(best.exhaustive).toBe(true);
    expect(best.order[0]).toBe(0);
    expect(crosstalk({ ...scan, period: 1e-5, order: best.order })).toEqual(best.channels);
  });

  // Like channels on a line, visited in a round: no order has a longest step below the largest V[i + 2] − V[i]; going up by
  // every other one and down by the rest reaches it. The error of a neighbour's error is 1e-6 of it here.
  for (const count of [3, 8, 9, 12, 20]) {
    it(`of ${count} like channels has the least longest step`, () => {
      const draw = uniform(count);
      const voltages = Array.from({ length: count }, () => 3 * draw());
      const found = bestScanOrder({ ...scan, channels: likeChannels(voltages) });
      const sorted = voltages.toSorted((a, b) => a - b);
      const steps = sorted.slice(2).map((v, i) => v - sorted[i]!);
      expectNear(found.worstError / found.channels[0]!.coupling, Math.max(...steps), 1e-5);
      expect(found.exhaustive).toBe(count <= 8);
      expect(found.order.toSorted((a, b) => a - b)).toEqual(voltages.map((_, i) => i));
    });
  }

  const unlike = (count: number, draw: () => number) =>
    Array.from({ length: count }, () => ({
      voltage: 3 * draw(),
      sourceResistance: 1e4 * (0.2 + draw()),
      pinCapacitance: 1e-11 * draw(),
      sampleTime: 1e-7 * (1 + 3 * draw()),
    }));

  it('of nine unlike channels is not worse than any of 5 000 drawn', () => {
    const draw = uniform(99);
    const nine = unlike(9, draw);
    const found = bestScanOrder({ ...scan, channels: nine });
    const order = nine.map((_, i) => i);
    for (let n = 0; n < 5000; n++) {
      for (let i = 8; i > 0; i--) {
        const j = Math.floor(draw() * (i + 1));
        [order[i], order[j]] = [order[j]!, order[i]!];
      }
      expect(worst(crosstalk({ ...scan, channels: nine, order }))).toBeGreaterThanOrEqual(
        found.worstError * (1 - 1e-12),
      );
    }
  });

  it('of sixteen unlike channels is not made better by moving one or swapping two', () => {
    const sixteen = unlike(16, uniform(16));
    const { order, worstError } = bestScanOrder({ ...scan, channels: sixteen });
    const at = (changed: number[]): number =>
      worst(crosstalk({ ...scan, channels: sixteen, order: changed }));
    for (let i = 0; i < 16; i++)
      for (let j = 0; j < 16; j++) {
        const swapped = order.with(i, order[j]!).with(j, order[i]!);
        const moved = order.toSpliced(i, 1).toSpliced(j, 0, order[i]!);
        expect(Math.min(at(swapped), at(moved))).toBeGreaterThanOrEqual(worstError * (1 - 1e-11));
      }
  });
});

describe('errors', () => {
  it('names the argument, the value and the range', () => {
    expect(() => crosstalk({ ...scan, channels: [channels[0]!] })).toThrow(
      new RangeError('crosstalk.channels: got an array of 1; allowed an array of 2 … 64 channels'),
    );
    expect(() => crosstalk({ ...scan, channels: [...channels, { ...channels[0]!, sampleTime: 0 }] })).toThrow(
      new RangeError('crosstalk.channels[4].sampleTime: got 0; allowed 1e-30 … 1e+40 s'),
    );
    for (const order of [
      [0, 1, 2],
      [0, 1, 2, 2],
      [0, 1, 2, 4],
      [0, 1, 2, 1.5],
    ]) {
      expect(() => crosstalk({ ...scan, order })).toThrow(
        new RangeError(`crosstalk.order: got "${order.join(', ')}"; allowed each of 0 … 3 once`),
      );
    }
    expect(() => crosstalk({ ...scan, period: 1e-6 })).toThrow(
      new RangeError('crosstalk.period: got 0.000001; allowed from 0.0000017 s, the conversions of one scan'),
    );
    expect(() => bestScanOrder({ ...scan, dummy: 17 })).toThrow(
      new RangeError('bestScanOrder.dummy: got 17; allowed true, false, or whole numbers 0 … 16'),
    );
    expect(() => bestScanOrder({ ...scan, order: [0] } as never)).toThrow(TypeError);
  });
});

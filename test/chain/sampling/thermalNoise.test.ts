import { describe, expect, it } from 'vitest';
import { settle } from '../../../src/chain/sampling/settle.ts';
import { burstThermalNoise, thermalNoise } from '../../../src/chain/sampling/thermalNoise.ts';
import { expectNear, expectPrinted } from '../../close.ts';

describe('published: √(kT/C) in µV', () => {
  for (const [farads, kelvin, printed, recomputed, source] of [
    [40e-12, 293, '10', '10.05646753', '[THERMAL-NOISE-PAGE]'],
    [10e-12, 298.15, '20', '20.28892553', 'common textbook figure, value from memory'],
    [1e-12, 300, '64', '64.35795988', 'common textbook figure, value from memory'],
    [100e-12, 300, '6.4', '6.435795988', 'common textbook figure, value from memory'],
  ] as const) {
    it(`${farads * 1e12} pF at ${kelvin} K: ${printed} (${source})`, () => {
      const noise = thermalNoise({ sampleCapacitance: farads, temperature: kelvin }) * 1e6;
      expectPrinted(noise, printed);
      expectPrinted(noise, recomputed);
    });
  }
});

const own = {
  sourceResistance: 40e3,
  pinCapacitance: 15e-12,
  switchResistance: 2e3,
  sampleCapacitance: 8e-12,
  sampleTime: 4e-7,
  period: 7e-7,
  startsAt: 'own',
} as const;

/** Uniform numbers above 0 and below 1, one after another. */
function uniform(seed: number): () => number {
  let s = seed;
  return () => {
    s = (s * 48271) % 2147483647;
    return s / 2147483647;
  };
}

describe('brute force: Langevin steps of the circuit', () => {
  it('variance of one conversion, correlation of neighbours, variance of the mean of 8', () => {
    // Each resistance carries a current noise of 4kT/R one-sided: 2kT/(R·dt) in a step; unit kT = 1e-12.
    const kT = 1e-12;
    const u = uniform(20240);
    const gauss = (): number => Math.sqrt(-2 * Math.log(u())) * Math.cos(2 * Math.PI * u());
    const { sourceResistance: rs, pinCapacitance: cp, switchResistance: rsw, sampleCapacitance: cs } = own;
    const dt = 1e-9;
    let pin = 0;
    let held = 0;
    const values: number[] = [];
    for (let n = 0; n < 10000; n++) {
      const closed = Math.round(own.sampleTime / dt);
      const whole = Math.round(own.period / dt);
      for (let i = 0; i < whole; i++) {
        const fromSource = -pin / rs + Math.sqrt((2 * kT) / (rs * dt)) * gauss();
        let through = 0;
        if (i < closed) through = (held - pin) / rsw + Math.sqrt((2 * kT) / (rsw * dt)) * gauss();
        pin += (dt * (fromSource + through)) / cp;
        held -= (dt * through) / cs;
        if (i === closed - 1) values.push(held);
      }
    }
    const unit = kT / cs;
    const variance = values.reduce((sum, v) => sum + v * v, 0) / values.length / unit;
    const lagged = values.slice(1).reduce((sum, v, i) => sum + v * values[i]!, 0) / values.length / unit;
    let means = 0;
    for (let i = 0; i + 8 <= values.length; i += 8) {
      means += (values.slice(i, i + 8).reduce((sum, v) => sum + v, 0) / 8) ** 2;
    }
    means /= Math.floor(values.length / 8) * unit;
    const answer = burstThermalNoise({ ...own, ratio: 8 });
    // Three standard deviations of the estimate: √(2/n) for a variance of n independent values, 1/√n for a correlation,
    // widened by the few conversions over which neighbours are alike; 4 % of variance from the steps of 1 ns (τ 11 ns).
    expectNear(variance, 1, 0.05 + 0.04, 'variance of one');
    expectNear(lagged / variance, answer.correlation, 0, 'correlation', 0.04);
    expectNear(means / variance, (answer.mean / answer.conversion) ** 2, 0.12, 'variance of the mean');
  });
});

describe('against the settling', () => {
  it('conversions m apart are as alike as a deviation is left after m', () => {
    const { period, startsAt, ...network } = own;
    const left = (count: number): number =>
      settle({ ...network, startsAt, period, count, sourceVoltage: -1 }).error;
    for (const ratio of [1, 2, 5, 64]) {
      let sum = 1;
      for (let m = 1; m < ratio; m++) sum += 2 * (1 - m / ratio) * left(m);
      const { conversion, mean, effectiveRatio } = burstThermalNoise({ ...own, ratio });
      expectNear((mean / conversion) ** 2, sum / ratio, 1e-12, `mean of ${ratio}`);
      expectNear(effectiveRatio, ratio / sum, 1e-12, `equivalent of ${ratio}`);
    }
  });
});

describe('limits', () => {
  it('where C_s comes from another channel the conversions are independent', () => {
    const answer = burstThermalNoise({ ...own, startsAt: 'previous', ratio: 64, temperature: 300 });
    const conversion = thermalNoise({ sampleCapacitance: 8e-12, temperature: 300 });
    expect(answer).toEqual({ conversion, mean: conversion / 8, correlation: 0, effectiveRatio: 64 });
  });

  it('a long sample time makes them independent, a short one all but the same', () => {
    const long = burstThermalNoise({ ...own, sampleTime: 1e-4, period: 1e-3, ratio: 1024 });
    expectNear(long.effectiveRatio, 1024, 1e-12);
    const short = burstThermalNoise({ ...own, sampleTime: 1e-16, period: 1e-6, ratio: 1024 });
    expectNear(short.effectiveRatio, 1, 1e-4);
  });
});

describe('errors', () => {
  it('names the argument, the value and the range', () => {
    expect(() => thermalNoise({ sampleCapacitance: 1e-12, temperature: -3 })).toThrow(
      new RangeError('thermalNoise.temperature: got -3; allowed 0.001 … 10000 K'),
    );
    expect(() => burstThermalNoise({ ...own, ratio: 0 })).toThrow(RangeError);
    expect(() => burstThermalNoise({ ...own, period: 1e-9, ratio: 2 })).toThrow(
      new RangeError('burstThermalNoise.period: got 1e-9; allowed from sampleTime, 4e-7 s'),
    );
  });
});

import { describe, expect, it } from 'vitest';
import { boxcarGain, burstLag } from '../../../src/chain/averaging/boxcar.ts';
import { expectNear } from '../../close.ts';

const decibels = (gain: number): number => -20 * Math.log10(Math.abs(gain));

describe('published: gain of the mean of N samples', () => {
  it.each([
    [2, 0.25],
    [4, 0.1138481065],
    [8, 0.05574541828],
    [16, 0.02773093874],
    [256, 0.001730271045],
  ])('−3 dB of N = %i at %d of the rate (formula)', (ratio, frequency) => {
    expectNear(boxcarGain({ frequency, ratio, interval: 1 }), Math.SQRT1_2, 1e-8);
  });

  it('1 kHz, N = 20: zero at multiples of 50 Hz, 39.879 dB at 49.5 Hz (formula)', () => {
    for (let n = 1; n < 20; n++) {
      expectNear(boxcarGain({ frequency: 50 * n, ratio: 20, interval: 1e-3 }), 0, 0, '', 1e-14);
    }
    expectNear(decibels(boxcarGain({ frequency: 49.5, ratio: 20, interval: 1e-3 })), 39.87909597, 1e-9);
  });
});

describe('by summing the samples', () => {
  it('is the mean of a sine over the burst, over its value in the middle', () => {
    for (const ratio of [1, 2, 3, 8, 25]) {
      for (const frequency of [0, 0.01, 0.4, 0.5, 0.77, 1, 1.3, 2, 3.0000001]) {
        let mean = 0;
        for (let n = 0; n < ratio; n++)
          mean += Math.cos(2 * Math.PI * frequency * (n - (ratio - 1) / 2)) / ratio;
        expectNear(boxcarGain({ frequency, ratio, interval: 1 }), mean, 0, `${ratio} ${frequency}`, 1e-13);
      }
    }
  });

  it('a slope is behind its last sample by half the burst less one', () => {
    for (const [slope, ratio] of [
      [3, 1],
      [-2, 16],
      [0.5, 257],
    ] as const) {
      let mean = 0;
      for (let n = 0; n < ratio; n++) mean += (slope * n * 1e-4) / ratio;
      expectNear(burstLag({ slope, ratio, interval: 1e-4 }), slope * (ratio - 1) * 1e-4 - mean, 1e-12);
    }
  });
});

describe('errors', () => {
  it('name the argument, the value and the range', () => {
    expect(() => boxcarGain({ frequency: -1, ratio: 2, interval: 1 })).toThrow(
      new RangeError('boxcarGain.frequency: got -1; allowed finite numbers from 0 Hz'),
    );
    expect(() => burstLag({ slope: 1, ratio: 2, interval: 0 })).toThrow(
      new RangeError('burstLag.interval: got 0; allowed finite numbers above 0 s'),
    );
  });
});

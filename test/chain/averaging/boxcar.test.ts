import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { boxcarGain, burstLag, largestBoxcarGain } from '../../../src/chain/averaging/boxcar.ts';
import { expectNear, expectPrinted } from '../../close.ts';

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

describe('common practice, no source', () => {
  it('20 ms take out 50 Hz, leave −16 dB of 60 Hz and −34 dB of 50 Hz with a clock 2 % off', () => {
    const left = (frequency: number, window: number): number =>
      -decibels(boxcarGain({ frequency, interval: window / 256, ratio: 256 }));
    expectNear(boxcarGain({ frequency: 50, interval: 20e-3 / 256, ratio: 256 }), 0, 0, '', 1e-12);
    expectPrinted(left(60, 20e-3), '-16');
    expectPrinted(left(50, 20e-3 * 1.02), '-34');
  });

  it('a burst of 256 in 0.64 ms rejects nothing', () => {
    expect(boxcarGain({ frequency: 50, interval: 2.5e-6, ratio: 256 })).toBeGreaterThan(0.998);
  });
});

/** The amplitude that is left, by adding up the samples of sine and cosine. */
function summed(frequency: number, interval: number, ratio: number): number {
  let [re, im] = [0, 0];
  for (let i = 0; i < ratio; i++) {
    re += Math.cos(2 * Math.PI * frequency * interval * i);
    im += Math.sin(2 * Math.PI * frequency * interval * i);
  }
  return Math.hypot(re, im) / ratio;
}

describe('the most over a band', () => {
  it('20 ms take out 50 Hz, leave −34 dB where it is 2 % off: common practice, no source', () => {
    const band = { low: 49, high: 51, ratio: 256, interval: 20e-3 / 256 };
    expectPrinted(-decibels(largestBoxcarGain(band)), '-34');
    expectNear(largestBoxcarGain(band), summed(49, band.interval, 256), 1e-9);
  });

  it('is what a fine search over summed samples finds, within a lobe and over many', () => {
    for (const ratio of [1, 2, 3, 5, 16, 33])
      for (const [low, width] of [
        [0.03, 0.01],
        [0.13, 0.3],
        [0.3, 0.65],
        [0.51, 0.2],
        [1.7, 0.25],
        [2.9, 0.2],
      ] as const) {
        let most = 0;
        for (let k = 0; k <= 4000; k++) most = Math.max(most, summed(low + (width * k) / 4000, 1, ratio));
        expectNear(
          largestBoxcarGain({ low, high: low + width, ratio, interval: 1 }),
          most,
          1e-4,
          `${ratio} at ${low}`,
        );
      }
  });
});

describe('by summing the samples', () => {
  it('its magnitude is the amplitude that adding up the samples leaves', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 1e4, noNaN: true }),
        fc.double({ min: 1e-6, max: 1e-2, noNaN: true }),
        fc.integer({ min: 1, max: 300 }),
        (frequency, interval, ratio) =>
          // The sum loses digits in 2π·f·T·i, up to 2e5 radians.
          expectNear(
            Math.abs(boxcarGain({ frequency, interval, ratio })),
            summed(frequency, interval, ratio),
            0,
            '',
            1e-9,
          ),
      ),
      { seed: 5 },
    );
  });

  it('is 1 at rest, and of magnitude 1 for one conversion and where the sine aliases to rest', () => {
    expectNear(boxcarGain({ frequency: 123, interval: 1e-3, ratio: 1 }), 1, 1e-12);
    expect(boxcarGain({ frequency: 0, interval: 1e-3, ratio: 64 })).toBe(1);
    for (const k of [1, 2, 1000])
      expect(Math.abs(boxcarGain({ frequency: k * 1000, interval: 1e-3, ratio: 64 }))).toBe(1);
  });

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
      new RangeError('boxcarGain.frequency: got -1; allowed 0 … 1000000000000000 Hz'),
    );
    expect(() => burstLag({ slope: 1, ratio: 2, interval: 0 })).toThrow(
      new RangeError('burstLag.interval: got 0; allowed finite numbers above 0 s'),
    );
  });
});

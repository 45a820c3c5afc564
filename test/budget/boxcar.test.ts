import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { boxcarGain } from '../../src/budget/boxcar.ts';
import { expectNear, expectPrinted } from '../close.ts';

/** The amplitude that is left, by adding up the samples of sine and cosine. */
function summed(frequency: number, interval: number, ratio: number): number {
  let [re, im] = [0, 0];
  for (let i = 0; i < ratio; i++) {
    re += Math.cos(2 * Math.PI * frequency * interval * i);
    im += Math.sin(2 * Math.PI * frequency * interval * i);
  }
  return Math.hypot(re, im) / ratio;
}

describe('common practice, no source', () => {
  it('20 ms take out 50 Hz, leave −16 dB of 60 Hz and −34 dB of 50 Hz with a clock 2 % off', () => {
    const db = (frequency: number, window: number) =>
      20 * Math.log10(boxcarGain({ frequency, interval: window / 256, ratio: 256 }));
    expect(boxcarGain({ frequency: 50, interval: 20e-3 / 256, ratio: 256 })).toBeLessThan(1e-12);
    expectPrinted(db(60, 20e-3), '-16');
    expectPrinted(db(50, 20e-3 * 1.02), '-34');
  });

  it('a burst of 256 in 0.64 ms rejects nothing', () => {
    expect(boxcarGain({ frequency: 50, interval: 2.5e-6, ratio: 256 })).toBeGreaterThan(0.998);
  });
});

describe('properties', () => {
  it('is what adding up the samples leaves', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 1e4, noNaN: true }),
        fc.double({ min: 1e-6, max: 1e-2, noNaN: true }),
        fc.integer({ min: 1, max: 300 }),
        (frequency, interval, ratio) =>
          // The sum loses digits in 2π·f·T·i, up to 2e5 radians.
          expectNear(
            boxcarGain({ frequency, interval, ratio }),
            summed(frequency, interval, ratio),
            0,
            '',
            1e-9,
          ),
      ),
      { seed: 5 },
    );
  });

  it('is 1 for one conversion, at rest, and where the sine aliases to rest', () => {
    expectNear(boxcarGain({ frequency: 123, interval: 1e-3, ratio: 1 }), 1, 1e-12);
    expect(boxcarGain({ frequency: 0, interval: 1e-3, ratio: 64 })).toBe(1);
    for (const k of [1, 2, 1000])
      expect(boxcarGain({ frequency: k * 1000, interval: 1e-3, ratio: 64 })).toBe(1);
  });
});

describe('errors', () => {
  it('name the argument', () => {
    const of = (extra: object) => () => boxcarGain({ frequency: 50, interval: 1e-3, ratio: 4, ...extra });
    expect(of({ frequency: -1 })).toThrow('boxcarGain.frequency: got -1; allowed 0 … 1000000000000000 Hz');
    expect(of({ interval: 0 })).toThrow('boxcarGain.interval: got 0; allowed 1e-30 … 1000000000000 s');
    expect(of({ ratio: 0 })).toThrow('boxcarGain.ratio: got 0; allowed whole numbers 1 … 65536');
  });
});

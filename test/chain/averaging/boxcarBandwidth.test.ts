import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { boxcarBandwidth } from '../../../src/chain/averaging/boxcarBandwidth.ts';
import { expectNear, expectPrinted } from '../../close.ts';

/** Power that the mean of R samples leaves of a sine, averaged over its phase, by adding the samples up. */
function powerLeft(frequency: number, ratio: number, interval: number): number {
  const phases = 16;
  let power = 0;
  for (let p = 0; p < phases; p++) {
    let sum = 0;
    for (let k = 0; k < ratio; k++) {
      sum += Math.sin(2 * Math.PI * (frequency * k * interval + p / phases));
    }
    power += (2 * (sum / ratio) ** 2) / phases;
  }
  return power;
}

describe('the bandwidth of a burst’s mean', () => {
  it('is where adding up sines leaves half their power, and more below it', () => {
    for (const [ratio, interval] of [
      [2, 1e-3],
      [3, 2e-4],
      [7, 5e-5],
      [64, 11e-6],
      [256, 5e-5],
    ] as const) {
      const f = boxcarBandwidth({ ratio, interval }) as number;
      expectNear(powerLeft(f, ratio, interval), 0.5, 1e-12, `ratio ${ratio}`);
      expect(powerLeft(0.99 * f, ratio, interval)).toBeGreaterThan(0.5);
      expect(powerLeft(1.01 * f, ratio, interval)).toBeLessThan(0.5);
    }
  });

  it('is 0.443 of the burst’s rate for many conversions (common practice, no source)', () => {
    expectPrinted((boxcarBandwidth({ ratio: 1000, interval: 1e-3 }) as number) * 1, '0.443');
    expectPrinted((boxcarBandwidth({ ratio: 65536, interval: 1 / 65536 }) as number) * 1, '0.443');
  });

  it('falls with the ratio and goes as 1 over the interval; one conversion has none', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 2, max: 65535 }),
        fc.double({ min: 1e-9, max: 10, noNaN: true }),
        (r, t) => {
          const f = boxcarBandwidth({ ratio: r, interval: t }) as number;
          expect(f).toBeLessThan(0.5 / t);
          expect(boxcarBandwidth({ ratio: r + 1, interval: t }) as number).toBeLessThan(f);
          expectNear(boxcarBandwidth({ ratio: r, interval: 2 * t }) as number, f / 2, 1e-12);
        },
      ),
    );
    expect(boxcarBandwidth({ ratio: 1, interval: 1e-3 })).toBe('any');
  });

  it('refuses what it cannot take by name', () => {
    expect(() => boxcarBandwidth({ ratio: 0, interval: 1 })).toThrow(/boxcarBandwidth\.ratio: got 0/);
    expect(() => boxcarBandwidth({ ratio: 2, interval: 0 })).toThrow(/boxcarBandwidth\.interval: got 0/);
  });
});

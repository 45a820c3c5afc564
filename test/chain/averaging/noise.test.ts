import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { averagedNoise, type NoiseSources, usefulRatio } from '../../../src/chain/averaging/noise.ts';
import { seededRandom } from '../../../src/numbers/random.ts';
import { expectNear, expectPrinted } from '../../close.ts';

const quiet = { white: 0, flickerCorner: 0, driftPerSecond: 0, rate: 1, observationTime: 1e9 };

describe('white noise', () => {
  it('falls with the root of the ratio', () => {
    for (const ratio of [1, 4, 9, 256, 65536]) {
      const out = averagedNoise({ ...quiet, white: 2, ratio });
      expectNear(out.white, 2 / Math.sqrt(ratio), 1e-15);
      expectNear(out.total, 2 / Math.sqrt(ratio), 1e-15);
      expect([out.correlated, out.flicker, out.drift]).toEqual([0, 0, 0]);
    }
  });
});

describe('correlated noise', () => {
  it('256 conversions with ρ = 0.9 are worth 14, 2.1 bits less (own derivation)', () => {
    const time = -1 / Math.log(0.9);
    const { correlated } = averagedNoise({ ...quiet, correlated: { rms: 1, time }, ratio: 256 });
    expectPrinted(correlated ** -2, '14');
    expectPrinted(Math.log2(256 * correlated ** 2) / 2, '2.1');
  });

  it('is the sum over all pairs of conversions', () => {
    for (const ratio of [1, 2, 7, 100, 999, 1000, 1001]) {
      for (const a of [1e-9, 0.999e-6, 1e-6, 1.001e-6, 1e-3, 0.3, 5, 39, 41]) {
        let sum = ratio;
        for (let n = 1; n < ratio; n++) sum += 2 * (ratio - n) * Math.exp(-a * n);
        const { correlated } = averagedNoise({ ...quiet, correlated: { rms: 3, time: 1 / a }, ratio });
        expectNear(correlated, (3 * Math.sqrt(sum)) / ratio, 2e-12, `R ${ratio} a ${a}`);
      }
    }
  });

  it('with no time constant it is white', () => {
    const { correlated } = averagedNoise({ ...quiet, correlated: { rms: 1, time: 0 }, ratio: 64 });
    expect(correlated).toBe(0.125);
  });

  it('a simulated low-passed noise, seeded, within five standard errors', () => {
    const random = seededRandom(11);
    const rho = 0.8;
    const ratio = 32;
    let state = random.normal();
    let square = 0;
    let fourth = 0;
    const bursts = 20_000;
    for (let n = 0; n < bursts; n++) {
      let mean = 0;
      for (let i = 0; i < ratio; i++) {
        state = rho * state + Math.sqrt(1 - rho * rho) * random.normal();
        mean += state / ratio;
      }
      square += mean ** 2 / bursts;
      fourth += mean ** 4 / bursts;
    }
    const { correlated } = averagedNoise({
      ...quiet,
      correlated: { rms: 1, time: -1 / Math.log(rho) },
      ratio,
    });
    // Neighbouring bursts correlate by less than a tenth, which widens the error by a few per cent at most.
    expectNear(square, correlated ** 2, 0, '', 5 * Math.sqrt((fourth - square ** 2) / bursts));
  });
});

describe('1/f noise', () => {
  const flickerSquare = (ratio: number, observationTime: number) =>
    averagedNoise({ ...quiet, white: 1, flickerCorner: 0.5, ratio, observationTime }).flicker ** 2;

  it('is nearly share·(3/2 − γ − ln(2πR/(f_s·T))) for long bursts', () => {
    const euler = 0.5772156649015329;
    for (const [ratio, time] of [
      [256, 1e8],
      [1000, 1e9],
      [4096, 1e9],
      [32768, 1e9],
    ] as const) {
      // Left out there: the boxcar against sin(x)/x, of order ln R/R², and the start of the integral, of order (R/T)².
      const leftOut = (1 + Math.log(ratio)) / ratio ** 2 + (4 * ratio ** 2) / time ** 2;
      const expected = 1.5 - euler - Math.log((2 * Math.PI * ratio) / time);
      expectNear(flickerSquare(ratio, time), expected, 0, `R ${ratio}`, leftOut);
    }
  });

  it.each([
    [1, 20],
    [2, 20],
    [3, 30],
    [5, 1e3],
    [63, 1e4],
    [64, 1e3],
    [65, 1e3],
    [66, 1e4],
    [257, 5e3],
    [1000, 1e4],
  ])('R = %i over %d conversions: by a fine sum in ln f', (ratio, time) => {
    const low = Math.log(1 / time);
    const step = (Math.log(0.5) - low) / 400_000;
    let sum = 0;
    for (let i = 0; i < 400_000; i++) {
      const y = Math.exp(low + (i + 0.5) * step);
      sum += (Math.sin(Math.PI * ratio * y) / (ratio * Math.sin(Math.PI * y))) ** 2;
    }
    expectNear(flickerSquare(ratio, time), sum * step, 1e-9);
  });

  it('scales with corner, white noise and rate alike', () => {
    const base = { white: 1, flickerCorner: 2, driftPerSecond: 0, ratio: 16, rate: 1e3, observationTime: 10 };
    const { flicker } = averagedNoise(base);
    expectNear(averagedNoise({ ...base, white: 3 }).flicker, 3 * flicker, 1e-14);
    expectNear(averagedNoise({ ...base, flickerCorner: 8 }).flicker, 2 * flicker, 1e-14);
    expectNear(
      averagedNoise({ ...base, rate: 1e5, flickerCorner: 200, observationTime: 0.1 }).flicker,
      flicker,
      1e-13,
    );
  });

  it('a doubling of a long burst takes ln 2 of a share off, no more', () => {
    const { flicker: one } = averagedNoise({ ...quiet, white: 1, flickerCorner: 0.5, ratio: 1024 });
    const { flicker: two } = averagedNoise({ ...quiet, white: 1, flickerCorner: 0.5, ratio: 2048 });
    expectNear(one ** 2 - two ** 2, Math.LN2, 1e-5);
  });
});

describe('drift and total', () => {
  it('the lag is half the burst, whichever way it drifts, and adds to the rest', () => {
    for (const driftPerSecond of [4, -4]) {
      const out = averagedNoise({
        ...quiet,
        white: 3,
        correlated: { rms: 4, time: 0 },
        driftPerSecond,
        rate: 100,
        ratio: 101,
      });
      expectNear(out.drift, 2, 1e-15);
      expectNear(out.total, 5 / Math.sqrt(101) + 2, 1e-14);
    }
  });
});

describe('useful ratio', () => {
  const sources: fc.Arbitrary<NoiseSources> = fc.record({
    white: fc.double({ min: 0, max: 10, noNaN: true }),
    flickerCorner: fc.double({ min: 0, max: 1000, noNaN: true }),
    driftPerSecond: fc.double({ min: -100, max: 100, noNaN: true }),
    correlated: fc.record({
      rms: fc.double({ min: 0, max: 10, noNaN: true }),
      time: fc.double({ min: 0, max: 0.1, noNaN: true }),
    }),
    rate: fc.constant(1000),
    observationTime: fc.double({ min: 1, max: 1e4, noNaN: true }),
  });

  it('each doubling up to it lowers the total by a tenth, and one more does not', () => {
    fc.assert(
      fc.property(sources, (s) => {
        const best = usefulRatio(s);
        const total = (ratio: number) => averagedNoise({ ...s, ratio }).total;
        expect(Math.log2(best) % 1).toBe(0);
        for (let ratio = 1; ratio < best; ratio *= 2)
          expect(total(2 * ratio)).toBeLessThanOrEqual(0.9 * total(ratio));
        if (best < 65536 && s.observationTime >= (20 * best) / s.rate) {
          expect(total(2 * best) > 0.9 * total(best) || total(best) === 0).toBe(true);
        }
      }),
    );
  });

  it('white noise alone has no end but the largest ratio, or the time it is watched', () => {
    expect(usefulRatio({ ...quiet, white: 1 })).toBe(65536);
    expect(usefulRatio({ ...quiet, white: 1, observationTime: 1000 })).toBe(64);
    expect(usefulRatio(quiet)).toBe(1);
  });
});

describe('what no averaging removes', () => {
  it('is added in squares, stays at every ratio, and ends the use of averaging', () => {
    const given = { ...quiet, white: 1, steady: 0.5, ratio: 1024 };
    expectNear(averagedNoise(given).total, Math.hypot(1 / 32, 0.5), 1e-14);
    // √(1/R + 1/4): 0.7071 at 4, 0.6124 at 8, 0.5590 at 16, 0.5303 at 32.
    expect(usefulRatio({ ...quiet, white: 1, steady: 0.5 })).toBe(8);
  });
});

describe('errors', () => {
  it('name the argument, the value and the range', () => {
    const good = { ...quiet, white: 1, ratio: 16, observationTime: 160 };
    expect(averagedNoise(good).white).toBe(0.25);
    expect(() => averagedNoise({ ...good, observationTime: 159 })).toThrow(
      new RangeError(
        'averagedNoise.observationTime: got 159; allowed finite numbers from 10·ratio/rate, 160 s',
      ),
    );
    expect(() => averagedNoise({ ...good, correlated: { rms: -1, time: 1 } })).toThrow(
      new RangeError(
        'averagedNoise.correlated.rms: got -1; allowed finite numbers from 0 of the signal’s unit',
      ),
    );
    expect(() => usefulRatio({ ...quiet, ratio: 2 } as never)).toThrow(TypeError);
  });
});

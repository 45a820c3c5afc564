import { describe, expect, it } from 'vitest';
import { oversample } from '../../../src/chain/averaging/oversample.ts';
import { type DitherShape, ditheredError } from '../../../src/chain/averaging/shapedDither.ts';
import { meanCodeError } from '../../../src/chain/averaging/staircase.ts';
import { seededRandom } from '../../../src/numbers/random.ts';
import { expectNear } from '../../close.ts';

describe('published: [JAES1992] table 1, total error of one conversion (from memory)', () => {
  it('uniform of 1 LSB 0.4082, triangular of 2 LSB 0.5, both without ripple', () => {
    const uniform = ditheredError({ bits: 12, noiseLsb: 0, dither: 'uniform', spanLsb: 1, ratio: 1 });
    expectNear(uniform.rmsErrorLsb, 0.4082482905, 1e-9);
    expect(uniform.rippleLsb).toBeLessThan(1e-8);
    const triangle = ditheredError({ bits: 12, noiseLsb: 0, dither: 'triangle', spanLsb: 2, ratio: 1 });
    expectNear(triangle.rmsErrorLsb, 0.5, 1e-12);
    expect(triangle.rippleLsb).toBeLessThan(1e-8);
  });
});

describe('by averaging the mean transfer curve over the dither', () => {
  /** Offsets that stand for the dither: many quantiles, or those of the ramp. */
  const offsets: Record<DitherShape, (span: number, ratio: number) => number[]> = {
    uniform: (span) => Array.from({ length: 400 }, (_, i) => span * ((i + 0.5) / 400 - 0.5)),
    triangle: (span) =>
      Array.from({ length: 400 }, (_, i) => {
        const p = (i + 0.5) / 400;
        return (span / 2) * (p < 0.5 ? Math.sqrt(2 * p) - 1 : 1 - Math.sqrt(2 - 2 * p));
      }),
    ramp: (span, ratio) => Array.from({ length: ratio }, (_, i) => span * ((i + 0.5) / ratio - 0.5)),
  };

  it.each([
    ['uniform', 0.7, 0.1, 1],
    ['uniform', 0.3, 0.02, 1],
    ['uniform', 1.6, 0.06, 1],
    ['triangle', 1.3, 0.04, 1],
    ['triangle', 0.6, 0.1, 1],
    ['ramp', 1, 0.03, 4],
    ['ramp', 0.8, 0.1, 5],
    ['ramp', 2.5, 0.005, 16],
  ] as const)('%s of %d LSB with σ %d', (dither, spanLsb, noiseLsb, ratio) => {
    const list = offsets[dither](spanLsb, ratio);
    let square = 0;
    const steps = 600;
    for (let i = 0; i < steps; i++) {
      const x = (i + 0.5) / steps;
      let mean = 0;
      for (const o of list) mean += (meanCodeError({ inputLsb: x + o, noiseLsb }) + o) / list.length;
      square += mean ** 2 / steps;
    }
    const { rippleLsb } = ditheredError({ bits: 12, noiseLsb, dither, spanLsb, ratio });
    // A ramp has its offsets exactly; 400 quantiles stand for a density to a few parts in ten thousand.
    expectNear(rippleLsb, Math.sqrt(square), dither === 'ramp' ? 1e-6 : 1e-3, 'ripple', 1e-6);
  });

  it('the two methods meet where they change', () => {
    for (const dither of ['uniform', 'triangle', 'ramp'] as const) {
      for (const spanLsb of [0.01, 0.3, 1, 1.7, 20]) {
        const at = (noiseLsb: number) =>
          ditheredError({ bits: 12, noiseLsb, dither, spanLsb, ratio: 7 }).rippleLsb ** 2;
        // The difference of sixths of a small span's fourth power leaves 1e-8 of triangular dither's ripple.
        expectNear(
          at(0.05 - 1e-12),
          at(0.05),
          0,
          `${dither} ${spanLsb}`,
          dither === 'triangle' ? 1e-8 : 1e-11,
        );
      }
    }
  });
});

describe('by simulation, seeded', () => {
  it.each([
    ['uniform', 0.8, 0.05, 8],
    ['triangle', 1.2, 0, 8],
    ['ramp', 1.5, 0.1, 6],
    ['ramp', 1, 0, 16],
  ] as const)('%s of %d LSB with σ %d, R = %i: within five standard errors', (dither, span, noise, ratio) => {
    const random = seededRandom(99);
    const bursts = 100_000;
    let square = 0;
    let fourth = 0;
    for (let n = 0; n < bursts; n++) {
      const input = 100 * random.uniform();
      let mean = 0;
      for (let i = 0; i < ratio; i++) {
        let offset = span * ((i + 0.5) / ratio - 0.5);
        if (dither === 'uniform') offset = span * (random.uniform() - 0.5);
        if (dither === 'triangle') offset = (span / 2) * (random.uniform() - random.uniform());
        mean += Math.floor(input + offset + noise * random.normal() + 0.5) / ratio;
      }
      square += (mean - input) ** 2 / bursts;
      fourth += (mean - input) ** 4 / bursts;
    }
    const { rmsErrorLsb } = ditheredError({ bits: 12, noiseLsb: noise, dither, spanLsb: span, ratio });
    expectNear(square, rmsErrorLsb ** 2, 0, '', 5 * Math.sqrt((fourth - square ** 2) / bursts));
  });
});

describe('limits', () => {
  it('a short span changes nothing against `oversample` without shift', () => {
    for (const dither of ['uniform', 'triangle', 'ramp'] as const) {
      const with_ = ditheredError({ bits: 12, noiseLsb: 0.3, dither, spanLsb: 0.01, ratio: 64 });
      const without = oversample({ bits: 12, noiseLsb: 0.3, ratio: 64, shift: 0 });
      expectNear(with_.rmsErrorLsb, without.rmsErrorLsb, 1e-3);
    }
  });

  it('a noise-free ramp of 1 LSB in R steps is a staircase R times as fine', () => {
    for (const ratio of [1, 2, 10, 256, 65536]) {
      const out = ditheredError({ bits: 12, noiseLsb: 0, dither: 'ramp', spanLsb: 1, ratio });
      expectNear(out.rmsErrorLsb, 1 / (ratio * Math.sqrt(12)), ratio > 1000 ? 1e-4 : 1e-9);
    }
  });
});

describe('errors', () => {
  it('name the argument, the value and the range', () => {
    const good = { bits: 12, noiseLsb: 0, dither: 'ramp', spanLsb: 1, ratio: 4 } as const;
    expect(() => ditheredError({ ...good, spanLsb: 0 })).toThrow(
      new RangeError('ditheredError.spanLsb: got 0; allowed 0.01 … 64 LSB'),
    );
    expect(() => ditheredError({ ...good, dither: 'sine' as 'ramp' })).toThrow(RangeError);
  });
});

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { accumulate } from '../../../src/chain/averaging/accumulate.ts';
import { oversample, oversampleTable } from '../../../src/chain/averaging/oversample.ts';
import { normalDensity, normalTail } from '../../../src/numbers/normal.ts';
import { seededRandom } from '../../../src/numbers/random.ts';
import { expectNear, expectPrinted } from '../../close.ts';
import { bruteError } from './brute.ts';

type Rounding = 'truncate' | 'round';

describe('published: widths of accumulated 12-bit results', () => {
  it.each([
    [2, 0, 13],
    [8, 0, 15],
    [16, 0, 16],
    [32, 1, 16],
    [256, 4, 16],
    [1024, 6, 16],
  ])('[ACCUMULATION] table "Accumulation": %i conversions, shift %i, %i bits', (ratio, shift, bits) => {
    const { resultBits, overflows } = oversample({ bits: 12, noiseLsb: 0.5, ratio, shift });
    expect([resultBits, overflows]).toEqual([bits, false]);
  });

  it.each([
    [2048, 7],
    [4096, 8],
  ])('[REFERENCEMANUAL] table 26.4: ratio %i, shift %i, 16 bits', (ratio, shift) => {
    const { resultBits, overflows } = oversample({ bits: 12, noiseLsb: 0.5, ratio, shift });
    expect([resultBits, overflows]).toEqual([16, false]);
  });

  it.each([
    [4, 1, 13],
    [16, 2, 14],
    [256, 4, 16],
  ])('[ACCUMULATION] table of oversampling: %i conversions, shift %i, %i bits', (ratio, shift, bits) => {
    expect(oversample({ bits: 12, noiseLsb: 0.5, ratio, shift }).resultBits).toBe(bits);
  });

  it('[ACCUMULATION] 12 to 17 bits takes 1024 conversions and a shift of 5', () => {
    const { resultBits, largestCode, overflows } = oversample({
      bits: 12,
      noiseLsb: 0.5,
      ratio: 1024,
      shift: 5,
    });
    expect([resultBits, largestCode, overflows]).toEqual([17, 131040, true]);
  });

  it('256 of code 4095 make 1048320, and 65520 after a shift of 4', () => {
    expect(oversample({ bits: 12, noiseLsb: 0, ratio: 256, shift: 0 }).largestCode).toBe(1048320);
    expect(oversample({ bits: 12, noiseLsb: 0, ratio: 256, shift: 4 }).largestCode).toBe(65520);
  });

  it('a register of b bits holds 2^b − 1 and no more', () => {
    const at = (ratio: number) =>
      oversample({ bits: 1, noiseLsb: 0, ratio, shift: 0, registerBits: 2 }).overflows;
    expect([at(3), at(4)]).toEqual([false, true]);
  });

  it('256/9 rounding reaches 2048, one bit more than truncating', () => {
    const at = (rounding: Rounding) =>
      oversample({ bits: 12, noiseLsb: 0.45, ratio: 256, shift: 9, rounding });
    expect([at('round').largestCode, at('round').resultBits]).toEqual([2048, 12]);
    expect([at('truncate').largestCode, at('truncate').resultBits]).toEqual([2047, 11]);
  });
});

describe('published: the rule of thumb', () => {
  it.each([
    [4, 1],
    [16, 2],
    [64, 3],
    [256, 4],
    [65536, 8],
  ])('[AN118] %i conversions are worth %i bits', (ratio, bits) => {
    expect(oversample({ bits: 12, noiseLsb: 1, ratio, shift: 0 }).ruleOfThumbBits).toBe(12 + bits);
  });

  it('a doubling is worth half a bit, 3 dB (formula)', () => {
    const at = (ratio: number) => oversample({ bits: 10, noiseLsb: 1, ratio, shift: 0 }).ruleOfThumbBits - 10;
    expectNear(at(100), 3.321928095, 1e-9);
    expectNear(at(40), 2.660964047, 1e-9);
  });
});

describe('published: [JAES1992] table 1, total error of one dithered conversion (from memory)', () => {
  it('no dither 1/√12, normal dither of half a code width 1/√3', () => {
    expectNear(
      oversample({ bits: 12, noiseLsb: 0, ratio: 1, shift: 0 }).rmsErrorLsb,
      1 / Math.sqrt(12),
      1e-15,
    );
    // Exact: the published figure takes the quantization as white, which is true of one conversion.
    expectNear(
      oversample({ bits: 12, noiseLsb: 0.5, ratio: 1, shift: 0 }).rmsErrorLsb,
      1 / Math.sqrt(3),
      1e-15,
    );
  });

  it.each([
    [1, 256, 0.06505206248],
    [0.5, 16, 0.1443375673],
    [0.7, 64, 0.09464847243],
  ])('Sheppard: σ %d, mean of %i, within 2 %% of √((σ² + 1/12)/R)', (noiseLsb, ratio, expected) => {
    expectNear(oversample({ bits: 12, noiseLsb, ratio, shift: 0 }).rmsErrorLsb, expected, 0.02);
  });
});

describe('own derivation, found by simulation too (12 bits)', () => {
  it.each([
    [0.5, 256, 4, 'truncate', '-0.029297', '0.040360'],
    [0.2, 10, 3, 'truncate', '-0.337420', '0.272204'],
    [0.2, 10, 3, 'round', '0.062580', '0.272204'],
    [0.3, 100, 4, 'truncate', '-0.075000', '0.072764'],
    [0.3, 48, 5, 'truncate', '-0.322372', '0.204001'],
    [0.2, 6, 3, 'round', '0.111656', '0.417503'],
    [0.45, 256, 9, 'round', '0.002029', '0.578329'],
    [0.3, 4, 6, 'truncate', '-7.796946', '4.623024'],
  ] as const)('σ %d, %i/%i %s', (noiseLsb, ratio, shift, rounding, bias, rms) => {
    const out = oversample({ bits: 12, noiseLsb, ratio, shift, rounding });
    expectPrinted(out.biasLsb, bias, 'bias');
    expectPrinted(out.rmsErrorLsb, rms, 'rms');
  });

  it.each([
    [0.5, 4, '14.838'],
    [0.5, 0, '14.999'],
    [0.2, 0, '13.467'],
    [1, 0, '14.150'],
  ])('σ %d, 256/%i: effective bits', (noiseLsb, shift, bits) => {
    expectPrinted(oversample({ bits: 12, noiseLsb, ratio: 256, shift }).effectiveBits, bits);
  });
});

describe('by convolution and evenly spaced inputs', () => {
  const roundings: Rounding[] = ['truncate', 'round'];
  // Steps a code: enough that the sum over inputs, which is periodic, is exact to rounding.
  const cases: [noise: number, ratio: number, shifts: number[], steps: number][] = [
    [0.3, 1, [0, 1, 3, 6], 64],
    [0.15, 2, [0, 1, 2, 5], 256],
    [0.1, 3, [1, 4], 256],
    [0.1, 4, [1, 2, 3], 256],
    [0.6, 4, [2, 7], 64],
    [0.02, 4, [1, 2, 4], 4096],
    [0.05, 12, [1, 2, 3, 5], 2048],
    [0.2, 6, [1, 2, 4], 256],
    [0.15, 16, [1, 2, 3, 4, 5, 8], 512],
    [1.2, 16, [4, 6], 64],
    [1.2, 2, [1, 3], 64],
    [0.25, 40, [2, 3, 5, 7], 512],
    [0.4, 64, [3, 5, 6, 7], 256],
    [0.15, 100, [1, 2, 5], 1024],
    [0.3, 256, [2, 4, 6, 8, 10], 512],
  ];
  it.each(cases)('σ %d, ratio %i, shifts %j', (noiseLsb, ratio, shifts, steps) => {
    for (const shift of shifts) {
      for (const rounding of roundings) {
        const expected = bruteError(noiseLsb, ratio, shift, rounding, steps);
        const { biasLsb, rmsErrorLsb } = oversample({ bits: 12, noiseLsb, ratio, shift, rounding });
        const what = `σ ${noiseLsb}, ${ratio}/${shift} ${rounding}`;
        expectNear(biasLsb, expected.bias, 1e-9, `${what} bias`, 1e-10);
        expectNear(rmsErrorLsb, expected.rms, 1e-9, `${what} rms`);
      }
    }
  });

  it('a long shift after a short sum: 4/20, 3/12', () => {
    for (const [ratio, shift] of [
      [4, 12],
      [3, 12],
      [2, 14],
    ] as const) {
      const expected = bruteError(0.15, ratio, shift, 'round', 64);
      const out = oversample({ bits: 12, noiseLsb: 0.15, ratio, shift, rounding: 'round' });
      // Squares of some thousand codes are averaged here: 1e-9 of them is the brute sum's own rounding.
      expectNear(out.biasLsb, expected.bias, 1e-9, 'bias', 1e-4);
      expectNear(out.rmsErrorLsb, expected.rms, 1e-7, 'rms');
    }
  });
});

describe('by order statistics, where the noise is far under a code width', () => {
  /** Mean and mean square of the j-th smallest of n standard normal deviates, by its density. */
  function orderStatistic(j: number, n: number, logChoice: number): { mean: number; square: number } {
    let mass = 0;
    let mean = 0;
    let square = 0;
    for (let i = -20000; i <= 20000; i++) {
      const z = i / 2500;
      const below = normalTail(-z);
      const above = normalTail(z);
      const density =
        Math.exp(logChoice + (j - 1) * Math.log(below) + (n - j) * Math.log(above)) * normalDensity(z);
      mass += density;
      mean += density * z;
      square += density * z * z;
    }
    return { mean: mean / mass, square: square / mass };
  }

  // With all R transitions of a burst near ½ + σZ, the sum passes m where the m-th smallest Z lies. The error of the result is
  // that of a staircase of step Δ = 2^s/R whose w-th edge stands off w·Δ by τ_w: bias −Δ/2 − E τ, variance Δ²/12 + Var τ.
  it.each([
    [0.03, 1024, 10, 'round'],
    [0.03, 1024, 7, 'truncate'],
    [0.05, 4096, 12, 'truncate'],
    [0.05, 4096, 9, 'round'],
    [0.001, 65536, 16, 'round'],
    [0.04, 65536, 13, 'truncate'],
    [0.04, 65536, 14, 'round'],
  ] as const)('σ %d, %i/%i %s', (noiseLsb, ratio, shift, rounding) => {
    const step = 2 ** shift / ratio;
    const added = rounding === 'round' ? 2 ** (shift - 1) : 0;
    let mean = 0;
    let square = 0;
    const edges = ratio / 2 ** shift;
    for (let w = 1; w <= edges; w++) {
      const m = w * 2 ** shift - added;
      // Peak of the exponent taken out; the mass normalizes the rest.
      const peak = (m - 0.5) / ratio;
      const logPeak = (m - 1) * Math.log(peak) + (ratio - m) * Math.log1p(-peak);
      const z = orderStatistic(m, ratio, -logPeak);
      const offset = 0.5 - w * step;
      mean += (offset + noiseLsb * z.mean) / edges;
      square += (offset * offset + 2 * offset * noiseLsb * z.mean + noiseLsb ** 2 * z.square) / edges;
    }
    const out = oversample({ bits: 12, noiseLsb, ratio, shift, rounding });
    expectNear(out.biasLsb, -step / 2 - mean, 0, 'bias', 1e-11);
    expectNear(out.rmsErrorLsb, Math.sqrt(step ** 2 / 12 + square - mean ** 2), 1e-11, 'rms');
  });
});

describe('by simulation of the hardware, seeded', () => {
  it.each([
    [0.5, 256, 4, 'truncate', 4000],
    [0.2, 10, 3, 'truncate', 100000],
    [0.2, 6, 3, 'round', 150000],
    [0.3, 48, 5, 'truncate', 20000],
    [0.3, 4, 6, 'truncate', 200000],
    [0.25, 4096, 12, 'round', 300],
  ] as const)(
    'σ %d, %i/%i %s: bias and rms within five standard errors',
    (noiseLsb, ratio, shift, rounding, bursts) => {
      const random = seededRandom(20260701 + ratio);
      const codes = new Int32Array(bursts * ratio);
      const inputs = new Float64Array(bursts);
      const noise = random.fillNormal(new Float64Array(ratio * bursts));
      for (let n = 0; n < bursts; n++) {
        inputs[n] = 1024 + 64 * random.uniform();
        for (let i = 0; i < ratio; i++) {
          codes[n * ratio + i] = Math.floor(inputs[n]! + noiseLsb * noise[n * ratio + i]! + 0.5);
        }
      }
      const results = accumulate({ codes, ratio, shift, rounding, registerBits: 31, onOverflow: 'saturate' });
      const errors = Array.from(results, (c, n) => (c * 2 ** shift) / ratio - inputs[n]!);
      const mean = errors.reduce((a, e) => a + e, 0) / bursts;
      const squares = errors.map((e) => (e - mean) ** 2);
      const variance = squares.reduce((a, e) => a + e, 0) / (bursts - 1);
      const spread = Math.sqrt(squares.reduce((a, e) => a + (e - variance) ** 2, 0) / bursts);
      const out = oversample({ bits: 12, noiseLsb, ratio, shift, rounding });
      expectNear(mean, out.biasLsb, 0, 'bias', 5 * Math.sqrt(variance / bursts));
      expectNear(variance, out.rmsErrorLsb ** 2, 0, 'variance', (5 * spread) / Math.sqrt(bursts));
    },
  );
});

describe('table', () => {
  it('has the rows of single settings, ratio by ratio', () => {
    const ratios = [1, 3, 16, 48, 256, 1000, 4096];
    const shifts = [0, 2, 4, 8, 13];
    for (const rounding of ['truncate', 'round'] as const) {
      for (const noiseLsb of [0, 1e-6, 0.08, 0.3, 0.9, 30]) {
        const rows = oversampleTable({ bits: 12, noiseLsb, ratios, shifts, rounding, registerBits: 18 });
        expect(rows.map(({ ratio, shift }) => [ratio, shift])).toEqual(
          ratios.flatMap((r) => shifts.map((s) => [r, s])),
        );
        for (const { ratio, shift, ...worth } of rows) {
          const one = oversample({ bits: 12, noiseLsb, ratio, shift, rounding, registerBits: 18 });
          for (const key of Object.keys(one) as (keyof typeof one)[]) {
            expectNear(Number(worth[key]), Number(one[key]), 1e-12, `${ratio}/${shift} ${key}`, 1e-12);
          }
        }
      }
    }
  });
});

describe('properties', () => {
  const settings = fc.record({
    bits: fc.integer({ min: 1, max: 24 }),
    noiseLsb: fc.oneof(
      fc.double({ min: 0, max: 100, noNaN: true }),
      fc.double({ min: 0, max: 0.5, noNaN: true }),
      fc.double({ min: 0, max: 1e-4, noNaN: true }),
    ),
    ratio: fc.oneof(
      fc.integer({ min: 1, max: 65536 }),
      fc.integer({ min: 0, max: 16 }).map((e) => 2 ** e),
    ),
    shift: fc.integer({ min: 0, max: 20 }),
    rounding: fc.constantFrom<Rounding>('truncate', 'round'),
  });

  it('all figures are finite, and no error is less than that of one result code', () => {
    fc.assert(
      fc.property(settings, (s) => {
        const out = oversample(s);
        for (const [key, value] of Object.entries(out)) {
          expect(typeof value === 'boolean' || Number.isFinite(value), `${key} ${value}`).toBe(true);
        }
        expect(out.rmsErrorLsb).toBeGreaterThanOrEqual((out.resultLsb / Math.sqrt(12)) * (1 - 1e-9));
        // Without shift nothing is under the ripple; a coarse result may be, as it takes some sums and not others.
        const unshifted = oversample({ ...s, shift: 0 });
        expect(unshifted.rmsErrorLsb).toBeGreaterThanOrEqual(out.rippleLsb * (1 - 1e-12));
        expect(out.effectiveBits).toBeLessThanOrEqual(s.bits + Math.log2(s.ratio) - s.shift + 1e-9);
      }),
      { numRuns: 150 },
    );
  });

  it('rounding moves the bias up by half a result code, where the sum spans many of them', () => {
    for (const [noiseLsb, ratio, shift] of [
      [0.5, 256, 4],
      [1, 1024, 5],
      [5, 64, 6],
    ] as const) {
      const at = (rounding: Rounding) => oversample({ bits: 12, noiseLsb, ratio, shift, rounding }).biasLsb;
      expectNear(at('truncate'), -(2 ** shift - 1) / (2 * ratio), 1e-9);
      expectNear(at('round'), 1 / (2 * ratio), 1e-9);
    }
  });

  it('R odd: the part shifted out is uniform whatever the noise', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 3, noNaN: true }),
        fc.integer({ min: 0, max: 500 }),
        fc.integer({ min: 1, max: 12 }),
        (noiseLsb, half, shift) => {
          const ratio = 2 * half + 1;
          const still = oversample({ bits: 12, noiseLsb, ratio, shift: 0 }).rmsErrorLsb;
          const out = oversample({ bits: 12, noiseLsb, ratio, shift });
          expectNear(out.rmsErrorLsb ** 2, still ** 2 + (4 ** shift - 1) / (12 * ratio ** 2), 1e-12);
        },
      ),
    );
  });

  it('bits, and the register, change no error', () => {
    const a = oversample({ bits: 8, noiseLsb: 0.2, ratio: 64, shift: 5 });
    const b = oversample({ bits: 16, noiseLsb: 0.2, ratio: 64, shift: 5, registerBits: 8 });
    expect([a.biasLsb, a.rmsErrorLsb]).toEqual([b.biasLsb, b.rmsErrorLsb]);
    expect([a.overflows, b.overflows]).toEqual([false, true]);
  });
});

describe('limits', () => {
  it('without noise the sum is R times one code: R a power of two loses nothing to a shift of log2 R, and gains nothing', () => {
    for (const shift of [0, 4, 8]) {
      const out = oversample({ bits: 12, noiseLsb: 0, ratio: 256, shift });
      expectNear(out.biasLsb, 0, 0, 'bias', 1e-15);
      expectNear(out.effectiveBits, 12, 1e-14);
    }
    const { biasLsb, rmsErrorLsb } = oversample({ bits: 12, noiseLsb: 0, ratio: 6, shift: 3 });
    const expected = bruteError(0, 6, 3, 'truncate', 6000);
    expectNear(biasLsb, expected.bias, 1e-12);
    // Evenly spaced inputs miss h²/12 of the mean square.
    expectNear(rmsErrorLsb ** 2, expected.rms ** 2 + 1 / (12 * 6000 ** 2), 1e-9);
  });

  it('the figures pass smoothly to those without noise, and to those of wide noise', () => {
    for (const [ratio, shift] of [
      [256, 8],
      [48, 5],
      [65536, 12],
      [16, 2],
    ] as const) {
      const at = (noiseLsb: number) => oversample({ bits: 12, noiseLsb, ratio, shift, rounding: 'round' });
      expectNear(at(1e-9).rmsErrorLsb, at(0).rmsErrorLsb, 0, 'rms', 1e-8);
      expectNear(at(1e-320).rmsErrorLsb, at(0).rmsErrorLsb, 1e-15);
      expectNear(at(1e-9).biasLsb, at(0).biasLsb, 0, 'bias', 1e-8);
      expectNear(at(1.6 - 1e-12).rmsErrorLsb, at(1.6).rmsErrorLsb, 1e-10);
      expectNear(at(1.6 - 1e-12).biasLsb, at(1.6).biasLsb, 0, 'bias', 1e-10);
    }
  });

  it('R = 1, s = 0 is one conversion', () => {
    for (const noiseLsb of [0, 0.1, 0.7, 20]) {
      const out = oversample({ bits: 12, noiseLsb, ratio: 1, shift: 0 });
      expectNear(out.rmsErrorLsb, Math.sqrt(noiseLsb ** 2 + 1 / 12), 1e-15);
      expect(Math.abs(out.biasLsb)).toBe(0);
    }
  });
});

describe('errors', () => {
  const good = { bits: 12, noiseLsb: 0.5, ratio: 16, shift: 2 };
  it.each([
    [{ ...good, ratio: 0 }, 'oversample.ratio: got 0; allowed whole numbers 1 … 65536'],
    [{ ...good, shift: 21 }, 'oversample.shift: got 21; allowed whole numbers 0 … 20'],
    [{ ...good, noiseLsb: -0.1 }, 'oversample.noiseLsb: got -0.1; allowed 0 … 1000000 LSB'],
    [{ ...good, bits: 0 }, 'oversample.bits: got 0; allowed whole numbers 1 … 32'],
    [{ ...good, registerBits: 54 }, 'oversample.registerBits: got 54; allowed whole numbers 1 … 53'],
    [{ ...good, rounding: 'up' }, "oversample.rounding: got \"up\"; allowed 'truncate' or 'round'"],
  ])('%j', (given, message) => {
    expect(() => oversample(given as never)).toThrow(new RangeError(message));
  });

  it('of the table', () => {
    const { ratio: _r, shift: _s, ...rest } = good;
    expect(() => oversampleTable({ ...rest, ratios: [2, 0], shifts: [1] })).toThrow(
      new RangeError(
        'oversampleTable.ratios: got an array of 2; allowed an array of whole numbers 1 … 65536',
      ),
    );
    expect(() => oversample({ ...good, noise: 1 } as never)).toThrow(
      new TypeError('oversample: no argument is named "noise"; the nearest is "noiseLsb"'),
    );
  });
});

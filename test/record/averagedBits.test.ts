import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { oversample } from '../../src/chain/averaging/oversample.ts';
import { seededRandom } from '../../src/numbers/random.ts';
import { averagedBits, averagedBitsStream } from '../../src/record/averagedBits.ts';
import { expectNear } from '../close.ts';

/** Standard deviation of means of R, one by one. */
function scatter(codes: ArrayLike<number>, R: number): number {
  const means: number[] = [];
  for (let n = 0; (n + 1) * R <= codes.length; n++) {
    let sum = 0;
    for (let i = 0; i < R; i++) sum += codes[n * R + i]!;
    means.push(sum / R);
  }
  const mean = means.reduce((a, x) => a + x, 0) / means.length;
  return Math.sqrt(means.reduce((a, x) => a + (x - mean) ** 2, 0) / (means.length - 1));
}

describe('by averaging one by one', () => {
  it('any codes, also negative, in pieces of any size', () => {
    const record = fc.array(fc.integer({ min: -500, max: 1000 }), { minLength: 2, maxLength: 70 });
    fc.assert(
      fc.property(record, fc.integer({ min: 1, max: 9 }), (codes, piece) => {
        const rows = averagedBits({ codes, bits: 10 });
        expect(rows.map((row) => row.ratio)).toEqual(
          [1, 2, 4, 8, 16, 32].filter((R) => Math.floor(codes.length / R) >= 2),
        );
        for (const { ratio, results, standardDeviation, effectiveBits } of rows) {
          expect(results).toBe(Math.floor(codes.length / ratio));
          expectNear(standardDeviation, scatter(codes, ratio), 1e-10, `ratio ${ratio}`, 1e-10);
          if (standardDeviation === 0) expect(effectiveBits).toBe('any');
          else expectNear(effectiveBits as number, 10 - Math.log2(Math.sqrt(12) * standardDeviation), 1e-12);
        }
        const stream = averagedBitsStream({ bits: 10 });
        for (let i = 0; i < codes.length; i += piece) stream.add(codes.slice(i, i + piece));
        expect(stream.rows()).toEqual(rows);
      }),
      { seed: 19 },
    );
  });
});

describe('against what is computed from the noise: σ 1, input spread over codes, 2^20 conversions, seed 12', () => {
  it('ratios 1 … 256 within four standard uncertainties', () => {
    const random = seededRandom(12);
    // Each burst of 256 has an input of its own: taken out again, what is left is noise and quantization.
    const rows = [1, 4, 16, 64, 256].map((R) => {
      let squares = 0;
      const bursts = 2 ** 20 / 256;
      for (let b = 0; b < bursts; b++) {
        const input = random.uniform();
        const codes = Array.from({ length: R }, () => Math.round(100 + input + random.normal()) - input);
        squares += (codes.reduce((a, x) => a + x, 0) / R - 100) ** 2;
      }
      return { R, rms: Math.sqrt(squares / bursts) };
    });
    for (const { R, rms } of rows)
      expectNear(
        rms,
        oversample({ bits: 12, noiseLsb: 1, ratio: R, shift: 0 }).rmsErrorLsb,
        4 / Math.sqrt(2 * 4096),
        `ratio ${R}`,
      );
  });

  it('a still input at a code centre: scatter by the variance of the code alone', () => {
    const codes = seededRandom(13)
      .fillNormal(new Float64Array(2 ** 20))
      .map((z) => Math.round(2000 + z));
    for (const { ratio, results, standardDeviation, whiteDeviation, uncertaintyBits } of averagedBits({
      codes,
      bits: 12,
    })) {
      if (results < 100) break;
      const relative = 4 / Math.sqrt(2 * results);
      expectNear(standardDeviation, Math.sqrt((1 + 1 / 12) / ratio), relative + 1e-3, `ratio ${ratio}`);
      expectNear(whiteDeviation, Math.sqrt((1 + 1 / 12) / ratio), 1e-2);
      expectNear(uncertaintyBits, 1 / (Math.LN2 * Math.sqrt(2 * (results - 1))), 1e-12);
    }
  });
});

describe('what hangs together does not average away', () => {
  it('a slow wave of 0.2 LSB stays', () => {
    const random = seededRandom(14);
    const codes = Array.from({ length: 2 ** 18 }, (_, i) =>
      Math.round(2000 + random.normal() + 0.2 * Math.SQRT2 * Math.sin((2 * Math.PI * i) / 2 ** 16)),
    );
    const row = averagedBits({ codes, bits: 12 }).find((r) => r.ratio === 1024)!;
    expectNear(row.standardDeviation, Math.sqrt(0.04 + (1 + 1 / 12) / 1024), 0.05);
    expect(row.standardDeviation).toBeGreaterThan(4 * row.whiteDeviation);
  });
});

describe('limits and errors', () => {
  it('ratios end where sums would pass 31 bits, or at the largest asked for', () => {
    const codes = new Uint16Array(2 ** 14).map((_, i) => 65535 - (i & 1));
    expect(averagedBits({ codes, bits: 20 }).at(-1)!.ratio).toBe(1024);
    expect(averagedBits({ codes, bits: 16, largest: 100 }).at(-1)!.ratio).toBe(64);
  });

  it('the largest sums are kept whole', () => {
    const codes = new Uint32Array(2 ** 11).fill(2 ** 20 - 1);
    codes[0]!--;
    const rows = averagedBits({ codes, bits: 20 });
    expectNear(rows.at(-1)!.standardDeviation, scatter(codes, 1024), 1e-12);
  });

  it('a code that does not fit', () => {
    expect(() => averagedBits({ codes: [1, 5000], bits: 12 })).toThrow('got code 5000; allowed -2048 … 4095');
    expect(() => averagedBits({ codes: [1], bits: 12 })).toThrow('averagedBits.codes');
    expect(() => averagedBitsStream({ bits: 31 })).toThrow('averagedBitsStream.bits: got 31');
  });
});

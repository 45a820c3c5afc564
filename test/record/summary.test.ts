import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { seededRandom } from '../../src/numbers/random.ts';
import { ratio } from '../../src/record/ratio.ts';
import { summarizeCodes, summaryOfSums, summaryStream } from '../../src/record/summary.ts';
import { addedSums, type CodeSums, codeSums, noSums } from '../../src/record/sums.ts';
import { expectNear, expectPrinted } from '../close.ts';
import { column } from './series.ts';

/** A record with the standard deviation wanted: ±a in turn has s = a·√(M/(M − 1)). */
const swinging = (a: number, count: number, middle: number): number[] =>
  Array.from({ length: count }, (_, i) => middle + (i % 2 ? a : -a));

describe('published', () => {
  it('[SP1065] table 30: mean and standard deviation of 9 values', () => {
    const { mean, standardDeviation } = summarizeCodes({ codes: column('allan-9.csv', 'y'), bits: 10 });
    expectPrinted(mean, '788.8889');
    expectPrinted(standardDeviation, '100.9770');
  });

  it('[SP1065] table 31: mean and standard deviation of 1000 values, kept as whole multiples of 1/2147483647', () => {
    const { mean, standardDeviation } = summarizeCodes({ codes: column('allan-1000.csv', 'n'), bits: 31 });
    expectPrinted(mean / 2147483647, '4.897745e-01');
    expectPrinted(standardDeviation / 2147483647, '2.884664e-01');
  });

  it('[MT004] noise-free bits lie log2 6.6 = 2.7 below the effective resolution (from memory)', () => {
    const { noiseFreeBits, effectiveResolution } = summarizeCodes({ codes: [5, 6, 6, 7], bits: 12 });
    expectPrinted((effectiveResolution as number) - (noiseFreeBits as number), '2.7');
    expectNear((effectiveResolution as number) - (noiseFreeBits as number), 2.722466024, 1e-9);
  });
});

describe('formula: log2(2^N/s), log2(2^N/(6.6·s))', () => {
  it('16 bits, s 0.9: 16.15200309 and 13.42953707; more than 16, since nothing caps it', () => {
    // No codes have just this s: those of a swing of ±9 are taken, and their s brought to 0.9 in the logarithm.
    const { standardDeviation, effectiveResolution, noiseFreeBits } = summarizeCodes({
      codes: swinging(9, 1e5, 30000),
      bits: 16,
    });
    const scale = Math.log2(standardDeviation / 0.9);
    expectNear((effectiveResolution as number) + scale, 16.15200309, 1e-9);
    expectNear((noiseFreeBits as number) + scale, 13.42953707, 1e-9);
    expectNear(standardDeviation, 9 * Math.sqrt(1e5 / 99999), 1e-15);
  });

  it('12 bits, s 0.5: noise-free 10.27753398', () => {
    // A swing of one half is a swing between neighbours; M so large that M − 1 for M does not show.
    const codes = Array.from({ length: 2 ** 22 }, (_, i) => 2048 + (i & 1));
    expectNear(summarizeCodes({ codes, bits: 12 }).noiseFreeBits as number, 10.27753398, 1e-7);
  });
});

describe('[QNOISE] the codes of 4·10⁶ conversions, σ 1, seed 4', () => {
  const codes = seededRandom(4)
    .fillNormal(new Float64Array(4e6))
    .map((z) => Math.round(100 + z));
  const summary = summarizeCodes({ codes, bits: 12 });

  it('scatter by √(σ² + 1/12) = 1.040833, within five standard uncertainties', () => {
    expectNear(summary.standardDeviation, 1.040833, 5 / Math.sqrt(8e6));
  });

  it('the noise ahead of the quantizer is 1', () => {
    const noise = summary.transitionNoise as { mean: number; noiseLsb: number; atMostLsb: number };
    expectNear(noise.noiseLsb, 1, 5 / Math.sqrt(8e6) + 1e-4);
    expectNear(noise.mean, 100, 0, 'mean', 0.003);
    expect(noise.atMostLsb).toBeGreaterThan(noise.noiseLsb);
  });

  it('no drift beyond its uncertainty', () => {
    const drift = summary.drift as { slope: number; slopeUncertainty: number };
    expect(Math.abs(drift.slope)).toBeLessThan(4 * drift.slopeUncertainty);
  });
});

describe('counts', () => {
  it('missing codes between the ends are named', () => {
    const summary = summarizeCodes({ codes: [10, 12, 15, 12], bits: 8 });
    expect(summary.missing).toBe(3);
    expect(summary.missingCodes).toEqual([11, 13, 14]);
    expect([...(summary.counts as Float64Array)]).toEqual([1, 0, 2, 0, 0, 1]);
    expect([summary.lowest, summary.highest, summary.peakToPeak]).toEqual([10, 15, 5]);
  });

  it('of many missing codes the first thousand', () => {
    const summary = summarizeCodes({ codes: [0, 5000], bits: 16 });
    expect([summary.missing, summary.missingCodes.length]).toEqual([4999, 1000]);
  });

  it("one code: nothing scatters, 'any' and 'none'", () => {
    const summary = summarizeCodes({ codes: [7, 7, 7], bits: 12 });
    expect(summary.standardDeviation).toBe(0);
    expect([summary.noiseFreeBits, summary.effectiveResolution, summary.transitionNoise]).toEqual([
      'any',
      'any',
      'none',
    ]);
    expect(summarizeCodes({ codes: [7], bits: 12 }).drift).toBe('none');
  });

  it("codes too far apart to be counted one by one: 'none', and moments all the same", () => {
    const summary = summarizeCodes({ codes: [0, 2 ** 31, 2 ** 32 - 1], bits: 32 });
    expect([summary.counts, summary.missing, summary.transitionNoise]).toEqual(['none', 'none', 'none']);
    expectNear(summary.mean, (2 ** 31 + 2 ** 32 - 1) / 3, 1e-15);
  });

  it('two’s complement', () => {
    const summary = summarizeCodes({ codes: [-2, -1, 0, 1], bits: 12 });
    expect([summary.mean, summary.lowest, summary.missing]).toEqual([-0.5, -2, 0]);
  });
});

describe('sums are exact', () => {
  const anyCode = fc.oneof(
    fc.integer({ min: -5, max: 5 }),
    fc.integer({ min: 0, max: 65535 }),
    fc.integer({ min: -(2 ** 31), max: 2 ** 32 - 1 }),
  );

  it('against whole numbers of any size', () => {
    fc.assert(
      fc.property(fc.array(anyCode, { minLength: 1, maxLength: 50 }), (codes) => {
        const { count, sum, squares, moments } = codeSums({ codes });
        const big = codes.map(BigInt);
        expect(count).toBe(codes.length);
        expect(sum).toBe(big.reduce((a, x) => a + x, 0n));
        expect(squares).toBe(big.reduce((a, x) => a + x * x, 0n));
        expect(moments).toBe(big.reduce((a, x, i) => a + BigInt(i) * x, 0n));
      }),
      { seed: 13 },
    );
  });

  it('where doubles would round: 5000 codes up to 2^20 apart, on top of 2^31', () => {
    const random = seededRandom(6);
    const codes = Array.from({ length: 5000 }, () => 2 ** 31 + Math.floor(random.uniform() * 2 ** 20));
    const { squares, moments } = codeSums({ codes });
    expect(squares).toBe(codes.reduce((a, x) => a + BigInt(x) ** 2n, 0n));
    expect(moments).toBe(codes.reduce((a, x, i) => a + BigInt(i) * BigInt(x), 0n));
  });

  it('stretches added are the whole, in any parting', () => {
    const plain = (sums: CodeSums) => ({
      ...sums,
      counts: sums.counts === 'none' ? 'none' : [...sums.counts],
    });
    fc.assert(
      fc.property(fc.array(fc.array(anyCode, { maxLength: 20 }), { maxLength: 5 }), (stretches) => {
        const whole = codeSums({ codes: stretches.flat() });
        expect(
          plain(
            stretches
              .map((codes) => codeSums({ codes }))
              .reduce((before, after) => addedSums({ before, after }), noSums),
          ),
        ).toEqual(plain(whole));
        const stream = summaryStream({ bits: 32 });
        for (const stretch of stretches) stream.add(stretch);
        expect(plain(stream.sums())).toEqual(plain(whole));
      }),
      { seed: 14 },
    );
  });

  it('a summary of sums is that of the codes', () => {
    const codes = [3, 1, 4, 1, 5, 9, 2, 6];
    expect(summaryOfSums({ sums: codeSums({ codes }), bits: 8 })).toEqual(summarizeCodes({ codes, bits: 8 }));
  });

  it('so is that of a stream', () => {
    const codes = [3, 1, 4, 1, 5, 9, 2, 6];
    const stream = summaryStream({ bits: 8 });
    expect(stream.summary()).toBe('none');
    stream.add(codes.slice(0, 3));
    stream.add(codes.slice(3));
    expect(stream.summary()).toEqual(summarizeCodes({ codes, bits: 8 }));
    stream.add([256]);
    expect(() => stream.summary()).toThrow('summaryStream.add: got code 256; allowed -128 … 255 for 8 bits');
  });

  it('an offset of 2^31 leaves scatter and drift as they are, to the last digit', () => {
    const codes = [3, 1, 4, 1, 5, 9, 2, 6];
    const low = summarizeCodes({ codes, bits: 32 });
    const high = summarizeCodes({ codes: codes.map((x) => x + 2 ** 31), bits: 32 });
    expect(high.standardDeviation).toBe(low.standardDeviation);
    expect((high.drift as { slope: number }).slope).toBe((low.drift as { slope: number }).slope);
    expect((high.drift as { residual: number }).residual).toBe((low.drift as { residual: number }).residual);
  });
});

describe('quotients of large whole numbers', () => {
  it.each([
    [1n, 3n, 1 / 3],
    [-7n, 2n, -3.5],
    [0n, 9n, 0],
    [10n ** 300n, 10n ** 299n, 10],
    [3n, 10n ** 200n, 3e-200],
    [2n ** 200n + 1n, 2n ** 100n, 2 ** 100],
  ])('%s / %s', (a, b, expected) => {
    expect(ratio(a, b)).toBe(expected);
  });
});

describe('errors', () => {
  it('a code that does not fit', () => {
    expect(() => summarizeCodes({ codes: [1, 4096], bits: 12 })).toThrow(
      'summarizeCodes.codes: got code 4096; allowed -2048 … 4095 for 12 bits',
    );
    expect(() => summarizeCodes({ codes: [-2049], bits: 12 })).toThrow('got code -2049');
  });

  it('arguments', () => {
    expect(() => summarizeCodes({ codes: [], bits: 12 })).toThrow(
      'allowed an array of at least 1 whole numbers',
    );
    expect(() => summarizeCodes({ codes: [0.5], bits: 12 })).toThrow('summarizeCodes.codes');
    expect(() => summarizeCodes({ codes: new Uint16Array(0), bits: 12 })).toThrow('summarizeCodes.codes');
    expect(() => summarizeCodes({ codes: [1], bits: 33 })).toThrow('summarizeCodes.bits: got 33');
    expect(() => summaryOfSums({ sums: noSums, bits: 12 })).toThrow('summaryOfSums.sums');
    expect(() => addedSums({ before: noSums, after: {} as never })).toThrow('addedSums.after');
    expect(() => codeSums({ codes: [0.5] })).toThrow('codeSums.codes');
  });
});

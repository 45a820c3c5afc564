import { describe, expect, it } from 'vitest';
import { normalTail } from '../../src/numbers/normal.ts';
import { seededRandom } from '../../src/numbers/random.ts';
import { codeProbabilities, histogramFit } from '../../src/record/histogram.ts';
import { type TransitionNoise, transitionNoise } from '../../src/record/transitionNoise.ts';
import { expectNear, expectPrinted } from '../close.ts';

const found = (counts: number[], first: number): TransitionNoise =>
  transitionNoise({ counts, first }) as TransitionNoise;

describe('[MT004] code probabilities of a grounded input: integral of the normal density over each bin (formula)', () => {
  it.each([
    [0, 1, ['0.060598', '0.241730', '0.382925', '0.241730', '0.060598']],
    [0.2, 0.5, ['0.000337', '0.080420', '0.644990', '0.269592', '0.004659']],
  ] as const)('mean %d, σ %d', (mean, noiseLsb, printed) => {
    const p = codeProbabilities({ mean, noiseLsb, first: -2, count: 5 });
    printed.forEach((text, k) => {
      expectPrinted(p[k]!, text, `code ${k - 2}`);
    });
  });

  it('and what maximum likelihood makes of them', () => {
    const noise = found([60598, 241730, 382925, 241730, 60598], -2);
    expectNear(noise.mean, 0, 0, 'mean', 1e-9);
    // The tails beyond ±2 were left out, which lowers σ.
    expect(noise.noiseLsb).toBeLessThan(1);
  });

  it('six digits of probability give σ to four', () => {
    const noise = found([337, 80420, 644990, 269592, 4659], 98);
    expectNear(noise.mean, 100.2, 1e-6);
    expectNear(noise.noiseLsb, 0.5, 1e-4);
  });
});

describe('exact expectations give back mean and σ', () => {
  const cases = [0, 0.02, 0.2, 0.45, 0.5, -0.37].flatMap((mean) =>
    [0.2, 0.3, 0.5, 1, 7, 40].map((noise) => [mean, noise] as const),
  );
  it.each(cases)('mean %d, σ %d', (mean, noiseLsb) => {
    const p = codeProbabilities({ mean, noiseLsb, first: -400, count: 801 });
    const noise = found(
      [...p].map((x) => x * 1e9),
      -400,
    );
    expectNear(noise.noiseLsb, noiseLsb, 1e-7, 'σ');
    expectNear(noise.mean, mean, 0, 'mean', 1e-7 * noiseLsb);
  });
});

describe('by trying every mean and σ about it (brute force)', () => {
  const logAt = (counts: number[], first: number, mean: number, noise: number): number =>
    counts.reduce((sum, n, k) => {
      const low = (first + k - 0.5 - mean) / noise;
      const p =
        low > 0
          ? normalTail(low) - normalTail(low + 1 / noise)
          : normalTail(-low - 1 / noise) - normalTail(-low);
      return n === 0 ? sum : sum + n * Math.log(p);
    }, 0);

  it.each([
    [[5, 100000, 4]],
    [[1000000, 3, 1]],
    [[40, 1500, 100, 2]],
    [[3, 0, 4]],
    [[1, 0, 0, 1]],
    [[2, 17, 31, 29, 8, 1, 1]],
  ])('%j', (counts) => {
    const best = found(counts, 10);
    const top = logAt(counts, 10, best.mean, best.noiseLsb);
    for (const dm of [-0.01, 0, 0.01])
      for (const ds of [-0.01, 0, 0.01]) {
        if (dm === 0 && ds === 0) continue;
        const there = logAt(counts, 10, best.mean + dm * best.noiseLsb, best.noiseLsb * (1 + ds));
        expect(there, `${dm} ${ds}`).toBeLessThan(top);
      }
  });
});

describe('where the correction by 1/12 fails: a still input, σ 0.25, 10⁵ conversions, seed 8', () => {
  const random = seededRandom(8);
  it.each([0, 0.25, 0.5])('input %d LSB off a code', (mean) => {
    const counts = new Array<number>(9).fill(0);
    for (let i = 0; i < 1e5; i++) counts[4 + Math.round(mean + 0.25 * random.normal())]!++;
    const noise = found(counts, -4);
    // The information of such counts gives 1 to 2 % at code centres, less on transitions.
    expectNear(noise.noiseLsb, 0.25, 0.05, 'σ');
    expect(noise.atMostLsb).toBeGreaterThan(0.25);
    if (mean === 0.25) return;
    const codeMean = counts.reduce((s, n, k) => s + n * (k - 4), 0) / 1e5;
    const variance = counts.reduce((s, n, k) => s + n * (k - 4 - codeMean) ** 2, 0) / 1e5;
    expect(Math.abs(Math.sqrt(Math.max(0, variance - 1 / 12)) / 0.25 - 1)).toBeGreaterThan(0.5);
  });
});

describe('limits', () => {
  it("one code tells nothing: 'none'", () => {
    expect(transitionNoise({ counts: [0, 5, 0], first: 3 })).toBe('none');
  });

  it('two neighbours: the input stands near the transition between them, σ has no lower end', () => {
    const noise = found([600, 400], 10);
    expect([noise.mean, noise.noiseLsb]).toEqual([10.5, 0]);
    // At the limit a third code is to be expected 1.35 times (χ² of 2.71, halved), and does not come.
    const a = 0.2533471 * noise.atMostLsb;
    const beyond = 1000 * (normalTail((1 - a) / noise.atMostLsb) + normalTail((1 + a) / noise.atMostLsb));
    expectNear(beyond, 1.3527717, 0.01);
  });

  it('empty codes about the others do not matter', () => {
    expect(found([0, 0, 5, 9, 4, 0], 0)).toEqual(found([5, 9, 4], 2));
    expect(found([0, 600, 400, 0], 9)).toEqual(found([600, 400], 10));
  });

  it('one stray code far off does not break it: σ rises as the likelihood says, and stays finite', () => {
    const counts = new Array<number>(2000).fill(0);
    counts[499] = 1e6;
    counts[500] = 7e6;
    counts[501] = 2e6;
    counts[1999] = 1;
    const noise = found(counts, 0);
    expect(noise.noiseLsb).toBeGreaterThan(0.5);
    expect(noise.noiseLsb).toBeLessThan(1);
  });
});

describe('histogram against expectation', () => {
  it('counts as expected: χ² of 0; with bins of too few put together', () => {
    const p = codeProbabilities({ mean: 0.2, noiseLsb: 1, first: -8, count: 17 });
    const fit = histogramFit({ counts: p.map((x) => x * 1e4), first: -8, mean: 0.2, noiseLsb: 1 });
    expectNear(fit.chiSquare, 0, 0, 'χ²', 1e-6);
    expectNear(fit.probability as number, 1, 1e-6);
    // Expectations of 5 and more: codes −3 (with all below) … 3 (with all above).
    expect(fit.degreesOfFreedom).toBe(7 - 3);
  });

  it('χ² by hand: 4 bins', () => {
    const counts = [100, 400, 380, 120];
    const expected = [-1.5, -0.5, 0.5, 1.5].map((k, i) => {
      const low = k - 0.5;
      return 1000 * (normalTail(i === 0 ? -9 : low) - normalTail(i === 3 ? 9 : low + 1));
    });
    const byHand = counts.reduce((s, n, i) => s + (n - expected[i]!) ** 2 / expected[i]!, 0);
    const fit = histogramFit({ counts, first: 0, mean: 1.5, noiseLsb: 1 });
    expectNear(fit.chiSquare, byHand, 1e-9);
    expect(fit.degreesOfFreedom).toBe(1);
  });

  it('probabilities of 500 simulated records are spread evenly, seed 17', () => {
    const random = seededRandom(17);
    let low = 0;
    let sum = 0;
    for (let r = 0; r < 500; r++) {
      const counts = new Float64Array(25);
      for (let i = 0; i < 2000; i++) counts[12 + Math.round(0.3 + 2 * random.normal())]!++;
      const { mean, noiseLsb } = transitionNoise({ counts, first: -12 }) as TransitionNoise;
      const p = histogramFit({ counts, first: -12, mean, noiseLsb }).probability as number;
      sum += p;
      if (p < 0.05) low++;
    }
    // Mean of 500 even deviates: 0.5 ± 0.013; below 0.05: 25 ± 5.
    expectNear(sum / 500, 0.5, 0, 'mean', 0.05);
    expectNear(low, 25, 0, 'low', 20);
  });

  it('a record with a missing code does not pass', () => {
    const p = codeProbabilities({ mean: 0, noiseLsb: 2, first: -8, count: 17 }).map((x) =>
      Math.round(x * 1e4),
    );
    p[9] = 0;
    expect(histogramFit({ counts: p, first: -8, mean: 0, noiseLsb: 2 }).probability).toBeLessThan(1e-9);
  });

  it('without noise all stands in one code, too few bins to judge', () => {
    const fit = histogramFit({ counts: [0, 7, 0], first: 4, mean: 5.1, noiseLsb: 0 });
    expect([...fit.expected]).toEqual([0, 7, 0]);
    expect([fit.degreesOfFreedom, fit.probability]).toEqual(['none', 'none']);
  });
});

describe('errors', () => {
  it('arguments', () => {
    expect(() => codeProbabilities({ mean: 0, noiseLsb: -1, first: 0, count: 1 })).toThrow(
      'codeProbabilities.noiseLsb',
    );
    expect(() => codeProbabilities({ mean: 0, noiseLsb: 1, first: 0, count: 0 })).toThrow(
      'codeProbabilities.count',
    );
    expect(() => transitionNoise({ counts: [1, -1], first: 0 })).toThrow('transitionNoise.counts');
    expect(() => histogramFit({ counts: [], first: 0, mean: 0, noiseLsb: 1 })).toThrow('histogramFit.counts');
  });
});

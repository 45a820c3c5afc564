import { describe, expect, it } from 'vitest';
import { endScatter, symmetricRanks } from '../../src/budget/coverageInterval.ts';
import { countBelow, valueOfRank } from '../../src/budget/sortedRuns.ts';
import { seededRandom } from '../../src/numbers/random.ts';
import { expectNear } from '../close.ts';

const random = seededRandom(5);

/** Values cut into runs of these lengths, each in order; and all in order. */
function cut(
  values: Float64Array,
  lengths: readonly number[],
): { runs: Float64Array[]; whole: Float64Array } {
  let at = 0;
  const runs = lengths.map((length) => {
    const run = values.slice(at, at + length).sort();
    at += length;
    return run;
  });
  return { runs, whole: values.slice().sort() };
}

describe('runs against the whole list put in order', () => {
  const normal = (count: number) => random.fillNormal(new Float64Array(count));
  const cases: [string, Float64Array, number[]][] = [
    ['runs of one length', normal(60), [20, 20, 20]],
    ['of several, one empty', normal(57), [1, 40, 0, 3, 13]],
    ['one run', normal(31), [31]],
    ['many equal values', normal(80).map((x) => Math.round(2 * x) + 0), [25, 25, 25, 5]],
    ['all equal', new Float64Array(12).fill(-3), [5, 5, 2]],
    ['one after the other', Float64Array.from({ length: 40 }, (_, i) => i), [10, 10, 10, 10]],
  ];

  it.each(cases)('%s: every rank, and the count below every value', (_, values, lengths) => {
    const { runs, whole } = cut(values, lengths);
    whole.forEach((value, rank) => {
      expect(valueOfRank(runs, rank)).toBe(value);
      expect(countBelow(runs, value)).toBe(whole.indexOf(value));
    });
    expect(countBelow(runs, Number.NEGATIVE_INFINITY)).toBe(0);
    expect(countBelow(runs, Number.POSITIVE_INFINITY)).toBe(whole.length);
  });
});

describe('the scatter of the ends of an interval', () => {
  it('is that of 600 samples of 10 000 normal deviates, and of theory', () => {
    const count = 10_000;
    const ranks = symmetricRanks(count, 0.95);
    const samples = Array.from({ length: 600 }, () => random.fillNormal(new Float64Array(count)).sort());
    const scatters = samples.map((s) => endScatter(count, 0.95, (rank) => s[rank]!));
    const deviation = (values: number[]): number => {
      const mean = values.reduce((a, b) => a + b) / values.length;
      return Math.sqrt(values.reduce((sum, x) => sum + (x - mean) ** 2, 0) / (values.length - 1));
    };
    // √(p(1 − p)/M) over the density at the quantile, 0.05844507 (from memory).
    const theory = Math.sqrt((0.025 * 0.975) / count) / 0.05844507;
    for (const end of ['low', 'high'] as const) {
      const seen = deviation(samples.map((s) => s[ranks[end]]!));
      // 600 samples tell a standard deviation to 3 %; twice that.
      expectNear(seen, theory, 0.06);
      expectNear(scatters.reduce((sum, s) => sum + s[end], 0) / samples.length, theory, 0.03);
    }
  });
});

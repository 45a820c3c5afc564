import { describe, expect, it } from 'vitest';
import { seededRandom } from '../../src/numbers/random.ts';
import { averagedSpectrum } from '../../src/record/averagedSpectrum.ts';
import { humLines } from '../../src/record/hum.ts';
import { spectrum } from '../../src/record/spectrum.ts';
import { expectNear } from '../close.ts';

const record = (
  length: number,
  rate: number,
  lines: readonly (readonly [number, number])[],
  seed = 1,
): Float64Array => {
  const noise = seededRandom(seed).fillNormal(new Float64Array(length));
  return noise.map((z, n) =>
    lines.reduce(
      (sum, [f, rms]) => sum + Math.SQRT2 * rms * Math.sin((2 * Math.PI * f * n) / rate + f),
      2000 + z,
    ),
  );
};

describe('lines are named, with the rms they were made with', () => {
  it('50.1 Hz and the seventh of 59.94 Hz, folded at 365 Hz; another line is none of the mains’', () => {
    const values = record(2 ** 16, 730, [
      [50.1, 0.4],
      [7 * 59.94, 0.2],
      [123, 3],
    ]);
    for (const spec of [
      spectrum({ values, rate: 730, window: 'hann' }),
      averagedSpectrum({ values, rate: 730, window: 'hann', segmentLength: 8192 }),
    ]) {
      const [first, second, ...rest] = humLines({ spectrum: spec });
      expect(rest).toEqual([]);
      expect([first!.names, second!.names]).toEqual([['50 Hz'], ['7 × 60 Hz, folded']]);
      expectNear(first!.frequency, 50.1, 0, '', 0.05);
      expectNear(second!.frequency, 730 - 7 * 59.94, 0, '', 0.05);
      // Noise in the bins of the line adds to it: a few per cent.
      expectNear(first!.rms, 0.4, 0.1);
      expectNear(second!.rms, 0.2, 0.2);
      expect(first!.aboveNoiseDb).toBeGreaterThan(20);
    }
  });

  it('300 Hz may be either', () => {
    const values = record(8192, 1000, [[300, 0.5]]);
    expect(humLines({ spectrum: spectrum({ values, rate: 1000, window: 'hann' }) })[0]!.names).toEqual([
      '6 × 50 Hz',
      '5 × 60 Hz',
    ]);
  });

  it('a line outside the tolerance is not taken, nor is its skirt', () => {
    // So strong that its skirt is far above the noise at 50 Hz.
    const values = record(8192, 1000, [[51.5, 500]]);
    expect(humLines({ spectrum: spectrum({ values, rate: 1000, window: 'hann' }) })).toEqual([]);
    expect(
      humLines({ spectrum: spectrum({ values, rate: 1000, window: 'hann' }), tolerance: 0.04 }),
    ).toHaveLength(1);
  });
});

describe('noise alone', () => {
  it('300 records of white noise: at most one false line (one in 10 000 is allowed for)', () => {
    let found = 0;
    for (let seed = 0; seed < 300; seed++) {
      const values = record(2048, 730, [], seed);
      found += humLines({ spectrum: spectrum({ values, rate: 730, window: 'hann' }) }).length;
      found += humLines({
        spectrum: averagedSpectrum({ values, rate: 730, window: 'hann', segmentLength: 512 }),
      }).length;
    }
    expect(found).toBeLessThanOrEqual(1);
  });
});

describe('errors', () => {
  it('arguments', () => {
    expect(() => humLines({ spectrum: {} as never })).toThrow('humLines.spectrum');
    const values = record(64, 730, []);
    expect(() =>
      humLines({ spectrum: spectrum({ values, rate: 730, window: 'hann' }), tolerance: 0.1 }),
    ).toThrow('humLines.tolerance: got 0.1; allowed 0 … 0.05');
  });
});

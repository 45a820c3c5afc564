import { describe, expect, it } from 'vitest';
import { seededRandom } from '../../src/numbers/random.ts';
import { averagedSpectrum } from '../../src/record/averagedSpectrum.ts';
import { meanRecordLength, noiseRecordLength, spectrumSegments } from '../../src/record/recordLength.ts';
import { expectNear } from '../close.ts';

const random = seededRandom(31);

describe('simulated, seed 31', () => {
  /** How often the standard deviation of 4000 records of a length is within the error. */
  const share = (length: number, error: number): number => {
    const values = new Float64Array(length);
    let within = 0;
    for (let r = 0; r < 4000; r++) {
      random.fillNormal(values);
      const mean = values.reduce((a, x) => a + x, 0) / length;
      const s = Math.sqrt(values.reduce((a, x) => a + (x - mean) ** 2, 0) / (length - 1));
      if (Math.abs(s - 1) <= error) within++;
    }
    return within / 4000;
  };

  it.each([
    [0.1, 0.95],
    [0.3, 0.7],
    [0.2, 0.5],
  ])(
    'standard deviation within %d with %d: the length given does, one less does not',
    (error, confidence) => {
      const length = noiseRecordLength({ error, confidence });
      // A share of 4000 is known to 0.4 … 0.8 %.
      expect(share(length, error)).toBeGreaterThan(confidence - 0.02);
      expect(share(length - 1, error)).toBeLessThan(confidence + 0.02);
    },
  );

  it('a bin of an average of so many segments is within 0.2 with 0.9', () => {
    const segments = spectrumSegments({ error: 0.2, confidence: 0.9 });
    // Half-overlapped without a window, every second segment would be new; here they are laid side by side.
    const length = 16;
    let within = 0;
    let bins = 0;
    for (let r = 0; r < 400; r++) {
      const sum = new Float64Array(9);
      for (let s = 0; s < segments; s++) {
        const { power } = averagedSpectrum({
          values: random.fillNormal(new Float64Array(length)),
          rate: 1,
          window: 'rectangular',
          segmentLength: length,
        });
        power.forEach((p, k) => {
          sum[k]! += p / segments;
        });
      }
      for (let k = 1; k < 8; k++, bins++)
        if (Math.abs(Math.sqrt(sum[k]! / (2 / length)) - 1) <= 0.2) within++;
    }
    expectNear(within / bins, 0.9, 0, 'share', 0.02);
  });
});

describe('formula', () => {
  it('for small errors (z/e)²/2', () => {
    expectNear(noiseRecordLength({ error: 0.001, confidence: 0.95 }), (1.959964 / 0.001) ** 2 / 2, 1e-3);
  });

  it('a mean: (z·σ/e)²', () => {
    expect(meanRecordLength({ noise: 0.5, error: 0.01, confidence: 0.95 })).toBe(9604);
    expect(meanRecordLength({ noise: 1, error: 10, confidence: 0.95 })).toBe(1);
  });

  it('at the ends of the ranges', () => {
    expect(noiseRecordLength({ error: 0.5, confidence: 0.5 })).toBe(3);
    expectNear(noiseRecordLength({ error: 1e-4, confidence: 0.9999 }), (3.890592 / 1e-4) ** 2 / 2, 1e-4);
  });
});

describe('errors', () => {
  it('arguments', () => {
    expect(() => noiseRecordLength({ error: 0, confidence: 0.9 })).toThrow('noiseRecordLength.error: got 0');
    expect(() => spectrumSegments({ error: 0.1, confidence: 1 })).toThrow(
      'spectrumSegments.confidence: got 1',
    );
    expect(() => meanRecordLength({ noise: 1, error: -1, confidence: 0.9 })).toThrow(
      'meanRecordLength.error',
    );
  });
});

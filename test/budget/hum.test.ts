import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { beatPeriod, humRejection, nullingWindows } from '../../src/budget/hum.ts';
import { aliasFrequency, chainGain } from '../../src/budget/response.ts';
import { expectNear, expectPrinted } from '../close.ts';

describe('formula values', () => {
  it('a null at 50 Hz, missed by 1 %: 39.879 dB', () => {
    const { rejectionDb, frequency } = humRejection({
      frequency: 50,
      frequencyTolerance: 0.01,
      interval: 1e-3,
      ratio: 20,
    });
    expectPrinted(rejectionDb as number, '39.87909597');
    expect(frequency).toBe(49.5);
  });
});

describe('against a scan of 20 001 frequencies over the band', () => {
  it('no frequency leaves more, and the one found leaves what is said', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 10, max: 400, noNaN: true }),
        fc.double({ min: 0, max: 0.3, noNaN: true }),
        fc.double({ min: 0, max: 0.05, noNaN: true }),
        fc.integer({ min: 1, max: 200 }),
        fc.double({ min: 0, max: 0.01, noNaN: true }),
        (frequency, frequencyTolerance, clockTolerance, ratio, tau) => {
          const chain = { interval: 1e-3, ratio, timeConstants: [tau] };
          const found = humRejection({ frequency, frequencyTolerance, clockTolerance, ...chain });
          const low = frequency * (1 - frequencyTolerance) * (1 - clockTolerance);
          const high = frequency * (1 + frequencyTolerance) * (1 + clockTolerance);
          let most = 0;
          for (let i = 0; i <= 20_000; i++) {
            most = Math.max(most, chainGain({ frequency: low + ((high - low) * i) / 20_000, ...chain }));
          }
          // The scan misses a peak by at most its curvature over a step: 1e-4 of the gain for the narrowest lobes here.
          expect(found.gain).toBeGreaterThanOrEqual(most * (1 - 1e-9) - 1e-12);
          expectNear(found.gain, most, 1e-4, 'gain', 1e-12);
          expect(found.frequency).toBeGreaterThanOrEqual(low);
          expect(found.frequency).toBeLessThanOrEqual(high);
          if (found.gain > 0)
            expectNear(chainGain({ frequency: found.frequency, ...chain }), found.gain, 1e-12);
        },
      ),
      { seed: 1, numRuns: 60 },
    );
  });

  it('over very many lobes the envelope is never less, and above by no more than a lobe leaves', () => {
    const chain = { interval: 1e-3, ratio: 20_000 };
    const { gain } = humRejection({ frequency: 60, frequencyTolerance: 0.3, ...chain });
    let most = 0;
    for (let i = 0; i <= 200_000; i++) {
      most = Math.max(most, chainGain({ frequency: 42 + (36 * i) / 200_000, ...chain }));
    }
    expect(gain).toBeGreaterThanOrEqual(most);
    expectNear(gain, most, 0.01);
  });
});

describe('nulling windows', () => {
  const ratios = [16, 20, 32, 64, 100, 128, 256];
  const intervals = [1e-3, 0.5e-3, 0.390625e-3, 1 / 1280];

  it('100 ms nulls both mains, best of all windows; without tolerance nothing is left', () => {
    const list = nullingWindows({ intervals, ratios });
    expect(list).toHaveLength(28);
    const perfect = list.filter((w) => w.gain === 0);
    expect(perfect.map(({ window }) => Number(window.toFixed(12)))).toEqual([0.1, 0.1, 0.1, 0.2]);
    expect(perfect.map(({ ratio }) => ratio).sort((a, b) => a - b)).toEqual([100, 128, 256, 256]);
  });

  it('with tolerance each entry is the worst of both frequencies, and they rise', () => {
    const list = nullingWindows({ intervals, ratios, frequencyTolerance: 0.01, clockTolerance: 0.02 });
    list.forEach(({ interval, ratio, window, gain }, i) => {
      const of = (frequency: number) =>
        humRejection({ frequency, frequencyTolerance: 0.01, clockTolerance: 0.02, interval, ratio }).gain;
      expect(gain).toBe(Math.max(of(50), of(60)));
      expect(window).toBe(interval * ratio);
      if (i > 0) expect(gain).toBeGreaterThanOrEqual(list[i - 1]!.gain);
    });
    expect(list[0]!.gain).toBeGreaterThan(0.01);
  });

  it('one frequency alone: 20 ms will do', () => {
    expect(nullingWindows({ intervals: [1e-3], ratios, frequencies: [50] })[0]).toEqual({
      interval: 1e-3,
      ratio: 20,
      window: 0.02,
      gain: 0,
    });
  });
});

describe('beat', () => {
  it('is the period of the alias; with tolerance, the extremes of it over the band', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1, max: 100, noNaN: true }),
        fc.double({ min: 0.5, max: 40, noNaN: true }),
        fc.double({ min: 0, max: 0.1, noNaN: true }),
        (frequency, rate, tolerance) => {
          const { shortest, longest } = beatPeriod({ frequency, rate, tolerance });
          let [least, most] = [Number.POSITIVE_INFINITY, 0];
          const steps = 4000;
          for (let i = 0; i <= steps; i++) {
            const f = frequency * (1 - tolerance + (2 * tolerance * i) / steps);
            const alias = aliasFrequency({ frequency: f, rate }).frequency;
            least = Math.min(least, alias);
            most = Math.max(most, alias);
          }
          const step = (2 * tolerance * frequency) / steps;
          const beat = (period: number | 'none') => (period === 'none' ? 0 : 1 / period);
          expectNear(beat(shortest), most, 1e-9, 'shortest', step + 1e-9);
          expectNear(beat(longest), least, 1e-9, 'longest', step + 1e-9);
        },
      ),
      { seed: 2 },
    );
  });

  it('readings in step with the mains have none: a constant', () => {
    expect(beatPeriod({ frequency: 50, rate: 10 })).toEqual({ shortest: 'none', longest: 'none' });
    expect(beatPeriod({ frequency: 50, rate: 10, tolerance: 0.01 }).longest).toBe('none');
    expectNear(beatPeriod({ frequency: 50, rate: 10, tolerance: 0.01 }).shortest as number, 2, 1e-12);
    expect(beatPeriod({ frequency: 50, rate: 1 / 60 }).shortest).toBe('none');
  });
});

describe('limits', () => {
  it('a null met exactly leaves nothing, and any rejection', () => {
    expect(humRejection({ frequency: 50, interval: 1e-3, ratio: 20 })).toEqual({
      gain: 0,
      frequency: 50,
      rejectionDb: 'any',
    });
  });

  it('a band that holds the conversion rate leaves all', () => {
    const { gain, frequency } = humRejection({
      frequency: 50,
      frequencyTolerance: 0.1,
      interval: 1 / 52,
      ratio: 100,
    });
    expect(gain).toBe(1);
    expectNear(frequency, 52, 1e-12);
  });
});

describe('errors', () => {
  it('name the argument, the value and the range', () => {
    expect(() => humRejection({ frequency: 50, clockTolerance: 0.6, interval: 1, ratio: 1 })).toThrow(
      new RangeError('humRejection.clockTolerance: got 0.6; allowed 0 … 0.5'),
    );
    expect(() => nullingWindows({ intervals: [], ratios: [1] })).toThrow(
      new RangeError(
        'nullingWindows.intervals: got an array of 0; allowed an array of numbers 1e-30 … 1e12 s',
      ),
    );
    expect(() => nullingWindows({ intervals: [1], ratios: [1.5] })).toThrow(
      new RangeError('nullingWindows.ratios: got an array of 1; allowed an array of whole numbers 1 … 65536'),
    );
    expect(() => beatPeriod({ frequency: 50, rate: 0 })).toThrow(
      new RangeError('beatPeriod.rate: got 0; allowed finite numbers above 0 Hz'),
    );
  });
});

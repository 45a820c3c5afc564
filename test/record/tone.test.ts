import { describe, expect, it } from 'vitest';
import { seededRandom } from '../../src/numbers/random.ts';
import { averagedSpectrum } from '../../src/record/averagedSpectrum.ts';
import { spectrum } from '../../src/record/spectrum.ts';
import { tone } from '../../src/record/tone.ts';
import { expectNear } from '../close.ts';

const sines = (
  length: number,
  rate: number,
  parts: readonly (readonly [number, number, number])[],
): Float64Array =>
  Float64Array.from({ length }, (_, n) =>
    parts.reduce((sum, [f, a, p]) => sum + a * Math.cos((2 * Math.PI * f * n) / rate + p), 0),
  );

describe('an ideally quantized sine that fits (computed by another program; theory 74.01 and 61.97 dB)', () => {
  it.each([
    [12, 4096, 67, 73.97397],
    [10, 1024, 127, 62.06280592],
  ])('%i bits, %i values, %i cycles: SINAD %d dB', (bits, length, cycles, expected) => {
    const half = 2 ** (bits - 1);
    const values = Array.from({ length }, (_, n) =>
      Math.floor((half - 0.5) * Math.sin((2 * Math.PI * cycles * n) / length + 0.1) + half),
    );
    const out = tone({ spectrum: spectrum({ values, rate: length, window: 'rectangular' }) });
    expectNear(out.sinadDb as number, expected, 0, 'SINAD', 1e-6);
    expectNear(out.frequency, cycles, 1e-6);
  });
});

describe('formula: powers add', () => {
  it('[MT003] harmonics of −60 and −70 dB: THD −59.58607 dB', () => {
    const values = sines(4096, 4096, [
      [101, 1, 0.3],
      [202, 1e-3, 1],
      [303, 10 ** -3.5, 2],
    ]);
    for (const window of ['rectangular', 'blackman-harris', 'nuttall', 'flattop'] as const) {
      const out = tone({ spectrum: spectrum({ values, rate: 4096, window }) });
      // Side lobes of the 92 and 98 dB windows reach over 1e-4 dB of −60 dB.
      expectNear(out.thdDb as number, -59.58607315, 0, window, window === 'rectangular' ? 1e-6 : 0.02);
      expectNear(out.sfdrDb as number, 60, 0, window, 0.01);
      expectNear(out.amplitude, 1, 1e-4, window);
      expect(out.spurFrequency).toBe(202);
    }
  });

  it('harmonics of −60 and −70 dB between two bins: SFDR 60 dB (a bin of this window falls by up to 0.8 dB)', () => {
    const values = sines(4096, 4096, [
      [101.25, 1, 0.3],
      [202.5, 1e-3, 1],
      [303.75, 10 ** -3.5, 2],
    ]);
    const out = tone({ spectrum: spectrum({ values, rate: 4096, window: 'blackman-harris' }) });
    expectNear(out.sfdrDb as number, 60, 0, 'SFDR', 0.02);
    expectNear(out.thdDb as number, -59.58607315, 0, 'THD', 0.02);
    expect(Math.abs(out.spurFrequency - 202.5)).toBe(0.5);
  });

  it.each([
    [72, -75, 70.23565138],
    [68.5, -66, 64.0622408],
  ])('[MT003] SNR %d dB with THD %d dB: SINAD %d dB (from memory)', (snr, thd, sinad) => {
    // The noise is one line that is no harmonic.
    const values = sines(2048, 2048, [
      [101, 1, 0],
      [202, 10 ** (thd / 20), 1],
      [555, 10 ** (-snr / 20), 2],
    ]);
    const out = tone({ spectrum: spectrum({ values, rate: 2048, window: 'rectangular' }) });
    expectNear(out.snrDb as number, snr, 1e-9, 'SNR');
    expectNear(out.thdDb as number, thd, 1e-9, 'THD');
    expectNear(out.sinadDb as number, sinad, 1e-8, 'SINAD');
  });

  it('[MT003] ENOB is (SINAD − 1.76)/6.02', () => {
    const values = sines(256, 256, [
      [13, 1, 0],
      [40, 10 ** -3.5, 0],
    ]);
    const out = tone({ spectrum: spectrum({ values, rate: 256, window: 'rectangular' }) });
    expectNear(out.effectiveBits as number, (70 - 1.76) / 6.02, 2e-4);
  });
});

describe('noise of a known size under a sine that does not fit', () => {
  it.each(['blackman-harris', 'nuttall', 'flattop'] as const)('%s, seed 5', (window) => {
    const noise = seededRandom(5).fillNormal(new Float64Array(2 ** 17));
    const values = sines(2 ** 17, 1, [[0.123456789, 1000, 0.5]]).map((x, n) => x + noise[n]!);
    const exact = 10 * Math.log10(1000 ** 2 / 2);
    // Bins of a window 2 to 3.8 bins wide hang together: 2^16/3.8 of them tell the noise to 0.8 %, 0.033 dB; four times that.
    const out = tone({ spectrum: spectrum({ values, rate: 1, window }) });
    expectNear(out.sinadDb as number, exact, 0, 'SINAD', 0.13);
    expectNear(out.frequency, 0.123456789, 1e-6);
    expectNear(out.amplitude, 1000, 1e-5);
    const averaged = tone({ spectrum: averagedSpectrum({ values, rate: 1, window, segmentLength: 8192 }) });
    expectNear(averaged.sinadDb as number, exact, 0, 'averaged', 0.13);
  });

  it("'hann' ends at some 37 dB: its side lobes count as noise", () => {
    const values = sines(2 ** 14, 1, [[0.123456789, 1000, 0.5]]);
    const { sinadDb } = tone({ spectrum: spectrum({ values, rate: 1, window: 'hann' }) });
    expectNear(sinadDb as number, 37, 0, '', 2);
  });

  it('noise far under the signal keeps its digits: −240 dB', () => {
    const values = sines(64, 64, [[5, 1, 0]]);
    const { power, ...rest } = spectrum({ values, rate: 64, window: 'rectangular' });
    const clean = power.map((p, k) => (k === 5 ? p : k === 20 ? 5e-25 : 0));
    expectNear(tone({ spectrum: { ...rest, power: clean } }).sinadDb as number, 240, 1e-12);
  });
});

describe('where harmonics fold', () => {
  it('a harmonic above half the rate shows at its image', () => {
    const values = sines(1000, 1000, [
      [310, 1, 0],
      [620, 0.01, 1],
      [930, 0.001, 1],
    ]);
    const { harmonics } = tone({
      spectrum: spectrum({ values, rate: 1000, window: 'rectangular' }),
      harmonics: 3,
    });
    expect(harmonics.map(({ order, frequency }) => [order, frequency])).toEqual([
      [2, 380],
      [3, 70],
    ]);
    expectNear(harmonics[0]!.level, -40, 1e-9);
  });

  it('one that falls on the tone is left out: a third of the rate', () => {
    const values = sines(999, 999, [
      [333, 1, 0.2],
      [100, 0.01, 0],
    ]);
    const { harmonics, thdDb } = tone({ spectrum: spectrum({ values, rate: 999, window: 'rectangular' }) });
    expect(thdDb === 'none' || thdDb < -250).toBe(true);
    expect(harmonics.every(({ level }) => level < -250)).toBe(true);
  });
});

describe('limits and errors', () => {
  it("no noise at all: 'any' and 'none'", () => {
    const spec = {
      power: Float64Array.of(0, 0.5, 0, 0),
      frequencies: Float64Array.of(0, 1, 2, 3),
      binWidth: 1,
      noiseBandwidth: 1,
      coherentGain: 1,
      window: 'rectangular' as const,
    };
    const out = tone({ spectrum: spec });
    expect([out.sinadDb, out.snrDb, out.thdDb, out.sfdrDb, out.effectiveBits]).toEqual([
      'any',
      'any',
      'none',
      'any',
      'any',
    ]);
    expect(() => tone({ spectrum: { ...spec, power: new Float64Array(4) } })).toThrow(
      'tone.spectrum: got no power',
    );
    expect(() => tone({ spectrum: spec, harmonics: 1 })).toThrow(
      'tone.harmonics: got 1; allowed whole numbers 2 … 100',
    );
  });
});

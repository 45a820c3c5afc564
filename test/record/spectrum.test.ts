import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { seededRandom } from '../../src/numbers/random.ts';
import { averagedSpectrum, spectrumStream } from '../../src/record/averagedSpectrum.ts';
import { spectrum } from '../../src/record/spectrum.ts';
import { lobeOf, type WindowName, windowNames, windowOf } from '../../src/record/windows.ts';
import { expectNear, expectPrinted } from '../close.ts';
import { column, table, uniforms } from './series.ts';

/** 20·log10 of what a window leaves of a sine half a bin off. */
function scallopingDb(weights: Float64Array): number {
  let re = 0;
  let im = 0;
  weights.forEach((w, n) => {
    re += w * Math.cos((Math.PI * n) / weights.length);
    im += w * Math.sin((Math.PI * n) / weights.length);
  });
  return -20 * Math.log10(Math.hypot(re, im) / weights.reduce((sum, w) => sum + w, 0));
}

describe('published: [PIEEE1978] table I: coherent gain, noise bandwidth in bins, scalloping loss in dB (from memory)', () => {
  it.each([
    ['rectangular', '1.00', '1.00', '3.92'],
    ['hann', '0.50', '1.50', '1.42'],
    // The scalloping loss remembered, 1.78, is not that of 0.54 and 0.46, 1.7514.
    ['hamming', '0.54', '1.36', undefined],
    ['blackman', '0.42', '1.73', '1.10'],
    ['blackman-harris-3', '0.42', '1.71', '1.13'],
    ['blackman-harris', '0.36', '2.00', '0.83'],
  ] as const)('%s', (name, gain, bandwidth, loss) => {
    const { weights, coherentGain, noiseBandwidthBins } = windowOf(name, 8192);
    expectPrinted(coherentGain, gain);
    expectPrinted(noiseBandwidthBins, bandwidth);
    if (loss) expectPrinted(scallopingDb(weights), loss);
  });

  it('[MPIG2002] the 98 dB window: 1.9761 bins, 0.8506 dB (from memory); [FLATTOP] 3.7702 bins', () => {
    const { weights, noiseBandwidthBins } = windowOf('nuttall', 8192);
    expectPrinted(noiseBandwidthBins, '1.9761');
    expectPrinted(scallopingDb(weights), '0.8506');
    expectPrinted(windowOf('flattop', 8192).noiseBandwidthBins, '3.7702');
  });
});

describe('computed by another program from the coefficients', () => {
  const names: Record<string, WindowName> = {
    rectangular: 'rectangular',
    hann: 'hann',
    blackman: 'blackman',
    'blackman-harris-3term-67dB': 'blackman-harris-3',
    'blackman-harris-4term-92dB': 'blackman-harris',
    'nuttall4c-98dB': 'nuttall',
    'flattop-5term (numeric-library set)': 'flattop',
  };
  for (const row of table('windows.csv')) {
    const name = names[row.window!];
    if (!name) continue;
    it(name, () => {
      const { weights, coherentGain, noiseBandwidthBins } = windowOf(name, 8192);
      expectPrinted(coherentGain, row.coherent_gain!);
      expectPrinted(noiseBandwidthBins, row.nenbw!);
      expectPrinted(scallopingDb(weights), row.scalloping_dB!);
      expectNear(Math.max(...weights), Number(row.peak), 2e-5);
    });
  }
});

describe('[IEEEAU15] against a numerical library: 300 values, segments of 64, half-overlapped', () => {
  const values = uniforms(2024, 301)
    .slice(1)
    .map((u, i) => Math.round(2000 + 40 * Math.sin(2 * Math.PI * 0.11 * i) + 8 * (u - 0.5)));

  it.each(['hann', 'blackman', 'flattop'] as const)('%s', (window) => {
    const { power, segments } = averagedSpectrum({ values, rate: 1000, window, segmentLength: 64 });
    const expected = column('averaged-spectrum.csv', window);
    expect([power.length, segments]).toEqual([33, 8]);
    expected.forEach((p, k) => {
      expectNear(power[k]!, p, 1e-11, `bin ${k}`, 1e-12);
    });
  });

  it('one whole record of 250, hann', () => {
    const { power, frequencies } = spectrum({ values: values.slice(0, 250), rate: 1000, window: 'hann' });
    column('averaged-spectrum.csv', 'whole').forEach((p, k) => {
      expectNear(power[k]!, p, 1e-11, `bin ${k}`, 1e-11);
      expectNear(frequencies[k]!, 4 * k, 1e-15);
    });
  });
});

describe('a sine that fits shows rms² in its bin', () => {
  const shape = fc.record({
    length: fc.integer({ min: 16, max: 300 }),
    window: fc.constantFrom(...windowNames),
    amplitude: fc.double({ min: 0.1, max: 100, noNaN: true }),
    phase: fc.double({ min: 0, max: 6, noNaN: true }),
    place: fc.double({ min: 0, max: 1, noNaN: true }),
  });

  it('any window, length, bin, phase', () => {
    fc.assert(
      fc.property(shape, ({ length, window, amplitude, phase, place }) => {
        const lobe = Math.max(1, lobeOf(window));
        // Away from the mirror images at 0 and at half the rate.
        const bin = lobe + Math.floor(place * (Math.floor((length - 1) / 2) - 2 * lobe + 1));
        if (bin < lobe || 2 * bin > length - lobe) return;
        const values = Array.from(
          { length },
          (_, n) => 7 + amplitude * Math.cos((2 * Math.PI * ((bin * n) % length)) / length + phase),
        );
        const { power, frequencies, binWidth } = spectrum({ values, rate: 50, window });
        expectNear(power[bin]!, amplitude ** 2 / 2, 1e-11);
        expectNear(frequencies[bin]!, bin * binWidth, 1e-14);
      }),
      { seed: 15 },
    );
  });

  it('at half the rate too, where it has one line', () => {
    const { power } = spectrum({ values: [3, -3, 3, -3, 3, -3, 3, -3], rate: 1, window: 'hann' });
    expectNear(power[4]!, 9, 1e-14);
  });
});

describe('noise', () => {
  it.each(windowNames)(
    '%s: power over noise bandwidth is the density, 2σ²/rate; 2^18 values, seed 1',
    (window) => {
      const values = seededRandom(1)
        .fillNormal(new Float64Array(2 ** 18))
        .map((z) => 3 * z);
      const { power, noiseBandwidth } = spectrum({ values, rate: 2000, window });
      let sum = 0;
      for (let k = 10; k < power.length - 10; k++) sum += power[k]!;
      const density = sum / (power.length - 20) / noiseBandwidth;
      // 2^18 values tell a variance to 0.3 %, wide windows half of that: four times it.
      expectNear(density, (2 * 9) / 2000, 0.016);
    },
  );

  it('without a window all power adds to the mean square', () => {
    const values = seededRandom(2).fillNormal(new Float64Array(1001));
    const mean = values.reduce((a, x) => a + x, 0) / 1001;
    const square = values.reduce((a, x) => a + (x - mean) ** 2, 0) / 1001;
    const { power } = spectrum({ values, rate: 1, window: 'rectangular' });
    expectNear(
      power.reduce((a, p) => a + p, 0),
      square,
      1e-12,
    );
    expectNear(power[0]!, 0, 0, 'mean removed', 1e-28);
  });
});

describe('in pieces', () => {
  it('equals the whole, whatever the pieces', () => {
    const values = seededRandom(3).fillNormal(new Float64Array(1000));
    const whole = averagedSpectrum({ values, rate: 10, segmentLength: 128 });
    for (const piece of [1, 63, 64, 65, 999]) {
      const stream = spectrumStream({ rate: 10, segmentLength: 128 });
      for (let i = 0; i < 1000; i += piece) stream.add(values.subarray(i, i + piece));
      expect(stream.spectrum()).toEqual(whole);
    }
    expect(whole.segments).toBe(14);
  });

  it("is 'none' while no segment is full", () => {
    const stream = spectrumStream({ rate: 1, segmentLength: 8 });
    stream.add([1, 2, 3, 4, 5, 6, 7]);
    expect(stream.spectrum()).toBe('none');
  });
});

describe('errors', () => {
  it('arguments', () => {
    expect(() => spectrum({ values: [1], rate: 1, window: 'hann' })).toThrow(
      'spectrum.values: got an array of 1',
    );
    expect(() => spectrum({ values: [1, 2], rate: 1, window: 'kaiser' as WindowName })).toThrow(
      "spectrum.window: got \"kaiser\"; allowed 'rectangular' or 'hann'",
    );
    expect(() => averagedSpectrum({ values: [1, 2], rate: 1, segmentLength: 4 })).toThrow(
      'averagedSpectrum.segmentLength: got 4; allowed up to the 2 values of the record',
    );
    expect(() => spectrumStream({ rate: 1, segmentLength: 100 })).toThrow(
      'allowed powers of two 4 … 4194304',
    );
  });
});

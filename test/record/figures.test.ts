import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { seededRandom } from '../../src/numbers/random.ts';
import { allanDeviation } from '../../src/record/allan.ts';
import { dependenceAnalysis, recordAnalysis } from '../../src/record/analysis.ts';
import { autocorrelation } from '../../src/record/autocorrelation.ts';
import { averagedBits } from '../../src/record/averagedBits.ts';
import { averagedSpectrum } from '../../src/record/averagedSpectrum.ts';
import { envelopeStream } from '../../src/record/envelope.ts';
import { figuresAtRate, type RecordFigures, recordFigures } from '../../src/record/figures.ts';
import { spectrum } from '../../src/record/spectrum.ts';
import { summarizeCodes } from '../../src/record/summary.ts';
import { expectNear } from '../close.ts';

/** Codes of an input with Gaussian noise. */
function noisy(count: number, seed: number, input: (n: number) => number, noiseLsb = 0.8): number[] {
  const random = seededRandom(seed);
  return Array.from({ length: count }, (_, n) => Math.floor(input(n) + noiseLsb * random.normal() + 0.5));
}

function figuresOf(codes: readonly number[], pieces = 1, bits = 12): RecordFigures {
  const stream = recordFigures({ bits });
  const size = Math.ceil(codes.length / pieces);
  for (let from = 0; from < codes.length; from += size) stream.add(codes.slice(from, from + size));
  const figures = stream.figures();
  if (figures === 'none') throw new Error('no figures');
  return figures;
}

const bytes = (text: string): Uint8Array => new TextEncoder().encode(text);

describe('the envelope', () => {
  it('is that of stretches of equal length, a power of two, whatever the pieces', () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: -9, max: 9 }), { minLength: 1, maxLength: 300 }),
        fc.integer({ min: 1, max: 6 }),
        fc.integer({ min: 1, max: 50 }),
        (values, half, piece) => {
          const stream = envelopeStream({ most: 2 * half });
          for (let i = 0; i < values.length; i += piece) stream.add(values.slice(i, i + piece));
          const { stretch, mean, lowest, highest } = stream.envelope();
          let least = 1;
          while (Math.ceil(values.length / least) > 2 * half) least *= 2;
          expect(stretch).toBe(least);
          const parts = Array.from({ length: Math.ceil(values.length / stretch) }, (_, i) =>
            values.slice(i * stretch, (i + 1) * stretch),
          );
          expect(Array.from(lowest)).toEqual(parts.map((p) => Math.min(...p)));
          expect(Array.from(highest)).toEqual(parts.map((p) => Math.max(...p)));
          parts.forEach((p, i) => {
            expectNear(mean[i]!, p.reduce((a, b) => a + b, 0) / p.length, 1e-12);
          });
        },
      ),
      { seed: 1, numRuns: 200 },
    );
  });
});

describe('the figures of a record', () => {
  const codes = noisy(5000, 1, () => 2000.3);
  const figures = figuresOf(codes);

  it('are those of each function on the whole record', () => {
    expect(figures.summary).toEqual(summarizeCodes({ codes, bits: 12 }));
    expect(figures.averaged).toEqual(averagedBits({ codes, bits: 12 }));
    const points = allanDeviation({ values: codes, rate: 1, kind: 'overlapping' });
    expect(figures.allan.map((p) => [p.factor, p.deviation, p.terms])).toEqual(
      points.map((p) => [p.factor, p.deviation, p.terms]),
    );
    const correlated = autocorrelation({ values: codes });
    if (figures.autocorrelation === 'none') throw new Error('none');
    expectNear(figures.autocorrelation.effectiveCount, correlated.effectiveCount, 1e-6);
    // The largest power of two that the record holds, and a quarter of it for the average.
    const fine = spectrum({ values: codes.slice(0, 4096), rate: 1, window: 'hann' });
    expect(figures.fine).toEqual(fine);
    expect(figures.spectrum).toEqual(averagedSpectrum({ values: codes, rate: 1, segmentLength: 1024 }));
  });

  it('do not depend on how the record was cut', () => {
    const other = figuresOf(codes, 7);
    expect(other.summary).toEqual(figures.summary);
    expect(other.averaged).toEqual(figures.averaged);
    expect(other.allan).toEqual(figures.allan);
    expect(other.spectrum).toEqual(figures.spectrum);
    expect(other.envelope).toEqual(figures.envelope);
  });

  it('of a long record average all of its segments', () => {
    const long = noisy(100_000, 2, () => 100.1);
    const { spectrum: welch, fine } = figuresOf(long, 3);
    expect(welch).toEqual(averagedSpectrum({ values: long, rate: 1 }));
    expect(fine).toEqual(spectrum({ values: long.slice(0, 65_536), rate: 1, window: 'hann' }));
  });

  it('scale with the rate', () => {
    const at = figuresAtRate({ figures, rate: 250 });
    expect(at.allan.map((p) => p.tau)).toEqual(figures.allan.map((p) => p.factor / 250));
    if (at.spectrum === 'none' || at.fine === 'none') throw new Error('none');
    expect(at.spectrum.frequencies.at(-1)).toBe(125);
    expect(at.fine.binWidth).toBe(250 / 4096);
    // Power is that of a sine in a bin, whatever the rate.
    expect(at.fine.power).toEqual((figures.fine as { power: Float64Array }).power);
    expect(figuresAtRate({ figures: at, rate: 1 }).fine).toEqual(figures.fine);
  });

  it('say when the record is a sine, and what it is', () => {
    const turn = 2 * Math.PI * 0.0123;
    const sine = figuresAtRate({
      figures: figuresOf(noisy(5000, 3, (n) => 2048 + 900 * Math.cos(turn * n + 0.7))),
      rate: 1e4,
    });
    if (sine.sine === 'none') throw new Error('no sine');
    expect(sine.sine.count).toBe(4096);
    expectNear(sine.sine.fit.frequency, 123, 0.01);
    expectNear(sine.sine.fit.amplitude, 900, 0.1);
    expectNear(sine.sine.fit.phase, 0.7, 1e-3);
    // Noise and quantization are what is left.
    expectNear(sine.sine.fit.residual, Math.hypot(0.8, 1 / Math.sqrt(12)), 0.03);
    expectNear(sine.sine.tone.frequency, 123, 0.5);
  });

  it('take hum, a ramp and a small sine for none', () => {
    const turn = 2 * Math.PI * 0.05;
    for (const input of [
      (n: number) => 2048 + 3 * Math.sin(turn * n),
      (n: number) => n / 2,
      (n: number) => 2048 + 100 * Math.sin(turn * n),
    ]) {
      expect(figuresOf(noisy(5000, 4, input)).sine).toBe('none');
    }
  });

  it('take a sine that is half noise for none', () => {
    const turn = 2 * Math.PI * 0.0123;
    expect(figuresOf(noisy(5000, 6, (n) => 2048 + 424 * Math.sin(turn * n), 300)).sine).toBe('none');
  });

  it('stand for a few codes, one code, and codes that never move', () => {
    expect(recordFigures({ bits: 12 }).figures()).toBe('none');
    const one = figuresOf([5]);
    expect([one.allan.length, one.spectrum, one.fine, one.sine, one.autocorrelation]).toEqual([
      0,
      'none',
      'none',
      'none',
      'none',
    ]);
    const still = figuresOf(new Array<number>(200).fill(7));
    expect(still.sine).toBe('none');
    expect(JSON.stringify(still)).not.toMatch(/null/);
  });
});

describe('the analysis of a file', () => {
  const text = `t;a;b\n${noisy(3000, 5, () => 1000)
    .map((c, i) => `${i / 50};${c};${c + 1000}`)
    .join('\n')}\n`;

  it('is that of its codes, in pieces of any size', () => {
    const whole = recordAnalysis({ bits: 12 });
    whole.push(bytes(text));
    const { report, figures } = whole.end();
    expect(report.rate).toBe(50);
    const cut = recordAnalysis({ bits: 12 });
    for (let i = 0; i < text.length; i += 777) cut.push(bytes(text.slice(i, i + 777)));
    const again = cut.end();
    expect(again.report).toEqual(report);
    if (figures === 'none' || again.figures === 'none') throw new Error('none');
    expect(again.figures.summary).toEqual(figures.summary);
  });

  it('takes the column that it is told', () => {
    const told = recordAnalysis({ bits: 12, column: 3 });
    told.push(bytes(text));
    const { figures } = told.end();
    if (figures === 'none') throw new Error('none');
    expectNear(figures.summary.mean, 2000, 0.1);
  });

  it('takes a last line without its end', () => {
    const open = recordAnalysis({ bits: 12 });
    open.push(bytes('100\n101\n102'));
    const { figures } = open.end();
    if (figures === 'none') throw new Error('none');
    expect([figures.summary.count, figures.summary.mean]).toEqual([3, 101]);
  });
});

describe('figures that two threads share', () => {
  it('are those of one, when both read the same bytes', () => {
    const text = bytes(`${noisy(20_000, 3, (n) => 2000 + 0.001 * n).join('\n')}\n`);
    const whole = recordAnalysis({ bits: 12 });
    const near = recordAnalysis({ bits: 12, dependence: 'elsewhere' });
    const far = dependenceAnalysis({ bits: 12 });
    for (let at = 0; at < text.length; at += 1000) {
      const piece = text.subarray(at, at + 1000);
      for (const reading of [whole, near, far]) reading.push(piece);
    }
    expect(near.end(far.end())).toEqual(whole.end());
  });

  it('are refused where what was found elsewhere is missing', () => {
    const stream = recordFigures({ bits: 12, dependence: 'elsewhere' });
    stream.add([1, 2, 3]);
    expect(() => stream.figures()).toThrow(TypeError);
  });
});

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { seededRandom } from '../../src/numbers/random.ts';
import { effectiveBitsFromResidual, sineFit } from '../../src/record/sineFit.ts';
import { expectNear, expectPrinted } from '../close.ts';
import { column } from './series.ts';

const one = column('sine-fit-1.csv', 'code');
const two = column('sine-fit-2.csv', 'code');

describe('[IEEE1057] three parameters, own records, fitted by another program', () => {
  it.each([
    ['100 values', one, 0.0317, '1485.56720041', '-1016.50947564', '2048.23477274', '1.22180932'],
    ['256 values', two, 0.2071, '430.92721948', '846.66001534', '1999.99518247', '0.40897562'],
  ] as const)('%s', (_, values, frequency, cosine, sine, offset, residual) => {
    const fit = sineFit({ values, rate: 1, frequency });
    expectPrinted(fit.cosine, cosine);
    expectPrinted(fit.sine, sine);
    expectPrinted(fit.offset, offset);
    expectPrinted(fit.residual, residual);
    expect(fit.frequency).toBe(frequency);
  });

  it('[IEEE1241] SINAD and effective bits from the residual', () => {
    const sinad = ({ amplitude, residual }: { amplitude: number; residual: number }): number =>
      20 * Math.log10(amplitude / Math.SQRT2 / residual);
    const a = sineFit({ values: one, rate: 1, frequency: 0.0317 });
    const b = sineFit({ values: two, rate: 1, frequency: 0.2071 });
    expectNear(sinad(a), 60.35535144, 1e-9);
    expectNear(sinad(b), 64.31037511, 1e-9);
    expectNear(effectiveBitsFromResidual({ residual: a.residual, bits: 12 }) as number, 9.918499597, 1e-9);
    expectNear(effectiveBitsFromResidual({ residual: b.residual, bits: 12 }) as number, 11.497432, 1e-9);
  });
});

describe('[IEEE1057] four parameters, fitted by another program from 1.0007 of the frequency', () => {
  it.each([
    ['100 values', one, '0.0317007974', '1800.06212668', '2048.21616775', '1.20709279'],
    ['256 values', two, '0.2071000738', '950.01677313', '1999.99522752', '0.40832730'],
  ] as const)('%s', (_, values, frequency, amplitude, offset, residual) => {
    const fit = sineFit({ values, rate: 1 });
    expectPrinted(fit.frequency, frequency);
    expectPrinted(fit.amplitude, amplitude);
    expectPrinted(fit.offset, offset);
    expectPrinted(fit.residual, residual);
  });
});

describe('properties', () => {
  const sine = fc.record({
    length: fc.integer({ min: 20, max: 300 }),
    turns: fc.double({ min: 0.02, max: 0.98, noNaN: true }),
    amplitude: fc.double({ min: 0.5, max: 1000, noNaN: true }),
    phase: fc.double({ min: -3.1, max: 3.1, noNaN: true }),
    offset: fc.double({ min: -1000, max: 1000, noNaN: true }),
  });

  it('a sine of any frequency from 1.2 cycles up is found, to 1e-8', () => {
    fc.assert(
      fc.property(sine, ({ length, turns, amplitude, phase, offset }) => {
        const frequency = Math.max(1.2, turns * (length / 2 - 1.2)) / length;
        const values = Array.from(
          { length },
          (_, n) => offset + amplitude * Math.cos(2 * Math.PI * frequency * n + phase),
        );
        const fit = sineFit({ values, rate: 1 });
        expectNear(fit.frequency, frequency, 1e-8, 'frequency');
        expectNear(fit.amplitude, amplitude, 1e-7, 'amplitude');
        expectNear(fit.offset, offset, 0, 'offset', 1e-7 * amplitude);
        expect(Math.abs(Math.sin((fit.phase - phase) / 2))).toBeLessThan(1e-7);
        expect(fit.residual).toBeLessThan(1e-7 * amplitude);
      }),
      { seed: 16, numRuns: 300 },
    );
  });

  it('nothing near leaves less (brute force about a fit)', () => {
    const noise = seededRandom(7);
    const values = Array.from({ length: 80 }, (_, n) => 3 * Math.cos(0.9 * n) + noise.normal());
    const fit = sineFit({ values, rate: 1 });
    const left = (c: number, s: number, o: number, f: number): number =>
      Math.sqrt(
        values.reduce(
          (sum, x, n) =>
            sum + (x - c * Math.cos(2 * Math.PI * f * n) - s * Math.sin(2 * Math.PI * f * n) - o) ** 2,
          0,
        ) / 80,
      );
    const at = left(fit.cosine, fit.sine, fit.offset, fit.frequency);
    expectNear(at, fit.residual, 1e-12);
    for (const d of [1e-3, -1e-3]) {
      expect(left(fit.cosine + d, fit.sine, fit.offset, fit.frequency)).toBeGreaterThan(at);
      expect(left(fit.cosine, fit.sine + d, fit.offset, fit.frequency)).toBeGreaterThan(at);
      expect(left(fit.cosine, fit.sine, fit.offset + d, fit.frequency)).toBeGreaterThan(at);
      expect(left(fit.cosine, fit.sine, fit.offset, fit.frequency + d / 100)).toBeGreaterThan(at);
    }
  });

  it('phase and amplitude are those of amplitude·cos(2πft + phase)', () => {
    const fit = sineFit({ values: one, rate: 1, frequency: 0.0317 });
    expectNear(fit.amplitude * Math.cos(fit.phase), fit.cosine, 1e-12);
    expectNear(-fit.amplitude * Math.sin(fit.phase), fit.sine, 1e-12);
  });

  it('above half the rate, where the frequency is known', () => {
    const values = Array.from({ length: 50 }, (_, n) => 2 * Math.sin(2 * Math.PI * 1.31 * n));
    const fit = sineFit({ values, rate: 1, frequency: 1.31 });
    expectNear(fit.sine, 2, 1e-12);
    expectNear(fit.residual, 0, 0, '', 1e-12);
  });

  it('values that do not swing have no amplitude', () => {
    const fit = sineFit({ values: [5, 5, 5, 5, 5, 5], rate: 1 });
    expectNear(fit.amplitude, 0, 0, '', 1e-12);
    expectNear(fit.offset, 5, 1e-12);
  });
});

describe('limits and errors', () => {
  it("a residual of 0: 'any'", () => {
    expect(effectiveBitsFromResidual({ residual: 0, bits: 12 })).toBe('any');
  });

  it('a frequency that looks like an offset', () => {
    expect(() => sineFit({ values: [1, 2, 3, 4], rate: 1, frequency: 1 })).toThrow(
      'sineFit.frequency: got 1; allowed frequencies that 4 values at 1 Hz tell from an offset',
    );
  });

  it('arguments', () => {
    expect(() => sineFit({ values: [1, 2, 3, 4], rate: 1 })).toThrow('sineFit.values: got an array of 4');
    expect(() => sineFit({ values: one, rate: 1, frequency: -1 })).toThrow('sineFit.frequency: got -1');
    expect(() => sineFit(undefined as never)).toThrow(TypeError);
  });
});

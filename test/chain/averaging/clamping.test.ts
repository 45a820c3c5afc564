import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { clampBias } from '../../../src/chain/averaging/clamping.ts';
import { seededRandom } from '../../../src/numbers/random.ts';
import { expectNear } from '../../close.ts';

describe('against clamped codes drawn one by one', () => {
  it.each([
    [0, 0.5],
    [0, 1],
    [-0.5, 0.8],
    [1.3, 1],
    [0, 20],
    [-7, 20],
  ])('input %d LSB, noise %d LSB', (inputLsb, noiseLsb) => {
    const random = seededRandom(5);
    const count = 400_000;
    let sum = 0;
    let squares = 0;
    for (let i = 0; i < count; i++) {
      const code = Math.floor(inputLsb + noiseLsb * random.normal() + 0.5);
      const lifted = Math.max(0, code) - code;
      sum += lifted;
      squares += lifted * lifted;
    }
    const mean = sum / count;
    const scatter = Math.sqrt((squares / count - mean * mean) / count);
    // Four standard deviations of the mean that was drawn.
    expectNear(clampBias({ inputLsb, noiseLsb }), mean, 0, '', 4 * scatter);
  });
});

describe('limits', () => {
  it('is σ/√(2π) at 0 for wide noise, 0.32 σ at 0.5 LSB', () => {
    // Common practice, no source; the former is the mean of the positive half of a normal density.
    expectNear(clampBias({ inputLsb: 0, noiseLsb: 1000 }) / 1000, 1 / Math.sqrt(2 * Math.PI), 1e-6);
    expect((clampBias({ inputLsb: 0, noiseLsb: 0.5 }) / 0.5).toFixed(2)).toBe('0.32');
  });

  it('goes on smoothly where the sum gives way to the integral', () => {
    for (const inputLsb of [-10, 0, 3, 25]) {
      const below = clampBias({ inputLsb, noiseLsb: 16 - 1e-9 });
      expectNear(clampBias({ inputLsb, noiseLsb: 16 }), below, 2e-10, `${inputLsb}`, 1e-9);
    }
  });

  it('counts the codes below 0 without noise, and nothing above', () => {
    expect(clampBias({ inputLsb: -3.2, noiseLsb: 0 })).toBe(3);
    expect(clampBias({ inputLsb: 12, noiseLsb: 0 })).toBe(0);
    expect(clampBias({ inputLsb: 1e9, noiseLsb: 30 })).toBe(0);
  });
});

describe('properties', () => {
  const input = fc.double({ min: -200, max: 200, noNaN: true });
  const noise = fc.double({ min: 0, max: 60, noNaN: true });
  it('never lowers the mean, and less the higher the input', () => {
    fc.assert(
      fc.property(input, noise, fc.double({ min: 0, max: 50, noNaN: true }), (inputLsb, noiseLsb, more) => {
        const here = clampBias({ inputLsb, noiseLsb });
        expect(here).toBeGreaterThanOrEqual(0);
        expect(clampBias({ inputLsb: inputLsb + more, noiseLsb })).toBeLessThanOrEqual(here + 1e-9);
      }),
    );
  });

  it('one code further down lifts by one more, less what still fell above', () => {
    // max(0, c) − c grows by 1 for each code that the whole distribution moves down, but for those above 0.
    fc.assert(
      fc.property(input, noise, (inputLsb, noiseLsb) => {
        const step = clampBias({ inputLsb: inputLsb - 1, noiseLsb }) - clampBias({ inputLsb, noiseLsb });
        expect(step).toBeGreaterThan(-1e-9);
        expect(step).toBeLessThan(1 + 1e-9);
      }),
    );
  });
});

describe('errors', () => {
  it('name the argument', () => {
    expect(() => clampBias({ inputLsb: 0, noiseLsb: -1 })).toThrow(
      'clampBias.noiseLsb: got -1; allowed 0 … 1000000 LSB',
    );
    expect(() => clampBias({ inputLsb: Number.NaN, noiseLsb: 1 })).toThrow(RangeError);
  });
});

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { realFourier, realFourierInto } from '../../src/numbers/fourier.ts';
import { seededRandom } from '../../src/numbers/random.ts';
import { expectNear } from '../close.ts';

/** The transform by its definition; angles from whole numbers below a turn, so that none is lost to their size. */
function definition(values: ArrayLike<number>): Float64Array {
  const size = values.length;
  const cosines = Float64Array.from({ length: size }, (_, j) => Math.cos((2 * Math.PI * j) / size));
  const sines = Float64Array.from({ length: size }, (_, j) => Math.sin((2 * Math.PI * j) / size));
  const out = new Float64Array(2 * Math.floor(size / 2) + 2);
  for (let k = 0; 2 * k < out.length; k++) {
    for (let n = 0, j = 0; n < size; n++, j = (j + k) % size) {
      out[2 * k]! += values[n]! * cosines[j]!;
      out[2 * k + 1]! -= values[n]! * sines[j]!;
    }
  }
  return out;
}

/** Root mean square of what two arrays differ by, over that of the second. */
function relativeError(actual: Float64Array, expected: Float64Array): number {
  let off = 0;
  let all = 0;
  for (let i = 0; i < expected.length; i++) {
    off += (actual[i]! - expected[i]!) ** 2;
    all += expected[i]! ** 2;
  }
  return Math.sqrt(off / all);
}

const noise = (size: number, seed: number): Float64Array =>
  seededRandom(seed).fillNormal(new Float64Array(size));

describe('against the definition', () => {
  it.each([2, 4, 8, 16, 32, 64, 128, 512, 2048])('length %i, a power of two', (size) => {
    const values = noise(size, size);
    // The definition's own rounding grows with √M; the transform's is a few 1e-16.
    expect(relativeError(realFourier(values), definition(values))).toBeLessThan(
      2e-16 * Math.sqrt(size) + 2e-16,
    );
  });

  it.each([1, 3, 5, 6, 7, 9, 12, 15, 31, 33, 100, 127, 250, 1000, 1999])('length %i, any other', (size) => {
    const values = noise(size, size);
    const actual = realFourier(values);
    expect(actual.length).toBe(2 * Math.floor(size / 2) + 2);
    expect(relativeError(actual, definition(values))).toBeLessThan(2e-16 * Math.sqrt(size) + 1e-15);
  });
});

describe('long records, where the definition would take too long', () => {
  it.each([14, 17, 20])('2^%i: a sine stands in its bin alone, to 1e-15 of its height', (log) => {
    const size = 2 ** log;
    const bin = 12345 % (size / 2);
    const values = Float64Array.from({ length: size }, (_, n) =>
      Math.cos((2 * Math.PI * ((bin * n) % size)) / size + 1),
    );
    const out = realFourier(values);
    expectNear(out[2 * bin]!, (size / 2) * Math.cos(1), 1e-14);
    expectNear(out[2 * bin + 1]!, (size / 2) * Math.sin(1), 1e-14);
    let rest = 0;
    for (let k = 0; k < out.length; k++) if (k >> 1 !== bin) rest += out[k]! ** 2;
    // Each of M/2 bins holds rounding of the order 1e-16·√M.
    expect(Math.sqrt(rest / size) / Math.sqrt(size)).toBeLessThan(1e-15);
  });

  it('2^18: the power is that of the values (Parseval)', () => {
    const values = noise(2 ** 18, 5);
    const out = realFourier(values);
    const squares = values.reduce((sum, x) => sum + x * x, 0);
    let power = out[0]! ** 2 + out.at(-2)! ** 2;
    for (let k = 2; k < out.length - 2; k++) power += 2 * out[k]! ** 2;
    expectNear(power / values.length, squares, 1e-13);
  });
});

describe('properties', () => {
  const list = fc.array(fc.double({ min: -1e3, max: 1e3, noNaN: true }), { minLength: 2, maxLength: 40 });

  it('is linear, and turns with a shift', () => {
    fc.assert(
      fc.property(list, (values) => {
        const size = values.length;
        const x = Float64Array.from(values);
        const shifted = Float64Array.from(values, (_, n) => values[(n + size - 1) % size]! * 3);
        const a = realFourier(x);
        const b = realFourier(shifted);
        const scale = 1e-12 * size * (1 + Math.max(...values.map(Math.abs)));
        for (let k = 0; 2 * k < a.length; k++) {
          const c = Math.cos((2 * Math.PI * k) / size);
          const s = -Math.sin((2 * Math.PI * k) / size);
          expectNear(b[2 * k]!, 3 * (a[2 * k]! * c - a[2 * k + 1]! * s), 0, 're', scale);
          expectNear(b[2 * k + 1]!, 3 * (a[2 * k]! * s + a[2 * k + 1]! * c), 0, 'im', scale);
        }
      }),
      { seed: 11 },
    );
  });

  it('leaves the record as it was', () => {
    const values = noise(64, 1);
    const copy = values.slice();
    realFourierInto(values, new Float64Array(66));
    expect(values).toEqual(copy);
  });
});

describe('errors', () => {
  it('lengths', () => {
    expect(() => realFourier(new Float64Array(0))).toThrow(
      'realFourier.values: got 0 values; allowed 1 or more',
    );
    expect(() => realFourierInto(new Float64Array(6), new Float64Array(8))).toThrow(
      'realFourierInto.values: got 6 values; allowed powers of two from 2',
    );
    expect(() => realFourierInto(new Float64Array(8), new Float64Array(8))).toThrow(
      'realFourierInto.out: got an array of 8; allowed 10',
    );
  });
});

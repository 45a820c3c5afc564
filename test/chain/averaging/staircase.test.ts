import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { codesInto, emptyCodes, meanSlope } from '../../../src/chain/averaging/codes.ts';
import { rippleSquare } from '../../../src/chain/averaging/ripple.ts';
import { largestMeanError, meanCodeError, meanTransfer } from '../../../src/chain/averaging/staircase.ts';
import { seededRandom } from '../../../src/numbers/random.ts';
import { expectNear, expectPrinted } from '../../close.ts';

const rowsOf = (file: string): number[][] =>
  readFileSync(`test/published/${file}`, 'utf8')
    .split('\n')
    .filter((line) => /^[\d.]/.test(line))
    .map((line) => line.split(',').map(Number));

/** Mean error and variance of the code for an input −½ … ½ LSB from a code centre, by the codes reached. */
function moments(input: number, noise: number): { bias: number; variance: number } {
  const codes = emptyCodes(noise);
  codesInto(noise, 0.5 - Math.abs(input), codes);
  return { bias: input < 0 ? -codes.meanError : codes.meanError, variance: codes.variance };
}

describe('published: moments of a rounded normal variable, own values in arbitrary precision ([QNOISE] ch. 19 for the sum)', () => {
  const rows = rowsOf('rounded-normal-moments.csv');

  it('mean of the code', () => {
    expect(rows.length).toBeGreaterThan(40);
    for (const [x, sigma, bias] of rows) {
      if (sigma === 0) continue;
      expectNear(meanCodeError({ inputLsb: x!, noiseLsb: sigma! }), bias!, 1e-13, `x ${x} σ ${sigma}`, 2e-16);
    }
  });

  it('mean and variance by the codes reached', () => {
    for (const [x, sigma, bias, variance] of rows) {
      const got = moments(x! - Math.round(x! - 1e-9), sigma!);
      expectNear(got.bias, bias!, 1e-13, `bias, x ${x} σ ${sigma}`, 1e-15);
      expectNear(got.variance, variance!, 1e-13, `variance, x ${x} σ ${sigma}`, 1e-17);
    }
  });

  it('mean error and variance of a second set, to its ten digits', () => {
    // That set was computed in doubles by differences from 1: its variance at σ = 0.1, x = 0 is 5e-17 off the set above.
    for (const [sigma, x, bias, , variance] of rowsOf('normal-dither.csv')) {
      const got = moments(x!, sigma!);
      expectNear(got.bias, bias!, 1e-11, `bias, x ${x} σ ${sigma}`, 3e-16);
      expectNear(got.variance, variance!, 1e-11, `variance, x ${x} σ ${sigma}`, 1e-16);
    }
  });
});

describe('published: mean error of a normal dither, [QNOISE] ch. 19 (formula)', () => {
  it.each([
    [0.25, 0.25, '-0.09269435745'],
    [0.3, 0.25, '-0.05386583278'],
    [0.5, 0.25, '-0.002289247572'],
    [0.4, 0.1, '-0.007950988554'],
  ])('σ %d, input %d', (noiseLsb, inputLsb, printed) => {
    expectPrinted(meanCodeError({ inputLsb, noiseLsb }), printed);
  });

  it('σ 1, input 0.25', () => {
    // The printed value, −8.515704253e-10, is a difference of doubles near 1; the first harmonic alone is exact here.
    expectNear(meanCodeError({ inputLsb: 0.25, noiseLsb: 1 }), -8.515704253e-10, 0, '', 1e-15);
    expectNear(meanCodeError({ inputLsb: 0.25, noiseLsb: 1 }), -Math.exp(-2 * Math.PI ** 2) / Math.PI, 1e-12);
  });

  it('the largest is nearly exp(−2π²σ²)/π', () => {
    expectNear(largestMeanError({ noiseLsb: 0.5 }).meanErrorLsb, -0.002289247572, 0, '', 1e-10);
    // At σ = 0.3 the second harmonic b beside the first, a, adds 2b²/a = 6e-7.
    expectNear(largestMeanError({ noiseLsb: 0.3 }).meanErrorLsb, -0.05386584486, 0, '', 1e-6);
  });
});

describe('by simulation, seeded', () => {
  it.each([
    [0.15, 0.3],
    [0.4, -0.2],
  ])('σ %d, input %d: mean of a million codes', (noiseLsb, inputLsb) => {
    const noise = seededRandom(5).fillNormal(new Float64Array(1_000_000));
    let sum = 0;
    for (const z of noise) sum += Math.floor(inputLsb + noiseLsb * z + 0.5);
    const { variance } = moments(inputLsb, noiseLsb);
    expectNear(
      sum / 1e6 - inputLsb,
      meanCodeError({ inputLsb, noiseLsb }),
      0,
      '',
      5 * Math.sqrt(variance / 1e6),
    );
  });
});

describe('properties', () => {
  it('the mean square over a code width is B²', () => {
    for (const noiseLsb of [0.03, 0.1, 0.2, 0.249, 0.25, 0.3, 0.6]) {
      const points = meanTransfer({ noiseLsb, from: -0.5, to: 0.5, points: 4097 }).slice(1);
      const square = points.reduce((a, p) => a + p.meanErrorLsb ** 2, 0) / 4096;
      expectNear(square, rippleSquare(noiseLsb), 1e-12, `σ ${noiseLsb}`);
    }
  });

  it('is odd, repeats every LSB, and the two methods meet', () => {
    for (const noiseLsb of [0, 0.1, 0.3, 2]) {
      for (const x of [0.1, 0.25, 0.49]) {
        const at = (inputLsb: number) => meanCodeError({ inputLsb, noiseLsb });
        expectNear(at(-x), -at(x), 1e-15, '', 1e-16);
        expectNear(at(x + 7), at(x), 0, '', 1e-15);
      }
    }
    for (const inputLsb of [0.05, 0.25, 0.45, 0.5]) {
      const below = meanCodeError({ inputLsb, noiseLsb: 0.25 - 1e-13 });
      expectNear(below, meanCodeError({ inputLsb, noiseLsb: 0.25 }), 0, '', 1e-12);
    }
  });

  it('no point of a fine grid exceeds the largest, and the largest is a point of the curve', () => {
    for (const noiseLsb of [1e-6, 0.01, 0.1, 0.24, 0.26, 0.5, 0.79, 0.81, 1.3]) {
      const largest = largestMeanError({ noiseLsb });
      expectNear(
        meanCodeError({ inputLsb: largest.inputLsb, noiseLsb }),
        largest.meanErrorLsb,
        1e-9,
        `σ ${noiseLsb}`,
      );
      for (const p of meanTransfer({ noiseLsb, from: 0, to: 0.5, points: 5001 })) {
        expect(Math.abs(p.meanErrorLsb)).toBeLessThanOrEqual(Math.abs(largest.meanErrorLsb) * (1 + 1e-9));
      }
    }
  });

  it('the slope of the mean code is the difference of close inputs', () => {
    for (const noise of [0.05, 0.2, 0.7]) {
      for (const depth of [0.01, 0.2, 0.49]) {
        const at = (d: number) => {
          const codes = emptyCodes(noise);
          codesInto(noise, d, codes);
          return codes.meanError - d;
        };
        // d runs against the input.
        const slope = -(at(depth + 1e-5) - at(depth - 1e-5)) / 2e-5;
        expectNear(meanSlope(noise, depth), slope, 1e-4, `σ ${noise} depth ${depth}`, 1e-6);
      }
    }
  });
});

describe('limits', () => {
  it('without noise the staircase itself', () => {
    expect(meanCodeError({ inputLsb: 0.5, noiseLsb: 0 })).toBe(0.5);
    expect(meanCodeError({ inputLsb: 0.499, noiseLsb: 0 })).toBe(-0.499);
    expect(meanCodeError({ inputLsb: -0.5, noiseLsb: 0 })).toBe(0.5);
    expect(largestMeanError({ noiseLsb: 0 })).toEqual({ inputLsb: 0.5, meanErrorLsb: -0.5 });
  });

  it('wide noise leaves nothing, even where it passes the range of doubles', () => {
    for (const noiseLsb of [5, 100, 1e6]) {
      expect(Math.abs(meanCodeError({ inputLsb: 0.3, noiseLsb }))).toBeLessThan(1e-200);
      expect(largestMeanError({ noiseLsb }).inputLsb).toBe(0.25);
    }
  });
});

describe('errors', () => {
  it('name the argument, the value and the range', () => {
    expect(() => meanTransfer({ noiseLsb: 0.1, from: 0, to: 1, points: 1 })).toThrow(
      new RangeError('meanTransfer.points: got 1; allowed whole numbers 2 … 100000'),
    );
    expect(() => meanCodeError({ inputLsb: 0, noiseLsb: -1 })).toThrow(
      new RangeError('meanCodeError.noiseLsb: got -1; allowed 0 … 1000000 LSB'),
    );
    expect(() => largestMeanError({ noise: 1 } as never)).toThrow(TypeError);
  });
});

import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { integerConversion } from '../../src/firmware/integerConversion.ts';
import { programVersion } from '../../src/firmware/version.ts';
import { evaluationOf, made } from './worksheets.ts';

/** Largest error over every code, by a walk of its own. */
function walked(c: ReturnType<typeof integerConversion>, measurandOf: (code: number) => number): number {
  let largest = 0;
  for (let code = c.lowestCode; code <= c.highestCode; code++) {
    const error = c.fromCode(code) / c.scale - measurandOf(code);
    // The same by a difference of rounded numbers.
    if (Math.abs(c.errorAt(code) - error) > 1e-12 * Math.max(1, Math.abs(measurandOf(code))))
      throw new Error(`errorAt(${code}): ${c.errorAt(code)}, not ${error}`);
    largest = Math.max(largest, Math.abs(error));
  }
  return largest;
}

describe('published: code to millivolts by integers', () => {
  // (code·3300 + 2048) >> 12 and (code·5000 + 512) >> 10: common practice, no source; the arithmetic is exact.
  it.each([
    [12, 3.3, { 4095: 3299, 1241: 1000, 1: 1 }],
    [10, 5, { 1023: 4995, 511: 2495, 3: 15 }],
  ])('%d bits at %d V', (bits, reference, values) => {
    const c = integerConversion({
      measurandOf: (code) => (code * reference) / 2 ** bits,
      lowestCode: 0,
      highestCode: 2 ** bits - 1,
      scale: 1000,
      error: 0.00051,
    });
    expect(c.method).toBe('multiplier');
    for (const [code, value] of Object.entries(values)) expect(c.fromCode(Number(code))).toBe(value);
    // Rounded to the nearest, halves either way.
    const half = 2n ** BigInt(bits - 1);
    for (let code = 0; code < 2 ** bits; code++) {
      const sum = BigInt(code) * BigInt(reference * 1000);
      const nearest = Number((sum + half) >> BigInt(bits));
      const tie = (sum + half) % (2n * half) === 0n;
      expect([nearest, ...(tie ? [nearest - 1] : [])]).toContain(c.fromCode(code));
    }
  });
});

describe('the demos, against laws written out here', () => {
  it('beehive: β equation, divider and the centre of the sums', () => {
    const { conversion } = made('beehive');
    const celsius = (code: number): number => {
      const x = (code * 8 + 3.5) / 64 / 4096;
      const ohms = (1e4 * x) / (1 - x);
      return 1 / (1 / 298.15 + Math.log(ohms / 1e4) / 3435) - 273.15;
    };
    expect(conversion.falling).toBe(true);
    expect(walked(conversion, celsius)).toBeCloseTo(conversion.largestError, 9);
    expect(conversion.largestError).toBeLessThanOrEqual(0.001);
    // Wider than what is wanted, 20 … 40 °C, by half of it at either end.
    expect(celsius(conversion.lowestCode)).toBeCloseTo(50, 2);
    expect(celsius(conversion.highestCode)).toBeCloseTo(10, 2);
  });

  it('cellar: divider, 2.2 V, first transition at 1, rounding', () => {
    const { conversion } = made('cellar');
    const volts = (code: number): number => (((code * 16 - 8 + 7.5) / 16 + 0.5) / 4096) * 2.2 * 3.2;
    expect([conversion.lowestCode, conversion.highestCode]).toEqual([0, 4095]);
    expect(walked(conversion, volts)).toBeCloseTo(conversion.largestError, 12);
  });

  it('workbench: quadratic of platinum above 0 °C, both wires', () => {
    const { conversion } = made('workbench');
    const celsius = (code: number): number => {
      const x = (code * 4 - 2 + 1.5) / 256 / 4096;
      const r = (4700 * x) / (1 - x) - 2.1;
      const [a, b] = [3.9083e-3, -5.775e-7];
      return (-a + Math.sqrt(a * a - 4 * b * (1 - r / 1000))) / (2 * b);
    };
    let largest = 0;
    for (let code = 48264; code <= 59105; code++)
      largest = Math.max(largest, Math.abs(conversion.fromCode(code) / 1000 - celsius(code)));
    expect(largest).toBeGreaterThan(0.0005);
    expect(largest).toBeLessThanOrEqual(conversion.largestError + 1e-9);
  });

  it.each(['beehive', 'cellar', 'workbench'])('%s: never turns back from one code to the next', (name) => {
    const { conversion } = made(name);
    const direction = conversion.falling ? -1 : 1;
    for (let code = 1; code <= conversion.highestCode + 5; code++)
      expect(direction * (conversion.fromCode(code) - conversion.fromCode(code - 1))).toBeGreaterThanOrEqual(
        0,
      );
  });
});

describe('properties', () => {
  const curves = fc.record({
    bits: fc.integer({ min: 8, max: 14 }),
    beta: fc.integer({ min: 2500, max: 4500 }),
    falling: fc.boolean(),
    from: fc.double({ min: 0.1, max: 0.45, noNaN: true }),
    to: fc.double({ min: 0.5, max: 0.9, noNaN: true }),
    scale: fc.constantFrom(10, 100, 1000, 10_000),
    steps: fc.double({ min: 1.2, max: 40, noNaN: true }),
    intermediates: fc.constantFrom<16 | 32 | 64>(16, 32, 64),
  });
  it('the error is what a walk over every code finds, and is kept or refused; intermediates stay in their width', () => {
    let [kept, refused] = [0, 0];
    fc.assert(
      fc.property(curves, ({ bits, beta, falling, from, to, scale, steps, intermediates }) => {
        const measurandOf = (code: number): number => {
          const x = (code + 0.5) / 2 ** bits;
          const kelvin = 1 / (1 / 298.15 + Math.log(x / (1 - x)) / beta);
          return falling ? kelvin - 273.15 : 273.15 - kelvin;
        };
        const error = steps / scale;
        const [lowestCode, highestCode] = [Math.round(from * 2 ** bits), Math.round(to * 2 ** bits)];
        try {
          const c = integerConversion({ measurandOf, lowestCode, highestCode, scale, error, intermediates });
          kept++;
          expect(walked(c, measurandOf)).toBeCloseTo(c.largestError, 9);
          expect(c.largestError).toBeLessThanOrEqual(error);
          expect(c.intermediates).toBeLessThanOrEqual(intermediates);
          expect(c.largestIntermediate).toBeLessThan(2 ** Math.min(53, c.intermediates));
          const smaller = c.candidates.filter((one) => one.keeps && one.size < sizeOf(c));
          expect(smaller).toEqual([]);
        } catch (problem) {
          if (!(problem instanceof RangeError)) throw problem;
          refused++;
          expect(problem.message).toContain('integerConversion.error');
        }
      }),
      { seed: 7, numRuns: 150 },
    );
    expect(kept).toBeGreaterThan(30);
    expect(refused).toBeGreaterThan(5);
  });

  const sizeOf = (c: ReturnType<typeof integerConversion>): number =>
    c.candidates.find((one) => one.method === c.method && one.intermediates === c.intermediates)!.size;
});

describe('limits', () => {
  it('more codes than are walked through: low bits are dropped, and the proof holds at both ends of each block', () => {
    const measurandOf = (code: number): number => Math.sqrt(code + 1);
    const given = { measurandOf, lowestCode: 2 ** 20, highestCode: 2 ** 23, scale: 100, error: 0.02 };
    const c = integerConversion(given);
    expect(c.drop).toBe(3);
    let largest = 0;
    for (let code = c.lowestCode; code <= c.highestCode; code += 3)
      largest = Math.max(largest, Math.abs(c.fromCode(code) / 100 - measurandOf(code)));
    expect(largest).toBeLessThanOrEqual(c.largestError);
    expect(c.largestError).toBeLessThanOrEqual(0.02);
  });

  it('ends: below and above are the ends of 32 bits, on the side of the measurand', () => {
    const { conversion } = made('beehive');
    expect(conversion.fromCode(0)).toBe(2 ** 31 - 1);
    expect(conversion.fromCode(32760)).toBe(-(2 ** 31));
    const cellar = made('cellar').conversion;
    expect(cellar.fromCode(4096)).toBe(2 ** 31 - 1);
    expect(
      Object.is(
        integerConversion({
          measurandOf: (c) => -c,
          lowestCode: 0,
          highestCode: 9,
          scale: 1,
          error: 1,
        }).fromCode(0),
        0,
      ),
    ).toBe(true);
  });

  it('an error that the worksheet states is kept, with finer steps where they are needed', () => {
    const { conversion } = made('beehive', (d) => {
      d.firmware = { error: '0.2 mK' };
    });
    expect(conversion.scale).toBeGreaterThanOrEqual(10_000);
    expect(conversion.largestError).toBeLessThanOrEqual(0.0002);
  });

  it('the version is that of the package', () => {
    expect(programVersion).toBe(JSON.parse(readFileSync('package.json', 'utf8')).version);
  });
});

describe('errors', () => {
  const line = (code: number): number => code / 3;
  const good = { measurandOf: line, lowestCode: 0, highestCode: 100, scale: 10, error: 0.1 };
  it.each([
    [{ error: 0.01 }, 'integerConversion.error: got 0.01; allowed from about 0.033'],
    [{ lowestCode: 101 }, 'integerConversion.highestCode: got 100; allowed from lowestCode, 101'],
    [{ scale: 2 ** 30 }, 'integerConversion.scale: got 1073741824; allowed up to 64424509'],
    [{ measurandOf: (c: number) => (c - 50) ** 2 }, 'a curve that is flat or turns'],
    [{ intermediates: 24 }, 'integerConversion.intermediates: got 24; allowed 16 or 32 or 64'],
  ])('%j', (change, message) => {
    expect(() => integerConversion({ ...good, ...change } as typeof good)).toThrow(message);
  });

  it('a worksheet whose range the converter cannot follow is refused in words', () => {
    const e = () =>
      made('cellar', (d) => {
        d.requirement.range.low.value = '20 V';
        d.requirement.range.high.value = '21 V';
        d.sensor.top.value = '1 ohm';
      });
    // A straight line is converted at every code all the same; a bent one is not.
    expect(e).not.toThrow();
    expect(() =>
      made('beehive', (d) => {
        d.conditioning.amplifier = { gain: 30, zero: '0 V', outputResistance: '100 ohm' };
      }),
    ).toThrow('firmware: no result code lies within 20');
    expect(evaluationOf('beehive').findings).toBeDefined();
  });
});

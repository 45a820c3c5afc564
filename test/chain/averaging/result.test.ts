import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { oversample } from '../../../src/chain/averaging/oversample.ts';
import { binaryDigits, voltageFromResult } from '../../../src/chain/averaging/result.ts';
import { voltageFromCode } from '../../../src/chain/quantizing.ts';
import { expectNear } from '../../close.ts';

const converter = fc.record({
  bits: fc.integer({ min: 1, max: 16 }),
  reference: fc.double({ min: 0.1, max: 10, noNaN: true }),
  firstTransition: fc.constantFrom<0.5 | 1>(0.5, 1),
  rounding: fc.constantFrom<'truncate' | 'round'>('truncate', 'round'),
});

describe('voltage of an averaged result', () => {
  it('is that of the single code where nothing is averaged', () => {
    fc.assert(
      fc.property(converter, fc.integer({ min: 0, max: 1 }), ({ rounding, ...adc }, code) => {
        expect(voltageFromResult({ ...adc, code, ratio: 1, shift: 0, rounding })).toBe(
          voltageFromCode({ ...adc, code }),
        );
      }),
    );
  });

  it('is the mean over the sums that give the result, each the mean code of its burst', () => {
    fc.assert(
      fc.property(
        converter,
        fc.integer({ min: 1, max: 300 }),
        fc.integer({ min: 0, max: 8 }),
        fc.integer({ min: 1, max: 50 }),
        ({ rounding, ...adc }, ratio, shift, code) => {
          const added = rounding === 'round' && shift > 0 ? 2 ** (shift - 1) : 0;
          let total = 0;
          let count = 0;
          for (let sum = 0; sum < (code + 2) * 2 ** shift; sum++) {
            if (Math.floor((sum + added) / 2 ** shift) !== code) continue;
            total += voltageFromCode({ ...adc, code: sum / ratio });
            count++;
          }
          expect(count).toBe(2 ** shift);
          expectNear(voltageFromResult({ ...adc, code, ratio, shift, rounding }), total / count, 1e-12);
        },
      ),
    );
  });

  it('carries no bias where noise is wide: the mean error of the plain value is that of `oversample`', () => {
    const adc = { bits: 12, reference: 4.096, firstTransition: 0.5 } as const;
    for (const rounding of ['truncate', 'round'] as const) {
      const { biasLsb } = oversample({ bits: 12, noiseLsb: 1, ratio: 256, shift: 4, rounding });
      const plain = (1000 * 2 ** 4) / 256;
      const centre = voltageFromResult({ ...adc, code: 1000, ratio: 256, shift: 4, rounding }) / 0.001;
      expectNear(plain - centre, biasLsb, 1e-9);
    }
  });
});

describe('binary digits', () => {
  it('of 0 … 2^17, as many as the number has when written out', () => {
    expect([0, 1, 2, 3, 4, 2047, 2048, 131040].map(binaryDigits)).toEqual([0, 1, 2, 2, 3, 11, 12, 17]);
  });
});

describe('errors', () => {
  it('name the argument, the value and the range', () => {
    const good = {
      code: 1,
      bits: 12,
      reference: 3.3,
      firstTransition: 0.5,
      ratio: 16,
      shift: 2,
      rounding: 'round',
    } as const;
    expect(() => voltageFromResult({ ...good, ratio: 1.5 })).toThrow(
      new RangeError('voltageFromResult.ratio: got 1.5; allowed whole numbers 1 … 65536'),
    );
    const { rounding: _, ...without } = good;
    expect(() => voltageFromResult(without as never)).toThrow(
      new RangeError("voltageFromResult.rounding: got undefined; allowed 'truncate' or 'round'"),
    );
  });
});

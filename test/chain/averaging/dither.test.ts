import { describe, expect, it } from 'vitest';
import { bestDither } from '../../../src/chain/averaging/dither.ts';
import { oversample } from '../../../src/chain/averaging/oversample.ts';
import { expectNear, expectPrinted } from '../../close.ts';

describe('own derivation, 12 bits', () => {
  it.each([
    [2, '0.1410', '12.1968'],
    [16, '0.2935', '13.3874'],
    [256, '0.3974', '15.1612'],
    [1024, '0.4394', '16.0718'],
  ])('R = %i', (ratio, noise, bits) => {
    const best = bestDither({ bits: 12, ratio });
    expectPrinted(best.noiseLsb, noise, 'σ');
    expectPrinted(best.effectiveBits, bits, 'bits');
  });
});

describe('properties', () => {
  it('no other noise of a fine grid gives more bits, and the bits are those of `oversample`', () => {
    for (const ratio of [2, 3, 7, 64, 1000, 65536]) {
      const best = bestDither({ bits: 12, ratio });
      const at = (noiseLsb: number) => oversample({ bits: 12, noiseLsb, ratio, shift: 0 }).effectiveBits;
      expectNear(best.effectiveBits, at(best.noiseLsb), 1e-14);
      for (let i = 0; i <= 2000; i++) expect(at(i / 2000)).toBeLessThanOrEqual(best.effectiveBits + 1e-12);
    }
  });

  it('one conversion wants none', () => {
    expect(bestDither({ bits: 12, ratio: 1 }).noiseLsb).toBe(0);
    expectNear(bestDither({ bits: 12, ratio: 1 }).effectiveBits, 12, 1e-15);
  });
});

describe('errors', () => {
  it('name the argument, the value and the range', () => {
    expect(() => bestDither({ bits: 12, ratio: 0 })).toThrow(
      new RangeError('bestDither.ratio: got 0; allowed whole numbers 1 … 65536'),
    );
  });
});

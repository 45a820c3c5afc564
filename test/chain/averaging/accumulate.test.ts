import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { accumulate } from '../../../src/chain/averaging/accumulate.ts';

const plain = { rounding: 'truncate', onOverflow: 'saturate' } as const;

describe('published: [FORUM739291] worked numbers', () => {
  it('256 of code 4095, shift 4, give 65520', () => {
    const codes = new Uint16Array(256).fill(4095);
    expect(Array.from(accumulate({ ...plain, codes, ratio: 256, shift: 4 }))).toEqual([0xfff0]);
  });
});

describe('against whole-number arithmetic without limit', () => {
  const burst = fc.record({
    codes: fc.array(fc.integer({ min: -(2 ** 31), max: 2 ** 32 - 1 }), { maxLength: 80 }),
    ratio: fc.integer({ min: 1, max: 20 }),
    shift: fc.integer({ min: 0, max: 20 }),
    rounding: fc.constantFrom<'truncate' | 'round'>('truncate', 'round'),
    registerBits: fc.integer({ min: 1, max: 31 }),
    onOverflow: fc.constantFrom<'saturate' | 'wrap'>('saturate', 'wrap'),
  });

  it('sum, add, shift, keep: the same for every burst', () => {
    fc.assert(
      fc.property(burst, (given) => {
        const { codes, ratio, shift, rounding, registerBits, onOverflow } = given;
        const expected: number[] = [];
        for (let n = 0; (n + 1) * ratio <= codes.length; n++) {
          let sum = codes.slice(n * ratio, (n + 1) * ratio).reduce((a, c) => a + BigInt(c), 0n);
          if (rounding === 'round' && shift > 0) sum += 1n << BigInt(shift - 1);
          const result = sum >> BigInt(shift);
          const most = (1n << BigInt(registerBits)) - 1n;
          if (onOverflow === 'wrap') expected.push(Number(BigInt.asUintN(registerBits, result)));
          else expected.push(Number(result < 0n ? 0n : result > most ? most : result));
        }
        expect(Array.from(accumulate(given))).toEqual(expected);
      }),
      { numRuns: 500 },
    );
  });

  it('sums of 2^53 and near it are exact', () => {
    const codes = [2 ** 52, 2 ** 52 - 3];
    const out = accumulate({
      codes,
      ratio: 2,
      shift: 20,
      rounding: 'truncate',
      registerBits: 31,
      onOverflow: 'wrap',
    });
    expect(out[0]).toBe(Number((((1n << 53n) - 3n) >> 20n) & 0x7fffffffn));
  });
});

describe('limits', () => {
  it('an incomplete last burst is left out; a record shorter than one gives none', () => {
    expect(Array.from(accumulate({ ...plain, codes: [5, 6, 7], ratio: 2, shift: 0 }))).toEqual([11]);
    expect(accumulate({ ...plain, codes: [5, 6, 7], ratio: 4, shift: 0 })).toHaveLength(0);
    expect(accumulate({ ...plain, codes: new Uint16Array(0), ratio: 4, shift: 0 })).toHaveLength(0);
  });

  it('sums below 0 shift downwards, read 0 in a saturating register and keep their low bits in a wrapping one', () => {
    const given = { codes: [-9, 2], ratio: 2, shift: 1, rounding: 'truncate', registerBits: 8 } as const;
    expect(Array.from(accumulate({ ...given, onOverflow: 'saturate' }))).toEqual([0]);
    expect(Array.from(accumulate({ ...given, onOverflow: 'wrap' }))).toEqual([252]);
  });

  it('takes any array of whole numbers alike, and does not change it', () => {
    const list = [1, 2, 3, 4, 5, 6];
    for (const codes of [list, Uint8Array.from(list), Int16Array.from(list), Float64Array.from(list)]) {
      expect(Array.from(accumulate({ ...plain, codes, ratio: 3, shift: 1 }))).toEqual([3, 7]);
      expect(Array.from(codes)).toEqual(list);
    }
  });

  it('the register is 16 bits unless given', () => {
    const codes = new Uint16Array(32).fill(4095);
    expect(Array.from(accumulate({ ...plain, codes, ratio: 32, shift: 0 }))).toEqual([65535]);
    expect(Array.from(accumulate({ ...plain, onOverflow: 'wrap', codes, ratio: 32, shift: 0 }))).toEqual([
      (32 * 4095) % 65536,
    ]);
  });
});

describe('errors', () => {
  it.each([
    [{ codes: [1.5] }, 'accumulate.codes: got an array of 1; allowed an array of whole numbers'],
    [{ codes: 'codes' }, 'accumulate.codes: got "codes"; allowed an array of whole numbers'],
    [{ registerBits: 32 }, 'accumulate.registerBits: got 32; allowed whole numbers 1 … 31'],
    [{ onOverflow: 'clip' }, "accumulate.onOverflow: got \"clip\"; allowed 'saturate' or 'wrap'"],
    [{ ratio: 65537 }, 'accumulate.ratio: got 65537; allowed whole numbers 1 … 65536'],
  ])('%j', (wrong, message) => {
    const good = { ...plain, codes: [1, 2], ratio: 2, shift: 0 };
    expect(() => accumulate({ ...good, ...wrong } as never)).toThrow(new RangeError(message));
  });
});

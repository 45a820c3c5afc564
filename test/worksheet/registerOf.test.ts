import { describe, expect, it } from 'vitest';
import { evaluate } from '../../src/worksheet/evaluate.ts';
import { codeFraction, registerOf } from '../../src/worksheet/registerOf.ts';
import { withValue } from '../../src/worksheet/write.ts';
import { expectNear, expectPrinted } from '../close.ts';
import { demo } from './demos.ts';

const evaluated = (name: string, changes: Readonly<Record<string, string>> = {}) =>
  evaluate({
    worksheet: Object.entries(changes).reduce((w, [path, text]) => withValue(w, path, text), demo(name)),
  });
const names = ['beehive', 'cellar', 'workbench'];

describe('the register', () => {
  it.each(names)('of %s: the sum that stands in it shifts to the code', (name) => {
    for (const shift of ['0', '1', '2', '5', '8']) {
      const e = evaluated(name, { 'averaging.shift': shift });
      const r = registerOf(e);
      if (e.averaging.overflows) continue;
      expect(Math.floor((r.sum + r.added) / 2 ** Number(shift))).toBe(r.code);
      expect(Math.abs(r.sum - e.channel.codeOf(r.measurand) * e.averaging.ratio)).toBeLessThanOrEqual(1);
      expect(r.sum.toString(2).length).toBeLessThanOrEqual(r.sumBits);
    }
  });

  it('a 12-bit code left-aligned in 16 bits is 16 times too large, in 20 bits 256 times', () => {
    const alone = { 'averaging.ratio': '1', 'averaging.shift': '0' };
    for (const [name, factor] of [
      ['beehive', 16],
      ['workbench', 256],
    ] as const) {
      const r = registerOf(evaluated(name, alone));
      expect(r.aligned.leftAligned).toBe(r.code * factor);
      expect(r.misreadings[0]).toMatchObject({ is: 'left as right', code: r.code * factor, factor });
      // Shifted back it is the code again, and all of it stands in the register.
      expect(r.aligned.leftAligned >> r.aligned.spare).toBe(r.code);
      expect(r.aligned.leftAligned).toBeLessThan(2 ** r.aligned.width);
    }
  });

  it('software aligns each conversion, not the result', () => {
    const r = registerOf(evaluated('cellar'));
    expect(r.aligned).toMatchObject({ of: 'conversion', width: 16, bits: 12, spare: 4 });
  });

  it('a voltage misread as 16 times too small is a sixteenth', () => {
    const r = registerOf(evaluated('cellar'));
    const low = r.misreadings.find((m) => m.is === 'right as left')!;
    if (low.measurand === 'none') throw new Error('none');
    // To one code in the last place: 1.72 mV, and the code’s own bin.
    expectNear(low.measurand, 5 / 16, 0, '', 1.8e-3);
    expect(r.misreadings.find((m) => m.is === 'left as right')!.measurand).toBe('none');
  });

  it('masked to one conversion the high bits are lost', () => {
    const r = registerOf(evaluated('beehive'));
    const masked = r.misreadings.find((m) => m.is === 'masked to one conversion')!;
    expect(masked.code).toBe(r.code & 0xfff);
  });

  it('that is full has no alignment', () => {
    const r = registerOf(evaluated('beehive', { 'averaging.ratio': '256', 'averaging.shift': '4' }));
    expect(r.aligned.spare).toBe(0);
    expect(r.misreadings.map((m) => m.is)).toEqual(['masked to one conversion', 'taken for one conversion']);
  });
});

describe('the constant for a shift', () => {
  it('truncating takes off 0.25, 0.375, 0.4375 and 0.469 of a code for 1 to 4 (own derivation, value from memory)', () => {
    const { roundings } = registerOf(evaluated('beehive'));
    ['0.25', '0.375', '0.4375', '0.469'].forEach((printed, i) => {
      expectPrinted(-roundings[i]!.truncated, printed, `shift ${i + 1}`);
    });
  });

  it('is as every sum gives it, one after the other', () => {
    for (const row of registerOf(evaluated('beehive')).roundings) {
      const step = 2 ** row.shift;
      let [truncated, rounded] = [0, 0];
      for (let sum = 0; sum < step; sum++) {
        truncated += (Math.floor(sum / step) - sum / step) / step;
        rounded += (Math.floor((sum + row.constant) / step) - sum / step) / step;
      }
      // 64 conversions at 0.6 LSB run over the sums all but evenly.
      expectNear(row.truncated, truncated, 0, `shift ${row.shift}`, 1e-9);
      expectNear(row.rounded, rounded, 0, `shift ${row.shift}`, 1e-9);
      expectNear(row.truncatedLsb, (truncated * step) / 64, 0, `shift ${row.shift}`, 1e-9);
    }
  });
});

describe('a result code as a share of the reference', () => {
  it('is 2^s/(R·2^N) in lowest terms', () => {
    expect(codeFraction(12, 64, 3)).toEqual({ over: 1, under: 32768 });
    expect(codeFraction(12, 48, 5)).toEqual({ over: 1, under: 6144 });
    expect(codeFraction(2, 3, 4)).toEqual({ over: 4, under: 3 });
    for (const [bits, ratio, shift] of [
      [12, 10, 3],
      [8, 6, 12],
      [14, 1024, 4],
      [1, 7, 20],
    ] as const) {
      const { over, under } = codeFraction(bits, ratio, shift);
      expect(over * ratio * 2 ** bits).toBe(under * 2 ** shift);
      for (const p of [2, 3, 5, 7]) expect(over % p === 0 && under % p === 0).toBe(false);
    }
  });
});

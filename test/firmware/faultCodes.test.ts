import { describe, expect, it } from 'vitest';
import { accumulate } from '../../src/chain/averaging/accumulate.ts';
import { constantsOf } from '../../src/firmware/constants.ts';
import { seededRandom } from '../../src/numbers/random.ts';
import { type evaluationOf, made } from './worksheets.ts';

/** Averaged results of a converter off by offset, INL and gain at their worst, at a share of the reference, with its noise. */
function results(e: ReturnType<typeof evaluationOf>, share: number, sign: 1 | -1): Int32Array {
  const { profile } = e.worksheet;
  const { bits, firstTransition, noiseLsb } = e.quantizing;
  const ofFinest = 2 ** (bits - profile.resolutions[0]!.bits);
  const random = seededRandom(11);
  const codes = Float64Array.from({ length: 200 * e.averaging.ratio }, () => {
    const input =
      share * 2 ** bits * (1 + sign * profile.gain.value) +
      sign * ofFinest * (profile.offset.value + profile.inl.value);
    const noise =
      noiseLsb * Math.sqrt(-2 * Math.log(1 - random.uniform())) * Math.cos(2 * Math.PI * random.uniform());
    return Math.min(Math.max(Math.floor(input + noise + 1 - firstTransition), 0), 2 ** bits - 1);
  });
  const { ratio, shift, rounding, registerBits } = e.averaging;
  return accumulate({ codes, ratio, shift, rounding, registerBits, onOverflow: 'saturate' });
}

describe('codes of a broken and a shorted sensor, as they are handed on', () => {
  it.each(['low', 'high'] as const)(
    'divider with the sensor on the %s side, simulated with its worst converters',
    (side) => {
      const { evaluation: e, conversion } = made('workbench', (d) => {
        d.conditioning.divider.side = side;
      });
      const constants = constantsOf(e, conversion).flatMap((g) => g.constants);
      const at = (name: string): number => constants.find((c) => c.name === name)!.value;
      const lead = 2.1;
      const shorted = (side === 'low' ? lead : 4700) / (lead + 4700);
      const broken = side === 'low' ? 1 : 0;
      const [low, high] =
        side === 'low'
          ? [at('CODE_SHORT_UP_TO'), at('CODE_OPEN_FROM')]
          : [at('CODE_OPEN_UP_TO'), at('CODE_SHORT_FROM')];
      for (const share of [shorted, broken]) {
        for (const sign of [1, -1] as const) {
          const codes = results(e, share, sign);
          if (share < 0.5) expect(Math.max(...codes)).toBeLessThanOrEqual(low);
          else expect(Math.min(...codes)).toBeGreaterThanOrEqual(high);
        }
      }
      // The range itself stays clear of them, and neither is converted.
      const wanted = [e.reading.codeAt(15), e.reading.codeAt(95)];
      expect(Math.min(...wanted)).toBeGreaterThan(low);
      expect(Math.max(...wanted)).toBeLessThan(high);
      const [below, above] = side === 'low' ? [-(2 ** 31), 2 ** 31 - 1] : [2 ** 31 - 1, -(2 ** 31)];
      expect(conversion.fromCode(low)).toBe(below);
      expect(conversion.fromCode(high)).toBe(above);
    },
  );

  it('a fault that lies within the range is not handed on, and the header says so', () => {
    const { header } = made('cellar', (d) => {
      d.requirement.range.low.value = '0.01 V';
    });
    expect(header).not.toContain('X_CODE_UPPER_RESISTOR_OPEN');
    expect(header).toContain('Cannot be told from a reading of the range: upper resistor open.');
    expect(header).toContain('X_CODE_LOWER_RESISTOR_OPEN_FROM');
  });
});

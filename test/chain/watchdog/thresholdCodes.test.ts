import { describe, expect, it } from 'vitest';
import { codeFromVoltage } from '../../../src/chain/quantizing.ts';
import type { Compare } from '../../../src/chain/watchdog/comparator.ts';
import { thresholdCodes } from '../../../src/chain/watchdog/thresholdCodes.ts';
import type { TripIntent } from '../../../src/chain/watchdog/window.ts';
import { seededRandom } from '../../../src/numbers/random.ts';
import { expectNear } from '../../close.ts';
import {
  type Averaging,
  beside,
  type Converter,
  comparedValue,
  cornersOf,
  cutFor,
  type Errors,
  none,
  reachedCodes,
  transitionIn,
  trips,
} from './driven.ts';

const plain = {
  bits: 12,
  reference: 3.3,
  firstTransition: 1,
  compare: { stage: 'conversion', bits: 12 },
  intent: 'must-trip',
} as const;

const sides = ['above', 'below'] as const;
const intents: TripIntent[] = ['must-trip', 'must-not-trip'];
const binary = (value: number): number => Math.max(1, value.toString(2).length);

describe('check values: LSB arithmetic (formula values, no printed source)', () => {
  it('0.500 V of 3.3 V, 12 bits: the smallest code whose whole bin is at or above it is 621', () => {
    // 0.5 V/LSB is 620.606.
    const { low } = thresholdCodes({ ...plain, below: 0.5 });
    expect(low).toMatchObject({ code: 621, hex: '0x26D' });
    expectNear(low!.typicalAt, (621 * 3.3) / 4096, 1e-15);
  });

  it('codes are clipped at 4095 and 0, so nothing trips beyond them', () => {
    expect(codeFromVoltage({ ...only(plain), volts: 3.3 })).toBe(4095);
    expect(codeFromVoltage({ ...only(plain), volts: -0.01 })).toBe(0);
    const quiet = { ...plain, intent: 'must-not-trip' } as const;
    expect(() => thresholdCodes({ ...quiet, above: 3.3 })).toThrow('4096 > 4095 never trips');
    expect(() => thresholdCodes({ ...quiet, below: -0.01 })).toThrow('0 < 0 never trips');
  });
});

const only = ({ bits, reference, firstTransition }: Converter): Converter => ({
  bits,
  reference,
  firstTransition,
});

/** Asks for one code and compares the values it trips at with those of the brute force, on either side of the cut and at both ends. */
function check(
  c: Converter,
  averaging: Averaging,
  compare: Compare,
  question: { side: 'above' | 'below'; intent: TripIntent; limit: number; tolerance: Errors },
  cut: number,
  largest: number,
): 'codes' | 'never' | 'always' {
  const { side, intent, limit, tolerance } = question;
  const given = { ...c, ...averaging, compare, intent, tolerance, [side]: limit };
  const what = () => JSON.stringify(given);
  if (cut < 1 || cut > largest) {
    const verdict = cut < 1 === (side === 'above') ? 'always' : 'never';
    expect(() => thresholdCodes(given), what()).toThrow(
      new RegExp(`^thresholdCodes\\.${side}: got .* ${verdict} trips$`),
    );
    return verdict;
  }
  const answer = thresholdCodes(given)[side === 'above' ? 'high' : 'low']!;
  if (!(answer.code < 2 ** (compare.registerBits ?? compare.bits)))
    expect.fail(`${what()}: ${answer.code} does not fit`);
  if (Number(answer.hex) !== answer.code) expect.fail(`${what()}: ${answer.hex} is not ${answer.code}`);
  for (const value of [0, cut - 1, cut, largest]) {
    if (trips(side, answer.code, value, compare) !== (side === 'above' ? value >= cut : value < cut)) {
      expect.fail(`${what()}: ${answer.code} is wrong at ${value}, the set is cut at ${cut}`);
    }
  }
  return 'codes';
}

describe('brute force: small converters, driven at every transition, beside it and on a grid of 1/16 LSB', () => {
  const tolerances: Record<string, Errors> = {
    none,
    offset: { ...none, offsetLsb: 0.4 },
    'offset and nonlinearity': { ...none, offsetLsb: 0.5, inlLsb: 0.25 },
    'gain and reference': { ...none, gain: 0.03, reference: 0.02 },
    all: { offsetLsb: 1.5, inlLsb: 0.25, gain: 1 / 32, reference: 1 / 64 },
  };
  const averagings: Averaging[] = [1, 2, 3, 5, 6, 10, 16].flatMap((ratio) =>
    [0, 1, 2, 3].flatMap((shift) =>
      (['truncate', 'round'] as const).map((rounding) => ({ ratio, shift, rounding })),
    ),
  );
  for (const [name, tolerance] of Object.entries(tolerances)) {
    it(`tolerance: ${name}; the trip set is the tightest that keeps the guarantee`, () => {
      const random = seededRandom(1);
      const pick = <T>(list: readonly T[]): T => list[Math.floor(random.uniform() * list.length)]!;
      const verdicts = { codes: 0, never: 0, always: 0 };
      for (const bits of [3, 4, 5]) {
        for (const firstTransition of [0.5, 1] as const) {
          for (const reference of [2, 3.3]) {
            const c = { bits, reference, firstTransition };
            const corners = cornersOf(tolerance);
            const q = reference / 2 ** bits;
            const grid = Array.from({ length: 16 * (2 ** bits + 6) }, (_, i) => ((i + 0.3) / 16 - 3) * q);
            const standing = corners.flatMap((corner) =>
              Array.from({ length: 2 ** bits - 1 }, (_, k) => transitionIn(c, corner, k + 1)),
            );
            const marks = [...new Set(standing)].flatMap((v) => [v, beside(v, 1), beside(v, -1)]);
            // About 200 of them; the stride is prime to the three kinds of mark and to the corners.
            const all = [...marks, ...grid.filter((_, i) => i % 8 === 3)];
            const stride = [1, 5, 7, 11].find((n) => all.length / n < 200)!;
            const limits = all.filter((_, i) => i % stride === 0);
            const reached = reachedCodes(c, corners, [...grid, ...marks], limits);
            for (let n = 0; n < 18; n++) {
              const stage = n % 3 === 0 ? 'conversion' : 'result';
              const averaging = pick(averagings);
              const bare = {
                stage,
                bits: 1,
                drop: pick([0, 1, 2, 3]),
                inclusive: pick([false, true]),
              } as const;
              const values = Array.from({ length: 2 ** bits }, (_, code) =>
                comparedValue(code, averaging, bare),
              );
              const largest = values.at(-1)!;
              if (largest === 0) continue;
              const width = binary(largest) + pick([0, 0, 2]);
              const compare: Compare = { ...bare, bits: width, ...pick([{}, { registerBits: width + 3 }]) };
              for (let i = n % 3; i < limits.length; i += 3) {
                for (const side of sides) {
                  for (const intent of intents) {
                    const cut = cutFor(side, intent, reached[i]!, (code) => values[code]!);
                    const question = { side, intent, limit: limits[i]!, tolerance };
                    verdicts[check(c, averaging, compare, question, cut, largest)]++;
                  }
                }
              }
            }
          }
        }
      }
      // The draw must have met all three.
      expect(verdicts.codes).toBeGreaterThan(10000);
      expect(Math.min(verdicts.never, verdicts.always)).toBeGreaterThan(300);
    });
  }
});

describe('brute force: inside the tolerance, each transition with its own error', () => {
  const tolerance = { offsetLsb: 0.6, inlLsb: 0.7, gain: 0.04, reference: 0.03 };
  const averaging = { ratio: 3, shift: 1, rounding: 'round' } as const;
  for (const intent of intents) {
    it(`${intent}: no drawn converter breaks the guarantee; with the code one nearer to the limit some do`, () => {
      const random = seededRandom(2);
      const within = (width: number) => width * (2 * random.uniform() - 1);
      // Half of the draws sit at the ends of the half-widths, where it is tightest.
      const drawn = (width: number) =>
        random.uniform() < 0.5 ? Math.sign(within(1)) * width : within(width);
      const broken = { above: 0, below: 0 };
      for (let n = 0; n < 2000; n++) {
        const side = sides[n % 2]!;
        const c = { bits: 4, reference: 2.5, firstTransition: random.uniform() < 0.5 ? 1 : 0.5 } as const;
        const compare = { stage: n % 3 ? 'result' : 'conversion', bits: 6 } as const;
        const q = c.reference / 16;
        const limit = (4 + 7 * random.uniform()) * q;
        const given = { ...c, ...averaging, compare, intent, tolerance, [side]: limit };
        const { code } = thresholdCodes(given)[side === 'above' ? 'high' : 'low']!;
        const nearer = code + ((side === 'above') === (intent === 'must-trip') ? 1 : -1);
        const [offset, gain, reference] = [
          drawn(tolerance.offsetLsb),
          drawn(tolerance.gain),
          drawn(tolerance.reference),
        ];
        const standing = Array.from(
          { length: 15 },
          (_, k) =>
            (k + c.firstTransition + offset + drawn(tolerance.inlLsb)) * q * (1 + gain) * (1 + reference),
        );
        const values = Array.from({ length: 16 }, (_, k) => comparedValue(k, averaging, compare));
        let breaks = false;
        for (let i = -16; i < 300; i++) {
          const v = ((i + 0.37) / 16) * q;
          const beyond = side === 'above' ? v > limit : v < limit;
          if (beyond !== (intent === 'must-trip')) continue;
          const value = values[standing.filter((t) => t <= v).length]!;
          if (trips(side, code, value, compare) !== beyond) expect.fail(`${JSON.stringify(given)}: ${v} V`);
          breaks ||= trips(side, nearer, value, compare) !== beyond;
        }
        if (breaks) broken[side]++;
      }
      expect(Math.min(broken.above, broken.below)).toBeGreaterThan(20);
    });
  }
});

describe('brute force: 12 bits, averaged, slices of the result compared', () => {
  const slices: [Averaging, Omit<Compare, 'stage'>][] = [
    [{ ratio: 1, shift: 0, rounding: 'truncate' }, { bits: 12 }],
    [
      { ratio: 1, shift: 0, rounding: 'truncate' },
      { bits: 8, drop: 4, registerBits: 16 },
    ],
    [{ ratio: 3, shift: 0, rounding: 'truncate' }, { bits: 14 }],
    [
      { ratio: 10, shift: 3, rounding: 'round' },
      { bits: 13, inclusive: true },
    ],
    [
      { ratio: 16, shift: 0, rounding: 'truncate' },
      { bits: 12, drop: 4, registerBits: 16 },
    ],
    [{ ratio: 16, shift: 4, rounding: 'round' }, { bits: 12 }],
    [{ ratio: 48, shift: 2, rounding: 'truncate' }, { bits: 16 }],
    [
      { ratio: 48, shift: 0, rounding: 'truncate' },
      { bits: 12, drop: 6, inclusive: true, registerBits: 32 },
    ],
    [{ ratio: 64, shift: 6, rounding: 'round' }, { bits: 12 }],
    [
      { ratio: 64, shift: 2, rounding: 'truncate' },
      { bits: 16, inclusive: true },
    ],
    [{ ratio: 256, shift: 0, rounding: 'truncate' }, { bits: 20 }],
    [
      { ratio: 256, shift: 4, rounding: 'truncate' },
      { bits: 12, drop: 4, registerBits: 16 },
    ],
    [{ ratio: 256, shift: 9, rounding: 'round' }, { bits: 12 }],
    [{ ratio: 1000, shift: 5, rounding: 'round' }, { bits: 17 }],
  ];
  for (const [averaging, slice] of slices) {
    const { ratio, shift, rounding } = averaging;
    it(`ratio ${ratio}, shift ${shift}, ${rounding}, ${JSON.stringify(slice)}`, () => {
      const random = seededRandom(3);
      const compare: Compare = { stage: 'result', ...slice };
      const reference = 3.3;
      const q = reference / 4096;
      const values = Array.from({ length: 4096 }, (_, code) => comparedValue(code, averaging, compare));
      for (let n = 0; n < 36; n++) {
        const c = { bits: 12, reference, firstTransition: n % 2 ? 1 : 0.5 } as const;
        const tolerance = n % 3 === 0 ? none : { offsetLsb: 2, inlLsb: 1.5, gain: 0.0012, reference: 0.006 };
        const corners = cornersOf(tolerance);
        // On a transition of some corner, beside it, or a limit of three decimals.
        const k = 60 + Math.floor(random.uniform() * 3970);
        const on = transitionIn(c, corners[n % corners.length]!, k);
        const limit = [on, beside(on, 1), beside(on, -1), Math.round(on * 1e3) / 1e3][n % 4]!;
        const near = Array.from({ length: 400 }, (_, i) => limit + ((i + 0.5) / 4 - 50) * q);
        const far = Array.from({ length: 64 }, (_, i) => (i / 60) * reference);
        const standing = corners.flatMap((corner) =>
          Array.from({ length: 9 }, (_, i) =>
            transitionIn(c, corner, Math.min(4095, Math.max(1, k + i - 4))),
          ),
        );
        const marks = standing.flatMap((v) => [v, beside(v, 1), beside(v, -1)]);
        const [reached] = reachedCodes(c, corners, [...near, ...far, ...marks], [limit]);
        for (const side of sides) {
          for (const intent of intents) {
            const cut = cutFor(side, intent, reached!, (code) => values[code]!);
            check(c, averaging, compare, { side, intent, limit, tolerance }, cut, values.at(-1)!);
          }
        }
      }
    });
  }
});

describe('where it trips', () => {
  const averaged = {
    ...plain,
    firstTransition: 0.5,
    ratio: 10,
    shift: 3,
    rounding: 'round',
    compare: { stage: 'result', bits: 13 },
    tolerance: { offsetLsb: 2, inlLsb: 1, gain: 0.002, reference: 0.01 },
  } as const;

  it('starts, typical and surely are the transitions of the extreme corners, on the right side of the limit', () => {
    const [least, middle, most] = [
      { moved: -3, factor: 0.998 * 0.99 },
      { moved: 0, factor: 1 },
      { moved: 3, factor: 1.002 * 1.01 },
    ] as const;
    // The first code whose result is at least u, by trying them.
    const first = (u: number): number => {
      let k = 0;
      while (comparedValue(k, averaged, averaged.compare) < u) k++;
      return k;
    };
    for (const intent of intents) {
      for (let n = 0; n < 40; n++) {
        const [above, below] = [2.1 + n * 0.00071, 1.2 + n * 0.00053];
        const { high, low } = thresholdCodes({ ...averaged, intent, above, below });
        const [kHigh, kLow] = [first(high!.code + 1), first(low!.code)];
        expectNear(high!.startsAt, transitionIn(averaged, least, kHigh), 1e-14);
        expectNear(high!.typicalAt, transitionIn(averaged, middle, kHigh), 1e-14);
        expectNear(high!.surelyAt, transitionIn(averaged, most, kHigh), 1e-14);
        expectNear(low!.startsAt, transitionIn(averaged, most, kLow), 1e-14);
        expectNear(low!.typicalAt, transitionIn(averaged, middle, kLow), 1e-14);
        expectNear(low!.surelyAt, transitionIn(averaged, least, kLow), 1e-14);
        if (intent === 'must-trip') {
          expect(high!.surelyAt).toBeLessThanOrEqual(above);
          expect(low!.surelyAt).toBeGreaterThanOrEqual(below);
        } else {
          expect(high!.startsAt).toBeGreaterThan(above);
          expect(low!.startsAt).toBeLessThanOrEqual(below);
        }
      }
    }
  });

  it('a limit typed on the worst place of a transition counts as on it, where a large offset takes digits', () => {
    for (let k = 1; k < 300; k++) {
      const tolerance = { offsetLsb: 500.3, inlLsb: 0.1 * k, gain: 0.0034 };
      const corner = { moved: tolerance.offsetLsb + tolerance.inlLsb, factor: 1.0034 };
      const above = transitionIn(plain, corner, k);
      expect(thresholdCodes({ ...plain, tolerance, above }).high!.code, `${k}`).toBe(k - 1);
    }
  });

  it('with noise half of the bursts trip at noisyAt (seeded draws), not at typicalAt', () => {
    const random = seededRandom(4);
    const noiseLsb = 0.6;
    const q = 3.3 / 4096;
    const bursts = 40000;
    for (const rounding of ['round', 'truncate'] as const) {
      for (const inclusive of [false, true]) {
        const compare = { stage: 'result', bits: 12, drop: 1, inclusive } as const;
        const given = { ...averaged, rounding, compare, tolerance: {}, noiseLsb };
        for (const side of sides) {
          const answer = thresholdCodes({ ...given, [side]: 1.7345 })[side === 'above' ? 'high' : 'low']!;
          const share = (volts: number): number => {
            let count = 0;
            for (let n = 0; n < bursts; n++) {
              let sum = rounding === 'round' ? 4 : 0;
              for (let i = 0; i < 10; i++) {
                const v = volts + noiseLsb * q * random.normal();
                sum += Math.floor(v / q + 0.5);
              }
              if (trips(side, answer.code, sum >> 4, compare)) count++;
            }
            return count / bursts;
          };
          // Four standard errors of the share, and what the skew of the sum leaves.
          expect(Math.abs(share(answer.noisyAt!) - 0.5)).toBeLessThan(4 * 0.5 * bursts ** -0.5 + 0.003);
          const apart = (answer.typicalAt - answer.noisyAt!) / q;
          expect(Math.abs(apart)).toBeLessThanOrEqual(0.5 - 0.05 + 1e-9);
          if (Math.abs(apart) > 0.2) expect(Math.abs(share(answer.typicalAt) - 0.5)).toBeGreaterThan(0.2);
        }
      }
    }
  });

  it('one conversion: noisyAt is typicalAt; without noise there is none', () => {
    const { high } = thresholdCodes({ ...plain, above: 1.8, noiseLsb: 0.5 });
    expectNear(high!.noisyAt!, high!.typicalAt, 1e-15);
    expect(thresholdCodes({ ...plain, above: 1.8, noiseLsb: 0 }).high).not.toHaveProperty('noisyAt');
    expect(thresholdCodes({ ...plain, above: 1.8 }).high).not.toHaveProperty('noisyAt');
  });
});

describe('a window of one value', () => {
  it('is quiet in it and nowhere else', () => {
    const q = 3.3 / 4096;
    const { high, low } = thresholdCodes({ ...plain, below: 2048 * q, above: 2049 * q });
    expect([low!.code, high!.code]).toEqual([2048, 2048]);
  });
});

describe('the register', () => {
  const answer = (compare: Compare) => thresholdCodes({ ...plain, compare, above: 1.65 }).high;

  it('wider than the comparator, holds the threshold at its upper end; hexadecimal to its full width', () => {
    expect(answer({ stage: 'conversion', bits: 12 })).toMatchObject({ code: 2047, hex: '0x7FF' });
    expect(answer({ stage: 'conversion', bits: 13 })).toMatchObject({ code: 2047, hex: '0x07FF' });
    expect(answer({ stage: 'conversion', bits: 12, registerBits: 16 })).toMatchObject({
      code: 32752,
      hex: '0x7FF0',
    });
    expect(answer({ stage: 'conversion', bits: 12, registerBits: 32 })).toMatchObject({
      code: 0x7ff00000,
      hex: '0x7FF00000',
    });
    expect(answer({ stage: 'conversion', bits: 12, inclusive: true, registerBits: 32 })).toMatchObject({
      code: 2 ** 31,
      hex: '0x80000000',
    });
    expect(answer({ stage: 'conversion', bits: 8, drop: 4, registerBits: 8 })).toMatchObject({
      code: 127,
      hex: '0x7F',
    });
  });
});

describe('other settings', () => {
  it('each has what the question gives there, the tolerance in volts kept; a refusal is told in its row', () => {
    const tolerance = { offsetLsb: 4, inlLsb: 2, gain: 0.01 };
    const own: Compare = { stage: 'conversion', bits: 10, registerBits: 16 };
    const main = {
      ...plain,
      compare: { stage: 'result', bits: 14 },
      tolerance,
      above: 2.5,
      below: 0.7,
    } as const;
    const { otherSettings } = thresholdCodes({
      ...main,
      settings: [
        { bits: 12, ratio: 4, shift: 0 },
        { bits: 10, ratio: 16, shift: 0 },
        { bits: 10, ratio: 1, shift: 0, compare: own },
        { bits: 12, ratio: 16, shift: 0 },
        { bits: 12, ratio: 16, shift: 0, compare: { stage: 'conversion', bits: 10 } },
      ],
    });
    const direct = (given: object) => {
      const { high, low } = thresholdCodes({ ...main, ...given });
      return { high, low };
    };
    const coarse = { bits: 10, tolerance: { offsetLsb: 1, inlLsb: 0.5, gain: 0.01 } };
    expect(otherSettings).toEqual([
      { bits: 12, ratio: 4, shift: 0, ...direct({ ratio: 4 }) },
      { bits: 10, ratio: 16, shift: 0, ...direct({ ...coarse, ratio: 16 }) },
      { bits: 10, ratio: 1, shift: 0, ...direct({ ...coarse, compare: own }) },
      {
        bits: 12,
        ratio: 16,
        shift: 0,
        refused: 'thresholdCodes.compare.bits: got 14; allowed from 16; the largest compared value is 65520',
      },
      {
        bits: 12,
        ratio: 16,
        shift: 0,
        refused:
          'thresholdCodes.settings[4].compare.bits: got 10; allowed from 12; the largest compared value is 4095',
      },
    ]);
    expect(thresholdCodes(main)).toMatchObject({ swapped: false, otherSettings: [] });
  });

  it('a limit that cannot be met there is told there', () => {
    const { high, otherSettings } = thresholdCodes({
      ...plain,
      intent: 'must-not-trip',
      above: 3.298,
      settings: [{ bits: 8, ratio: 1, shift: 0 }],
    });
    expect(high?.code).toBe(4093);
    expect(otherSettings[0]).toEqual({
      bits: 8,
      ratio: 1,
      shift: 0,
      refused: 'thresholdCodes.above: got 3.298; allowed below 3.287109 V: 256 > 255 never trips',
    });
  });
});

describe('errors', () => {
  const cases: [object, string][] = [
    [{}, 'thresholdCodes.above: got undefined; allowed a limit: above, below or both'],
    [{ above: 0 }, 'thresholdCodes.above: got 0; allowed from 0.0008056641 V: 0 ≥ 0 always trips'],
    [{ below: 3.3 }, 'thresholdCodes.below: got 3.3; allowed up to 3.299194 V: 4095 ≤ 4095 always trips'],
    [
      { above: 3.3, intent: 'must-not-trip' },
      'thresholdCodes.above: got 3.3; allowed below 3.299194 V: 4096 > 4095 never trips',
    ],
    [
      { below: 0, intent: 'must-not-trip' },
      'thresholdCodes.below: got 0; allowed from 0.0008056641 V: 0 < 0 never trips',
    ],
    [{ above: 1, below: 1 }, 'thresholdCodes.below: got 1; allowed below above, 1 V'],
    [
      { above: 1.6501, below: 1.65005 },
      'thresholdCodes.below: got 1.65005; allowed further below 1.6501 V; every value is < 2049 or ≥ 2048: always trips',
    ],
    [
      { above: 1.6501, below: 1.65 },
      'thresholdCodes.below: got 1.65; allowed further below 1.6501 V; every value is < 2048 or ≥ 2048: always trips',
    ],
    [
      // 256 codes of 4095, rounded and shifted by 9, are 2048: one bit more than truncated.
      { above: 1, ratio: 256, shift: 9, rounding: 'round', compare: { stage: 'result', bits: 11 } },
      'thresholdCodes.compare.bits: got 11; allowed from 12; the largest compared value is 2048',
    ],
    [{ above: Number.NaN }, 'thresholdCodes.above: got NaN; allowed -1000000000000 … 1000000000000 V'],
    [{ above: 1, bits: 33 }, 'thresholdCodes.bits: got 33; allowed whole numbers 1 … 32'],
    [{ above: 1, reference: 0 }, 'thresholdCodes.reference: got 0; allowed 1e-9 … 1000000000 V'],
    [{ above: 1, firstTransition: 0 }, 'thresholdCodes.firstTransition: got 0; allowed 0.5 or 1'],
    [{ above: 1, ratio: 0 }, 'thresholdCodes.ratio: got 0; allowed whole numbers 1 … 65536'],
    [{ above: 1, shift: 21 }, 'thresholdCodes.shift: got 21; allowed whole numbers 0 … 20'],
    [{ above: 1, rounding: 'up' }, `thresholdCodes.rounding: got "up"; allowed 'truncate' or 'round'`],
    [
      { above: 1, intent: 'trip' },
      `thresholdCodes.intent: got "trip"; allowed 'must-trip' or 'must-not-trip'`,
    ],
    [{ above: 1, noiseLsb: -1 }, 'thresholdCodes.noiseLsb: got -1; allowed 0 … 1000000 LSB'],
    [
      { above: 1, compare: 12 },
      'thresholdCodes.compare: got 12; allowed an object {stage, bits, drop?, inclusive?, registerBits?}',
    ],
    [
      { above: 1, compare: { stage: 'sum', bits: 12 } },
      `thresholdCodes.compare.stage: got "sum"; allowed 'conversion' or 'result'`,
    ],
    [
      { above: 1, compare: { stage: 'conversion', bits: 10 } },
      'thresholdCodes.compare.bits: got 10; allowed from 12; the largest compared value is 4095',
    ],
    [
      { above: 1, compare: { stage: 'conversion', bits: 12, drop: 12 } },
      'thresholdCodes.compare.drop: got 12; allowed fewer, or less shift; the compared value is always 0',
    ],
    [
      { above: 1, compare: { stage: 'conversion', bits: 12, registerBits: 10 } },
      'thresholdCodes.compare.registerBits: got 10; allowed from bits, 12, to 32',
    ],
    [
      { above: 1, compare: { stage: 'conversion', bits: 12, register: 10 } },
      'thresholdCodes.compare: no argument is named "register"; the nearest is "registerBits"',
    ],
    [
      { above: 1, tolerance: { offsetLsb: -1 } },
      'thresholdCodes.tolerance.offsetLsb: got -1; allowed 0 … 4294967296 LSB',
    ],
    [{ above: 1, tolerance: { gain: 0.6 } }, 'thresholdCodes.tolerance.gain: got 0.6; allowed 0 … 0.5'],
    [
      { above: 1, settings: 12 },
      'thresholdCodes.settings: got 12; allowed an array of objects {bits, ratio, shift, compare?}',
    ],
    [
      { above: 1, settings: [{ bits: 12, ratio: 1 }] },
      'thresholdCodes.settings[0].shift: got undefined; allowed whole numbers 0 … 20',
    ],
    [{ abov: 1 }, 'thresholdCodes: no argument is named "abov"; the nearest is "above"'],
  ];
  it.each(cases)('%j', (given, message) => {
    expect(() => thresholdCodes({ ...plain, ...given })).toThrow(message);
  });
});

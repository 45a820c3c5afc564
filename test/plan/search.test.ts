import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { oversample } from '../../src/chain/averaging/oversample.ts';
import { seededRandom } from '../../src/numbers/random.ts';
import type { Plan } from '../../src/plan/plan.ts';
import {
  type Demands,
  dearLast,
  judged,
  missedAfterAll,
  missedQuickly,
  quickFirst,
  type Worth,
} from '../../src/plan/requirements.ts';
import { type PlannedSampling, type SearchPoint, search } from '../../src/plan/search.ts';

const [ratios, largestShift] = [[1, 2, 3, 8, 16, 64], 6];
const [dividers, cycles, resolutions] = [
  [1, 2, 5],
  [3, 12, 40],
  [12, 10],
];
const currents = { converterCurrent: 0.42e-3, coreCurrent: 0.19e-3, excitationCurrent: 0.1e-3 };

/** What the tests vary: noise at 12 bits, how badly things settle, a start of the battery's life, and what is wanted. */
interface Case {
  readonly noiseLsb: number;
  readonly unsettled: number;
  readonly interference: number;
  readonly demands: Demands;
}

const clockOf = (divider: number): number => 4e6 / divider;
const perCodeOf = (bits: number): number => 0.03 * 2 ** (12 - bits);
/** Error left by a sample time, falling with it and with the ratio; nothing physical. */
const settlingOf = ({ unsettled }: Case, time: number, ratio: number): number =>
  -unsettled * Math.exp(-time / 2e-6) * (1 + 1 / ratio);
/** Noise that hangs on the clock. */
const otherOf = ({ interference }: Case, interval: number, ratio: number): number =>
  (interference * Math.abs(Math.sin(3e5 * interval * ratio))) / ratio;
const lifeOf = (charge: number): number => 400 / (1e-6 + charge / 60);

/** A converter of 2 × 3 × 3 samplings; the fastest clock is too fast for it. */
function samplings(c: Case): PlannedSampling[] {
  return resolutions.flatMap((bits) =>
    dividers.flatMap((clockDivider) =>
      cycles.map((sampleCycles): PlannedSampling => {
        const sampling = { clockDivider, sampleCycles, bits };
        if (clockDivider === 1) return { sampling, plan: 'clock' };
        const conversionTime = (sampleCycles + bits + 2) / clockOf(clockDivider);
        const plan: Plan = {
          bits,
          noiseLsb: c.noiseLsb / 2 ** (12 - bits),
          rounding: 'truncate',
          registerBits: 16,
          ratios,
          largestShift,
          perCode: perCodeOf(bits),
          otherLsb: (ratio) => otherOf(c, conversionTime, ratio),
          settlingLsb: (ratio) => settlingOf(c, sampleCycles / clockOf(clockDivider), ratio),
          startTime: 20e-6,
          conversionTime,
          interval: conversionTime,
          ...currents,
          life: ({ charge }) => lifeOf(charge),
          demands: c.demands,
        };
        return { sampling, plan };
      }),
    ),
  );
}

/** A setting as the test works it out, from the formulas and one `oversample` each. */
interface Worked extends SearchPoint {
  /** All that it misses. */
  readonly misses: readonly string[];
}

function worked(c: Case): Worked[] {
  const all: Worked[] = [];
  for (const bits of resolutions) {
    for (const clockDivider of dividers) {
      for (const sampleCycles of cycles) {
        for (const ratio of ratios) {
          for (let shift = 0; shift <= largestShift; shift++) {
            const time = (ratio * (sampleCycles + bits + 2)) / clockOf(clockDivider);
            const charge =
              time * (currents.converterCurrent + currents.coreCurrent + currents.excitationCurrent);
            const noiseLsb = c.noiseLsb / 2 ** (12 - bits);
            const { rmsErrorLsb } = oversample({ bits, noiseLsb, ratio, shift });
            const error = perCodeOf(bits) * Math.hypot(rmsErrorLsb, otherOf(c, time / ratio, ratio));
            const code = 2 ** shift / ratio;
            const { resolution, step, settlingLsb, period, latency, batteryLife } = c.demands;
            const unsettled =
              Math.abs(settlingOf(c, sampleCycles / clockOf(clockDivider), ratio)) / Math.min(1, code);
            const misses = [
              ...(clockDivider === 1 ? ['clock'] : []),
              ...(step !== undefined && perCodeOf(bits) * code > step ? ['step'] : []),
              ...(Math.floor(((2 ** bits - 1) * ratio) / 2 ** shift) > 65_535 ? ['overflow'] : []),
              ...(time > period ? ['period'] : []),
              ...(latency !== undefined && 20e-6 + time > latency ? ['latency'] : []),
              ...(unsettled > settlingLsb ? ['settling'] : []),
              ...(resolution !== undefined && error > resolution ? ['resolution'] : []),
              ...(batteryLife !== undefined && lifeOf(charge) < batteryLife ? ['batteryLife'] : []),
            ];
            const sampling = { clockDivider, sampleCycles, bits };
            all.push({ error, charge, time, sampling, averaging: { ratio, shift }, misses });
          }
        }
      }
    }
  }
  return all;
}

/** Below b by more than its rounding. */
const below = (a: number, b: number): boolean => a < b * (1 - 1e-10);
const beats = (a: Worked, b: Worked): boolean =>
  !below(b.error, a.error) &&
  !below(b.charge, a.charge) &&
  !below(b.time, a.time) &&
  (below(a.error, b.error) || below(a.charge, b.charge) || below(a.time, b.time));
const nameOf = ({ sampling: s, averaging: a }: Pick<SearchPoint, 'sampling' | 'averaging'>): string =>
  `${s.bits} bits /${s.clockDivider} ${s.sampleCycles} cycles ${a.ratio}/${a.shift}`;

function check(c: Case): { meet: number; front: number } {
  const found = search({ samplings: samplings(c), ratios, largestShift });
  const all = worked(c);
  expect(found.evaluated).toBe(all.length);
  // Each rejected for the first that it misses, and counted so.
  const counts = new Map<string, number>();
  for (const w of all) {
    const first = w.misses[0] ?? 'none';
    expect(found.rejectionOf(w), nameOf(w)).toBe(first);
    counts.set(first, (counts.get(first) ?? 0) + 1);
  }
  const meet = all.filter((w) => w.misses.length === 0);
  counts.delete('none');
  expect(Object.fromEntries(found.rejected.map((r) => [r.reason, r.count]))).toEqual(
    Object.fromEntries(counts),
  );
  // On the front those that no other beats; of equals one.
  const unbeaten = meet.filter((w) => !meet.some((o) => beats(o, w)));
  const triple = (p: SearchPoint): string =>
    [p.error, p.charge, p.time].map((v) => v.toPrecision(9)).join(' ');
  expect(found.front.map(triple).sort()).toEqual([...new Set(unbeaten.map(triple))].sort());
  const names = new Set(unbeaten.map(nameOf));
  for (const p of found.front) expect(names.has(nameOf(p)), nameOf(p)).toBe(true);
  // The recommended: none that meets everything takes less charge, and none of that charge has less error.
  expect(found.recommended === undefined).toBe(meet.length === 0);
  if (found.recommended) {
    const { charge, error } = found.recommended;
    for (const w of meet) {
      expect(below(w.charge, charge)).toBe(false);
      if (!below(charge, w.charge)) expect(below(w.error, error)).toBe(false);
    }
    expect(found.recommended.requirements.every((r) => r.met)).toBe(true);
    expect(found.front.map(nameOf)).toContain(nameOf(found.recommended));
  }
  return { meet: meet.length, front: found.front.length };
}

const usual: Case = {
  noiseLsb: 0.6,
  unsettled: 0.5,
  interference: 0.05,
  demands: { resolution: 0.02, step: 0.02, settlingLsb: 0.25, period: 60, batteryLife: 6e7, unit: 'K' },
};

describe('a search over 756 settings, against each worked out and every pair compared', () => {
  it('with every kind of rejection', () => {
    const { meet, front } = check({ ...usual, demands: { ...usual.demands, latency: 1e-3 } });
    expect(meet).toBeGreaterThan(30);
    expect(front).toBeGreaterThan(3);
  });

  it('where the noise of the clock makes the front jagged', () => {
    expect(
      check({ ...usual, interference: 3, demands: { settlingLsb: 1, period: 60, unit: 'K' } }).front,
    ).toBeGreaterThan(8);
  });

  it('where nothing serves', () => {
    const none = { ...usual, demands: { ...usual.demands, resolution: 1e-6 } };
    expect(check(none)).toEqual({ meet: 0, front: 0 });
    const found = search({ samplings: samplings(none), ratios, largestShift });
    expect(found.reason).toBe('no setting meets every requirement');
  });

  it('converters and wants at random', () => {
    const random = seededRandom(17);
    const between = (low: number, high: number): number => low * (high / low) ** random.uniform();
    const some = (value: number): number | undefined => (random.uniform() < 0.7 ? value : undefined);
    let served = 0;
    for (let n = 0; n < 25; n++) {
      const optional = {
        resolution: some(between(2e-3, 0.1)),
        step: some(between(2e-3, 0.2)),
        latency: some(between(30e-6, 5e-3)),
        batteryLife: some(between(1e6, 1e9)),
      };
      const wanted = Object.fromEntries(Object.entries(optional).filter(([, v]) => v !== undefined));
      const { meet } = check({
        noiseLsb: between(0.02, 2),
        unsettled: between(0.01, 5),
        interference: between(1e-3, 1),
        demands: { ...wanted, settlingLsb: 0.25, period: between(1e-4, 10), unit: 'K' },
      });
      if (meet > 0) served++;
    }
    expect(served).toBeGreaterThan(8);
    expect(served).toBeLessThan(25);
  });
});

describe('ties', () => {
  it('of equal charge, time and error the narrowest result', () => {
    // Without noise two conversions are alike, and dropping the bit that they share changes nothing: 1/0, 2/0, 2/1 … err alike.
    const still = { ...usual, noiseLsb: 0, interference: 0, unsettled: 0 };
    const demands = { settlingLsb: 0.25, period: 60, unit: 'K' };
    const { front } = search({ samplings: samplings({ ...still, demands }), ratios: [16], largestShift: 4 });
    expect(front.map((p) => p.averaging)).toEqual([
      { ratio: 16, shift: 4 },
      { ratio: 16, shift: 4 },
    ]);
  });
});

it('a setting that was not looked at has no verdict', () => {
  const found = search({ samplings: samplings(usual), ratios, largestShift });
  const sampling = { clockDivider: 2, sampleCycles: 3, bits: 12 };
  expect(() => found.rejectionOf({ sampling, averaging: { ratio: 5, shift: 0 } })).toThrow(RangeError);
  expect(() => found.rejectionOf({ sampling, averaging: { ratio: 8, shift: 7 } })).toThrow(RangeError);
  expect(() =>
    found.rejectionOf({ sampling: { ...sampling, bits: 11 }, averaging: { ratio: 8, shift: 0 } }),
  ).toThrow(RangeError);
});

it('the quick verdict is the full one’s first miss in the order of the search', () => {
  const figure = fc.constantFrom(0.5, 1, 2);
  const worth = fc.record({
    rms: figure,
    step: figure,
    settlingLsb: figure,
    largestCode: fc.constantFrom(3, 15, 16),
    registerBits: fc.constant(4),
    time: figure,
    latency: figure,
    life: fc.option(figure, { nil: undefined }),
  });
  const wanted = fc.option(fc.constant(1), { nil: undefined });
  const demands = fc.record({
    resolution: wanted,
    step: wanted,
    latency: wanted,
    batteryLife: wanted,
    settlingLsb: fc.constant(1),
    period: fc.constant(1),
    unit: fc.constant('K'),
  });
  fc.assert(
    fc.property(worth, demands, (w, d) => {
      const missed = judged(w as Worth, d as Demands)
        .filter((r) => !r.met)
        .map((r) => r.name);
      expect(missedQuickly(w as Worth, d as Demands) ?? missedAfterAll(w as Worth, d as Demands)).toBe(
        [...quickFirst, ...dearLast].find((name) => missed.includes(name)),
      );
    }),
    { seed: 3, numRuns: 500 },
  );
});

import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type DividerPair, dividerPairs } from '../../../src/chain/conditioning/dividerPairs.ts';
import { expectNear } from '../../close.ts';
import published from '../../published/e_series.json' with { type: 'json' };

type Given = Parameters<typeof dividerPairs>[0];

/** The published values of a series from 1 Ω up to a largest one. */
function marked(series: keyof typeof published & `E${string}`, decades: number, largest: number): number[] {
  const values = published[series] as number[];
  return Array.from({ length: decades }, (_, d) => values.map((v) => (v / values[0]!) * 10 ** d))
    .flat()
    .map((v) => Number(v.toPrecision(6)))
    .filter((v) => v <= largest);
}

const cell: Given = {
  highest: 3.6,
  largestAtPin: 1.18,
  largestCurrent: 2e-6,
  tolerance: 0.01,
  leakage: 5e-9,
};
const given: [string, Given][] = [
  [
    'four cells, E24',
    { highest: 6.4, largestAtPin: 2.178, largestCurrent: 2e-6, tolerance: 0.01, leakage: 8e-8 },
  ],
  ['a lithium cell, E12', { ...cell, series: 'E12' }],
  ['a lithium cell, E96', { ...cell, series: 'E96', pinError: 2e-3 }],
  ['a lithium cell, E48, exact', { ...cell, series: 'E48', tolerance: 0 }],
  ['just above the reference, E24', { ...cell, highest: 1.25 }],
  ['12 V at E6', { ...cell, highest: 14.4, largestCurrent: 2e-5, series: 'E6', tolerance: 0.05 }],
];

/** What a pair does, by the two corners and Ohm's law alone. */
function byHand({ highest, tolerance: t = 0, leakage = 0 }: Given, r1: number, r2: number) {
  const pin = (a: number, b: number): number => (highest * b) / (a + b);
  return {
    current: highest / (r1 + r2),
    highestAtPin: pin(r1 * (1 - t), r2 * (1 + t)),
    leakage: leakage * r1,
    share: r2 / (r1 + r2),
  };
}

describe('brute force: every pair of the published series, [IEC60063], over the decades of the answer', () => {
  it.each(given)('%s: nothing better exists, and nothing that is returned breaks a limit', (_, of) => {
    const { pairs, recommended } = dividerPairs(of);
    const values = marked(of.series ?? 'E24', 8, 1e7);
    const from = of.highest / of.largestCurrent / 1e3;
    const all: [number, number][] = values
      .filter((v) => v >= from / 100)
      .flatMap((r1) => values.map((r2): [number, number] => [r1, r2]))
      .filter(([r1, r2]) => {
        const p = byHand(of, r1, r2);
        return p.current <= of.largestCurrent * (1 + 1e-9) && p.highestAtPin <= of.largestAtPin * (1 + 1e-9);
      });
    expect(all.length).toBeGreaterThan(pairs.length);
    const kept = new Set(all.map(([a, b]) => `${a} ${b}`));
    for (const { upper, lower } of pairs) expect(kept.has(`${upper} ${lower}`)).toBe(true);
    // Each pair of the series is matched or beaten in current, leakage error and share by one that is returned.
    for (const [r1, r2] of all) {
      const p = byHand(of, r1, r2);
      const beaten = pairs.some(
        (q) =>
          q.current <= p.current * (1 + 1e-12) &&
          q.upper <= r1 &&
          q.lower / (q.upper + q.lower) >= p.share * (1 - 1e-12),
      );
      expect(beaten, `${r1} and ${r2}`).toBe(true);
    }
    // And none of those returned beats another.
    for (let i = 1; i < pairs.length; i++) {
      expect(pairs[i]!.current).toBeLessThan(pairs[i - 1]!.current);
      expect(pairs[i]!.leakageError).toBeGreaterThanOrEqual(pairs[i - 1]!.leakageError);
      expect(pairs[i]!.upper).toBeGreaterThan(pairs[i - 1]!.upper);
    }
    // The recommended pair has the least worst case of all pairs of the series, recomputed corner by corner.
    const worst = ([r1, r2]: [number, number]): number => {
      const { tolerance: t = 0, pinError = 0 } = of;
      const share = byHand(of, r1, r2).share;
      const corners = [-1, 1].map((s) => (r2 * (1 + s * t)) / (r1 * (1 - s * t) + r2 * (1 + s * t)));
      const ratio = Math.max(...corners.map((c) => Math.abs(c / share - 1)));
      return of.highest * ratio + (of.leakage ?? 0) * r1 + pinError / share;
    };
    expectNear((recommended as DividerPair).worstCase, Math.min(...all.map(worst)), 1e-9);
  });
});

describe('circuit', () => {
  /** The pin's voltage with a current out of it, from the two conductances at its node. */
  const node = (volts: number, r1: number, r2: number, out: number): number =>
    (volts / r1 - out) / (1 / r1 + 1 / r2);

  it.each(given)('%s: the figures are those of the node, solved with conductances', (_, of) => {
    const { highest, leakage = 0, tolerance = 0 } = of;
    for (const p of dividerPairs(of).pairs) {
      const plain = node(highest, p.upper, p.lower, 0);
      expectNear(p.pinVoltage, plain, 1e-12);
      expectNear(p.current, plain / p.lower, 1e-12);
      expectNear(p.theveninResistance, (plain - node(highest, p.upper, p.lower, 1e-9)) / 1e-9, 1e-6);
      const { numerator, denominator } = p.multiplier;
      expect([numerator, denominator].every(Number.isInteger)).toBe(true);
      expectNear((plain * numerator) / denominator, highest, 1e-12);
      const back = highest / plain;
      expectNear(p.leakageError, (plain - node(highest, p.upper, p.lower, leakage)) * back, 1e-6);
      const far = [-tolerance, tolerance].map(
        (t) => node(highest, p.upper * (1 - t), p.lower * (1 + t), 0) * back - highest,
      );
      if (tolerance > 0) expectNear(p.toleranceError, Math.max(...far.map(Math.abs)), 1e-9);
      expectNear(p.worstCase, p.toleranceError + p.leakageError + p.readingError, 1e-12);
      expectNear(
        p.rootSumSquare ** 2,
        p.toleranceError ** 2 + p.leakageError ** 2 + p.readingError ** 2,
        1e-12,
      );
      expectNear(p.chargePerYear / 3.6, p.current * 1000 * 8760, 1e-12);
    }
  });

  const simulator = spawnSync('ngspice', ['--version']).status === 0;
  it.skipIf(!simulator)('a circuit simulator finds the same pin and the same current', () => {
    const p = dividerPairs({ ...cell, series: 'E96' }).recommended as DividerPair;
    const deck = (leakage: number): string =>
      `divider\nV1 top 0 3.6\nR1 top pin ${p.upper}\nR2 pin 0 ${p.lower}\nI1 pin 0 ${leakage}\n.options gmin=1e-18 reltol=1e-9 abstol=1e-18 vntol=1e-12\n.op\n.control\nset numdgt=12\nop\nprint v(pin) i(v1)\nquit\n.endc\n.end\n`;
    const folder = mkdtempSync(join(tmpdir(), 'halfbit-divider-'));
    const run = (leakage: number): number[] => {
      const path = join(folder, 'divider.cir');
      writeFileSync(path, deck(leakage));
      const { stdout } = spawnSync('ngspice', ['-b', path], { encoding: 'utf8' });
      return [...stdout.matchAll(/^(?:v\(pin\)|i\(v1\)) = (\S+)/gm)].map((m) => Number(m[1]));
    };
    const [pin, current] = run(0);
    expectNear(pin!, p.pinVoltage, 1e-9);
    expectNear(-current!, p.current, 1e-9);
    const [leaking] = run(5e-9);
    expectNear(((pin! - leaking!) * 3.6) / pin!, p.leakageError, 1e-6);
    rmSync(folder, { recursive: true });
  });
});

describe('properties', () => {
  const volts = fc.double({ min: 1.3, max: 60, noNaN: true });
  const amperes = fc.double({ min: 2e-6, max: 1e-3, noNaN: true });
  const series = fc.constantFrom('E12' as const, 'E24' as const, 'E96' as const);
  const every = (given: Given) => ({ ...given, largestResistor: 1e12 });

  it('a tenth of the current is ten times the resistors, and nothing else', () => {
    fc.assert(
      fc.property(volts, amperes, series, (highest, largestCurrent, s) => {
        const of = every({
          highest,
          largestAtPin: 1.2,
          largestCurrent,
          series: s,
          tolerance: 0.01,
          leakage: 1e-9,
        });
        const one = dividerPairs(of).recommended as DividerPair;
        const tenth = dividerPairs({ ...of, largestCurrent: largestCurrent / 10, leakage: 1e-10 })
          .recommended as DividerPair;
        expectNear(tenth.upper, 10 * one.upper, 1e-12);
        expectNear(tenth.lower, 10 * one.lower, 1e-12);
        expect(tenth.multiplier).toEqual(one.multiplier);
      }),
      { seed: 11, numRuns: 40 },
    );
  });

  it('half the current at least doubles the resistance of both, and the least resistance that the pin sees', () => {
    fc.assert(
      fc.property(volts, amperes, (highest, largestCurrent) => {
        const of = every({ highest, largestAtPin: 1.2, largestCurrent, series: 'E96' });
        const least = highest / largestCurrent;
        const half = dividerPairs({ ...of, largestCurrent: largestCurrent / 2 }).pairs;
        for (const { upper, lower } of half.slice(0, 50))
          expect(upper + lower).toBeGreaterThanOrEqual(2 * least * (1 - 1e-9));
        const [first] = dividerPairs(of).pairs;
        // A step of E96 is 2.5 %; of both, 5 %.
        expect(half[0]!.theveninResistance).toBeGreaterThan(2 * first!.theveninResistance * 0.95);
      }),
      { seed: 12, numRuns: 40 },
    );
  });

  it('a finer series never reads worse', () => {
    fc.assert(
      fc.property(volts, amperes, (highest, largestCurrent) => {
        const of = every({ highest, largestAtPin: 1.2, largestCurrent, tolerance: 0.01, leakage: 1e-8 });
        const worst = (['E12', 'E24'] as const).map(
          (s) => (dividerPairs({ ...of, series: s }).recommended as DividerPair).worstCase,
        );
        expect(worst[1]).toBeLessThanOrEqual(worst[0]! * (1 + 1e-9));
      }),
      { seed: 13, numRuns: 40 },
    );
  });
});

describe('refusals and ends', () => {
  it('name the argument, what was got and what is allowed', () => {
    expect(() => dividerPairs({ ...cell, highest: 1.1 })).toThrow(
      new RangeError(
        'dividerPairs.highest: got 1.1; allowed values above largestAtPin, 1.18 V: up to that no divider is needed',
      ),
    );
    expect(() => dividerPairs({ ...cell, largestCurrent: 0 })).toThrow(
      'dividerPairs.largestCurrent: got 0; allowed 1e-12 … 1 A',
    );
    expect(() => dividerPairs({ ...cell, series: 'E13' as 'E12' })).toThrow(
      /dividerPairs\.series: got "E13"/,
    );
    expect(() => dividerPairs({ ...cell, currant: 1 } as Given)).toThrow(TypeError);
  });

  it('say none where the largest resistor draws too much', () => {
    expect(dividerPairs({ ...cell, largestCurrent: 1e-7 })).toEqual({ pairs: [], recommended: 'none' });
    expect(
      dividerPairs({ ...cell, largestCurrent: 1e-7, largestResistor: 1e9 }).pairs.length,
    ).toBeGreaterThan(0);
  });
});

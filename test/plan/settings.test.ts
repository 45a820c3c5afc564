import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { oversample } from '../../src/chain/averaging/oversample.ts';
import { alternatives, ditherChange, softwareChange } from '../../src/plan/alternatives.ts';
import { judged } from '../../src/plan/requirements.ts';
import { type Plan, settingRow, settings } from '../../src/plan/settings.ts';
import { expectNear } from '../close.ts';

/** 12 bits at 0.6 LSB, 30 mK a code, 10 µs a conversion; wanted are 20 mK rms in steps of 5 mK. */
const plan: Plan = {
  bits: 12,
  noiseLsb: 0.6,
  rounding: 'truncate',
  registerBits: 16,
  ratios: [1, 2, 4, 8, 16, 32, 64, 128, 256],
  largestShift: 8,
  perCode: 0.03,
  otherLsb: () => 0,
  settlingLsb: () => 0,
  startTime: 20e-6,
  conversionTime: 10e-6,
  interval: 10e-6,
  converterCurrent: 0.42e-3,
  coreCurrent: 0.19e-3,
  excitationCurrent: 0,
  demands: { resolution: 0.02, step: 0.005, settlingLsb: 0.25, period: 60, unit: 'K' },
};
const chosen = { ratio: 64, shift: 3 };

describe('the table', () => {
  const table = settings(plan, chosen);

  it('has every ratio with every shift that does not widen the result beyond a conversion: 45', () => {
    expect(table.rows).toHaveLength(45);
    expect(table.rows.map((r) => `${r.ratio}/${r.shift}`).slice(0, 7)).toEqual([
      '1/0',
      '2/0',
      '2/1',
      '4/0',
      '4/1',
      '4/2',
      '8/0',
    ]);
  });

  it('each row is what its own setting is worth', () => {
    for (const row of table.rows) {
      const worth = oversample({ bits: 12, noiseLsb: 0.6, ratio: row.ratio, shift: row.shift });
      expectNear(row.rms, worth.rmsErrorLsb * 0.03, 1e-12);
      expectNear(row.step, (2 ** row.shift / row.ratio) * 0.03, 1e-12);
      expectNear(row.charge, 0.61e-3 * row.ratio * 10e-6, 1e-12);
      expect(row.resultBits).toBe(worth.resultBits);
    }
  });

  it('recommends 8 without a shift, by hand', () => {
    // Steps: 30/R·2^s ≤ 5 needs R/2^s ≥ 8; 8/0 has the least R, its sum of 15 bits fits 16,
    // and √((0.36 + 1/12)/8)·30 = 7.06 mK rms is below 20.
    expect(table.recommended).toMatchObject({ ratio: 8, shift: 0, failures: [] });
    expectNear(table.recommended!.rms, Math.sqrt((0.36 + 1 / 12) / 8) * 0.03, 1e-6);
    expect(table.reason).toBe('least charge that meets both');
    expect(table.rows.filter((r) => r.recommended)).toHaveLength(1);
    expect(table.chosen).toMatchObject({ ratio: 64, shift: 3, chosen: true, recommended: false });
  });

  it('says what each other row fails by', () => {
    const fails = (ratio: number, shift: number) =>
      table.rows.find((r) => r.ratio === ratio && r.shift === shift)!.failures.map((f) => f.text);
    // √(0.36 + 1/12)·30 = 19.97 mK: just met.
    expect(fails(1, 0)).toEqual(['step too wide']);
    expect(fails(8, 1)).toEqual(['step too wide']);
    expect(fails(16, 0)).toEqual([]);
    // 32·4095 = 131040 needs 17 bits.
    expect(fails(32, 0)).toEqual(['overflows: needs 17 bits']);
    expect(fails(256, 2)).toEqual(['overflows: needs 18 bits']);
  });

  it('keeps the chosen setting even where the search would pass it by', () => {
    const odd = settings(plan, { ratio: 10, shift: 5 });
    expect(odd.chosen).toMatchObject({ ratio: 10, shift: 5 });
    expect(odd.rows).toHaveLength(45 + 4 + 1);
    expect(settingRow(plan, { ratio: 10, shift: 5 }).rms).toBe(odd.chosen.rms);
  });

  it('of equal charge takes the narrowest result, then the finest step', () => {
    const free = settings({ ...plan, demands: { ...plan.demands, step: 0.02, resolution: 0.012 } }, chosen);
    // At ratio 4 both 0 (7.5 mK) and 1 (15 mK) would do; 1 has 13 bits.
    expect(free.recommended).toMatchObject({ ratio: 4, shift: 1 });
    expect(free.reason).toBe('least charge that meets both, and of those the narrowest result');
  });

  it('settling is judged against the result’s own codes', () => {
    const slow = settings({ ...plan, settlingLsb: () => -0.04 }, chosen);
    // A quarter of a result code is 0.25·2^s/R: above 0.04 up to R/2^s = 6.25.
    for (const row of slow.rows) {
      expect(row.failures.some((f) => f.name === 'settling')).toBe(row.ratio / 2 ** row.shift > 6.25);
    }
    expect(slow.recommended).toBeUndefined();
    expect(slow.reason).toBe('no setting meets every requirement');
  });
});

describe('properties', () => {
  it('nothing in the table that meets everything costs less than what is recommended', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 2, noNaN: true }),
        fc.double({ min: 1e-4, max: 0.1, noNaN: true }),
        fc.double({ min: 1e-4, max: 0.1, noNaN: true }),
        (noiseLsb, resolution, step) => {
          const { rows, recommended } = settings(
            { ...plan, noiseLsb, demands: { ...plan.demands, resolution, step } },
            chosen,
          );
          const meet = rows.filter((r) => r.rms <= resolution && r.step <= step && r.largestCode <= 65535);
          expect(recommended === undefined).toBe(meet.length === 0);
          for (const row of meet) expect(recommended!.charge).toBeLessThanOrEqual(row.charge * (1 + 1e-9));
        },
      ),
      { seed: 7, numRuns: 40 },
    );
  });
});

describe('verdicts', () => {
  it('in their order, absent demands left out; a limit that is just reached is met', () => {
    const worth = {
      rms: 0.02,
      step: 0.006,
      settlingLsb: 0,
      largestCode: 65_536,
      registerBits: 16,
      time: 1,
      latency: 2,
    };
    expect(judged(worth, plan.demands)).toEqual([
      { name: 'resolution', required: 0.02, actual: 0.02, met: true, unit: 'K', margin: 1 },
      { name: 'step', required: 0.005, actual: 0.006, met: false, unit: 'K', margin: 0.005 / 0.006 },
      { name: 'settling', required: 0.25, actual: 0, met: true, unit: 'LSB', margin: 'any' },
      { name: 'overflow', required: 65_535, actual: 65_536, met: false, unit: '1', margin: 65_535 / 65_536 },
      { name: 'period', required: 60, actual: 1, met: true, unit: 's', margin: 60 },
    ]);
    const { resolution: _, step: __, ...rest } = plan.demands;
    expect(judged(worth, { ...rest, latency: 1 }).map((r) => [r.name, r.met])).toEqual([
      ['settling', true],
      ['overflow', false],
      ['period', true],
      ['latency', false],
    ]);
  });
});

describe('alternatives', () => {
  const quiet: Plan = { ...plan, noiseLsb: 0.15, demands: { ...plan.demands, resolution: 0.003 } };

  it('no setting serves where the staircase leaves more than is wanted', () => {
    // √Σ exp(−4π²k²·0.0225)/(2π²k²) = 0.1456 LSB stays at any ratio: 4.4 mK of 3.
    expect(settings(quiet, chosen).recommended).toBeUndefined();
  });

  it('dither: the least ratio that serves with the noise that is best for it', () => {
    const change = ditherChange(quiet, 12)!;
    const [found] = alternatives([change], chosen);
    // bestDither: 0.3974 LSB at 256, 15.16 bits: 0.0324 LSB, 0.97 mK; 0.2935 at 16, 13.39 bits, 3.3 mK: not yet.
    expect(found!.serves).toBe(true);
    expect(found!.row.ratio).toBe(32);
    expect(found!.path).toBe('converter.noise');
    // Steps of 30·4/32 mK do; √(0.323² − 0.15²) = 0.286 must be added.
    expect(found!.text).toBe(
      'With dither of 0.286\u202fLSB rms, 0.323\u202fLSB in all, ratio 32, shift 2 gives 2.66\u202fm°C rms in steps of 3.75\u202fm°C and meets everything.',
    );
  });

  it('none where there is more noise than any ratio wants', () =>
    expect(ditherChange(plan, 12)).toBeUndefined());

  it('software goes on where the hardware ends, in 31 bits', () => {
    const demanding: Plan = { ...plan, demands: { ...plan.demands, resolution: 0.0005, step: 0.001 } };
    expect(settings(demanding, chosen).recommended).toBeUndefined();
    const change = softwareChange(demanding, 3e-3)!;
    expect(change.plan.ratios).toEqual([512, 1024, 2048, 4096, 8192, 16384, 32768, 65536]);
    const [found] = alternatives([change], chosen);
    // (0.36 + 1/12)/R·30² ≤ 0.5² mK² at R ≥ 1596.
    expect(found).toMatchObject({ serves: true, kind: 'software', row: { ratio: 2048, shift: 0 } });
    expectNear(found!.row.charge, (0.42e-3 + 3e-3) * 2048 * 10e-6, 1e-9);
  });

  it('those that serve come first; the others with their nearest row and what it lacks', () => {
    const wider = {
      kind: 'divider',
      path: 'x',
      value: '1',
      words: 'a wider code',
      plan: { ...quiet, perCode: 0.04 },
    } as const;
    const found = alternatives([wider, ditherChange(quiet, 12)!], chosen);
    expect(found.map((a) => a.serves)).toEqual([true, false]);
    expect(found[1]!.text).toMatch(/^With a wider code, ratio .*: noise too large\.$/u);
  });
});

import { describe, expect, it } from 'vitest';
import { settingRow } from '../../src/plan/settings.ts';
import { channelFrom, quantizingOf } from '../../src/worksheet/channelFrom.ts';
import { type Evaluation, evaluate } from '../../src/worksheet/evaluate.ts';
import { planOf } from '../../src/worksheet/planOf.ts';
import { readWorksheet, type Worksheet } from '../../src/worksheet/read.ts';
import { searchOf, type WorksheetSearch } from '../../src/worksheet/searchOf.ts';
import { settingsOf } from '../../src/worksheet/settingsOf.ts';
import { withValues } from '../../src/worksheet/write.ts';
import { beehiveWith, demo, profiles } from './demos.ts';

type Setting = Pick<WorksheetSearch['front'][number], 'sampling' | 'averaging'>;

/** The worksheet with a setting written into its text and read again. */
const taken = (worksheet: Worksheet, { sampling, averaging }: Setting): Worksheet =>
  withValues(worksheet, {
    'sampling.clockDivider': String(sampling.clockDivider),
    'sampling.sampleCycles': String(sampling.sampleCycles),
    'sampling.bits': String(sampling.bits),
    'averaging.ratio': String(averaging.ratio),
    'averaging.shift': String(averaging.shift),
  });

const verdicts = (e: Evaluation): string[] =>
  e.requirements.filter((r) => !r.met && r.name !== 'uncertainty').map((r) => r.name);

const demos = ['beehive', 'cellar', 'workbench'] as const;
const evaluations = Object.fromEntries(demos.map((name) => [name, evaluate({ worksheet: demo(name) })]));
const searches = Object.fromEntries(demos.map((name) => [name, searchOf(evaluations[name]!)]));

describe('what is looked at', () => {
  it.each([
    // dividers × sample cycles × resolutions × ratios × shifts
    ['beehive', 12 * 8 * 3 * 9 * 9],
    ['cellar', 6 * 7 * 1 * 13 * 13],
    ['workbench', 9 * 8 * 4 * 11 * 11],
  ])('%s: %i settings', (name, count) => {
    const search = searches[name]!;
    expect(search.evaluated).toBe(count);
    const rejected = search.rejected.reduce((sum, r) => sum + r.count, 0);
    expect(rejected).toBeLessThan(count);
    expect(search.rejectionOf(search.chosen)).toBe(
      { beehive: 'none', cellar: 'settling', workbench: 'resolution' }[name],
    );
  });

  it('a ratio of software that is no power of two is looked at where it is chosen', () => {
    const odd = withValues(demo('cellar'), { 'averaging.ratio': '48', 'averaging.shift': '5' });
    const search = searchOf(evaluate({ worksheet: odd }));
    expect(search.evaluated).toBe(6 * 7 * 14 * 13);
    expect(search.chosen.averaging).toEqual({ ratio: 48, shift: 5 });
    expect(search.rejectionOf(search.chosen)).toBe('settling');
  });
});

describe('agreement with the evaluation, to the last digit', () => {
  it.each(demos)('%s: every setting of the front, written into the worksheet', (name) => {
    for (const point of searches[name]!.front) {
      const e = evaluate({ worksheet: taken(demo(name), point) });
      expect(e.requirements.find((r) => r.name === 'resolution')!.actual).toBe(point.error);
      expect(e.averaging.charge).toBe(point.charge);
      expect(e.averaging.burstTime).toBe(point.time);
      expect(verdicts(e)).toEqual([]);
    }
  });

  it.each(demos)('%s: the verdicts on the recommended setting', (name) => {
    const { recommended } = searches[name]!;
    const e = evaluate({ worksheet: taken(demo(name), recommended!) });
    expect(recommended!.requirements).toEqual(e.requirements.filter((r) => r.name !== 'uncertainty'));
  });

  it('rejected settings miss what they are said to miss, or are refused as inputs', () => {
    for (const name of demos) {
      const { profile } = demo(name);
      const search = searches[name]!;
      let seen = 0;
      // Every so many settings, so that all lists are gone through.
      for (let n = 0; n < search.evaluated; n += 211) {
        const at = <T>(list: readonly T[], step: number): T => list[Math.floor(n / step) % list.length]!;
        const setting = {
          sampling: {
            clockDivider: at(profile.clock.dividers, 1),
            sampleCycles: at(profile.sampleCycles, 12),
            bits: at(profile.resolutions, 100).bits,
          },
          averaging: {
            ratio: at(profile.averaging.ratios ?? [1, 2, 64, 4096], 3),
            shift: n % (profile.averaging.largestShift + 1),
          },
        };
        const rejection = search.rejectionOf(setting);
        if (rejection === 'clock' || rejection === 'interval') {
          const words =
            rejection === 'clock' ? /makes .*; the profile allows up to/ : /shorter than one conversion/;
          expect(() => taken(demo(name), setting)).toThrow(words);
        } else {
          const missed = verdicts(evaluate({ worksheet: taken(demo(name), setting) }));
          if (rejection === 'none') expect(missed).toEqual([]);
          else expect(missed).toContain(rejection);
        }
        seen++;
      }
      expect(seen).toBeGreaterThan(30);
    }
  });
});

describe('nothing better exists', () => {
  it('cellar: each of 7098 settings worked out alone, and every pair compared', () => {
    const worksheet = demo('cellar');
    const { profile, inputs } = worksheet;
    const e = evaluations.cellar!;
    const meet: { error: number; charge: number; time: number }[] = [];
    for (const clockDivider of profile.clock.dividers) {
      if (9e6 / clockDivider > 1.6e6) continue;
      for (const sampleCycles of profile.sampleCycles) {
        const from = 'assumed' as const;
        const sampling = {
          ...inputs.sampling,
          clockDivider: { value: clockDivider, from },
          sampleCycles: { value: sampleCycles, from },
        };
        const own = { ...worksheet, inputs: { ...inputs, sampling } };
        const quantizing = quantizingOf(own);
        const plan = planOf(own, channelFrom(own, e.sensor, quantizing), quantizing);
        for (let ratio = 1; ratio <= 4096; ratio *= 2) {
          for (let shift = 0; shift <= 12; shift++) {
            const { rms: error, charge, time, failures } = settingRow(plan, { ratio, shift });
            if (failures.length === 0) meet.push({ error, charge, time });
          }
        }
      }
    }
    const { evaluated, rejected, front, recommended } = searches.cellar!;
    expect(evaluated - rejected.reduce((sum, r) => sum + r.count, 0)).toBe(meet.length);
    const less = (a: number, b: number): boolean => a < b * (1 - 1e-10);
    const unbeaten = meet.filter(
      (p) =>
        !meet.some(
          (o) =>
            !less(p.error, o.error) &&
            !less(p.charge, o.charge) &&
            !less(p.time, o.time) &&
            (less(o.error, p.error) || less(o.charge, p.charge) || less(o.time, p.time)),
        ),
    );
    const text = (p: { error: number; charge: number; time: number }): string =>
      [p.error, p.charge, p.time].map((v) => v.toPrecision(9)).join(' ');
    expect(front.map(text).sort()).toEqual([...new Set(unbeaten.map(text))].sort());
    expect(Math.min(...meet.map((p) => p.charge))).toBe(recommended!.charge);
  });

  it('beehive: no dearer than the best at its own clock, sample time and resolution', () => {
    const here = settingsOf(evaluations.beehive!).recommended!;
    const { recommended } = searches.beehive!;
    // By hand: 8 of (2 + 14)/3 MHz in place of 8 of (8 + 14)/2 MHz.
    expect(here.charge / recommended!.charge).toBeCloseTo(22 / 2 / (16 / 3), 12);
    expect(recommended!.sampling).toEqual({ clockDivider: 4, sampleCycles: 2, bits: 12 });
    expect(recommended!.averaging).toEqual({ ratio: 8, shift: 0 });
  });
});

it('noise of the source, which hangs on the interval, is that of the evaluation too', () => {
  const noise =
    '"noise": { "sourceRms": "0.4 mV", "sourceTime": "10 us", "flickerCorner": "100 Hz" },\n  "averaging": {';
  const worksheet = readWorksheet({ text: beehiveWith('"averaging": {', noise), profiles });
  const { front } = searchOf(evaluate({ worksheet }));
  expect(front.length).toBeGreaterThan(5);
  for (const point of front.filter((_, i) => i % 3 === 0)) {
    const e = evaluate({ worksheet: taken(worksheet, point) });
    expect(e.requirements.find((r) => r.name === 'resolution')!.actual).toBe(point.error);
    expect(verdicts(e)).toEqual([]);
  }
});

it('nothing serves: counted, with no front', () => {
  const worksheet = withValues(demo('beehive'), { 'requirement.resolution': '1 uK' });
  const search = searchOf(evaluate({ worksheet }));
  expect(search.front).toEqual([]);
  expect(search.recommended).toBeUndefined();
  expect(search.rejected.reduce((sum, r) => sum + r.count, 0)).toBe(search.evaluated);
});

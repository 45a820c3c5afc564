import { describe, expect, it } from 'vitest';
import { evaluate } from '../../src/worksheet/evaluate.ts';
import { triggerOf } from '../../src/worksheet/triggerOf.ts';
import { withValue } from '../../src/worksheet/write.ts';
import { expectNear } from '../close.ts';
import { demo } from './demos.ts';

const of = (name: string, changes: Readonly<Record<string, string>> = {}) =>
  triggerOf(
    evaluate({
      worksheet: Object.entries(changes).reduce((w, [path, text]) => withValue(w, path, text), demo(name)),
    }),
  );

describe('the timer', () => {
  it('comes as near as any prescaler and count, tried one by one', () => {
    for (const period of ['1 min', '7 s', '0.3 s', '127 s']) {
      const t = of('beehive', { 'requirement.period': period });
      const wanted = t.wanted * t.every;
      let nearest = Number.POSITIVE_INFINITY;
      for (const p of [1, 2, 4, 8, 16, 32, 64]) {
        for (let n = 0; n < 65536; n++) {
          nearest = Math.min(nearest, Math.abs(32768 / (p * (n + 1)) / wanted - 1));
        }
      }
      expectNear(Math.abs(t.nearest.errorPpm), nearest * 1e6, 1e-6, period, 1e-6);
    }
  });

  it('one minute from 32.768 kHz is exact, by hand: 32·61 440', () => {
    const t = of('beehive');
    expect(t).toMatchObject({ starts: 'reading', every: 1, nearest: { prescaler: 32, count: 61439 } });
    expect(t.nearest.errorPpm).toBe(0);
    expect(t.settings.map((s) => s.count)).toEqual([61438, 61439, 61440]);
    expectNear(t.settings[2]!.errorPpm, -1e6 / 61441, 1e-6);
  });

  it('starts conversions where the worksheet times them: 3000 cycles of 60 MHz are 50 µs', () => {
    expect(of('workbench')).toMatchObject({ starts: 'conversion', wanted: 20e3, nearest: { count: 2999 } });
  });

  it('that cannot wait so long runs several times, as few as can be', () => {
    const t = of('cellar');
    // 65 536·768 cycles of 9 MHz are 5.592 s; an hour is 643.7 of them.
    expectNear(t.longest, (65536 * 768) / 9e6, 1e-12);
    expect(t.every).toBe(644);
    expectNear(t.every / t.nearest.rate, 3600, 1e-5);
  });

  it('takes no count that lets a conversion run into the next', () => {
    // 37 cycles of 10 MHz are 3.7 µs, 25.2 cycles of 6.81 MHz: 25 would be nearest, and too few.
    const t = of('workbench', { 'sampling.interval': '3.7 us', 'converter.timer.clock': '6.81 MHz' });
    expect(1 / t.nearest.rate).toBeGreaterThanOrEqual(3.7e-6);
    expect(t.nearest.count + 1).toBe(26);
  });

  it('stands on the converter’s clock source where the profile has none', () => {
    const worksheet = demo('workbench');
    const { timer: _, ...profile } = worksheet.profile;
    const t = triggerOf(evaluate({ worksheet: { ...worksheet, profile } }));
    expect(t).toMatchObject({ clock: 60e6, counterBits: 16, nearest: { prescaler: 1, count: 2999 } });
  });
});

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  averageCurrent,
  batteryLife,
  type Phase,
  ratioCosts,
  readingCost,
} from '../../src/budget/battery.ts';
import { year } from '../../src/numbers/units.ts';
import { expectNear, expectPrinted } from '../close.ts';

/** C in a mA·h. */
const mAh = 3.6;
const phase = (current: number, time: number): Phase => ({ name: `${current} A`, current, time });

describe('published: [BATTERYNOTES]', () => {
  it('charge of a cycle of 60 s: 0.03767 µA·h; the total printed, 0.03747, is 0.5 % less than its own terms add up to', () => {
    const { charge } = readingCost({
      phases: [
        phase(1.5e-6, 59.988),
        phase(5e-3, 0.5e-3),
        phase(1.8e-3, 3e-3),
        phase(8.5e-3, 3.6e-3),
        phase(4.2e-3, 1.5e-3),
        phase(2e-3, 0.4e-3),
      ],
      supply: 3,
    });
    const microampereHours = charge / mAh / 1e-3;
    expectPrinted(microampereHours, '0.03766166667');
    expect(microampereHours).not.toBeCloseTo(0.03747, 4);
  });

  it('230 mA·h at 2.25 µA: 102 222 h, 11.7 years of 8760 h', () => {
    const life = batteryLife({
      capacity: 230 * mAh,
      usableFraction: 1,
      selfDischarge: 0,
      averageCurrent: 2.25e-6,
    }) as number;
    expectPrinted(life / 3600, '102222');
    expectPrinted(life / year, '11.7');
  });
});

describe('published: [CHARGETHREAD]', () => {
  it('0.05 mA, 56 mA and 0.44 mA for 3473, 120 and 6 s: 1.9 mA·h', () => {
    const { charge } = readingCost({
      phases: [phase(0.05e-3, 3473), phase(56e-3, 120), phase(0.44e-3, 6)],
      supply: 1,
    });
    expectPrinted(charge / mAh, '1.9');
    expectPrinted(charge / mAh, '1.915636111');
  });
});

describe('formula values', () => {
  it('1 mA for 20 µs every second over a floor of 1 µA: 1.01998 µA', () => {
    expectPrinted(
      averageCurrent({ phases: [phase(1e-3, 20e-6)], period: 1, sleepCurrent: 1e-6 }) * 1e6,
      '1.01998',
    );
  });

  it('256 conversions of 14 cycles at 16 MHz and 0.5 mA: 112 nC', () => {
    expectPrinted(
      readingCost({ phases: [phase(0.5e-3, (256 * 14) / 16e6)], supply: 3 }).charge * 1e9,
      '112.0000000',
    );
  });

  it('225 mA·h, 10 µA, 1 % a year: 2.504 years; usable fraction and self-discharge each on the nominal charge', () => {
    const battery = { capacity: 225 * mAh, usableFraction: 1, selfDischarge: 0.01 };
    expectPrinted((batteryLife({ ...battery, averageCurrent: 10e-6 }) as number) / year, '2.504173623');
    expectPrinted(
      (batteryLife({ ...battery, usableFraction: 0.8, averageCurrent: 10e-6 }) as number) / year,
      '2.003338898',
    );
    expectNear((batteryLife({ ...battery, averageCurrent: 0 }) as number) / year, 100, 1e-14);
  });
});

describe('against draining a battery day by day', () => {
  it('life is when the usable charge is gone', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 1, max: 1000, noNaN: true }),
        fc.double({ min: 0.1, max: 1, noNaN: true }),
        fc.double({ min: 0.001, max: 0.2, noNaN: true }),
        fc.double({ min: 1e-7, max: 1e-4, noNaN: true }),
        (capacity, usableFraction, selfDischarge, current) => {
          const life = batteryLife({
            capacity,
            usableFraction,
            selfDischarge,
            averageCurrent: current,
          }) as number;
          const day = life / 1000;
          let left = capacity * usableFraction;
          let days = 0;
          for (; left > 1e-9 * capacity; days++) {
            left -= (current + (selfDischarge * capacity) / (365 * 24 * 3600)) * day;
          }
          expect(days).toBe(1000);
        },
      ),
      { seed: 1 },
    );
  });
});

describe('properties', () => {
  const phases = fc.array(
    fc.record({
      name: fc.constant('p'),
      current: fc.double({ min: 0, max: 1, noNaN: true }),
      time: fc.double({ min: 0, max: 1, noNaN: true }),
    }),
    { maxLength: 6 },
  );

  it('average times period is charge plus sleep; shares add to 1; energy is charge times voltage', () => {
    fc.assert(
      fc.property(phases, fc.double({ min: 6, max: 100, noNaN: true }), (list, period) => {
        const cost = readingCost({ phases: list, supply: 2.5 });
        const average = averageCurrent({ phases: list, period, sleepCurrent: 1e-3 });
        expectNear(average * period, cost.charge + 1e-3 * (period - cost.time), 1e-12, 'average', 1e-15);
        expectNear(cost.energy, 2.5 * cost.charge, 1e-15);
        const shares = cost.phases.reduce((sum, p) => sum + p.share, 0);
        expectNear(shares, cost.charge > 0 ? 1 : 0, 1e-12);
        cost.phases.slice(1).forEach((p, i) => {
          expect(p.charge).toBeLessThanOrEqual(cost.phases[i]!.charge);
        });
      }),
      { seed: 2 },
    );
  });
});

describe('what each doubling costs', () => {
  const battery = { capacity: 810, usableFraction: 0.8, selfDischarge: 0.01 };
  const given = {
    phasesFor: (ratio: number) => [phase(1e-3, 1e-3), phase(0.5e-3, ratio * 10e-6)],
    period: 60,
    sleepCurrent: 1e-6,
    battery,
  };

  it('is the same as each ratio by itself', () => {
    const costs = ratioCosts({ ...given, largestRatio: 1024 });
    expect(costs.map((c) => c.ratio)).toEqual([1, 2, 4, 8, 16, 32, 64, 128, 256, 512, 1024]);
    costs.forEach(({ ratio, charge, averageCurrent: current, life, chargeFactor }, i) => {
      expectNear(charge, 1e-6 + ratio * 5e-9, 1e-14);
      expect(current).toBe(
        averageCurrent({ phases: given.phasesFor(ratio), period: 60, sleepCurrent: 1e-6 }),
      );
      expect(life).toBe(batteryLife({ ...battery, averageCurrent: current }));
      if (i === 0) expect(chargeFactor).toBe('none');
      else expectNear(chargeFactor as number, charge / costs[i - 1]!.charge, 1e-15);
    });
  });

  it('a ratio in between ends the list below it; free readings have no factor', () => {
    expect(ratioCosts({ ...given, largestRatio: 100 }).at(-1)!.ratio).toBe(64);
    const free = ratioCosts({ ...given, phasesFor: () => [], sleepCurrent: 0, largestRatio: 2 });
    expect(free[1]!.chargeFactor).toBe('none');
  });
});

describe('limits', () => {
  it('nothing drawn lasts for any time', () => {
    expect(batteryLife({ capacity: 1, usableFraction: 1, selfDischarge: 0, averageCurrent: 0 })).toBe('any');
  });

  it('phases that fill the period leave no sleep', () => {
    const thirds = [phase(1, 0.1), phase(1, 0.2), phase(1, 0.3)];
    expectNear(averageCurrent({ phases: thirds, period: 0.6, sleepCurrent: 5 }), 1, 1e-12);
  });
});

describe('errors', () => {
  it('name the argument, the value and the range', () => {
    expect(() => averageCurrent({ phases: [phase(1, 2)], period: 1, sleepCurrent: 0 })).toThrow(
      new RangeError('averageCurrent.period: got 1; allowed from the time of the phases, 2 s'),
    );
    expect(() => readingCost({ phases: [phase(1, 1), phase(-1, 1)], supply: 3 })).toThrow(
      new RangeError('readingCost.phases[1].current: got -1; allowed finite numbers from 0 A'),
    );
    expect(() =>
      batteryLife({ capacity: 1, usableFraction: 1.1, selfDischarge: 0, averageCurrent: 1 }),
    ).toThrow(new RangeError('batteryLife.usableFraction: got 1.1; allowed 0.000001 … 1'));
    const given = {
      period: 1,
      sleepCurrent: 0,
      battery: { capacity: 1, usableFraction: 1, selfDischarge: 0 },
    };
    expect(() => ratioCosts({ ...given, phasesFor: (ratio) => [phase(1, ratio / 4)] })).toThrow(
      new RangeError('ratioCosts.period: got 1; allowed from the time of the phases, 2 s'),
    );
    expect(() => ratioCosts({ ...given, phasesFor: () => [phase(1, Number.NaN)] })).toThrow(
      new RangeError('ratioCosts.phasesFor(1)[0].time: got NaN; allowed finite numbers from 0 s'),
    );
    expect(() => ratioCosts({ ...given, phasesFor: () => 3 as never })).toThrow(
      new RangeError('ratioCosts.phasesFor(1): got 3; allowed an array of phases {name, current, time}'),
    );
  });
});

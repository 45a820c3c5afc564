import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { averageCurrent } from '../../src/budget/battery.ts';
import { switchedDivider } from '../../src/budget/switchedDivider.ts';
import { expectNear } from '../close.ts';

const positive = (min: number, max: number) => fc.double({ min, max, noNaN: true });
const anyDivider = fc.record({
  supply: positive(1, 5),
  resistance: positive(1e3, 1e7),
  onTime: positive(1e-5, 0.1),
  awakeCurrent: positive(0, 1e-2),
  switchCharge: positive(0, 1e-8),
  leakageCurrent: positive(0, 1e-7),
});

describe('against averages of phases', () => {
  it('switched is the on time, the charge and the leakage between', () => {
    fc.assert(
      fc.property(anyDivider, positive(0.2, 1000), (divider, period) => {
        const { alwaysOn, switched } = switchedDivider({ ...divider, period });
        const on = divider.supply / divider.resistance;
        expectNear(alwaysOn, on, 1e-15);
        const average = averageCurrent({
          phases: [{ name: 'on', current: on + divider.awakeCurrent, time: divider.onTime }],
          period,
          sleepCurrent: divider.leakageCurrent,
        });
        expectNear(switched, average + divider.switchCharge / period, 1e-12);
      }),
      { seed: 1 },
    );
  });

  it('at the break-even period both take the same; above it switching takes less, below it more', () => {
    fc.assert(
      fc.property(anyDivider, (divider) => {
        const { breakEvenPeriod } = switchedDivider({ ...divider, period: 1 });
        if (breakEvenPeriod === 'none') return;
        const at = (period: number) => {
          const { alwaysOn, switched } = switchedDivider({ ...divider, period });
          return switched / alwaysOn;
        };
        expectNear(at(breakEvenPeriod), 1, 1e-9);
        expect(at(2 * breakEvenPeriod)).toBeLessThanOrEqual(1 + 1e-12);
        const sooner = (divider.onTime + breakEvenPeriod) / 2;
        expect(at(sooner)).toBeGreaterThanOrEqual(1 - 1e-12);
      }),
      { seed: 2 },
    );
  });
});

describe('limits', () => {
  it('a switch that leaks as much as the divider draws never pays', () => {
    expect(
      switchedDivider({ supply: 3, resistance: 3e6, onTime: 0.1, leakageCurrent: 1e-6, period: 10 })
        .breakEvenPeriod,
    ).toBe('none');
  });

  it('a free switch pays from the first moment it is off', () => {
    const free = switchedDivider({ supply: 3, resistance: 3e6, onTime: 0.1, period: 10 });
    expect(free.breakEvenPeriod).toBe(0.1);
    expectNear(free.switched, 1e-8, 1e-12);
  });
});

describe('errors', () => {
  it('name the argument, the value and the range', () => {
    expect(() => switchedDivider({ supply: 3, resistance: 1e6, onTime: 2, period: 1 })).toThrow(
      new RangeError('switchedDivider.period: got 1; allowed from onTime, 2 s'),
    );
    expect(() => switchedDivider({ supply: 3, resistance: 0, onTime: 2, period: 3 })).toThrow(
      new RangeError('switchedDivider.resistance: got 0; allowed finite numbers above 0 Ω'),
    );
  });
});

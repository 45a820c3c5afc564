import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { stepTime } from '../../src/budget/step.ts';
import { expectNear } from '../close.ts';

/** Time from a step to the end of the first burst that shows `settled` of it, the first burst `start` after the step (negative before). */
function simulated(
  start: number,
  { interval, ratio, timeConstant, period, settled }: Required<Parameters<typeof stepTime>[0]>,
): number {
  for (let n = 0; ; n++) {
    const begin = start + n * period!;
    let sum = 0;
    for (let i = 0; i < ratio; i++) {
      const t = begin + i * interval;
      sum += t < 0 ? 0 : timeConstant! > 0 ? 1 - Math.exp(-t / timeConstant!) : 1;
    }
    if (sum / ratio >= settled! - 1e-12) return begin + ratio * interval;
  }
}

describe('against bursts simulated over 400 moments of the step', () => {
  it('no moment takes longer than the worst nor less than the best, and both are come near', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 40 }),
        fc.double({ min: 0, max: 60, noNaN: true }),
        fc.double({ min: 1, max: 3, noNaN: true }),
        fc.constantFrom(0.9, 0.99, 0.999),
        (ratio, timeConstant, more, settled) => {
          const given = { interval: 1, ratio, timeConstant, period: ratio * more, settled };
          const { worst, best, rule } = stepTime(given);
          let [least, most] = [Number.POSITIVE_INFINITY, 0];
          const moments = 400;
          for (let k = 0; k < moments; k++) {
            const time = simulated(-ratio + ((k + 0.5) / moments) * given.period, given);
            least = Math.min(least, time);
            most = Math.max(most, time);
          }
          const grain = given.period / moments;
          expect(most).toBeLessThanOrEqual(worst + 1e-9);
          expect(most).toBeGreaterThanOrEqual(worst - 1.01 * grain - 1e-9);
          expect(least).toBeGreaterThanOrEqual(best - 1e-9);
          expect(least).toBeLessThanOrEqual(best + 1.01 * grain + 1e-9);
          expect(worst).toBeLessThanOrEqual(rule + 1e-9);
        },
      ),
      { seed: 1, numRuns: 60 },
    );
  });
});

describe('limits', () => {
  it('the rule: 2·R·T + 4.6·τ for 99 %', () => {
    const { rule } = stepTime({ interval: 1e-3, ratio: 64, timeConstant: 0.01 });
    expectNear(rule, 2 * 0.064 + 4.605 * 0.01, 1e-4);
  });

  it('without a low-pass, a hundredth of the burst may lie before the step', () => {
    expectNear(stepTime({ interval: 1, ratio: 100 }).worst, 199, 1e-12);
    expectNear(stepTime({ interval: 1, ratio: 99 }).worst, 198, 1e-12);
    expectNear(stepTime({ interval: 1, ratio: 1, period: 60 }).worst, 61, 1e-12);
  });

  it('a slow low-pass takes its own 4.6 τ, and a burst of it hardly matters', () => {
    const { worst } = stepTime({ interval: 1e-6, ratio: 4, timeConstant: 1 });
    expectNear(worst, Math.log(100), 1e-5);
  });
});

describe('errors', () => {
  it('name the argument, the value and the range', () => {
    expect(() => stepTime({ interval: 1, ratio: 10, period: 9 })).toThrow(
      new RangeError('stepTime.period: got 9; allowed from ratio·interval, 10 s'),
    );
    expect(() => stepTime({ interval: 1, ratio: 10, settled: 1 })).toThrow(
      new RangeError('stepTime.settled: got 1; allowed 0.01 … 0.999999'),
    );
  });
});

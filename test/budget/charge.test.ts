import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { burstCharge } from '../../src/budget/charge.ts';
import { expectNear } from '../close.ts';

const burst = {
  ratio: 8,
  conversionTime: 10e-6,
  interval: 50e-6,
  converterCurrent: 0.42e-3,
  coreCurrent: 0.16e-3,
  excitationCurrent: 0.19e-3,
};

describe('by hand', () => {
  it('eight conversions of 10 µs, 50 µs apart: 360 µs; 80 µs of converter, 360 µs of the rest', () => {
    const { time, charge } = burstCharge(burst);
    expectNear(time, 360e-6, 1e-12);
    expectNear(charge, 0.42e-3 * 80e-6 + 0.35e-3 * 360e-6, 1e-12);
  });

  it('back to back everything draws throughout', () => {
    const { time, charge } = burstCharge({ ...burst, interval: 10e-6 });
    expectNear(time, 80e-6, 1e-12);
    expectNear(charge, 0.77e-3 * 80e-6, 1e-12);
  });

  it('one conversion does not wait', () =>
    expectNear(burstCharge({ ...burst, ratio: 1 }).time, 10e-6, 1e-12));
});

describe('properties', () => {
  it('charge is that of drawing step by step, for any burst', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 40 }),
        fc.integer({ min: 1, max: 9 }),
        fc.integer({ min: 0, max: 9 }),
        (ratio, busy, idle) => {
          // Time in whole microseconds, counted one by one.
          let charge = 0;
          const end = (ratio - 1) * (busy + idle) + busy;
          for (let t = 0; t < end; t++) charge += 1e-6 * (3 + (t % (busy + idle) < busy ? 2 : 0));
          const actual = burstCharge({
            ratio,
            conversionTime: busy * 1e-6,
            interval: (busy + idle) * 1e-6,
            converterCurrent: 2,
            coreCurrent: 1.75,
            excitationCurrent: 1.25,
          });
          expectNear(actual.charge, charge, 1e-9);
        },
      ),
      { seed: 6 },
    );
  });
});

describe('errors', () => {
  it('name the argument', () => {
    const of = (extra: object) => () => burstCharge({ ...burst, ...extra });
    expect(of({ interval: 9e-6 })).toThrow(
      'burstCharge.interval: got 0.000009; allowed from conversionTime, 0.00001 s',
    );
    expect(of({ coreCurrent: -1 })).toThrow(
      'burstCharge.coreCurrent: got -1; allowed finite numbers from 0 A',
    );
    expect(of({ ratio: 1.5 })).toThrow('burstCharge.ratio: got 1.5; allowed whole numbers 1 … 65536');
  });
});

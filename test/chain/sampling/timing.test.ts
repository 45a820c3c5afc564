import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { conversionTime, outputRate } from '../../../src/chain/sampling/timing.ts';
import { triggerRate } from '../../../src/chain/sampling/triggerRate.ts';
import { expectNear, expectPrinted } from '../../close.ts';

describe('common practice, no source', () => {
  const time = conversionTime({ clock: 16e6, sampleCycles: 1.5, conversionCycles: 12.5 });

  it('1.5 and 12.5 cycles of 16 MHz: 1.14 conversions a microsecond', () => {
    expectPrinted(1e-6 / time, '1.14');
    expectPrinted(1e-6 / time, '1.142857143');
  });

  it('16, 64 and 256 of them back to back: 71.43, 17.86 and 4.464 kHz', () => {
    for (const [ratio, printed] of [
      [16, '71.428571'],
      [64, '17.857143'],
      [256, '4.464286'],
    ] as const) {
      expectPrinted(outputRate({ ratio, conversionTime: time, start: 'back-to-back' }) / 1e3, printed);
    }
  });
});

describe('output rate', () => {
  const burst = { ratio: 16, conversionTime: 1e-5 };
  it('a timer that starts each conversion gives a result every R of them, each burst one', () => {
    expect(outputRate({ ...burst, start: 'conversion', rate: 1e5 })).toBe(6250);
    expect(outputRate({ ...burst, start: 'burst', rate: 6250 })).toBe(6250);
  });

  it('what does not fit says by how much', () => {
    expect(() => outputRate({ ...burst, start: 'burst', rate: 8000 })).toThrow(
      new RangeError(
        'outputRate.rate: got 8000; allowed up to 6250 Hz; the burst takes 0.000035 s longer than 1/rate',
      ),
    );
    expect(() => outputRate({ ...burst, start: 'conversion', rate: 2e5 })).toThrow(
      new RangeError(
        'outputRate.rate: got 200000; allowed up to 100000 Hz; the conversion takes 0.000005 s longer than 1/rate',
      ),
    );
  });

  it('a rate belongs to a timer', () => {
    expect(() => outputRate({ ...burst, start: 'back-to-back', rate: 1 })).toThrow(
      new RangeError(`outputRate.rate: got 1; allowed only with a timer, not 'back-to-back'`),
    );
    expect(() => outputRate({ ...burst, start: 'burst' })).toThrow('outputRate.rate: got undefined');
  });
});

describe('trigger rate', () => {
  it('is the nearest of all settings, the smallest prescaler among equals', () => {
    const prescalers = [1, 8, 2, 64];
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 6, noNaN: true }).map((x) => 10 ** x),
        fc.integer({ min: 0, max: 300 }),
        (rate, largestCount) => {
          const clock = 48e3;
          const found = triggerRate({ clock, rate, prescalers, largestCount });
          let least = Number.POSITIVE_INFINITY;
          let smallest = Number.POSITIVE_INFINITY;
          for (const p of prescalers)
            for (let n = 0; n <= largestCount; n++) {
              const apart = Math.abs(clock / (p * (n + 1)) - rate);
              if (apart < least || (apart === least && p < smallest)) smallest = p;
              least = Math.min(least, apart);
            }
          expectNear(Math.abs(found.rate - rate), least, 1e-9, `${rate} Hz`, 1e-9 * rate);
          expect(found.rate).toBe(clock / (found.prescaler * (found.count + 1)));
          if (least > 1e-9 * rate) expect(found.prescaler).toBe(smallest);
          expectNear(found.errorPpm, ((found.rate - rate) / rate) * 1e6, 1e-9, 'ppm', 1e-9);
        },
      ),
      { seed: 5, numRuns: 300 },
    );
  });

  it('a crystal of 32768 Hz gives 1000 Hz 7030 ppm off and 1024 Hz exactly', () => {
    expectPrinted(triggerRate({ clock: 32768, rate: 1000 }).errorPpm, '-7030.3');
    expect(triggerRate({ clock: 32768, rate: 1024, prescalers: [4, 2] })).toEqual({
      rate: 1024,
      prescaler: 2,
      count: 15,
      errorPpm: 0,
    });
  });

  it('beyond either end the end is the nearest', () => {
    expect(triggerRate({ clock: 1000, rate: 1e9 })).toMatchObject({ rate: 1000, count: 0 });
    expect(triggerRate({ clock: 1000, rate: 1e-6, largestCount: 9 })).toMatchObject({ rate: 100, count: 9 });
  });
});

describe('errors', () => {
  it('names the argument, the value and the range', () => {
    expect(() => conversionTime({ clock: 0, sampleCycles: 1, conversionCycles: 1 })).toThrow(
      new RangeError('conversionTime.clock: got 0; allowed 0.001 … 1000000000000000 Hz'),
    );
    expect(() => conversionTime({ clock: 1e6, sampleCycles: -1, conversionCycles: 1 })).toThrow(RangeError);
    expect(() => triggerRate({ clock: 1e6, rate: 1, prescalers: [1, 2.5] })).toThrow(
      new RangeError('triggerRate.prescalers: got 2.5; allowed whole numbers 1 … 4294967296'),
    );
    expect(() => triggerRate({ clock: 1e6, rate: 1, prescalers: [] })).toThrow(RangeError);
  });
});

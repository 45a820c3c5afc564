import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { bestDividerResistor } from '../../../src/chain/conditioning/bestDividerResistor.ts';
import { sensorDivider } from '../../../src/chain/conditioning/sensorDivider.ts';
import { platinum } from '../../../src/chain/source/platinum.ts';
import type { Sensor } from '../../../src/chain/source/sensor.ts';
import { thermistor } from '../../../src/chain/source/thermistor.ts';
import { expectNear } from '../../close.ts';

interface Wiring {
  readonly sensor: Sensor;
  readonly low: number;
  readonly high: number;
  readonly side?: 'low' | 'high';
  readonly seriesResistor?: number;
}

/** The coarsest kelvin per unit ratio over the range with a resistor, from differences of the divider's own curve. */
function coarsest({ low, high, ...wiring }: Wiring, resistor: number, points = 400): number {
  const d = sensorDivider({ ...wiring, resistor });
  let worst = 0;
  const h = (high - low) / 1e6;
  for (let i = 0; i <= points; i++) {
    const at = Math.min(Math.max(low + ((high - low) * i) / points, low + h), high - h);
    worst = Math.max(worst, (2 * h) / Math.abs(d.toElectrical(at + h) - d.toElectrical(at - h)));
  }
  return worst;
}

const ntc = thermistor({ r25: 10000, beta: 3976 });
/** A sensor that is steep at both ends and flat in the middle, where it is coarsest whatever the resistor. */
const flatInside: Sensor = {
  kind: 'table',
  measurand: 'temperature',
  electrical: 'resistance',
  validRange: { low: 0, high: 10 },
  toElectrical: (m) => 1000 + 20 * m + (m - 4) ** 3,
  toMeasurand: () => 0,
  slope: (m) => 20 + 3 * (m - 4) ** 2,
};

const wirings: [string, Wiring][] = [
  ['thermistor 0 … 50 °C', { sensor: ntc, low: 0, high: 50 }],
  ['thermistor -40 … 125 °C, above', { sensor: ntc, low: -40, high: 125, side: 'high' }],
  ['thermistor 20 … 22 °C', { sensor: ntc, low: 20, high: 22 }],
  ['thermistor -20 … 60 °C with 2.2 kΩ in series', { sensor: ntc, low: -20, high: 60, seriesResistor: 2200 }],
  ['platinum -50 … 200 °C', { sensor: platinum({ r0: 1000 }), low: -50, high: 200 }],
  ['flat inside', { sensor: flatInside, low: 0, high: 10 }],
];

describe('brute force', () => {
  it.each(wirings)(
    '%s: no resistor of a fine scan does better, and it is worth what it says',
    (_, wiring) => {
      const best = bestDividerResistor(wiring);
      expectNear(best.worst, coarsest(wiring, best.resistor, 4000), 1e-5);
      const scan = Array.from({ length: 801 }, (_, i) => best.resistor * 10 ** ((i - 400) / 200));
      let least = { resistor: 0, worst: Number.POSITIVE_INFINITY };
      for (const resistor of scan) {
        const worst = coarsest(wiring, resistor);
        if (worst < least.worst) least = { resistor, worst };
      }
      // A fine scan around the best of the coarse one, 0.006 % apart.
      for (let i = -200; i <= 200; i++) {
        const resistor = least.resistor * (1 + i * 6e-5);
        const worst = coarsest(wiring, resistor);
        if (worst < least.worst) least = { resistor, worst };
      }
      expect(coarsest(wiring, least.resistor, 4000)).toBeGreaterThan(best.worst * (1 - 1e-5));
      expectNear(best.resistor, least.resistor, 1.5e-3);
    },
  );

  it('the flat sensor is coarsest inside', () => {
    const { worstAt } = bestDividerResistor({ sensor: flatInside, low: 0, high: 10 });
    expect(worstAt).toBeGreaterThan(1);
    expect(worstAt).toBeLessThan(9);
  });
});

describe('what follows from the formula', () => {
  const thermistors = (width: { min: number; max: number }) =>
    fc.record({
      beta: fc.double({ min: 3000, max: 5000, noNaN: true }),
      low: fc.double({ min: -40, max: 40, noNaN: true }),
      width: fc.double({ ...width, noNaN: true }),
    });

  it('over 40 K and more a thermistor’s best resistor gives both ends the same step', () => {
    fc.assert(
      fc.property(thermistors({ min: 40, max: 90 }), ({ beta, low, width }) => {
        const sensor = thermistor({ r25: 10000, beta });
        const high = low + width;
        const { resistor, worst, ratioAtLow, ratioAtHigh } = bestDividerResistor({ sensor, low, high });
        const d = sensorDivider({ sensor, resistor });
        expectNear(1 / Math.abs(d.slope(low)), 1 / Math.abs(d.slope(high)), 1e-9);
        expectNear(worst, 1 / Math.abs(d.slope(low)), 1e-9);
        expect([ratioAtLow, ratioAtHigh]).toEqual([d.toElectrical(low), d.toElectrical(high)]);
        // Between the sensor's own resistances at both ends.
        expect(resistor).toBeLessThan(sensor.toElectrical(low));
        expect(resistor).toBeGreaterThan(sensor.toElectrical(high));
      }),
      { seed: 1 },
    );
  });

  it('over 2 K its warm end is coarser whatever the resistor, and the resistor is the sensor’s there', () => {
    fc.assert(
      fc.property(thermistors({ min: 0.1, max: 2 }), ({ beta, low, width }) => {
        const sensor = thermistor({ r25: 10000, beta });
        const best = bestDividerResistor({ sensor, low, high: low + width });
        expect([best.resistor, best.worstAt]).toEqual([sensor.toElectrical(low + width), low + width]);
        expectNear(best.ratioAtHigh, 0.5, 1e-15);
      }),
      { seed: 1 },
    );
  });

  it('for platinum it is the resistance at the warm end', () => {
    const sensor = platinum({ r0: 1000 });
    expect(bestDividerResistor({ sensor, low: -50, high: 200 }).resistor).toBe(sensor.toElectrical(200));
  });

  it('the side turns the ratios round and leaves the resistor', () => {
    const low = bestDividerResistor({ sensor: ntc, low: 0, high: 50 });
    const high = bestDividerResistor({ sensor: ntc, low: 0, high: 50, side: 'high' });
    expect(high.resistor).toBe(low.resistor);
    expectNear(high.ratioAtLow, 1 - low.ratioAtLow, 1e-14);
    expectNear(high.ratioAtHigh, 1 - low.ratioAtHigh, 1e-14);
  });
});

describe('errors', () => {
  const good = { sensor: ntc, low: 0, high: 50 };
  it.each([
    [
      { ...good, sensor: {} },
      RangeError,
      "bestDividerResistor.sensor: got an object; allowed a sensor whose electrical side is 'resistance'",
    ],
    [{ ...good, low: -100 }, RangeError, 'bestDividerResistor.low: got -100; allowed -80 … 200'],
    [{ ...good, high: 300 }, RangeError, 'bestDividerResistor.high: got 300; allowed -80 … 200'],
    [{ ...good, high: -10 }, RangeError, 'bestDividerResistor.high: got -10; allowed values above low, 0'],
    [{ ...good, side: 1 }, RangeError, `bestDividerResistor.side: got 1; allowed 'low' or 'high'`],
    [
      { ...good, seriesResistor: -1 },
      RangeError,
      'bestDividerResistor.seriesResistor: got -1; allowed finite numbers from 0 Ω',
    ],
    [{ ...good, lo: 1 }, TypeError, 'bestDividerResistor: no argument is named "lo"; the nearest is "low"'],
  ])('case %#', (given, kind, message) => {
    expect(() => bestDividerResistor(given as never)).toThrow(kind);
    expect(() => bestDividerResistor(given as never)).toThrow(message);
  });
});

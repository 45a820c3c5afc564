import fc from 'fast-check';
import { expect, it } from 'vitest';
import type { Sensor } from '../../../src/chain/source/sensor.ts';
import { expectNear } from '../../close.ts';

interface Looser {
  /** Closeness of there and back, relative to the width of the valid range. */
  readonly step?: number;
  /** Measurands at which two pieces of a curve meet, in value to 2e-6 of the measurand's unit, in slope not. */
  readonly joints?: readonly number[];
}

/** Laws that every sensor keeps. */
export function sensorLaws(
  name: string,
  make: () => Sensor,
  { step = 1e-12, joints = [] }: Looser = {},
): void {
  const { low, high } = make().validRange;
  const inRange = fc.double({ min: low, max: high, noNaN: true });
  const places = Array.from({ length: 2001 }, (_, i) => Math.min(high, low + ((high - low) * i) / 2000));

  it(`${name}: there and back, everywhere`, () => {
    const s = make();
    const check = (m: number) => {
      const allowed = joints.some((j) => Math.abs(m - j) < 1e-5) ? 2e-6 : step * (high - low);
      expectNear(s.toMeasurand(s.toElectrical(m)), m, 0, `${name} at ${m}`, allowed);
    };
    for (const m of places) check(m);
    fc.assert(fc.property(inRange, check), { seed: 1 });
  });

  it(`${name}: back and there, everywhere`, () => {
    const s = make();
    const ends = [s.toElectrical(low), s.toElectrical(high)].sort((a, b) => a - b) as [number, number];
    for (let i = 0; i <= 1000; i++) {
      const e = Math.min(ends[1], ends[0] + ((ends[1] - ends[0]) * i) / 1000);
      expectNear(s.toElectrical(s.toMeasurand(e)), e, 1e-12, `${name} at ${e}`, 1e-12 * (ends[1] - ends[0]));
    }
  });

  it(`${name}: strictly monotone, in the direction of its slope`, () => {
    const s = make();
    const rising = s.slope(low) > 0;
    for (let i = 1; i < places.length; i++) {
      expect(s.toElectrical(places[i]!) > s.toElectrical(places[i - 1]!)).toBe(rising);
      expect(s.slope(places[i]!) > 0).toBe(rising);
    }
  });

  it(`${name}: the slope is the derivative`, () => {
    // Seven-point central difference, h⁶ error; h gives about 1e-9 of the slope between truncation and rounding.
    const s = make();
    const h = (high - low) / 3000;
    const smooth = (p: number) =>
      p - 3 * h >= low && p + 3 * h <= high && joints.every((j) => Math.abs(p - j) > 3 * h);
    for (const m of places.filter(smooth)) {
      const d = (k: number) => s.toElectrical(m + k * h) - s.toElectrical(m - k * h);
      const difference = (45 * d(1) - 9 * d(2) + d(3)) / (60 * h);
      expectNear(difference, s.slope(m), 2e-8, `${name} at ${m}`);
    }
  });

  it(`${name}: outside the valid range it refuses, and says which`, () => {
    const s = make();
    const beyond = [
      low - 1e-6 * (high - low),
      high + 1e-6 * (high - low),
      Number.NaN,
      Number.POSITIVE_INFINITY,
    ];
    for (const m of beyond) {
      for (const method of [s.toElectrical, s.slope, s.tolerance]) {
        if (method) expect(() => method(m)).toThrow(new RegExp(`: got .*; allowed ${low} … ${high}`));
      }
    }
    const ends = [s.toElectrical(low), s.toElectrical(high)].sort((a, b) => a - b) as [number, number];
    const width = ends[1] - ends[0];
    for (const e of [ends[0] - 1e-6 * width, ends[1] + 1e-6 * width, Number.NaN]) {
      expect(() => s.toMeasurand(e)).toThrow(/toMeasurand: got .*; allowed /);
    }
    // What the inverse returns at the very ends can be put in again.
    for (const e of ends) expect(s.toElectrical(s.toMeasurand(e))).toSatisfy(Number.isFinite);
  });
}

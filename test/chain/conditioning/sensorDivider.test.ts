import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { sensorDivider } from '../../../src/chain/conditioning/sensorDivider.ts';
import { linearSensor } from '../../../src/chain/source/linearSensor.ts';
import { platinum } from '../../../src/chain/source/platinum.ts';
import { thermistor } from '../../../src/chain/source/thermistor.ts';
import { expectNear } from '../../close.ts';
import { sensorLaws } from '../source/laws.ts';

const sensor = thermistor({ r25: 10000, beta: 3976, tolerance: 0.01 });

/** The joint's voltage by Kirchhoff's current law, found by halving: sum of currents into the joint is zero. */
function joint(upper: number, lower: number, excitation: number, leakage: number): number {
  let [low, high] = [-10 * excitation, 10 * excitation];
  for (let i = 0; i < 200; i++) {
    const v = (low + high) / 2;
    if ((excitation - v) / upper - v / lower + leakage > 0) low = v;
    else high = v;
  }
  return low;
}

describe('against the currents at the joint', () => {
  const cases = fc.record({
    celsius: fc.double({ min: -40, max: 125, noNaN: true }),
    resistor: fc.double({ min: 500, max: 200000, noNaN: true }),
    seriesResistor: fc.double({ min: 0, max: 5000, noNaN: true }),
    side: fc.constantFrom('low' as const, 'high' as const),
  });

  it('ratio, Thévenin resistance, open and short levels, current', () => {
    fc.assert(
      fc.property(cases, ({ celsius, ...wiring }) => {
        const d = sensorDivider({ sensor, ...wiring });
        const at = (s: number, leakage = 0) => {
          const leg = s + wiring.seriesResistor;
          return wiring.side === 'low'
            ? joint(wiring.resistor, leg, 3, leakage)
            : joint(leg, wiring.resistor, 3, leakage);
        };
        const s = sensor.toElectrical(celsius);
        expectNear(d.toElectrical(celsius), at(s) / 3, 1e-12);
        // One microampere moves the joint by the Thévenin resistance.
        expectNear(d.theveninResistance(celsius), (at(s, 1e-6) - at(s)) / 1e-6, 1e-7);
        expectNear(d.openRatio, at(1e15) / 3, 0, '', 1e-9);
        expectNear(d.shortRatio, at(0) / 3, 1e-12, '', 1e-12);
        expectNear(d.current(celsius, 3), 3 / (wiring.resistor + s + wiring.seriesResistor), 1e-14);
      }),
      { seed: 1 },
    );
  });

  it('the leakage shift is what the reading moves by', () => {
    fc.assert(
      fc.property(cases, ({ celsius, ...wiring }) => {
        const d = sensorDivider({ sensor, ...wiring });
        const leakage = 1e-3 * (d.current(celsius, 3) * (1 - Math.abs(2 * d.toElectrical(celsius) - 1)));
        const leg = sensor.toElectrical(celsius) + wiring.seriesResistor;
        const [upper, lower] = wiring.side === 'low' ? [wiring.resistor, leg] : [leg, wiring.resistor];
        const moved = d.toMeasurand(joint(upper, lower, 3, leakage) / 3) - celsius;
        // First order: a thousandth of the current leaves a few thousandths of the shift.
        expectNear(d.leakageShift(celsius, leakage, 3), moved, 0.01);
      }),
      { seed: 1 },
    );
  });

  it('self-heating: the power in the sensor alone, over the dissipation constant', () => {
    const d = sensorDivider({ sensor, resistor: 10000, seriesResistor: 1000 });
    const s = sensor.toElectrical(40);
    const acrossLeg = joint(10000, s + 1000, 3, 0);
    const acrossSensor = (acrossLeg * s) / (s + 1000);
    expectNear(d.selfHeating(40, 3, 0.002), acrossSensor ** 2 / s / 0.002, 1e-12);
    // By hand: 10 kΩ against 10 kΩ at 3 V is 0.225 mW, 0.1125 K at 2 mW/K.
    expectNear(sensorDivider({ sensor, resistor: 10000 }).selfHeating(25, 3, 0.002), 0.1125, 1e-12);
  });

  it('a sensor of 32 650 Ω under 10 kΩ is code 3135 of 12 bits, transitions on whole codes', () => {
    // [NTC10K] gives 32 650 Ω at 0 °C; the code is that ratio.
    const sheet = thermistor({ a: 1.12924e-3, b: 2.34108e-4, c: 0.87755e-7 });
    const d = sensorDivider({ sensor: sheet, resistor: 10000 });
    expect(Math.floor(4096 * d.toElectrical(sheet.toMeasurand(32650)))).toBe(3135);
  });
});

describe('tolerance', () => {
  it("adds the fixed resistor's error to the sensor's, as a divider with that resistor reads", () => {
    for (const side of ['low', 'high'] as const) {
      const wiring = { sensor, side, seriesResistor: 330 };
      const nominal = sensorDivider({ ...wiring, resistor: 10000, resistorTolerance: 0.001 });
      for (const celsius of [-40, 0, 25, 60, 120]) {
        const real = sensorDivider({ ...wiring, resistor: 10010 });
        const moved = Math.abs(nominal.toMeasurand(real.toElectrical(celsius)) - celsius);
        // First order in 0.1 %.
        expectNear(nominal.tolerance!(celsius) - sensor.tolerance!(celsius), moved, 0.002, `${celsius} °C`);
      }
    }
  });

  it('is absent where neither states one', () => {
    expect(sensorDivider({ sensor: platinum({ r0: 1000 }), resistor: 1000 }).tolerance).toBeUndefined();
  });
});

describe('laws', () => {
  sensorLaws('thermistor below', () => sensorDivider({ sensor, resistor: 10000, resistorTolerance: 0.001 }), {
    step: 2e-12,
  });
  sensorLaws(
    'thermistor above',
    () => sensorDivider({ sensor, resistor: 4700, side: 'high', seriesResistor: 100 }),
    { step: 2e-12 },
  );
  sensorLaws(
    'platinum below',
    () => sensorDivider({ sensor: platinum({ r0: 1000, class: 'A' }), resistor: 2200 }),
    { step: 2e-12 },
  );
  sensorLaws(
    'platinum above',
    () => sensorDivider({ sensor: platinum({ r0: 100 }), resistor: 1000, side: 'high' }),
    { step: 2e-12 },
  );

  it('the two sides are each other’s complement', () => {
    for (let t = -80; t <= 200; t += 10) {
      const at = (side: 'low' | 'high') => sensorDivider({ sensor, resistor: 10000, side }).toElectrical(t);
      expectNear(at('low') + at('high'), 1, 1e-15);
    }
  });

  it('reads back its ends even where rounding is coarse: 100 Ω beside 100 MΩ', () => {
    // 1 − x is 1e-6 here, so a ratio holds the resistance to ten digits and may carry it past its end.
    for (let i = 0; i < 40; i++) {
      const d = sensorDivider({ sensor: platinum({ r0: 100 + i }), resistor: 1e8, side: 'high' });
      for (const end of [-200, 850]) expectNear(d.toMeasurand(d.toElectrical(end)), end, 0, '', 1e-4);
    }
  });

  it('carries the measurand on', () => {
    const d = sensorDivider({ sensor, resistor: 10000 });
    expect([d.kind, d.measurand, d.electrical]).toEqual(['divider', 'temperature', 'ratio']);
    expect(d.validRange).toEqual(sensor.validRange);
  });
});

describe('errors', () => {
  const good = { sensor, resistor: 10000 };
  it.each([
    [
      { ...good, sensor: linearSensor({ voltsPerDegree: 1, voltsAtZero: 0 }) },
      RangeError,
      "sensorDivider.sensor: got an object; allowed a sensor whose electrical side is 'resistance'",
    ],
    [{ ...good, resistor: 0 }, RangeError, 'sensorDivider.resistor: got 0; allowed finite numbers above 0 Ω'],
    [{ ...good, side: 'up' }, RangeError, `sensorDivider.side: got "up"; allowed 'low' or 'high'`],
    [
      { ...good, seriesResistor: -1 },
      RangeError,
      'sensorDivider.seriesResistor: got -1; allowed finite numbers from 0 Ω',
    ],
    [
      { ...good, resistorTolerance: 1 },
      RangeError,
      'sensorDivider.resistorTolerance: got 1; allowed 0 … 0.5',
    ],
    [
      { ...good, resister: 1 },
      TypeError,
      'sensorDivider: no argument is named "resister"; the nearest is "resistor"',
    ],
  ])('case %#', (given, kind, message) => {
    expect(() => sensorDivider(given as never)).toThrow(kind);
    expect(() => sensorDivider(given as never)).toThrow(message);
  });
});

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { ditherResistor, ditherSpan } from '../../../src/chain/conditioning/ditherSource.ts';
import { expectNear } from '../../close.ts';

/** Peak to peak at the pin, by stepping the two resistors and the capacitor through many periods. */
function stepped(a: {
  wave: 'triangle' | 'square';
  swing: number;
  period: number;
  resistor: number;
  sourceResistance: number;
  capacitance: number;
}): number {
  const steps = 20_000;
  const dt = a.period / steps;
  const conductance = 1 / a.resistor + 1 / a.sourceResistance;
  const drive = (turn: number): number =>
    a.wave === 'square' ? (turn < 0.5 ? a.swing : 0) : a.swing * (turn < 0.5 ? 2 * turn : 2 - 2 * turn);
  let v = a.swing / 2 / a.resistor / conductance;
  let [low, high] = [v, v];
  for (let n = 0; n < 60; n++) {
    [low, high] = [v, v];
    for (let i = 0; i < steps; i++) {
      // The trapezoidal rule, with the drive in the middle of the step.
      const current = drive((i + 0.5) / steps) / a.resistor;
      const half = (dt / 2 / a.capacitance) * conductance;
      v = (v * (1 - half) + (dt / a.capacitance) * current) / (1 + half);
      low = Math.min(low, v);
      high = Math.max(high, v);
    }
  }
  return high - low;
}

describe('against the circuit stepped through its periods', () => {
  it.each([
    ['square', 1e-3, 20e3],
    ['square', 10e-6, 200e3],
    ['triangle', 1e-3, 20e3],
    ['triangle', 50e-6, 9e3],
  ] as const)('%s of %d s through %d ohm', (wave, period, resistor) => {
    const given = { wave, swing: 3, period, resistor, sourceResistance: 2e3, capacitance: 10e-9 };
    // The steps are a 1/20 000 of the period.
    expectNear(ditherSpan(given), stepped(given), 2e-4);
  });
});

describe('limits', () => {
  it('without a capacitor is a plain divider', () => {
    const given = { swing: 3, period: 1e-3, resistor: 29e3, sourceResistance: 1e3, capacitance: 0 };
    expectNear(ditherSpan({ wave: 'triangle', ...given }), 0.1, 1e-12);
    expectNear(ditherSpan({ wave: 'square', ...given }), 0.1, 1e-12);
  });

  it('a quick square wave is integrated: I·P/(2·C) for half its period', () => {
    const given = { swing: 3, period: 1e-6, resistor: 1e6, sourceResistance: 1e5, capacitance: 1e-6 };
    expectNear(ditherSpan({ wave: 'square', ...given }), (1.5e-6 * 0.5e-6) / 1e-6, 1e-6);
  });

  it('a triangle goes on smoothly where its series ends', () => {
    const span = (x: number): number =>
      ditherSpan({
        wave: 'triangle',
        swing: 1,
        period: 4 * x * 1e-3,
        resistor: 1e6,
        sourceResistance: 1e6,
        capacitance: 2e-9,
      });
    expectNear(span(0.01 - 1e-12), span(0.01 + 1e-12), 1e-8);
  });
});

describe('the resistor for a span', () => {
  it('gives that span', () => {
    const resistances = fc.double({ min: 10, max: 1e6, noNaN: true });
    const capacitances = fc.double({ min: 0, max: 1e-6, noNaN: true });
    const exponent = fc.double({ min: -5, max: -2, noNaN: true });
    fc.assert(
      fc.property(
        fc.constantFrom('triangle' as const, 'square' as const),
        resistances,
        capacitances,
        exponent,
        exponent,
        (wave, sourceResistance, capacitance, p, s) => {
          const given = { wave, swing: 3, period: 10 ** p, sourceResistance, capacitance };
          const span = 3 * 10 ** s;
          const resistor = ditherResistor({ ...given, span });
          if (resistor === 'none') return;
          expectNear(ditherSpan({ ...given, resistor }), span, 1e-9);
        },
      ),
    );
  });

  it('is none for more than the swing', () => {
    const given = { wave: 'square', swing: 3, period: 1, sourceResistance: 1e3, capacitance: 0 } as const;
    expect(ditherResistor({ ...given, span: 3.1 })).toBe('none');
  });

  it('errors name the argument', () => {
    const given = { wave: 'square', swing: 3, period: 0, sourceResistance: 1e3, capacitance: 0 } as const;
    expect(() => ditherResistor({ ...given, span: 1 })).toThrow('ditherResistor.period');
    expect(() => ditherSpan({ ...given, period: 1, resistor: -1 })).toThrow('ditherSpan.resistor');
  });
});

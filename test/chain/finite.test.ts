import { describe, expect, it } from 'vitest';
import * as halfbit from '../../src/index.ts';

// No Infinity leaves the module, however absurd the argument: it is refused by name, or answered with a finite number.

const noise = { white: 1, flickerCorner: 0, driftPerSecond: 0, ratio: 16, rate: 1e3, observationTime: 1 };
const code = { code: 1, bits: 12, reference: 3, firstTransition: 0.5 };
const result = { ...code, ratio: 1, shift: 20, rounding: 'round' };
const supply = { referenceVoltage: 1.2, referenceCode: 1, bits: 16, firstTransition: 0.5 };

describe('absurd magnitudes', () => {
  it.each([
    ['codeBinWidth', { bits: 12, reference: 5e-324 }, 'reference'],
    ['codeBinWidth', { bits: 12, reference: 1e308 }, 'reference'],
    ['voltageFromCode', { ...code, code: 1e308 }, 'code'],
    ['voltageFromCode', { ...code, reference: 1e308 }, 'reference'],
    ['voltageFromResult', { ...result, reference: 1e308 }, 'reference'],
    ['averagedNoise', { ...noise, white: 1e308 }, 'white'],
    ['averagedNoise', { ...noise, flickerCorner: 1e308 }, 'flickerCorner'],
    ['averagedNoise', { ...noise, driftPerSecond: -1e308 }, 'driftPerSecond'],
    ['usefulRatio', (({ ratio: _, ...rest }) => ({ ...rest, flickerCorner: 1e308 }))(noise), 'flickerCorner'],
    ['supplyFromReference', { ...supply, referenceVoltage: 1e305 }, 'referenceVoltage'],
  ])('%s refuses %j by the name of %s', (name, given, argument) => {
    const call = (halfbit as unknown as Record<string, (g: object) => unknown>)[name]!;
    expect(() => call(given)).toThrow(RangeError);
    expect(() => call(given)).toThrow(`${name}.${argument}: got `);
  });

  it('at the ends of what is allowed the answer is finite', () => {
    const call = (name: string, given: object) =>
      (halfbit as unknown as Record<string, (g: object) => unknown>)[name]!(given);
    for (const reference of [1e-30, 1e30]) {
      expect(call('voltageFromCode', { ...code, code: 2 ** 53, reference })).toSatisfy(Number.isFinite);
      expect(call('voltageFromResult', { ...result, code: 2 ** 53, reference })).toSatisfy(Number.isFinite);
    }
    const extreme = {
      white: 1e30,
      flickerCorner: 1e30,
      driftPerSecond: 1e30,
      ratio: 16,
      rate: 1,
      observationTime: 1e30,
    };
    for (const part of Object.values(call('averagedNoise', extreme) as object)) {
      expect(part).toSatisfy(Number.isFinite);
    }
  });
});

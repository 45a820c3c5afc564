import { describe, expect, it } from 'vitest';
import * as halfbit from '../src/index.ts';

/** Names that scripts outside this project import: they stay. */
const names =
  `quantity codeBinWidth codeFromVoltage voltageFromCode voltageFromResult idealSnrDb effectiveBitsFromSinad oversample accumulate
  bestDither averagedNoise usefulRatio conversionTime settle burstError minSampleTime maxSourceResistance pinCapacitanceWindows
  thresholdCodes falseTripRate falseTripInterval thermistor platinum thermocouple linearSensor dieSensor divider potentiometer
  currentLoop shunt bridge table supplyFromReference combineUncertainty summarizeCodes transitionNoise allanDeviation sineFit
  spectrum`.split(/\s+/);

describe('the public names', () => {
  it.each(names)('%s is there', (name) =>
    expect(typeof (halfbit as Record<string, unknown>)[name]).toBe('function'),
  );

  it('refuse an argument they do not know, with the nearest they do', () => {
    const call = (name: string, given: object): void =>
      (halfbit as unknown as Record<string, (g: object) => void>)[name]!(given);
    expect(() => call('codeBinWidth', { bits: 12, referense: 3 })).toThrow(
      new TypeError('codeBinWidth: no argument is named "referense"; the nearest is "reference"'),
    );
  });
});

import { readFileSync } from 'node:fs';

/** Columns of a published series, by the names in its heading. */
export function columnsOf(name: string): Record<string, number[]> {
  const lines = readFileSync(new URL(`../published/${name}`, import.meta.url), 'utf8')
    .split('\n')
    .filter((line) => line !== '' && !line.startsWith('#'));
  const names = lines[0]!.split(',');
  const rows = lines.slice(1).map((line) => line.split(',').map(Number));
  return Object.fromEntries(names.map((column, i) => [column, rows.map((row) => row[i]!)]));
}

/**
 * [GUM] H.1, the calibration of an end gauge, lengths in nm. The result's model is
 * l = l_s + d̄ + d1 + d2 − l_s·(δα·(θ̄ + Δ) + α_s·δθ), with the names below; clause numbers from memory.
 */
export const endGauge = {
  model: (x: Readonly<Record<string, number>>): number =>
    x.standard! +
    x.difference! +
    x.comparatorRandom! +
    x.comparatorSystematic! -
    x.standard! *
      (x.expansionDifference! * (x.meanTemperature! + x.cycle!) + x.expansion! * x.temperatureDifference!),
  inputs: {
    standard: { estimate: 50_000_623, standardUncertainty: 25, degreesOfFreedom: 18 },
    difference: { estimate: 215, standardUncertainty: 5.8, degreesOfFreedom: 24 },
    comparatorRandom: { estimate: 0, standardUncertainty: 3.9, degreesOfFreedom: 5 },
    comparatorSystematic: { estimate: 0, standardUncertainty: 6.7, degreesOfFreedom: 8 },
    expansion: { estimate: 11.5e-6, halfWidth: 2e-6, distribution: 'rectangular' },
    meanTemperature: { estimate: -0.1, standardUncertainty: 0.2 },
    cycle: { estimate: 0, halfWidth: 0.5, distribution: 'arcsine' },
    expansionDifference: {
      estimate: 0,
      halfWidth: 1e-6,
      distribution: 'rectangular',
      degreesOfFreedom: 50,
    },
    temperatureDifference: {
      estimate: 0,
      halfWidth: 0.05,
      distribution: 'rectangular',
      degreesOfFreedom: 2,
    },
  } as const,
};

/** [JCGM101] 9.3, the calibration of a mass, as the deviation from 100 g in mg (values from memory). */
export const massCalibration = {
  model: (x: Readonly<Record<string, number>>): number =>
    (x.reference! + x.difference!) * (1 + (x.air! - 1.2) * (1 / x.weight! - 1 / x.referenceDensity!)) -
    100_000,
  inputs: {
    reference: { estimate: 100_000, standardUncertainty: 0.05 },
    difference: { estimate: 1.234, standardUncertainty: 0.02 },
    air: { estimate: 1.2, halfWidth: 0.1, distribution: 'rectangular' },
    weight: { estimate: 8000, halfWidth: 1000, distribution: 'rectangular' },
    referenceDensity: { estimate: 8000, halfWidth: 50, distribution: 'rectangular' },
  } as const,
};

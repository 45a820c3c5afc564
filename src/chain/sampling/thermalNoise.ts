/**
 * Thermal noise of sampling: what the resistances leave on the sampling capacitor when the switch opens.
 *
 * In come the capacitor and the temperature, and for a burst the network and its times; out go rms voltages and how alike
 * the noise of neighbouring conversions is.
 */
import { between, named, or } from '../../numbers/guard.ts';
import {
  farads,
  fixedParts,
  pinCapacitance,
  ratio,
  requirePeriod,
  seconds,
  sourceResistance,
  step,
} from './arguments.ts';
import { cycle, modes, type StartsAt } from './network.ts';
import { eigen, type Factor, meanSum } from './powers.ts';

/** Boltzmann constant, J/K, exact by definition. [CODATA2018] */
const boltzmann = 1.380649e-23;

const temperature = or(between(1e-3, 1e4, 'K'), 298.15);
const noiseShape = { sampleCapacitance: farads, temperature };

/**
 * Thermal noise of one sampled voltage: that of source and switch together, whatever their resistance.
 *
 *     √(k·T/C_s)
 *
 * @param sampleCapacitance - C_s, F, 1e-24 … 1e6
 * @param temperature - T, K, 0.001 … 1e4; 298.15 if absent
 * @returns V rms
 * @throws RangeError if an argument is out of range
 * @see [CODATA2018] Boltzmann constant
 *
 * @example
 * thermalNoise({ sampleCapacitance: 10e-12 }) // => 2.02889e-5
 */
export function thermalNoise(given: { sampleCapacitance: number; temperature?: number | undefined }): number {
  const a = named('thermalNoise', noiseShape, given);
  return Math.sqrt((boltzmann * a.temperature) / a.sampleCapacitance);
}

/** Thermal noise of one conversion and of the mean of a burst. */
export interface BurstNoise {
  /** Of one conversion, V rms. */
  conversion: number;
  /** Of the mean of the burst, V rms. */
  mean: number;
  /** Correlation of a conversion with the next, 0 … 1. */
  correlation: number;
  /** Independent conversions that would average to the same. */
  effectiveRatio: number;
}

const burstShape = {
  sourceResistance,
  pinCapacitance,
  ...fixedParts,
  sampleTime: seconds,
  startsAt: step.startsAt,
  period: seconds,
  ratio,
  temperature,
};

/**
 * Thermal noise of the mean of a burst.
 *
 *     C_s keeps its charge:  correlation of conversions m apart [M^m]_yy, the same weight with which a deviation is left
 *     variance of the mean:  k·T/C_s·[1 + 2·Σ_{m=1}^{R−1} (1 − m/R)·correlation_m]/R
 *
 * Both capacitors are in thermal equilibrium at all times: k·T/C_s and k·T/C_p, independent of each other at any instant. So
 * where C_s comes with the voltage of another channel, its noise comes from there, and conversions are independent.
 *
 * @param sourceResistance - R_s, Ω, 0 … 1e30
 * @param pinCapacitance - C_p, pin plus external, F, 0 … 1e6
 * @param switchResistance - R_sw, Ω, 0 … 1e30
 * @param sampleCapacitance - C_s, F, 1e-24 … 1e6
 * @param sampleTime - time that the switch is closed, s, 1e-30 … 1e40
 * @param startsAt - 'previous' or 'own', as in `settle`
 * @param period - start to start, s, at least sampleTime
 * @param ratio - conversions averaged, R, 1 … 65536
 * @param temperature - T, K, 0.001 … 1e4; 298.15 if absent
 * @returns noise of one conversion and of the mean, V rms; correlation of neighbours; equivalent number of independent ones
 * @throws RangeError if an argument is out of range or `period` is shorter than `sampleTime`
 * @see the derivation at the head of network.ts
 *
 * @example
 * burstThermalNoise({ sourceResistance: 1e6, pinCapacitance: 0, switchResistance: 1e3, sampleCapacitance: 1e-11, sampleTime: 5e-6, startsAt: 'own', period: 6e-6, ratio: 16 }).effectiveRatio // => 4.448944
 */
export function burstThermalNoise(given: {
  sourceResistance: number;
  pinCapacitance: number;
  switchResistance: number;
  sampleCapacitance: number;
  sampleTime: number;
  startsAt?: StartsAt | undefined;
  period: number;
  ratio: number;
  temperature?: number | undefined;
}): BurstNoise {
  const a = named('burstThermalNoise', burstShape, given);
  requirePeriod('burstThermalNoise', a.period, a.sampleTime);
  const conversion = thermalNoise({ sampleCapacitance: a.sampleCapacitance, temperature: a.temperature });
  if (a.startsAt === 'previous') {
    return { conversion, mean: conversion / Math.sqrt(a.ratio), correlation: 0, effectiveRatio: a.ratio };
  }
  const m = modes(a.sourceResistance, a.pinCapacitance, a.switchResistance, a.sampleCapacitance);
  const c = cycle(m, a.sampleTime, a.period - a.sampleTime);
  const { high, low, highShare, lowShare } = eigen(c);
  // Σ_{m=1}^{R−1} (R − m)·λ^m = λ·Σ_{j=0}^{R−1} (1 + λ + … + λ^(j−1))
  const pairs = (f: Factor): number => Math.exp(f.log) * meanSum(f, 0, a.ratio);
  const inflation = 1 + 2 * (highShare * pairs(high) + lowShare * pairs(low));
  return {
    conversion,
    mean: conversion * Math.sqrt(inflation / a.ratio),
    correlation: c.sampleToSample,
    effectiveRatio: a.ratio / inflation,
  };
}

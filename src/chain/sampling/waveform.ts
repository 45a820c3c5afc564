/**
 * Waveform: the pin and the sampling capacitor through one conversion.
 *
 * In come the network, the step in it and the instants; out go the two voltages less the source's. The switch closes at time 0
 * and opens at the end of the sample time; after that the pin recovers and the capacitor holds.
 */
import { maybe, named, numbers } from '../../numbers/guard.ts';
import { fixedParts, pinCapacitance, requirePeriod, seconds, sourceResistance, step } from './arguments.ts';
import { cycle, modes } from './network.ts';
import type { SettleNetwork } from './settle.ts';

/** Deviations from the source, V, at the instants asked for. */
export interface Waveform {
  /** At the pin. */
  pin: Float64Array;
  /** On the sampling capacitor. */
  sample: Float64Array;
}

const shape = {
  sourceResistance,
  pinCapacitance,
  ...fixedParts,
  sampleTime: seconds,
  ...step,
  period: maybe(seconds),
  times: numbers(1),
};

/**
 * What an instrument without a capacitance of its own would show of one conversion.
 *
 * Without `period` it is the first conversion: pin on the source, C_s at previousVoltage. With `period` it is one of many: the
 * pin starts with what it still owes from the last, and where C_s keeps its charge nothing moves any more.
 *
 * @param sourceResistance - R_s, Ω, 0 … 1e30
 * @param pinCapacitance - C_p, pin plus external, F, 0 … 1e6
 * @param switchResistance - R_sw, Ω, 0 … 1e30
 * @param sampleCapacitance - C_s, F, 1e-24 … 1e6
 * @param sampleTime - time that the switch is closed, s, 1e-30 … 1e40
 * @param previousVoltage - what C_s starts from, V; 0 if absent
 * @param sourceVoltage - V_s, V
 * @param startsAt - 'previous' or 'own', as in `settle`
 * @param period - start to start, s, at least sampleTime
 * @param times - instants after the switch closed, s, from 0; not modified
 * @returns two arrays as long as `times`, V
 * @throws RangeError if an argument is out of range or `period` is shorter than `sampleTime`
 * @see the derivation at the head of network.ts
 *
 * @example
 * conversionWaveform({ sourceResistance: 9e3, pinCapacitance: 0, switchResistance: 1e3, sampleCapacitance: 1e-11, sampleTime: 1e-6, sourceVoltage: 3, times: [1e-6, 2e-6] }).sample // => new Float64Array([-3 * Math.exp(-10), -3 * Math.exp(-10)])
 */
export function conversionWaveform(
  given: SettleNetwork & { period?: number | undefined; times: ArrayLike<number> },
): Waveform {
  const a = named('conversionWaveform', shape, given);
  if (a.period !== undefined) requirePeriod('conversionWaveform', a.period, a.sampleTime);
  const m = modes(a.sourceResistance, a.pinCapacitance, a.switchResistance, a.sampleCapacitance);
  const settled = a.period !== undefined && a.startsAt === 'own';
  const start = settled ? 0 : a.previousVoltage - a.sourceVoltage;
  let owed = 0;
  if (a.period !== undefined && !settled) {
    const whole = cycle(m, a.sampleTime, a.period - a.sampleTime);
    owed = (start * whole.sampleToPin) / whole.pinLoss;
  }
  const pin = new Float64Array(a.times.length);
  const sample = new Float64Array(a.times.length);
  for (let i = 0; i < a.times.length; i++) {
    const time = Math.max(0, a.times[i]!);
    const closed = Math.min(time, a.sampleTime);
    const c = cycle(m, closed, time - closed);
    // Adding 0 turns −0 into 0.
    pin[i] = c.pinToPin * owed + c.sampleToPin * start + 0;
    sample[i] = c.sampleToSample * start + c.pinToSample * owed + 0;
  }
  return { pin, sample };
}

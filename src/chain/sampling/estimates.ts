/**
 * Estimates: the short formulas that are shown beside the exact settling error.
 *
 * In come one or two parts of the network; out goes a voltage, a resistance or a number of time constants. None of them
 * replaces `settle`: each leaves something out, which its comment names.
 */
import { between, named, or, whole } from '../../numbers/guard.ts';
import { farads, pinCapacitance, sourceResistance } from './arguments.ts';

const rate = between(1e-12, 1e15, 'Hz');
const voltageStep = between(-1e12, 1e12, 'V');

const kickShape = { voltageStep, sampleCapacitance: farads, pinCapacitance };

/**
 * Kick: how far the pin jumps when the switch closes, both capacitors sharing their charge before the source can act.
 *
 *     ΔV·C_s/(C_s + C_p)
 *
 * @param voltageStep - ΔV, what C_s starts from less the pin's voltage, V
 * @param sampleCapacitance - C_s, F, 1e-24 … 1e6
 * @param pinCapacitance - C_p, F, 0 … 1e6
 * @returns V, with the sign of ΔV
 * @throws RangeError if an argument is out of range
 *
 * @example
 * kick({ voltageStep: -4096, sampleCapacitance: 10e-12, pinCapacitance: 10e-9 }) // => -4.0919081
 */
export function kick(given: {
  voltageStep: number;
  sampleCapacitance: number;
  pinCapacitance: number;
}): number {
  const a = named('kick', kickShape, given);
  return (a.voltageStep * a.sampleCapacitance) / (a.sampleCapacitance + a.pinCapacitance);
}

const droopShape = { voltageStep, sourceResistance, sampleCapacitance: farads, rate };

/**
 * Mean droop of the pin, where every conversion takes a charge through R_s; the sampled error is larger.
 *
 *     ΔV·R_s·C_s·f/(1 + R_s·C_s·f)
 *
 * @param voltageStep - ΔV, what C_s starts from less the source's voltage, V
 * @param sourceResistance - R_s, Ω, 0 … 1e30
 * @param sampleCapacitance - C_s, F, 1e-24 … 1e6
 * @param rate - conversions per second, f, Hz, 1e-12 … 1e15
 * @returns V, with the sign of ΔV
 * @throws RangeError if an argument is out of range
 *
 * @example
 * meanDroop({ voltageStep: -1.5, sourceResistance: 150e3, sampleCapacitance: 6e-12, rate: 40e3 }) // => -0.052123552
 */
export function meanDroop(given: {
  voltageStep: number;
  sourceResistance: number;
  sampleCapacitance: number;
  rate: number;
}): number {
  const a = named('meanDroop', droopShape, given);
  const charged = a.sourceResistance * a.sampleCapacitance * a.rate;
  return a.voltageStep * (charged / (1 + charged));
}

const leakageShape = { leakageCurrent: between(-1e6, 1e6, 'A'), sourceResistance };

/**
 * Voltage that the pin's leakage current drops across the source.
 *
 *     I·R_s
 *
 * @param leakageCurrent - I, A, positive into the pin's node
 * @param sourceResistance - R_s, Ω, 0 … 1e30
 * @returns V, positive above the source
 * @throws RangeError if an argument is out of range
 *
 * @example
 * leakageError({ leakageCurrent: 50e-9, sourceResistance: 100e3 }) // => 0.005
 */
export function leakageError(given: { leakageCurrent: number; sourceResistance: number }): number {
  const a = named('leakageError', leakageShape, given);
  return a.leakageCurrent * a.sourceResistance;
}

const impedanceShape = { rate, sampleCapacitance: farads };

/**
 * Equivalent input impedance: the resistor that takes the same mean current as C_s discharged before every conversion.
 *
 *     1/(f·C_s)
 *
 * @param rate - conversions per second, f, Hz, 1e-12 … 1e15
 * @param sampleCapacitance - C_s, F, 1e-24 … 1e6
 * @returns Ω
 * @throws RangeError if an argument is out of range
 *
 * @example
 * equivalentInputImpedance({ rate: 40e3, sampleCapacitance: 6e-12 }) // => 4166666.67
 */
export function equivalentInputImpedance(given: { rate: number; sampleCapacitance: number }): number {
  const a = named('equivalentInputImpedance', impedanceShape, given);
  return 1 / (a.rate * a.sampleCapacitance);
}

const constantsShape = { bits: whole(1, 32), allowedErrorLsb: or(between(1e-9, 1e12, 'LSB'), 0.25) };

/**
 * Time constants that a full-scale step takes to the allowed error, by the rule for a single one.
 *
 *     ln(2^N/e)
 *
 * It leaves out what the pin capacitance gives, takes, or still owes from the conversions before.
 *
 * @param bits - N, the resolution that counts, 1 … 32
 * @param allowedErrorLsb - e, LSB, 1e-9 … 1e12; 0.25 if absent
 * @returns number of time constants; 0 where the step is not larger than the error
 * @throws RangeError if an argument is out of range
 * @see [SETTLING-TABLE] settling table
 *
 * @example
 * settlingTimeConstants({ bits: 12, allowedErrorLsb: 0.5 }) // => 9.010913
 */
export function settlingTimeConstants(given: { bits: number; allowedErrorLsb?: number | undefined }): number {
  const a = named('settlingTimeConstants', constantsShape, given);
  return Math.max(0, a.bits * Math.LN2 - Math.log(a.allowedErrorLsb));
}

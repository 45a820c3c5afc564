/**
 * The arguments that the questions about settling share, and what they allow together.
 *
 * The ranges are far wider than any circuit; they keep products of two time constants within the numbers' range.
 */
import { between, choice, maybe, or, type Rule, refusal, whole } from '../../numbers/guard.ts';
import type { Which } from './gain.ts';
import type { StartsAt } from './network.ts';

/** Ω, above which a resistance counts as without limit. */
export const largestResistance = 1e30;
/** F, above which a capacitance counts as without limit. */
export const largestCapacitance = 1e6;
/** s, the shortest time that counts. */
export const shortestTime = 1e-30;

const ohms = between(0, largestResistance, 'Ω');
export const farads: Rule<number> = between(1e-24, largestCapacitance, 'F');
const volts = between(-1e12, 1e12, 'V');
export const seconds: Rule<number> = between(shortestTime, 1e40, 's');

/** The four parts. */
export const sourceResistance: Rule<number> = ohms;
export const pinCapacitance: Rule<number> = between(0, largestCapacitance, 'F');
export const fixedParts = { switchResistance: ohms, sampleCapacitance: farads };

/** The step that C_s has to make, and what it starts from. */
export const step = {
  previousVoltage: or(volts, 0),
  sourceVoltage: volts,
  startsAt: or(choice<StartsAt>(['previous', 'own']), 'previous'),
};

/** Number of conversions in a burst; of conversions left out ahead of it. */
export const ratio: Rule<number> = whole(1, 65536);
export const discard: Rule<number> = or(whole(0, 65536), 0);

/** How small the error must be, and for which conversions. */
export const demand = {
  previousVoltage: step.previousVoltage,
  sourceVoltage: maybe(volts),
  startsAt: step.startsAt,
  allowedErrorLsb: or(between(1e-9, 1e12, 'LSB'), 0.25),
  bits: whole(1, 32),
  reference: between(1e-9, 1e9, 'V'),
  period: maybe(seconds),
  ratio: maybe(ratio),
  discard,
};

interface AllowedError {
  allowedErrorLsb: number;
  bits: number;
  reference: number;
}

/** The allowed error, V. */
export const allowedVoltage = ({ allowedErrorLsb, bits, reference }: AllowedError): number =>
  (allowedErrorLsb * reference) / 2 ** bits;

/** The part of the step that may be missing: above 0; infinite where there is no step. */
export function allowedPart(
  given: AllowedError & { previousVoltage: number; sourceVoltage?: number | undefined },
): number {
  const { previousVoltage, sourceVoltage = given.reference } = given;
  return allowedVoltage(given) / Math.abs(previousVoltage - sourceVoltage);
}

/** The conversions that a demand is about. */
export function whichOf(
  caller: string,
  given: { period?: number | undefined; ratio?: number | undefined; discard: number },
): Which {
  if (given.ratio === undefined) {
    if (given.discard > 0)
      throw new RangeError(refusal(`${caller}.discard`, given.discard, '0 without ratio'));
    return given.period === undefined ? 'first' : 'steady';
  }
  if (given.period === undefined) {
    throw new RangeError(refusal(`${caller}.ratio`, given.ratio, 'only with a period'));
  }
  return { discard: given.discard, ratio: given.ratio };
}

/** Refuses a period shorter than the sample time in it. */
export function requirePeriod(caller: string, period: number, sampleTime: number): void {
  if (period < sampleTime) {
    throw new RangeError(refusal(`${caller}.period`, period, `from sampleTime, ${sampleTime} s`));
  }
}

/**
 * The supply of a worksheet, found from the code of the internal reference: how well, and how many conversions of it suffice.
 */
import { oversample } from '../chain/averaging/oversample.ts';
import { supplyFromReference } from '../chain/reading/supplyFromReference.ts';
import { temperatureSpan } from './conditionsOf.ts';
import type { Evaluation } from './evaluation.ts';
import type { Worksheet } from './read.ts';

/** The supply found from the code of the internal reference. */
export interface SupplyThroughReference {
  /** V */
  readonly supply: number;
  /** Voltage of the internal reference, V. */
  readonly internal: number;
  /** Its code at that supply. */
  readonly code: number;
  /** Change of the supply for one code, V. */
  readonly perCode: number;
  /** Standard uncertainties of the supply, V: by the reference's tolerance and temperature, by offset and INL, by one conversion's noise. */
  readonly byReference: number;
  readonly byConverter: number;
  readonly byNoise: number;
  /** Number of reference conversions, a power of two, that lets noise add less than a hundredth; 'none' where no number does. */
  readonly suffices: number | 'none';
  /** With so many (or the most that were tried), V. */
  readonly combined: number;
  /** For numbers of conversions: what noise brings, and all of it, V. */
  readonly steps: readonly {
    readonly conversions: number;
    readonly byNoise: number;
    readonly combined: number;
  }[];
}

/** The supply that the board runs from, V. */
export function supplyOf({ inputs, profile }: Worksheet): number {
  const { source, voltage } = inputs.converter.reference;
  if (source === 'supply' && voltage) return voltage.value;
  return inputs.power?.supply?.value ?? voltage?.value ?? profile.referenceRange.highest.value;
}

/** The internal reference: its voltage, V, and the relative half-widths of its tolerance and of what temperature does to it. */
export function internalOf(worksheet: Worksheet) {
  const { internalReference } = worksheet.profile;
  const { source, voltage } = worksheet.inputs.converter.reference;
  // Where the worksheet measured it, that counts.
  const own = source === 'internal' ? voltage : undefined;
  return {
    volts: (own ?? internalReference.voltage).value,
    tolerance: own?.spread === undefined ? internalReference.tolerance.value : own.spread / own.value,
    drift: internalReference.tempco.value * temperatureSpan(worksheet),
  };
}

/** What the supply's uncertainty is made of but noise, V, and its limit, relative; code 0 where the converter cannot read the reference. */
export function supplyParts({ worksheet, quantizing }: Evaluation, supply: number) {
  const { offset, inl, resolutions } = worksheet.profile;
  const { bits, firstTransition } = quantizing;
  const { volts: internal, tolerance, drift } = internalOf(worksheet);
  const code = (internal / supply) * 2 ** bits + 0.5 - firstTransition;
  if (!(code >= 1 && code <= 2 ** bits - 1)) {
    return { internal, code: 0, perCode: 0, byReference: 0, byConverter: 0, limit: 0 };
  }
  const coarser = 2 ** (resolutions[0]!.bits - bits);
  const third = Math.sqrt(3);
  const found = (referenceUncertainty: number, codeUncertainty: number) =>
    supplyFromReference({
      referenceVoltage: internal,
      referenceCode: code,
      bits,
      firstTransition,
      referenceUncertainty,
      codeUncertainty,
    });
  const { perCode } = found(0, 0);
  return {
    internal,
    code,
    perCode,
    byReference: found((internal * Math.hypot(tolerance, drift)) / third, 0).uncertainty!,
    byConverter: found(0, Math.hypot(offset.value, inl.value) / coarser / third).uncertainty!,
    limit: tolerance + drift + ((offset.value + inl.value) / coarser) * (perCode / supply),
  };
}

/** Most conversions of the reference that are tried, as a power of two. */
const mostPower = 12;

/** What noise may add to the rest, relative. */
const little = 0.01;

/** The supply of a worksheet through its internal reference. */
export function supplyThroughReference(e: Evaluation): SupplyThroughReference {
  const supply = supplyOf(e.worksheet);
  const { limit: _, ...parts } = supplyParts(e, supply);
  const { bits, noiseLsb } = e.quantizing;
  const rest = Math.hypot(parts.byReference, parts.byConverter);
  const steps = Array.from({ length: mostPower + 1 }, (_, i) => {
    const conversions = 2 ** i;
    const { rmsErrorLsb } = oversample({ bits, noiseLsb, ratio: conversions, shift: 0 });
    const byNoise = rmsErrorLsb * parts.perCode;
    return { conversions, byNoise, combined: Math.hypot(rest, byNoise) };
  });
  const enough = steps.find((s) => s.combined <= (1 + little) * rest);
  return {
    supply,
    ...parts,
    byNoise: steps[0]!.byNoise,
    suffices: enough?.conversions ?? 'none',
    combined: (enough ?? steps.at(-1)!).combined,
    steps,
  };
}

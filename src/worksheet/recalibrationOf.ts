/**
 * Recalibration of a worksheet: by how much temperature or supply may move before the converter has to calibrate itself again.
 */
import type { Evaluation } from './evaluation.ts';
import { coreCurrent } from './phasesOf.ts';

/** One cause of drift. */
export interface DriftPart {
  readonly name: string;
  /** Measurand for 1 K or 1 V, at the place of the range where all parts together are most. */
  readonly perUnit: number;
  /** Whether a self-calibration takes it out. */
  readonly cured: boolean;
}

/** Drift with one thing that moves. */
export interface DriftLimit {
  readonly parts: readonly DriftPart[];
  /** Change after which all of them together reach what is allowed, K or V; 'any' where nothing drifts. */
  readonly change: number | 'any';
  /** In the measurand's unit: where the parts are most. */
  readonly at: number;
}

/** When to calibrate again, and what that takes. */
export interface Recalibration {
  /** Drift that is allowed, in the measurand's unit of differences, and what says so. */
  readonly allowed: number;
  readonly by: 'resolution' | 'step';
  readonly temperature: DriftLimit;
  readonly supply: DriftLimit;
  /** Whether the profile gives the converter's drift. */
  readonly known: boolean;
  /** Of one self-calibration: time in s, charge in C, and how many readings take as much; absent where the profile gives no time. */
  readonly cost?: { readonly time: number; readonly charge: number; readonly readings: number };
}

/** Places of the range that are looked at. */
const places = 9;

function limitOf(e: Evaluation, allowed: number, partsAt: (measurand: number) => DriftPart[]): DriftLimit {
  const { low, high } = e.channel.range;
  const sum = (parts: readonly DriftPart[]): number => parts.reduce((s, p) => s + p.perUnit, 0);
  const all = Array.from({ length: places }, (_, i) => {
    const at = i === places - 1 ? high : low + ((high - low) * i) / (places - 1);
    const parts = partsAt(at).filter((p) => p.perUnit > 0);
    return { at, parts, sum: sum(parts) };
  });
  const worst = all.reduce((a, b) => (b.sum > a.sum ? b : a));
  return { at: worst.at, parts: worst.parts, change: worst.sum > 0 ? allowed / worst.sum : 'any' };
}

/** When a worksheet's converter should calibrate itself again, for readings of a charge in C. */
export function recalibrationOf(e: Evaluation, readingCharge: number): Recalibration {
  const { worksheet, channel, quantizing } = e;
  const { inputs, profile } = worksheet;
  const { drift } = profile;
  const { reference } = inputs.converter;
  const finer = 2 ** (profile.resolutions[0]!.bits - quantizing.bits);
  const absolute = inputs.conditioning.wiring === 'absolute';
  const internal = absolute && reference.source === 'internal';
  const own = absolute && reference.source === 'supply';
  const code = (m: number): number => Math.abs(channel.codeOf(m)) * channel.perCode(m);
  const wanted = inputs.requirement.resolution?.value;
  const allowed = wanted ?? e.reading.step;
  const calibration = profile.times.calibration?.value;
  const charge = (calibration ?? 0) * (profile.currents.converter.value + coreCurrent(worksheet));
  return {
    allowed,
    by: wanted === undefined ? 'step' : 'resolution',
    known: drift !== undefined,
    temperature: limitOf(e, allowed, (m) => [
      {
        name: 'offset',
        perUnit: ((drift?.offsetPerKelvin.value ?? 0) / finer) * channel.perCode(m),
        cured: true,
      },
      { name: 'gain', perUnit: (drift?.gainPerKelvin.value ?? 0) * code(m), cured: true },
      {
        name: 'internal reference',
        perUnit: internal ? profile.internalReference.tempco.value * code(m) : 0,
        cured: false,
      },
    ]),
    supply: limitOf(e, allowed, (m) => [
      {
        name: 'offset',
        perUnit: ((drift?.offsetPerVolt.value ?? 0) / finer) * channel.perCode(m),
        cured: true,
      },
      { name: 'gain', perUnit: (drift?.gainPerVolt.value ?? 0) * code(m), cured: true },
      {
        name: 'reference, which is the supply',
        perUnit: own ? code(m) / quantizing.reference : 0,
        cured: false,
      },
    ]),
    ...(calibration !== undefined && {
      cost: { time: calibration, charge, readings: readingCharge > 0 ? charge / readingCharge : 0 },
    }),
  };
}

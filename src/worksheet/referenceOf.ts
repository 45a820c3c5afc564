/**
 * The reference of a worksheet: how far each way to have one moves the reading, the supply found through the internal reference,
 * ripple, and the battery's voltage under load.
 *
 * In comes what was evaluated; the other ways are the same worksheet with another reference, evaluated alike.
 */

import { type BatterySag, batterySagOf } from './batterySagOf.ts';
import { evaluate } from './evaluate.ts';
import type { Evaluation, UncertaintyPoint } from './evaluation.ts';
import type { Worksheet } from './read.ts';
import { type ReferenceRipple, rippleOf } from './rippleOf.ts';
import type { Quantity } from './schema/field.ts';
import {
  internalOf,
  type SupplyThroughReference,
  supplyOf,
  supplyParts,
  supplyThroughReference,
} from './supplyThrough.ts';
import { between, budgetAt, surveyed } from './uncertaintyOf.ts';

/** A way to have a reference. */
export type WayName = 'ratiometric' | 'external' | 'internal' | 'corrected supply' | 'supply';

/** What a way does to the reading. */
export interface ReferenceWay {
  readonly is: WayName;
  /** As the worksheet has it. */
  readonly present: boolean;
  /** Full scale, V. */
  readonly reference: number;
  /** Relative half-width of what is not known of the reference; 0 where it cancels. */
  readonly halfWidth: number;
  /** Where the pin goes beyond full scale over the range: the voltage, V. */
  readonly beyond?: number;
  /** The budget without calibration where it is largest; absent where the pin goes beyond. */
  readonly worst?: UncertaintyPoint;
  /** The same budget where the present way is worst, so that ways can be compared line by line. */
  readonly there?: UncertaintyPoint;
  /** Of that what the reference brings, limit in the unit of differences. */
  readonly adds: number;
}

/** What is to be known of a worksheet's reference. */
export interface WorksheetReference {
  readonly ways: readonly ReferenceWay[];
  /** Change of the reading for a relative change of the reference, over the range, in the unit of differences for 1; where the wiring is absolute. */
  readonly leverage: readonly { readonly measurand: number; readonly perUnit: number }[];
  readonly supply: SupplyThroughReference;
  readonly ripple: ReferenceRipple;
  readonly sag?: BatterySag;
}

/** A figure that follows from others. */
const figure = (value: number, unit: string, spread?: number): Quantity => ({
  value,
  unit,
  from: 'calculated',
  text: '',
  ...(spread !== undefined && { spread }),
});

/** How far below what it is taken for the supply may fall, V: its spread, or down to the battery at rest, or to the least that serves. */
function supplyFall({ inputs, profile }: Worksheet, supply: number): number {
  const { source, voltage } = inputs.converter.reference;
  if (source === 'supply' && voltage?.spread) return voltage.spread;
  const least = profile.referenceRange.lowest.value;
  return Math.max(0, supply - Math.min(supply, inputs.power?.battery?.openVoltage?.value ?? least));
}

/** Whether an excitation feeds the sensor, in a divider or by itself. */
export const isExcited = ({ inputs: { conditioning, sensor } }: Worksheet): boolean =>
  conditioning.divider !== undefined || sensor.kind === 'potentiometer' || sensor.kind === 'bridge';

/** The worksheet with another reference, and wiring to suit. */
function rewired(
  worksheet: Worksheet,
  wiring: 'ratiometric' | 'absolute',
  reference: { readonly source: 'supply' | 'external' | 'internal'; readonly voltage?: Quantity },
  cancelsGain = false,
): Worksheet {
  const { inputs, profile } = worksheet;
  // Boards are compared as built.
  const { calibration: __, ...asBuilt } = inputs;
  const { excitation: fed, ...conditioning } = inputs.conditioning;
  // What an absolute excitation feeds needs to know its voltage; here that is taken as exact.
  const voltage = isExcited(worksheet) ? (fed?.voltage ?? figure(supplyOf(worksheet), 'V', 0)) : undefined;
  const { voltage: _, ...switching } = fed ?? { switched: false };
  const excitation =
    wiring === 'absolute' && voltage ? { ...switching, voltage } : fed ? switching : undefined;
  return {
    ...worksheet,
    inputs: {
      ...asBuilt,
      conditioning: { ...conditioning, wiring, ...(excitation && { excitation }) },
      converter: { ...inputs.converter, reference },
    },
    profile: cancelsGain ? { ...profile, gain: { ...profile.gain, value: 0 } } : profile,
  };
}

/** Whether a line of a budget comes from the reference. */
export const isReference = (path: string): boolean =>
  /^converter\.(reference|internalReference)\./.test(path);

/** A way on its way. */
interface Wired {
  readonly is: WayName;
  readonly present: boolean;
  readonly halfWidth: number;
  /** Half-width that the worksheet of this way states in its place, where it has one line for several. */
  readonly stated?: number;
}

/** A way, from what its worksheet comes to; `at` is where the present one is worst. */
function wayOf({ stated, ...way }: Wired, e: Evaluation, at: number): ReferenceWay {
  const { channel, quantizing, uncertainty } = e;
  const { reference } = quantizing;
  const most = Math.max(channel.fraction(channel.range.low), channel.fraction(channel.range.high));
  if (most > 1) return { ...way, reference, beyond: most * reference, adds: 0 };
  const worst = uncertainty.before;
  const limits = worst.lines.filter((l) => isReference(l.path)).reduce((sum, l) => sum + l.limit, 0);
  const adds = stated ? (limits * way.halfWidth) / stated : limits;
  return { ...way, reference, worst, there: budgetAt(surveyed(e), at), adds };
}

/** The ways to have a reference, the present one among them. */
function waysOf(e: Evaluation): ReferenceWay[] {
  const { worksheet } = e;
  const { inputs } = worksheet;
  const { source, voltage } = inputs.converter.reference;
  const ratio = inputs.conditioning.wiring === 'ratiometric';
  const supply = supplyOf(worksheet);
  const presentIs: WayName = ratio ? 'ratiometric' : source;
  const ways: ReferenceWay[] = [];
  const at = e.uncertainty.before.measurand;
  const way = (is: WayName, halfWidth: number, other: () => Worksheet, stated?: number): void => {
    const present = is === presentIs;
    const wired = { is, present, halfWidth, ...(stated !== undefined && { stated }) };
    ways.push(wayOf(wired, present ? e : evaluate({ worksheet: other() }), at));
  };
  if (isExcited(worksheet) || ratio) {
    way('ratiometric', 0, () =>
      rewired(worksheet, 'ratiometric', { source: 'supply', voltage: figure(supply, 'V') }),
    );
  }
  if (presentIs === 'external') {
    way('external', (voltage?.spread ?? 0) / (voltage?.value ?? 1), () => worksheet);
  }
  const { tolerance, drift } = internalOf(worksheet);
  way('internal', tolerance + drift, () => rewired(worksheet, 'absolute', { source: 'internal' }));
  const { byReference, byConverter, code, limit } = supplyParts(e, supply);
  if (code > 0) {
    // One rectangular spread of the same standard uncertainty stands for all parts.
    const stated = (Math.sqrt(3) * Math.hypot(byReference, byConverter)) / supply;
    const known = figure(supply, 'V', stated * supply);
    way(
      'corrected supply',
      limit,
      () => rewired(worksheet, 'absolute', { source: 'external', voltage: known }, true),
      stated,
    );
  }
  const fall = supplyFall(worksheet, supply);
  way('supply', fall / supply, () =>
    rewired(worksheet, 'absolute', { source: 'supply', voltage: figure(supply, 'V', fall) }),
  );
  return ways;
}

/** Places of the curve. */
const places = 21;

/** The reference of a worksheet. */
export function referenceOf(e: Evaluation): WorksheetReference {
  const { channel, quantizing } = e;
  const { low, high } = channel.range;
  const sag = batterySagOf(e);
  return {
    ways: waysOf(e),
    leverage: between(low, high, places).map((measurand) => ({
      measurand,
      perUnit: Math.abs(channel.fraction(measurand)) * 2 ** quantizing.bits * channel.perCode(measurand),
    })),
    supply: supplyThroughReference(e),
    ripple: rippleOf(e),
    ...(sag && { sag }),
  };
}

/**
 * Window: the two thresholds that keep a guarantee, at one setting of the converter.
 *
 * Each limit becomes the first compared value above a cut: values from it up lie above, values under it below. In come limits in volts,
 * the transitions within their tolerance and the comparator; out go codes and the voltages where the cuts stand.
 */
import { refusal } from '../../numbers/guard.ts';
import type { Rounding } from '../averaging/result.ts';
import { type Comparator, type Compare, comparatorOf } from './comparator.ts';
import { type Tolerance, type Transitions, transitionsOf } from './transitions.ts';

/** What must be guaranteed over input voltage and tolerance, without noise: that it trips beyond a limit, or that it does not within. */
export type TripIntent = 'must-trip' | 'must-not-trip';

/** One threshold: what to write, and where it then trips. The quiet side is the inside of the window. */
export interface ThresholdCode {
  /** What the register holds: the threshold on the scale of the compared value, shifted to the register's upper end. */
  readonly code: number;
  /** The same, hexadecimal, to the register's full width: '0x0A30'. */
  readonly hex: string;
  /** Coming from the quiet side, where the first converter within the tolerance trips, without noise, V. */
  readonly startsAt: number;
  /** From here on every converter within the tolerance trips, without noise, V. */
  readonly surelyAt: number;
  /** Where a converter without error trips, without noise, V. */
  readonly typicalAt: number;
  /** Where noise of half an LSB or more makes a converter without error trip half of the time, V; only if there is noise. */
  readonly noisyAt?: number;
}

/** High and low of one setting. */
export interface WindowCodes {
  /** The threshold above which it trips; only if there is an upper limit. */
  readonly high?: ThresholdCode;
  /** The threshold below which it trips; only if there is a lower limit. */
  readonly low?: ThresholdCode;
}

/** A limit in volts at the pin, and what a message calls it. */
export interface Limit {
  readonly volts: number;
  readonly place: string;
}

/** One setting of the converter and its comparator. */
export interface Setting {
  readonly bits: number;
  readonly reference: number;
  readonly firstTransition: 0.5 | 1;
  readonly ratio: number;
  readonly shift: number;
  readonly rounding: Rounding;
  readonly compare: Compare;
  /** What messages call `compare`. */
  readonly comparePlace: string;
  readonly intent: TripIntent;
  readonly tolerance: Required<Tolerance>;
  /** One LSB of the tolerance in LSB of this setting. */
  readonly lsbOfTolerance: number;
  readonly noiseLsb: number;
}

/** Volts in a message. */
const shownVolts = (volts: number): string => `${Number(volts.toPrecision(7))} V`;

/**
 * The codes of one setting.
 *
 * @throws RangeError for a limit that would never or always trip, and for a comparator that the value does not fit
 */
export function windowCodes(
  setting: Setting,
  above: Limit | undefined,
  below: Limit | undefined,
): WindowCodes {
  const transitions = transitionsOf(setting, setting.tolerance, setting.lsbOfTolerance);
  const comparator = comparatorOf(setting.comparePlace, setting.compare, setting);
  const upper = above && cutAbove(above, setting.intent, transitions, comparator);
  const lower = below && cutBelow(below, setting.intent, transitions, comparator);
  if (upper !== undefined && lower !== undefined && upper <= lower) {
    throw new RangeError(
      `${refusal(below!.place, below!.volts, `further below ${shownVolts(above!.volts)}`)}; every value is < ${lower} or ≥ ${upper}: always trips`,
    );
  }
  const { inclusive, written, firstCode, halfCode } = comparator;
  const { lowest, nominal, highest } = transitions;
  const { bits, reference, firstTransition, noiseLsb } = setting;
  const where = (cut: number) => ({
    typicalAt: nominal(firstCode(cut)),
    ...(noiseLsb > 0 && {
      noisyAt: ((halfCode(cut) + firstTransition - 0.5) * reference) / 2 ** bits,
    }),
  });
  return {
    ...(upper !== undefined && {
      high: {
        ...written(inclusive ? upper : upper - 1),
        startsAt: lowest(firstCode(upper)),
        surelyAt: highest(firstCode(upper)),
        ...where(upper),
      },
    }),
    ...(lower !== undefined && {
      low: {
        ...written(inclusive ? lower - 1 : lower),
        startsAt: highest(firstCode(lower)),
        surelyAt: lowest(firstCode(lower)),
        ...where(lower),
      },
    }),
  };
}

/** The lowest compared value that trips above. */
function cutAbove(limit: Limit, intent: TripIntent, t: Transitions, c: Comparator): number {
  const cut = intent === 'must-trip' ? c.value(t.fewest(limit.volts)) : c.value(t.most(limit.volts)) + 1;
  if (cut < 1) refuse(limit, `from ${shownVolts(t.highest(c.firstCode(1)))}`, '0 ≥ 0 always trips');
  if (cut > c.largest) {
    refuse(
      limit,
      `below ${shownVolts(t.lowest(c.firstCode(c.largest)))}`,
      `${cut} > ${c.largest} never trips`,
    );
  }
  return cut;
}

/** The lowest compared value that does not trip below. */
function cutBelow(limit: Limit, intent: TripIntent, t: Transitions, c: Comparator): number {
  const cut = intent === 'must-trip' ? c.value(t.mostUnder(limit.volts)) + 1 : c.value(t.fewest(limit.volts));
  if (cut < 1) refuse(limit, `from ${shownVolts(t.highest(c.firstCode(1)))}`, '0 < 0 never trips');
  if (cut > c.largest) {
    refuse(
      limit,
      `up to ${shownVolts(t.lowest(c.firstCode(c.largest)))}`,
      `${c.largest} ≤ ${c.largest} always trips`,
    );
  }
  return cut;
}

function refuse({ place, volts }: Limit, allowed: string, why: string): never {
  throw new RangeError(`${refusal(place, volts, allowed)}: ${why}`);
}

/**
 * Threshold codes of the analog watchdog (digital window comparator): what to write so that it trips where it is meant to.
 *
 * In come limits in volts at the pin, the converter, its averaging and its comparator, and what must be guaranteed; out go the codes
 * for the two threshold registers and the voltages where the window then really ends.
 */
import { between, choice, maybe, named, or, type Rule, refusal } from '../../numbers/guard.ts';
import { type Rounding, ratioRule, roundingRule, shiftRule } from '../averaging/result.ts';
import { bitsRule, firstTransitionRule } from '../quantizing.ts';
import type { Compare } from './comparator.ts';
import { readTolerance, type Tolerance } from './transitions.ts';
import { type Limit, type TripIntent, type WindowCodes, windowCodes } from './window.ts';

/** Another setting of the converter to find the codes for. */
export interface ThresholdSetting {
  /** Native bits N. */
  readonly bits: number;
  /** Oversampling ratio R. */
  readonly ratio: number;
  /** Right shift s. */
  readonly shift: number;
  /** What the hardware compares at this setting; the same as in the main question unless given. */
  readonly compare?: Compare | undefined;
}

/** What to write at another setting: the codes, or why there are none. */
export interface OtherSetting extends WindowCodes {
  readonly bits: number;
  readonly ratio: number;
  readonly shift: number;
  /** Why no codes serve here: a limit would never or always trip, or the value does not fit the comparator. */
  readonly refused?: string;
}

/** The codes of a window, and what to write at other settings. */
export interface ThresholdCodes extends WindowCodes {
  /** Whether `high` serves the limit `below` and `low` the limit `above`, as with a falling sensor curve. */
  readonly swapped: boolean;
  /** One for each of `settings`, in their order. */
  readonly otherSettings: readonly OtherSetting[];
}

/** The arguments that limits in volts and limits in the measurand share. */
export interface ThresholdArguments {
  bits: number;
  reference: number;
  firstTransition: 0.5 | 1;
  ratio?: number | undefined;
  shift?: number | undefined;
  rounding?: Rounding | undefined;
  compare: Compare;
  intent: TripIntent;
  tolerance?: Tolerance | undefined;
  noiseLsb?: number | undefined;
  settings?: readonly ThresholdSetting[] | undefined;
}

const fields = <T extends object>(names: string): Rule<T> => ({
  allowed: `an object {${names}}`,
  keeps: (v): v is T => typeof v === 'object' && v !== null && !Array.isArray(v),
});
const compareRule = fields<Compare>('stage, bits, drop?, inclusive?, registerBits?');
const settingsRule: Rule<readonly ThresholdSetting[]> = {
  allowed: 'an array of objects {bits, ratio, shift, compare?}',
  keeps: (v): v is readonly ThresholdSetting[] => Array.isArray(v),
};

/** Rules of the shared arguments. */
export const sharedShape = {
  bits: bitsRule,
  reference: between(1e-9, 1e9, 'V'),
  firstTransition: firstTransitionRule,
  ratio: or(ratioRule, 1),
  shift: or(shiftRule, 0),
  rounding: or(roundingRule, 'truncate'),
  compare: compareRule,
  intent: choice<TripIntent>(['must-trip', 'must-not-trip']),
  tolerance: or(fields<Tolerance>('offsetLsb?, inlLsb?, gain?, reference?'), {}),
  noiseLsb: or(between(0, 1e6, 'LSB'), 0),
  settings: or(settingsRule, []),
};

const limitRule = maybe(between(-1e12, 1e12, 'V'));
const shape = { above: limitRule, below: limitRule, ...sharedShape };
const settingShape = { bits: bitsRule, ratio: ratioRule, shift: shiftRule, compare: maybe(compareRule) };

/**
 * Threshold codes that guarantee where the watchdog trips, over input voltage and tolerance and without noise.
 *
 *     trips above: u > high (≥ if inclusive);  below: u < low (≤ if inclusive);  u = floor(x/2^drop)
 *
 * x is the conversion's code, or the averaged result, floor((R·code + r)/2^s) at a steady input. 'must-trip' trips for every V > above
 * and every V < below, 'must-not-trip' for no V ≤ above and no V ≥ below; of the codes that keep this it is the one that trips latest, or
 * soonest. A limit that stands on a transition but for the rounding of decimals counts as on it. Voltages may come out beyond the
 * reference, where the pin does not get.
 *
 * A steady input without noise reaches few of the averaged results; with noise the others come too, and the threshold acts at
 *
 *     noisyAt = ((C·2^s − r − ½)/R + firstTransition − ½)·q,  C the first result above the threshold
 *
 * which is up to half a native LSB from `typicalAt`. It holds for noise from about half an LSB; noise and false trips are the business of
 * `falseTripRate`.
 *
 * @param above - trips above this voltage, V, −10¹² … 10¹²; `above`, `below` or both
 * @param below - trips below this voltage, V, under `above`
 * @param bits - native bits N, 1 … 32
 * @param reference - reference voltage, V, 10⁻⁹ … 10⁹
 * @param firstTransition - T[1]/q: 0.5 or 1
 * @param ratio - oversampling ratio R, 1 … 65536; 1 unless given
 * @param shift - right shift s, 0 … 20; 0 unless given
 * @param rounding - 'truncate' (default) or 'round'
 * @param compare - the hardware: `stage` 'conversion' or 'result', `bits`, `drop`, `inclusive`, `registerBits`
 * @param intent - 'must-trip' or 'must-not-trip'
 * @param tolerance - half-widths: `offsetLsb`, `inlLsb` in native LSB, 0 … 2³²; `gain`, `reference` relative, 0 … 0.5; each 0 unless given
 * @param noiseLsb - transition noise, LSB rms, 0 … 10⁶; 0 unless given; above 0 each threshold has its `noisyAt`
 * @param settings - other settings to find the codes for; the tolerance stays the same in volts
 * @returns codes for the registers, and voltages in V; `swapped` is false
 * @throws RangeError for an argument outside its range, and for a limit that would never or always trip
 *
 * @example
 * thresholdCodes({ below: 0.5, bits: 12, reference: 3.3, firstTransition: 1, compare: { stage: 'conversion', bits: 12 }, intent: 'must-trip' }).low?.code // => 621
 * thresholdCodes({ above: 1.8, bits: 12, reference: 3, firstTransition: 0.5, ratio: 16, compare: { stage: 'result', bits: 12, drop: 4, registerBits: 16 }, intent: 'must-trip' }).high?.hex // => '0x9990'
 */
export function thresholdCodes(
  given: ThresholdArguments & { above?: number | undefined; below?: number | undefined },
): ThresholdCodes {
  const { above, below, ...args } = named('thresholdCodes', shape, given);
  if (above === undefined && below === undefined) {
    throw new RangeError(refusal('thresholdCodes.above', above, 'a limit: above, below or both'));
  }
  if (above !== undefined && below !== undefined && !(below < above)) {
    throw new RangeError(refusal('thresholdCodes.below', below, `below above, ${above} V`));
  }
  const limit = (name: string, volts: number | undefined): Limit | undefined =>
    volts === undefined ? undefined : { volts, place: `thresholdCodes.${name}` };
  return {
    ...codesAt('thresholdCodes', args, limit('above', above), limit('below', below)),
    swapped: false,
  };
}

/** The codes of the main setting and of the others. */
export function codesAt(
  caller: string,
  given: Required<{ [K in keyof ThresholdArguments]: Exclude<ThresholdArguments[K], undefined> }>,
  above: Limit | undefined,
  below: Limit | undefined,
): Omit<ThresholdCodes, 'swapped'> {
  const { settings, ...rest } = given;
  const tolerance = readTolerance(`${caller}.tolerance`, rest.tolerance);
  const main = { ...rest, tolerance, lsbOfTolerance: 1, comparePlace: `${caller}.compare` };
  return {
    ...windowCodes(main, above, below),
    otherSettings: settings.map((one, i) => {
      const place = `${caller}.settings[${i}]`;
      const { compare, ...setting } = named(place, settingShape, one);
      const other = {
        ...main,
        ...setting,
        ...(compare && { compare, comparePlace: `${place}.compare` }),
        lsbOfTolerance: 2 ** (setting.bits - main.bits),
      };
      try {
        return { ...setting, ...windowCodes(other, above, below) };
      } catch (error) {
        if (!(error instanceof RangeError)) throw error;
        return { ...setting, refused: error.message };
      }
    }),
  };
}

/**
 * What to write for a worksheet's watchdog at every other resolution and ratio of its converter.
 */
import { largestResult } from '../chain/averaging/result.ts';
import type { ThresholdSetting } from '../chain/watchdog/thresholdCodes.ts';
import type { Evaluation } from './evaluation.ts';
import { formsOf } from './formsOf.ts';
import { ratiosOf } from './profile.ts';
import {
  codesFor,
  type Place,
  placeAt,
  plainly,
  type Side,
  served,
  smoothing,
  thresholdArguments,
  type Watchdog,
} from './watchdogOf.ts';

/** One threshold at another setting. */
export interface OtherThreshold {
  readonly register: 'high' | 'low';
  readonly side: Side;
  readonly code: number;
  readonly hex: string;
  /** Where a converter without error trips half of the time. */
  readonly tripsAt: Place;
  readonly startsAt: Place;
  readonly surelyAt: Place;
}

/** One setting, and what to write there. */
export interface WatchdogSetting {
  readonly bits: number;
  /** 'any' where each conversion is compared, whatever the average. */
  readonly ratio: number | 'any';
  readonly shift: number | 'any';
  /** Whether the worksheet stands here. */
  readonly chosen: boolean;
  readonly thresholds: readonly OtherThreshold[];
  /** Why there are none. */
  readonly refused?: string;
}

/** Least shift at which the result fits register and comparator; the largest there is where none does. */
function shiftFor({ worksheet: { profile }, averaging }: Evaluation, bits: number, ratio: number): number {
  const { largestShift } = profile.averaging;
  const { bits: width, drop } = profile.comparator;
  for (let shift = 0; shift < largestShift; shift++) {
    const largest = largestResult(bits, ratio, shift, averaging.rounding);
    if (largest < 2 ** averaging.registerBits && Math.floor(largest / 2 ** drop) < 2 ** width) return shift;
  }
  return largestShift;
}

/** The settings that are looked at: each resolution, and where the result is compared each ratio with the least shift that fits. */
function settingsOf(e: Evaluation): ThresholdSetting[] {
  const { worksheet, quantizing, averaging } = e;
  const { profile } = worksheet;
  const all = profile.resolutions.map(({ bits }) => bits);
  if (profile.comparator.stage === 'conversion') {
    return all.map((bits) => ({ bits, ratio: averaging.ratio, shift: averaging.shift }));
  }
  const ratios = [...new Set([1, ...ratiosOf(profile), averaging.ratio])].sort((a, b) => a - b);
  return all.flatMap((bits) =>
    ratios.flatMap((ratio) => {
      const shift = shiftFor(e, bits, ratio);
      const here = bits === quantizing.bits && ratio === averaging.ratio && shift !== averaging.shift;
      return [{ bits, ratio, shift }, ...(here ? [{ bits, ratio, shift: averaging.shift }] : [])];
    }),
  );
}

/**
 * Codes for every resolution of the converter, and where the averaged result is compared for every ratio.
 *
 * @param e - evaluation of the worksheet
 * @param watchdog - as `watchdogOf` gives it, not refused
 * @returns settings by resolution, finest first, then ratio
 */
export function watchdogSettingsOf(e: Evaluation, watchdog: Watchdog): WatchdogSetting[] {
  const forms = formsOf(e);
  const { limits, intent, compare, tolerance } = watchdog;
  const args = thresholdArguments(e, { limits, intent }, tolerance);
  const { otherSettings, swapped } = codesFor(
    e,
    forms,
    { limits, intent },
    { ...args, settings: settingsOf(e) },
  );
  const result = compare.stage === 'result';
  const smooth = result && e.noise.independentLsb >= smoothing;
  return otherSettings.map((setting) => {
    const { bits, ratio, shift, refused } = setting;
    const isBits = bits === e.quantizing.bits;
    return {
      bits,
      ratio: result ? ratio : 'any',
      shift: result ? shift : 'any',
      chosen: isBits && ratio === e.averaging.ratio && shift === e.averaging.shift,
      thresholds: served(
        setting,
        swapped,
        (register, side, code): OtherThreshold => ({
          register,
          side,
          code: code.code,
          hex: code.hex,
          tripsAt: placeAt(forms, smooth ? (code.noisyAt ?? code.typicalAt) : code.typicalAt),
          startsAt: placeAt(forms, code.startsAt),
          surelyAt: placeAt(forms, code.surelyAt),
        }),
      ),
      ...(refused !== undefined && { refused: plainly(refused).replace(/^.*: (?=[^:]*$)/, '') }),
    };
  });
}

/**
 * Threshold codes for limits in the measurand: a temperature, a pressure, the voltage of a cell ahead of a divider.
 *
 * In come limits in the measurand's unit and the curve from measurand to the voltage at the pin; out go threshold codes. Where the
 * curve falls, the upper limit becomes the lower threshold, and the answer says so.
 */
import { maybe, named, type Rule, real, refusal, shown } from '../../numbers/guard.ts';
import { codesAt, sharedShape, type ThresholdArguments, type ThresholdCodes } from './thresholdCodes.ts';
import type { Limit } from './window.ts';

/** Points of the range, ends included, at which the curve is looked at. */
const points = 129;

const curve: Rule<(measurand: number) => number> = {
  allowed: 'a function from measurand to volts',
  keeps: (v): v is (measurand: number) => number => typeof v === 'function',
};
const range: Rule<{ readonly low: number; readonly high: number }> = {
  allowed: 'an object {low, high}, finite numbers, low < high',
  keeps: (v): v is { low: number; high: number } => {
    if (typeof v !== 'object' || v === null) return false;
    const { low, high } = v as { low: unknown; high: unknown };
    return Number.isFinite(low) && Number.isFinite(high) && (low as number) < (high as number);
  },
};
const shape = { above: maybe(real('')), below: maybe(real('')), voltageOf: curve, range, ...sharedShape };

/**
 * Threshold codes that guarantee where the watchdog trips, for limits in the measurand.
 *
 * The limits go through the curve to volts at the pin; all else is as in `thresholdCodes`. What is guaranteed is guaranteed in the
 * measurand: with a falling curve 'must-trip' above 60 °C is a low threshold that trips for every voltage under that of 60 °C. The
 * sensor's own tolerance is not in it.
 *
 * @param above - trips above this, in the measurand's unit, within `range`; `above`, `below` or both
 * @param below - trips below this, in the measurand's unit, within `range`, under `above`
 * @param voltageOf - voltage at the pin for a measurand, V: keeps rising or keeps falling over `range`, which is looked at in 129 points
 * @param range - {low, high} of the measurand
 * @param others - bits … settings as in `thresholdCodes`
 * @returns codes for the registers, and voltages in V; `swapped` says whether the curve falls
 * @throws RangeError for an argument outside its range, for a limit that would never or always trip, and for a curve that turns
 *
 * @example
 * measurandThresholdCodes({ above: 60, voltageOf: (celsius) => 2 - celsius / 100, range: { low: -20, high: 100 }, bits: 12, reference: 2.048, firstTransition: 1, compare: { stage: 'conversion', bits: 12 }, intent: 'must-trip' }).low?.code // => 2800
 */
export function measurandThresholdCodes(
  given: ThresholdArguments & {
    above?: number | undefined;
    below?: number | undefined;
    voltageOf: (measurand: number) => number;
    range: { readonly low: number; readonly high: number };
  },
): ThresholdCodes {
  const caller = 'measurandThresholdCodes';
  const { above, below, voltageOf, range, ...args } = named(caller, shape, given);
  if (above === undefined && below === undefined) {
    throw new RangeError(refusal(`${caller}.above`, above, 'a limit: above, below or both'));
  }
  if (above !== undefined && below !== undefined && !(below < above)) {
    throw new RangeError(refusal(`${caller}.below`, below, `below above, ${above}`));
  }
  const volts = (measurand: number): number => {
    const v = voltageOf(measurand);
    if (Number.isFinite(v) && Math.abs(v) <= 1e12) return v;
    throw new RangeError(
      `${caller}.voltageOf: ${measurand} gives ${shown(v)}; allowed finite numbers of V to ±1e12`,
    );
  };
  const falling = directionOf(caller, volts, range) < 0;
  const limit = (name: 'above' | 'below', measurand: number | undefined): Limit | undefined => {
    if (measurand === undefined) return undefined;
    if (!(measurand >= range.low && measurand <= range.high)) {
      throw new RangeError(refusal(`${caller}.${name}`, measurand, `${range.low} … ${range.high}`));
    }
    return { volts: volts(measurand), place: `${caller}.${name}, ${measurand} in volts` };
  };
  const [atAbove, atBelow] = [limit('above', above), limit('below', below)];
  const codes = falling ? codesAt(caller, args, atBelow, atAbove) : codesAt(caller, args, atAbove, atBelow);
  return { ...codes, swapped: falling };
}

/** 1 for a curve that rises all the way, −1 for one that falls. */
function directionOf(
  caller: string,
  volts: (m: number) => number,
  range: { low: number; high: number },
): number {
  const direction = Math.sign(volts(range.high) - volts(range.low));
  let before = volts(range.low);
  for (let i = 1; i < points; i++) {
    const measurand = range.low + ((range.high - range.low) * i) / (points - 1);
    const here = volts(i === points - 1 ? range.high : measurand);
    if (!((here - before) * direction > 0)) {
      throw new RangeError(
        `${caller}.voltageOf: got a curve that is flat or turns before ${measurand}; allowed one that keeps rising or falling over ${range.low} … ${range.high}`,
      );
    }
    before = here;
  }
  return direction;
}

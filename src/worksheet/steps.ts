/**
 * Steps: the value that an arrow key goes to next, of those that the hardware, a series of parts or round numbers allow.
 */
import { stepSeries } from '../numbers/eseries.ts';
import { asciiQuantity } from '../numbers/format.ts';
import { clockServes, ratiosOf } from './profile.ts';
import type { Worksheet } from './read.ts';
import type { Profile } from './schema/converter.ts';
import type { Count, CountField, Quantity, QuantityField, Steps } from './schema/field.ts';
import { fieldAt } from './schema/lookup.ts';
import { worksheetSchema } from './schema/worksheet.ts';

/** The values of a profile that an input may take, rising. */
function allowedBy(
  profile: Profile,
  which: Extract<Steps, { profile: string }>['profile'],
): readonly number[] {
  switch (which) {
    case 'dividers':
      return profile.clock.dividers.filter((d) => clockServes(profile, d));
    case 'sampleCycles':
      return profile.sampleCycles;
    case 'bits':
      return profile.resolutions.map((r) => r.bits).sort((a, b) => a - b);
    case 'ratios':
      return [1, ...ratiosOf(profile)];
    case 'shifts':
      return Array.from({ length: profile.averaging.largestShift + 1 }, (_, i) => i);
  }
}

/** The values that a field steps through, where they are a list; undefined otherwise. */
function listOf(field: CountField | QuantityField, profile: Profile): readonly number[] | undefined {
  const { steps } = field;
  if (steps === undefined) return undefined;
  if ('values' in steps) return steps.values;
  return 'profile' in steps ? allowedBy(profile, steps.profile) : undefined;
}

/**
 * The values that an input steps through, where they are those of the profile, or choices.
 *
 * @param worksheet - as read
 * @param path - path of the input
 * @returns texts as `withValue` takes them, in the order of the steps; undefined for any other input
 */
export function allowedTexts(worksheet: Worksheet, path: string): readonly string[] | undefined {
  const field = fieldAt(worksheetSchema, path, worksheet.inputs);
  if (path === 'averaging.rounding') return worksheet.profile.averaging.rounding;
  if (field?.is === 'choice') return field.values.map(String);
  if (field?.is === 'flag') return ['false', 'true'];
  return field?.is === 'count' ? listOf(field, worksheet.profile)?.map(String) : undefined;
}

/**
 * The value one step up or down from the present one, which need not be one of the steps itself.
 *
 * @param worksheet - as read
 * @param path - path of an input; where the worksheet leaves a figure to the profile, that figure is the present one
 * @param direction - 'up' or 'down'
 * @returns its text, as `withValue` takes it; 'none' where there is no next one, or the input has no steps
 */
export function stepped(worksheet: Worksheet, path: string, direction: 'up' | 'down'): string {
  const field = fieldAt(worksheetSchema, path, worksheet.inputs);
  const input = inputAt(worksheet, path);
  if (field === undefined || input === undefined) return 'none';
  if (field.is === 'choice' || field.is === 'flag') {
    const texts = allowedTexts(worksheet, path)!;
    return texts[texts.indexOf(String(input)) + (direction === 'up' ? 1 : -1)] ?? 'none';
  }
  if (field.is !== 'count' && field.is !== 'quantity') return 'none';
  const { value } = input as Quantity | Count;
  const next = nextValue(field, worksheet.profile, value, direction);
  if (next === undefined || next < field.low || next > field.high) return 'none';
  return field.is === 'count' ? String(next) : asciiQuantity({ value: next, unit: (input as Quantity).unit });
}

/** The figure at a path: in the worksheet, else in its profile. */
function inputAt({ inputs, profile }: Worksheet, path: string): unknown {
  const follow = (root: unknown, keys: readonly string[]): unknown =>
    keys.reduce<unknown>(
      (at, key) =>
        typeof at === 'object' && at !== null && Object.hasOwn(at, key)
          ? (at as Record<string, unknown>)[key]
          : undefined,
      root,
    );
  const [first, ...rest] = path.split('.');
  const own = follow(inputs, [first!, ...rest]);
  if (own !== undefined) return own;
  if (first === 'converter') return follow(profile, rest);
  return path.startsWith('watchdog.compare.') ? follow(profile.comparator, rest.slice(1)) : undefined;
}

function nextValue(
  field: CountField | QuantityField,
  profile: Profile,
  value: number,
  direction: 'up' | 'down',
): number | undefined {
  const list = listOf(field, profile);
  if (list !== undefined) {
    return direction === 'up' ? list.find((v) => v > value) : list.findLast((v) => v < value);
  }
  const { steps } = field;
  if (steps !== undefined && 'series' in steps) {
    return value > 0 ? stepSeries({ value, series: steps.series, direction }) : undefined;
  }
  if (steps !== undefined && 'by' in steps) return nextMultiple(value, steps.by, direction);
  return field.is === 'count' ? nextMultiple(value, field.multipleOf, direction) : undefined;
}

/** The next multiple of a step; values that stray from one by rounding are taken as it. */
function nextMultiple(value: number, by: number, direction: 'up' | 'down'): number {
  const places = value / by;
  const k = direction === 'up' ? Math.floor(places + 1e-9) + 1 : Math.ceil(places - 1e-9) - 1;
  return Number((k * by).toPrecision(12));
}

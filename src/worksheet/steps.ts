/**
 * Steps: the value that an arrow key goes to next, of those that the hardware, a series of parts or round numbers allow.
 */
import { stepSeries } from '../numbers/eseries.ts';
import { multipleOfField } from './check.ts';
import { ratiosOf } from './profile.ts';
import type { Worksheet } from './read.ts';
import type { Profile } from './schema/converter.ts';
import type { Steps } from './schema/field.ts';
import { fieldAt } from './schema/lookup.ts';
import { worksheetSchema } from './schema/worksheet.ts';

/** The values of a profile that an input may take, rising. */
function allowedBy(
  profile: Profile,
  which: Extract<Steps, { profile: string }>['profile'],
): readonly number[] {
  switch (which) {
    case 'dividers': {
      const { source, dividers, highest } = profile.clock;
      return dividers.filter((d) => source.value / d <= highest.value * (1 + 1e-9));
    }
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

/**
 * The values that an input steps through, where they are a list: of its field, or of the profile.
 *
 * @param worksheet - as read
 * @param path - path of the input
 * @returns the values, rising; undefined where its steps are no list, or it has none
 */
export function allowedValues({
  worksheet,
  path,
}: {
  worksheet: Worksheet;
  path: string;
}): readonly number[] | undefined {
  const field = fieldAt(worksheetSchema, path, worksheet.inputs);
  const steps = field?.is === 'count' || field?.is === 'quantity' ? field.steps : undefined;
  if (steps === undefined) return undefined;
  if ('values' in steps) return steps.values;
  return 'profile' in steps ? allowedBy(worksheet.profile, steps.profile) : undefined;
}

/**
 * The value one step up or down from a value, which need not be one of the steps itself.
 *
 * @param worksheet - as read
 * @param path - path of the input
 * @param value - in the unit of the field
 * @param direction - 'up' or 'down'
 * @returns in the unit of the field; 'none' where there is no next one or the input has no steps
 */
export function nextValue(given: {
  readonly worksheet: Worksheet;
  readonly path: string;
  readonly value: number;
  readonly direction: 'up' | 'down';
}): number | 'none' {
  const { worksheet, path, value, direction } = given;
  const field = fieldAt(worksheetSchema, path, worksheet.inputs);
  if (field?.is !== 'count' && field?.is !== 'quantity') return 'none';
  const list = allowedValues({ worksheet, path });
  const { steps } = field;
  let next: number | undefined;
  if (list !== undefined) {
    next = direction === 'up' ? list.find((v) => v > value) : list.findLast((v) => v < value);
  } else if (steps !== undefined && 'series' in steps) {
    next = value > 0 ? stepSeries({ value, series: steps.series, direction }) : undefined;
  } else if (steps !== undefined && 'by' in steps) next = nextMultiple(value, steps.by, direction);
  else if (field.is === 'count') next = nextMultiple(value, multipleOfField(field)!, direction);
  return next !== undefined && field.low <= next && next <= field.high ? next : 'none';
}

/** The next multiple of a step; values that stray from one by rounding are taken as it. */
function nextMultiple(value: number, by: number, direction: 'up' | 'down'): number {
  const places = value / by;
  const k = direction === 'up' ? Math.floor(places + 1e-9) + 1 : Math.ceil(places - 1e-9) - 1;
  return Number((k * by).toPrecision(12));
}

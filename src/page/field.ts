/** Fields: an input of the worksheet as it stands on a page, and the allowed value next to it. */
import { formatNumber, formatQuantity } from '../numbers/format.ts';
import { nearest, shown } from '../numbers/guard.ts';
import { measurandUnitsOf, unitsOf } from '../worksheet/amount.ts';
import type { Worksheet } from '../worksheet/read.ts';
import { isSubject, nearestSubject, reviewOn, reviewText, subjectLabel } from '../worksheet/review.ts';
import type { Quantity, Field as SchemaField, Unit } from '../worksheet/schema/field.ts';
import { fieldAt, pathsOf } from '../worksheet/schema/lookup.ts';
import { worksheetSchema } from '../worksheet/schema/worksheet.ts';
import { allowedTexts, stepped } from '../worksheet/steps.ts';
import type { Field } from './desk.ts';

/** Digits of an input as shown: enough for anything a person writes. */
const digits = 9;

/** A list as a hint shows it; a long one is cut. */
const ladder = (texts: readonly string[]): string =>
  texts.length <= 12 ? texts.join(', ') : `${texts.slice(0, 3).join(', ')} … ${texts.at(-1)}`;

/** How provenance reads in a sentence. */
const sources: Readonly<Record<string, string>> = {
  datasheet: 'data sheet',
  measured: 'measured',
  calculated: 'calculated',
  requirement: 'requirement',
  assumed: 'assumed',
};

/** What a count counts, where it says so. */
const counted: Readonly<Record<string, string>> = {
  'sampling.sampleCycles': 'cycles',
  'sampling.bits': 'bits',
};

/** What somebody typed for a count, without the word that says what is counted. */
export const withoutCounted = (path: string, text: string): string =>
  Object.hasOwn(counted, path) ? text.replace(/\s*(?:bits?|cycles?)\s*$/, '') : text;

/** What stands in a field that the worksheet leaves out. */
export const notGiven = 'not given';

/** Parts of the worksheet whose inputs stand on a page whether they are given or not; an emptied field leaves its input out. */
const openParts: readonly string[] = [
  'noise',
  'record',
  'sensor.allowedCurrent',
  'sensor.series',
  'conditions',
  'calibration.standard',
  'calibration.drift',
  'converter.reference.ripple',
  'converter.reference.rippleFrequency',
  'power.battery.openVoltage',
  'power.battery.internalResistance',
  'power.battery.coldResistance',
  'watchdog.above',
  'watchdog.below',
  'watchdog.compare',
  'watchdog.consecutive',
  'watchdog.hysteresis',
  'scan',
];

/** Whether what somebody typed leaves an input out of the worksheet. */
export const leavesOut = (path: string, text: string): boolean =>
  openParts.some((part) => path === part || path.startsWith(`${part}.`)) &&
  ['', notGiven].includes(text.trim());

interface Written {
  readonly value: number;
  readonly from: string;
  readonly note?: string;
}

/** What stands at a path: in the worksheet, or in its profile where it overrides nothing. */
function standing(worksheet: Worksheet, path: string): { value: unknown; own: boolean } {
  const follow = (root: unknown, keys: readonly string[]): unknown =>
    keys.reduce<unknown>(
      (at, key) =>
        typeof at === 'object' && at !== null && Object.hasOwn(at, key)
          ? (at as Record<string, unknown>)[key]
          : undefined,
      root,
    );
  const keys = path.split('.');
  const value = follow(worksheet.inputs, keys);
  if (value !== undefined) return { value, own: true };
  if (keys[0] === 'converter') return { value: follow(worksheet.profile, keys.slice(1)), own: false };
  if (path.startsWith('watchdog.compare.')) {
    return { value: follow(worksheet.profile.comparator, keys.slice(2)), own: false };
  }
  return { value, own: true };
}

const isWritten = (value: unknown): value is Written =>
  typeof value === 'object' && value !== null && 'from' in value;

/** The unit that a quantity field is shown in: that of its value where it has one. */
const unitFor = (worksheet: Worksheet, unit: Unit, value?: unknown): string =>
  (value as Quantity | undefined)?.unit ?? unitsOf(unit, [measurandUnitsOf(worksheet.inputs.sensor)])[0]!;

/** A quantity as a reader expects it: a part of something in % or ppm, a battery's charge in mAh or Ah. */
function quantityText(value: number, unit: string, count = digits): string {
  if (unit === '1') {
    const share = value === 0 || Math.abs(value) >= 1e-3 ? '%' : 'ppm';
    return formatQuantity({ value, unit: share, digits: count });
  }
  if (unit === 'C') {
    const [size, name] = value < 3600 ? [3.6, 'mAh'] : [3600, 'Ah'];
    return `${formatNumber({ value: value / size, digits: count })}\u202f${name}`;
  }
  return formatQuantity({ value, unit, digits: count });
}

function shownText(worksheet: Worksheet, path: string, field: SchemaField, value: unknown): string {
  if (value === undefined) return notGiven;
  if (field.is === 'quantity') {
    // A kelvin that is no difference of readings stays one.
    if (field.unit === 'K') return `${formatNumber({ value: (value as Written).value, digits })}\u202fK`;
    return quantityText((value as Written).value, unitFor(worksheet, field.unit, value));
  }
  if (field.is === 'count') {
    const number = formatNumber({ value: (value as Written).value, digits });
    const unit = counted[path];
    return unit === undefined ? number : `${number}\u202f${number === '1' ? unit.slice(0, -1) : unit}`;
  }
  if (field.is === 'number') return formatNumber({ value: value as number, digits });
  return String(value);
}

function allowedWords(worksheet: Worksheet, path: string, field: SchemaField): string {
  if (field.is === 'quantity') {
    const unit = unitFor(worksheet, field.unit, standing(worksheet, path).value);
    const shown = (value: number): string => quantityText(value, unit, 3);
    return `${shown(field.low)} to ${shown(field.high)}`;
  }
  const list = allowedTexts(worksheet, path);
  if (list !== undefined) return ladder(list);
  return field.is === 'count' || field.is === 'number' ? `${field.low} to ${field.high}` : field.doc;
}

const schemaField = (worksheet: Worksheet, path: string): SchemaField => {
  const field = fieldAt(worksheetSchema, path, worksheet.inputs);
  if (field === undefined) {
    const near = nearest(path, pathsOf(worksheetSchema, worksheet.inputs));
    throw new RangeError(`the worksheet has no input ${shown(path)}; the nearest is ${shown(near)}`);
  }
  return field;
};

/** The review note that a path changes, as a field: its line, empty where there is none. */
function noteField(worksheet: Worksheet, path: string, on: string): Field {
  if (!isSubject(worksheet, on)) {
    const near = nearestSubject(worksheet, on);
    throw new RangeError(`the worksheet has no input or finding ${shown(on)}; the nearest is ${shown(near)}`);
  }
  const entry = worksheet.inputs.review?.find((r) => r.on === on);
  return {
    path,
    label: `review note on ${subjectLabel(worksheet, on)}`,
    text: entry ? reviewText(entry) : '',
    assumed: false,
    from: '',
    steps: false,
    hint: 'a single line of text',
  };
}

/** The input at a path, as it stands on a page; or the review note that the path changes. */
export function fieldOf(worksheet: Worksheet, path: string): Field {
  const on = reviewOn(path);
  if (on !== undefined) return noteField(worksheet, path, on);
  const field = schemaField(worksheet, path);
  const { value, own } = standing(worksheet, path);
  const from = isWritten(value) ? value.from : undefined;
  const note = isWritten(value) ? value.note : undefined;
  const review = worksheet.inputs.review?.find((r) => r.on === path);
  const source = value === undefined ? notGiven : own ? (sources[from ?? 'assumed'] ?? '') : 'the profile';
  return {
    path,
    label: field.label,
    text: shownText(worksheet, path, field, value),
    assumed: own && from === 'assumed',
    // What is wanted needs no source in a few words; the reason stays in the worksheet.
    from: note === undefined || from === 'requirement' ? source : `${source}, ${note.replace(/\.$/, '')}`,
    steps: 'steps' in field && field.steps !== undefined,
    hint: allowedWords(worksheet, path, field),
    ...(review && { review }),
  };
}

/** The text of the allowed value next to the present one, up or down; undefined where there is none. */
export function steppedText(worksheet: Worksheet, path: string, direction: 1 | -1): string | undefined {
  const text = stepped(worksheet, path, direction > 0 ? 'up' : 'down');
  return text === 'none' ? undefined : text;
}

/**
 * Forms as text: a line such as `2048`, `1.65 V` or `25 degC` becomes the mean code it stands for, and a mean code becomes a line.
 *
 * A number without a unit is a code. A unit is that of the measurand if it can be, else of the pin, else of the sensor's electrical side.
 */
import { shown } from '../numbers/guard.ts';
import { plain, unitText, type WrittenUnit, writtenUnit } from '../numbers/units.ts';
import { amount } from './amount.ts';
import type { Form, Forms } from './formsOf.ts';

/** The forms in the order in which a unit is tried. */
const inOrder = ({ code, pin, measurand, resistance, current }: Forms, atPin: boolean): Form[] => [
  code,
  ...(atPin ? [pin, measurand] : [measurand, pin]),
  ...(resistance ? [resistance] : []),
  ...(current ? [current] : []),
];

const numberAndUnit = /^([+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)[ \u202f]*(.*)$/;
const hexadecimal = /^0[xX][0-9a-fA-F]{1,8}$/;

/** What a line of text says: a value in a form. */
export interface Told {
  readonly form: Form;
  /** In the form's unit. */
  readonly value: number;
}

/**
 * The reader of lines.
 *
 * @param forms - of the channel
 * @param atPin - whether volts are those at the pin where the measurand is a voltage too
 * @returns function from text to form and value; its errors say what would do
 */
export function lineReader(forms: Forms, atPin: boolean): (text: string) => Told {
  const all = inOrder(forms, atPin);
  const [code, ...withUnit] = all as [Form, ...Form[]];
  const units = withUnit.map((f) => f.unit);
  // Spellings met so far whose unit is a form's own, up to a power of ten: most lines need nothing else.
  const met = new Map<string, { form: Form; exponent: string } | undefined>();
  const known = (spelling: string): { form: Form; exponent: string } | undefined => {
    if (met.has(spelling)) return met.get(spelling);
    const own = withUnit.find((f) => plain(f.unit) === `{${plain(spelling)}}`);
    if (own) {
      met.set(spelling, { form: own, exponent: '' });
      return met.get(spelling);
    }
    const found = writtenUnit(plain(spelling));
    const form = found?.factor === 1 ? withUnit.find((f) => f.unit === found.unit.symbol) : undefined;
    const entry = form && { form, exponent: `e${found!.exponent}` };
    if (entry) met.set(spelling, entry);
    return entry;
  };
  return (text) => {
    const line = text.trim();
    const parts = numberAndUnit.exec(line);
    if (parts?.[2] === '') return { form: code, value: Number(parts[1]) };
    const plainly = parts && known(parts[2]!);
    if (plainly && !/[eE]/.test(parts[1]!)) {
      return { form: plainly.form, value: Number(parts[1]! + plainly.exponent) };
    }
    if (hexadecimal.test(line)) return { form: code, value: Number(line) };
    const { value, unit } = amount(line, units);
    return { form: withUnit.find((f) => f.unit === unit)!, value };
  };
}

/** The form and the unit that somebody wants to have. */
export interface Wanted {
  readonly form: Form;
  /** As it is written after the figure; '' for codes. */
  readonly unit: string;
  /** The figure for a mean code; RangeError where there is none. */
  figure(mean: number): number;
  /** Decimals that tell neighbouring codes apart, with one to spare. */
  readonly decimals: number;
}

/**
 * What to convert into.
 *
 * @param forms - of the channel
 * @param to - 'code', or a unit: 'V', 'mV', 'degC', 'K', 'kohm'
 * @param atPin - as for `lineReader`
 * @throws RangeError for a unit that no form of the channel has
 */
export function wantedForm(forms: Forms, to: string, atPin: boolean): Wanted {
  const all = inOrder(forms, atPin);
  if (to === 'code') return { form: forms.code, unit: '', figure: forms.code.valueOf, decimals: 0 };
  const own = all.find((f) => plain(f.unit) === `{${plain(unitText(to))}}`);
  if (own) {
    const decimals = decimalsOf(forms, own, 0);
    return { form: own, unit: unitText(own.unit), figure: own.valueOf, decimals };
  }
  const found = writtenUnit(plain(to));
  const form = found && all.find((f) => f.unit === found.unit.symbol);
  if (form) return scaled(forms, form, plain(to), found);
  const celsius = all.find((f) => f.unit === 'degC');
  if (celsius && to === 'K') {
    const figure = (mean: number): number => celsius.valueOf(mean) + 273.15;
    return { form: celsius, unit: 'K', figure, decimals: decimalsOf(forms, celsius, 0) };
  }
  const units = all.slice(1).map((f) => unitText(f.unit));
  throw new RangeError(
    `--to: got ${shown(to)}; allowed code, ${[...new Set(units)].join(', ')}, with a prefix where it helps`,
  );
}

function scaled(forms: Forms, form: Form, unit: string, { exponent }: WrittenUnit): Wanted {
  const per = 10 ** Math.abs(exponent);
  const figure = (mean: number): number =>
    exponent > 0 ? form.valueOf(mean) / per : form.valueOf(mean) * per;
  return { form, unit, figure, decimals: decimalsOf(forms, form, exponent) };
}

/** Places among the codes at which the narrowest step is looked for. */
const places = 32;

/** Decimals of a form's figures: a tenth of the narrowest step between codes. */
function decimalsOf({ code, largestCode }: Forms, form: Form, exponent: number): number {
  let narrowest = Number.POSITIVE_INFINITY;
  for (let i = 0; i < places; i++) {
    const at = Math.round((largestCode * (i + 0.5)) / places);
    try {
      const [a, b] = [code.meanOf(at), code.meanOf(Math.min(at + 1, largestCode))].map(form.valueOf);
      if (a !== b) narrowest = Math.min(narrowest, Math.abs(a! - b!));
    } catch (error) {
      if (!(error instanceof RangeError)) throw error;
    }
  }
  if (!Number.isFinite(narrowest)) return 6;
  return Math.min(Math.max(Math.ceil(1 - Math.log10(narrowest) + exponent), 0), 15);
}

/**
 * The kinds of field a document is made of. A schema is a tree of these descriptors, written once; the TypeScript types of what
 * is read, the checks, the JSON Schema, the labels and the values that arrow keys step through all come from it.
 */

/** Where a figure comes from; the short form of a quantity is `assumed`. */
export const provenances = ['datasheet', 'measured', 'calculated', 'requirement', 'assumed'] as const;
export type Provenance = (typeof provenances)[number];

/** A physical input as read: in SI units, with where it comes from. */
export interface Quantity {
  /** In `unit`. */
  readonly value: number;
  /**
   * The unit that its field asks for, as `quantity` names it: an SI unit, degC for temperatures, K for their differences, LSB; a unit
   * of the worksheet's own in braces, as {bar}.
   */
  readonly unit: string;
  /** Half-width of the interval it may lie in, in `unit` (K where that is degC). */
  readonly spread?: number;
  readonly from: Provenance;
  readonly note?: string;
  /** The characters it was written with, as `10 kohm`. */
  readonly text: string;
}

/** A number without a unit that somebody set, as a ratio or a count of bits. */
export interface Count {
  readonly value: number;
  readonly from: Provenance;
  readonly note?: string;
}

/** Values that an arrow key goes to next: an E series, multiples of a step in the field's unit, a list, or one of the profile. */
export type Steps =
  | { readonly series: 'E3' | 'E6' | 'E24' }
  | { readonly by: number }
  | { readonly values: readonly number[] }
  | { readonly profile: 'dividers' | 'sampleCycles' | 'bits' | 'ratios' | 'shifts' };

/** The units that a field may ask for: those of `quantity`, per kelvin, or one that depends on the sensor. */
export type Unit =
  | 'V'
  | 'A'
  | 'ohm'
  | 'F'
  | 's'
  | 'Hz'
  | 'K'
  | 'degC'
  | 'C'
  | 'LSB'
  | '1'
  | '1/K'
  | 'V/K'
  | 'V/V'
  | 'W/K'
  | 'LSB/K'
  /** The unit of the measurand: degC, V, A, or the sensor's own. */
  | 'measurand'
  /** The unit of its differences: K, V, A, or the sensor's own. */
  | 'difference'
  /** Of the electrical side of a sensor: ohm or V. */
  | 'electrical'
  /** The unit of the measurand, or V at the pin. */
  | 'limit';

interface Described {
  /** Short English name, as in an error sentence. */
  readonly label: string;
  /** One or two sentences for help and for editors. */
  readonly doc: string;
}

interface Bounded {
  /** Least value, included. */
  readonly low: number;
  /** Largest value, included. */
  readonly high: number;
}

export interface QuantityField extends Described, Bounded {
  readonly is: 'quantity';
  readonly unit: Unit;
  /** A value as somebody would write it. */
  readonly example: string;
  readonly steps?: Steps;
}
export interface CountField extends Described, Bounded {
  readonly is: 'count';
  /** Values are whole multiples of this: 1, or 0.5 for cycles. */
  readonly multipleOf: number;
  readonly steps?: Steps;
}
export interface NumberField extends Described, Bounded {
  readonly is: 'number';
  /** Values are whole multiples of this: 1, or 0.5 for cycles; any number where it is absent. */
  readonly multipleOf?: number;
}
export interface ChoiceField<T extends string | number = string | number> extends Described {
  readonly is: 'choice';
  readonly values: readonly T[];
}
export interface TextField extends Described {
  readonly is: 'text';
  /** Most characters. */
  readonly longest: number;
  /** What the text must look like: a regular expression, and the same in words. */
  readonly pattern?: { readonly source: string; readonly words: string };
}
export interface FlagField extends Described {
  readonly is: 'flag';
}
export interface ListField<D = Field> extends Described {
  readonly is: 'list';
  readonly of: D;
  readonly shortest: number;
  readonly longest: number;
}
export interface ObjectField<F = Fields> extends Described {
  readonly is: 'object';
  readonly fields: F;
}
/** One of several objects, told apart by its key `kind`. */
export interface VariantField<V = Readonly<Record<string, ObjectField>>> extends Described {
  readonly is: 'variant';
  readonly variants: V;
}

export type Field = (
  | QuantityField
  | CountField
  | NumberField
  | ChoiceField
  | TextField
  | FlagField
  | ListField
  | ObjectField
  | VariantField
) & { readonly optional?: true };

export interface Fields {
  readonly [name: string]: Field;
}

/** What is read from an object with these fields. */
export type FieldValues<F> = {
  readonly [K in keyof F as F[K] extends { optional: true } ? never : K]: Value<F[K]>;
} & { readonly [K in keyof F as F[K] extends { optional: true } ? K : never]?: Value<F[K]> };

/** What is read from a field. */
export type Value<D> = D extends { is: 'quantity' }
  ? Quantity
  : D extends { is: 'count' }
    ? Count
    : D extends { is: 'number' }
      ? number
      : D extends { is: 'choice'; values: readonly (infer T)[] }
        ? T
        : D extends { is: 'text' }
          ? string
          : D extends { is: 'flag' }
            ? boolean
            : D extends { is: 'list'; of: infer E }
              ? readonly Value<E>[]
              : D extends { is: 'object'; fields: infer F }
                ? FieldValues<F>
                : D extends { is: 'variant'; variants: infer V }
                  ? { [K in keyof V]: { readonly kind: K } & Value<V[K]> }[keyof V]
                  : never;

export const quantity = (d: Omit<QuantityField, 'is'>): QuantityField => ({ is: 'quantity', ...d });

/** Whole numbers, or with `halves` multiples of one half. */
type Halves<D> = Omit<D, 'is' | 'multipleOf'> & { halves?: boolean };

export const count = ({ halves = false, ...d }: Halves<CountField>): CountField => ({
  is: 'count',
  multipleOf: halves ? 0.5 : 1,
  ...d,
});

export const number = ({ halves = false, ...d }: Halves<NumberField>): NumberField => ({
  is: 'number',
  multipleOf: halves ? 0.5 : 1,
  ...d,
});

export const real = (d: Omit<NumberField, 'is' | 'multipleOf'>): NumberField => ({ is: 'number', ...d });

export const choice = <const T extends string | number>(
  label: string,
  values: readonly T[],
  doc: string,
): ChoiceField<T> => ({ is: 'choice', label, values, doc });

export const text = (
  label: string,
  longest: number,
  doc: string,
  pattern?: TextField['pattern'],
): TextField => ({ is: 'text', label, longest, doc, ...(pattern && { pattern }) });

export const flag = (label: string, doc: string): FlagField => ({ is: 'flag', label, doc });

export const list = <D extends Field>(
  d: Described & { of: D; shortest: number; longest: number },
): ListField<D> => ({
  is: 'list',
  ...d,
});

export const object = <F extends Fields>(label: string, doc: string, fields: F): ObjectField<F> => ({
  is: 'object',
  label,
  doc,
  fields,
});

export const variant = <V extends Readonly<Record<string, ObjectField>>>(
  label: string,
  doc: string,
  variants: V,
): VariantField<V> => ({ is: 'variant', label, doc, variants });

/** The same field, which may be absent. */
export const optional = <D extends Field>(field: D): D & { readonly optional: true } => ({
  ...field,
  optional: true,
});

/** Fields of which each may be absent, and so for objects within. */
export type PartialFields<F> = {
  readonly [K in keyof F]: (F[K] extends { is: 'object'; fields: infer G }
    ? ObjectField<PartialFields<G>>
    : F[K]) & { readonly optional: true };
};

/** The same fields, each of which may be absent, and so for objects within. */
export function partial<F extends Fields>(fields: F): PartialFields<F> {
  const out: Record<string, Field> = {};
  for (const [name, field] of Object.entries(fields)) {
    out[name] = optional(field.is === 'object' ? { ...field, fields: partial(field.fields) } : field);
  }
  return out as PartialFields<F>;
}

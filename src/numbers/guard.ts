/**
 * Guards: the arguments of a public function are read once, at its door, against a written shape.
 *
 * A shape gives, for each named argument, the rule it keeps and the default it takes. `named` returns the arguments in full or
 * throws: a `TypeError` for a name it does not know (with the nearest it does), a `RangeError` for a value the rule refuses.
 * The text is always `function.argument: got VALUE; allowed RANGE`.
 */

/** A rule for one argument: what it allows, in words, and whether a value keeps it. */
export interface Rule<T> {
  readonly allowed: string;
  readonly keeps: (value: unknown) => value is T;
  /** Value taken when the argument is absent; a rule without one makes the argument required. */
  readonly fallback?: T | undefined;
  readonly optional?: boolean;
}

/** The rules of a function's arguments, by name. */
export type Shape = Readonly<Record<string, Rule<unknown>>>;

/** The arguments that a shape yields. */
export type Arguments<S extends Shape> = { [K in keyof S]: S[K] extends Rule<infer T> ? T : never };

const rule = <T>(allowed: string, keeps: (value: unknown) => boolean): Rule<T> => ({
  allowed,
  keeps: keeps as (value: unknown) => value is T,
});

const finite = (value: unknown): value is number => typeof value === 'number' && Number.isFinite(value);

/** A whole number from `low` to `high`. */
export const whole = (low: number, high: number): Rule<number> =>
  rule(
    `whole numbers ${low} … ${high}`,
    (v) => Number.isInteger(v) && low <= (v as number) && (v as number) <= high,
  );

/** A positive, finite number of `unit`. */
export const positive = (unit: string): Rule<number> =>
  rule(`finite numbers above 0${unit && ` ${unit}`}`, (v) => finite(v) && v > 0);

/** A finite number of `unit`, zero or above. */
export const notNegative = (unit: string): Rule<number> =>
  rule(`finite numbers from 0${unit && ` ${unit}`}`, (v) => finite(v) && v >= 0);

/** Any finite number of `unit`. */
export const real = (unit: string): Rule<number> => rule(`finite numbers${unit && ` of ${unit}`}`, finite);

/** A finite number of `unit` from `low` to `high`, both included. */
export const between = (low: number, high: number, unit: string): Rule<number> =>
  rule(`${low} … ${high}${unit && ` ${unit}`}`, (v) => finite(v) && low <= v && v <= high);

/** One of the values listed. */
export const choice = <const T extends string | number | boolean>(values: readonly T[]): Rule<T> =>
  rule(values.map((v) => (typeof v === 'string' ? `'${v}'` : String(v))).join(' or '), (v) =>
    values.includes(v as T),
  );

/** An array, or typed array, of finite numbers. */
export const numbers = (least: number): Rule<ArrayLike<number>> =>
  rule(`an array of at least ${least} finite numbers`, (v) => {
    if (!(Array.isArray(v) || (ArrayBuffer.isView(v) && !(v instanceof DataView)))) return false;
    const list = v as ArrayLike<unknown>;
    if (list.length < least) return false;
    for (let i = 0; i < list.length; i++) if (!finite(list[i])) return false;
    return true;
  });

/** The same rule with a value taken when the argument is absent. */
export const or = <T>(base: Rule<T>, fallback: T): Rule<T> => ({ ...base, fallback });

/** The same rule for an argument that may be absent. */
export const maybe = <T>(base: Rule<T>): Rule<T | undefined> =>
  ({ ...base, optional: true }) as Rule<T | undefined>;

/** A value as it stands in a message: short, and plain about its type. */
export function shown(value: unknown): string {
  if (typeof value === 'string') return JSON.stringify(value.length > 40 ? `${value.slice(0, 40)}…` : value);
  if (typeof value === 'number' || value === undefined || value === null || typeof value === 'boolean') {
    return String(value);
  }
  if (Array.isArray(value) || ArrayBuffer.isView(value)) {
    return `an array of ${(value as unknown as ArrayLike<unknown>).length}`;
  }
  return typeof value === 'object' ? 'an object' : `a ${typeof value}`;
}

/** The name of `known` nearest to `name`, by the least number of letters put in, left out, changed or swapped. */
export function nearest(name: string, known: readonly string[]): string | undefined {
  let best: string | undefined;
  let least = Number.POSITIVE_INFINITY;
  for (const candidate of known) {
    const d = editDistance(name.slice(0, 64).toLowerCase(), candidate.toLowerCase());
    if (d < least) {
      least = d;
      best = candidate;
    }
  }
  return best;
}

function editDistance(a: string, b: string): number {
  let before: number[] = [];
  let row = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const next = [i];
    for (let j = 1; j <= b.length; j++) {
      const cost = a[i - 1] === b[j - 1] ? 0 : 1;
      let d = Math.min(next[j - 1]! + 1, row[j]! + 1, row[j - 1]! + cost);
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1])
        d = Math.min(d, before[j - 2]! + 1);
      next.push(d);
    }
    before = row;
    row = next;
  }
  return row[b.length]!;
}

/** The message of a refused value. */
export const refusal = (place: string, got: unknown, allowed: string): string =>
  `${place}: got ${shown(got)}; allowed ${allowed}`;

/**
 * The arguments of `caller`, in full: each checked against its rule, defaults taken.
 *
 * @throws TypeError for a name that is not in the shape, with the nearest that is; RangeError for a value its rule refuses
 */
export function named<S extends Shape>(caller: string, shape: S, given: unknown): Arguments<S> {
  if (typeof given !== 'object' || given === null) {
    throw new TypeError(`${caller}: got ${shown(given)}; allowed one object of named arguments`);
  }
  const source = given as Record<string, unknown>;
  for (const name of Object.keys(source)) {
    if (!Object.hasOwn(shape, name)) {
      const near = nearest(name, Object.keys(shape));
      throw new TypeError(`${caller}: no argument is named ${shown(name)}; the nearest is ${shown(near)}`);
    }
  }
  const out: Record<string, unknown> = {};
  for (const name of Object.keys(shape)) {
    const { keeps, allowed, fallback, optional } = shape[name]!;
    const value = Object.hasOwn(source, name) ? source[name] : undefined;
    if (value === undefined && (optional || fallback !== undefined)) {
      if (fallback !== undefined) out[name] = fallback;
    } else if (keeps(value)) out[name] = value;
    else throw new RangeError(refusal(`${caller}.${name}`, value, allowed));
  }
  return out as Arguments<S>;
}

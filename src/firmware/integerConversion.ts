/**
 * Integer conversion: from result code to measurand without floating point, proved at every code.
 *
 * In come the measurand of a code, the codes to convert, how many steps a unit of the measurand has and the error wanted; out goes the
 * smallest arithmetic that keeps it, as constants and as a function that computes what the C does.
 */
import { choice, named, or, positive, type Rule, refusal, whole } from '../numbers/guard.ts';
import { type Curve, curveOf } from './curve.ts';
import { type Proof, proofOf, type Width, widths } from './form.ts';
import { type Multiplier, multiplierFor } from './multiplier.ts';
import { type Polynomial, polynomialFor } from './polynomial.ts';
import { type Table, tableFor } from './table.ts';

export type Method = 'multiplier' | 'polynomial' | 'table';

/** What one way of converting comes to at one width of its intermediates. */
export interface ConversionCandidate {
  readonly method: Method;
  /** Width of the intermediates, bits. */
  readonly intermediates: Width;
  /** Whether it keeps the wanted error. */
  readonly keeps: boolean;
  /** Largest error, in the measurand's unit; of one that does not keep it, the least met; 'none' where nothing fits the width. */
  readonly error: number | 'none';
  /** Bytes of its constants. */
  readonly bytes: number;
  /** Bytes of constants and, by estimate, of the program: w²/2 for a multiplication of w bytes, 16 for reading a table. Smallest is chosen. */
  readonly size: number;
}

/** An integer conversion. */
export interface IntegerConversion {
  readonly method: Method;
  /** Width of the intermediates, bits. */
  readonly intermediates: Width;
  /** The constants. */
  readonly form: Multiplier | Polynomial | Table;
  /** Steps per unit of the measurand. */
  readonly scale: number;
  /** Whether the measurand falls as the code rises. */
  readonly falling: boolean;
  /** Low bits of the code that are dropped first. */
  readonly drop: number;
  /** The lowest and the highest code that are converted. */
  readonly lowestCode: number;
  readonly highestCode: number;
  /** What is returned for codes whose measurand lies below, and above, what is converted. */
  readonly below: number;
  readonly above: number;
  /** Error wanted, in the measurand's unit. */
  readonly wanted: number;
  /** Largest error over every code converted, rounding included, in the measurand's unit, and a code where it occurs. */
  readonly largestError: number;
  readonly largestErrorCode: number;
  /** Largest magnitude of an intermediate over every code converted. */
  readonly largestIntermediate: number;
  /** Bytes of the constants. */
  readonly bytes: number;
  /** Every way that was looked at, by method and width. */
  readonly candidates: readonly ConversionCandidate[];
  /** Steps for a code; `below` or `above` for codes that are not converted. */
  fromCode(code: number): number;
  /** Error at a code that is converted, signed, in the measurand's unit. */
  errorAt(code: number): number;
}

/** What stands for "below" and "above": the ends of 32 bits, so that comparisons still hold. */
export const sentinels = { below: -(2 ** 31), above: 2 ** 31 - 1 } as const;

/** Size of a polynomial of second degree in 64 bits, bytes: what serves in fewer bits and is no larger is not held against it. */
const leastOfWidest = 104;

/** Largest degree of a polynomial. */
const highestDegree = 9;

/** What finding the entries of a table is worth, bytes: index, two reads, a difference. */
const reading = 16;

/** What multiplications of a width are worth, bytes: the partial products of a small core. */
const multiplication = (width: Width): number => (width / 8) ** 2 / 2;

const curveRule: Rule<(code: number) => number> = {
  allowed: 'a function from code to measurand',
  keeps: (v): v is (code: number) => number => typeof v === 'function',
};
const shape = {
  measurandOf: curveRule,
  lowestCode: whole(0, 2 ** 32 - 1),
  highestCode: whole(0, 2 ** 32 - 1),
  scale: whole(1, 2 ** 31 - 2),
  error: positive(''),
  intermediates: or(choice(widths), 64),
};

interface Tried {
  readonly form: Multiplier | Polynomial | Table;
  readonly proof: Proof;
  readonly bytes: number;
  readonly size: number;
}

/** The forms of a method at a width, the smallest first, as far as that is known beforehand. */
function* formsOf(curve: Curve, method: Method, width: Width): Generator<Omit<Tried, 'proof'>> {
  const each = width / 8;
  if (method === 'multiplier') {
    const form = multiplierFor(curve, width);
    if (form) yield { form, bytes: 3 * each, size: 3 * each + multiplication(width) };
  } else if (method === 'polynomial') {
    for (let degree = 1; degree <= highestDegree; degree++) {
      const form = polynomialFor(curve, width, degree);
      const bytes = (degree + 3) * each;
      if (form) yield { form, bytes, size: bytes + degree * multiplication(width) };
    }
  } else {
    const most = Math.ceil(Math.log2(curve.last - curve.first + 1));
    for (let segmentBits = most; segmentBits >= 1; segmentBits--) {
      for (const narrow of [true, false]) {
        const form = tableFor(curve, width, segmentBits, narrow);
        const bytes = (form?.entries.length ?? 0) * (narrow ? 2 : 4);
        if (form) yield { form, bytes, size: bytes + reading + multiplication(width) };
      }
    }
  }
}

/** The smallest form of a method at a width that keeps the error, or the one that comes nearest. */
function best(curve: Curve, method: Method, width: Width, allowed: number): Tried | undefined {
  let kept: Tried | undefined;
  let nearest: Tried | undefined;
  for (const tried of formsOf(curve, method, width)) {
    if (kept !== undefined && tried.size >= kept.size) break;
    const proof = proofOf(curve, tried.form, width, allowed);
    const one = { ...tried, proof };
    if (proof.holds) kept = one;
    else if (Number.isFinite(proof.intermediate) && proof.error < (nearest?.proof.error ?? Infinity)) {
      nearest = one;
    }
  }
  return kept ?? nearest;
}

/**
 * The smallest integer arithmetic from code to measurand that keeps an error.
 *
 *     value = measurand·scale, rounded: multiplier and shift, polynomial in fixed point, or table with interpolation
 *
 * Each of the three is tried with intermediates of 16 and 32 bits, and of 64 where those do not serve or are large (53 of them, so
 * that doubles compute the same). Every
 * code is walked through: the largest error, rounding included, and the largest intermediate are proved, not estimated. Smallest is
 * by bytes of constants and multiplications, then by width.
 *
 * @param measurandOf - measurand for a code, in its unit; keeps rising or falling
 * @param lowestCode - lowest code that is converted, 0 … 2³² − 1
 * @param highestCode - highest code that is converted, from `lowestCode`
 * @param scale - steps of the value per unit of the measurand, 1 … 2³¹ − 2
 * @param error - largest error allowed, in the measurand's unit, above half a step
 * @param intermediates - widest intermediates allowed, bits: 16, 32 or 64 (default)
 * @returns constants, proof, and the function itself
 * @throws RangeError for an argument outside its range, and where nothing keeps the error
 *
 * @example
 * integerConversion({ measurandOf: (code) => (code * 3.3) / 4096, lowestCode: 0, highestCode: 4095, scale: 1000, error: 0.001 }).fromCode(1241) // => 1000
 */
export function integerConversion(given: {
  readonly measurandOf: (code: number) => number;
  readonly lowestCode: number;
  readonly highestCode: number;
  readonly scale: number;
  readonly error: number;
  readonly intermediates?: Width;
}): IntegerConversion {
  const caller = 'integerConversion';
  const { measurandOf, lowestCode, highestCode, scale, error, intermediates } = named(caller, shape, given);
  if (highestCode < lowestCode)
    throw new RangeError(refusal(`${caller}.highestCode`, highestCode, `from lowestCode, ${lowestCode}`));
  const curve = curveOf(caller, measurandOf, lowestCode, highestCode, scale);
  const extreme = Math.max(Math.abs(curve.lowest[0]!), Math.abs(curve.highest.at(-1)!));
  if (!(extreme < 2 ** 31 - 2)) {
    throw new RangeError(
      `${refusal(`${caller}.scale`, scale, `up to ${Math.floor(((2 ** 31 - 2) / extreme) * scale)}`)}; the value has 32 bits`,
    );
  }
  const kept: (Tried & { method: Method; width: Width })[] = [];
  const candidates: ConversionCandidate[] = [];
  let least = Number.POSITIVE_INFINITY;
  for (const width of widths.filter((w) => w <= intermediates)) {
    // No bent curve is smaller in 64 bits than this.
    if (width === 64 && kept.some(({ size }) => size <= leastOfWidest)) break;
    for (const method of ['multiplier', 'polynomial', 'table'] as const) {
      const tried = best(curve, method, width, error * scale);
      candidates.push({
        method,
        intermediates: width,
        keeps: tried?.proof.holds ?? false,
        error: tried ? tried.proof.error / scale : 'none',
        bytes: tried?.bytes ?? 0,
        size: tried?.size ?? 0,
      });
      if (tried?.proof.holds) kept.push({ ...tried, method, width });
      least = Math.min(least, tried ? tried.proof.error / scale : Number.POSITIVE_INFINITY);
    }
  }
  const chosen = kept.reduce<(typeof kept)[number] | undefined>(
    (a, b) => (a === undefined || b.size < a.size ? b : a),
    undefined,
  );
  if (chosen === undefined) {
    const from = Number.isFinite(least) ? `from about ${least.toPrecision(3)}` : 'with wider intermediates';
    throw new RangeError(
      `${refusal(`${caller}.error`, error, from)}; half a step is ${0.5 / scale}, so a larger scale may serve`,
    );
  }
  const { method, width, form, proof, bytes } = chosen;
  const { drop, sign, first, lowest } = curve;
  const falling = sign < 0;
  const unseen = { largest: 0 };
  return {
    method,
    intermediates: width,
    form,
    scale,
    falling,
    drop,
    lowestCode,
    highestCode,
    ...sentinels,
    wanted: error,
    largestError: proof.error / scale,
    largestErrorCode: Math.min(Math.max(proof.block * 2 ** drop, lowestCode), highestCode),
    largestIntermediate: proof.intermediate,
    bytes,
    candidates,
    fromCode: (code) => {
      if (code < lowestCode) return falling ? sentinels.above : sentinels.below;
      if (code > highestCode) return falling ? sentinels.below : sentinels.above;
      const z = form.z(Math.floor(code / 2 ** drop), unseen);
      return falling ? 0 - z : z + 0;
    },
    errorAt: (code) => {
      const block = Math.floor(code / 2 ** drop);
      const truth = drop === 0 ? lowest[block - first]! : sign * measurandOf(code) * scale;
      return (sign * (form.z(block, unseen) - truth)) / scale;
    },
  };
}

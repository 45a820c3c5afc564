/**
 * Polynomial in fixed point, by Horner's scheme about the middle of the codes.
 *
 *     t = block − centre;  a = c[n];  a = c[k] + a·t/2^s[k], k = n − 1 … 1;  z = base + (a·t + offset)/2^s[0]
 *
 * Divisions are those of C99, towards zero; the last one has a dividend of zero or above, so half a step in the offset rounds it.
 */
import { type Curve, middle, midwayOver } from './curve.ts';
import { type Form, limitOf, type Seen, type Width } from './form.ts';

/** The constants of a polynomial. */
export interface Polynomial extends Form {
  readonly method: 'polynomial';
  /** Steps, turned so that they rise. */
  readonly base: number;
  readonly centre: number;
  /** c[1] … c[n], highest power last. */
  readonly coefficients: readonly number[];
  /** s[0] … s[n − 1]: what each product is divided by, log2. */
  readonly shifts: readonly number[];
  readonly offset: number;
}

/** Places at which the partial sums are looked at to scale them. */
const places = 128;

/** Share of an intermediate's limit that the scaling uses; the rest is for roundings and for what lies between the places. */
const share = 0.97;

/** Coefficients in x = −1 … 1 of the polynomial through the curve at the Chebyshev nodes. */
function coefficientsOf(curve: Curve, degree: number, centre: number, reach: number): number[] {
  const xs: number[] = [];
  const divided: number[] = [];
  for (let i = 0; i <= degree; i++) {
    const node = Math.cos((Math.PI * (i + 0.5)) / (degree + 1));
    const block = Math.min(Math.max(Math.round(centre + node * reach), curve.first), curve.last);
    xs.push((block - centre) / reach);
    divided.push(middle(curve, block));
  }
  for (let k = 1; k <= degree; k++) {
    for (let i = degree; i >= k; i--) divided[i] = (divided[i]! - divided[i - 1]!) / (xs[i]! - xs[i - k]!);
  }
  const out = new Array<number>(degree + 1).fill(0);
  for (let i = degree; i >= 0; i--) {
    for (let k = degree; k > 0; k--) out[k] = out[k - 1]! - out[k]! * xs[i]!;
    out[0] = divided[i]! - out[0]! * xs[i]!;
  }
  return out;
}

/** Largest magnitude of the partial sum from coefficient k on. */
function largestPartial(coefficients: readonly number[], k: number): number {
  let largest = 0;
  for (let i = 0; i <= places; i++) {
    const x = (2 * i) / places - 1;
    let sum = 0;
    for (let j = coefficients.length - 1; j >= k; j--) sum = sum * x + coefficients[j]!;
    largest = Math.max(largest, Math.abs(sum));
  }
  return largest;
}

/** A polynomial of this degree with the finest scaling that fits the width; undefined where none does. */
export function polynomialFor(curve: Curve, width: Width, degree: number): Polynomial | undefined {
  const { first, last, lowest, highest } = curve;
  if (last - first < 4 * degree) return undefined;
  const centre = Math.round((first + last) / 2);
  const reach = Math.max(centre - first, last - centre);
  const limit = limitOf(width, true);
  const real = coefficientsOf(curve, degree, centre, reach);
  const base = Math.floor(lowest[0]!) - 1;
  const span = highest.at(-1)! - base + 2;
  // Scales from the result upwards: product k is p[k]·x·unit[k].
  const coefficients: number[] = [];
  const shifts: number[] = [];
  let unit = 1;
  for (let k = 1; k <= degree; k++) {
    const largest = Math.max(largestPartial(real, k), k === 1 ? span : 0);
    const room = Math.floor(Math.log2((limit * share) / (largest * unit)));
    if (room < 0) return undefined;
    const shift = Math.min(room, width - 2, 40);
    shifts.push(shift);
    unit = (unit * 2 ** shift) / reach;
    coefficients.push(Math.round(real[k]! * unit));
  }
  const product = (block: number, seen: Seen): number => {
    const t = block - centre;
    let a = coefficients[degree - 1]!;
    let largest = Math.abs(t);
    for (let k = degree - 1; k >= 1; k--) {
      const by = a * t;
      a = coefficients[k - 1]! + Math.trunc(by / 2 ** shifts[k]!);
      largest = Math.max(largest, Math.abs(by), Math.abs(a));
    }
    seen.largest = Math.max(seen.largest, largest, Math.abs(a * t));
    return a * t;
  };
  const unseen = { largest: 0 };
  const rest = midwayOver(curve, (block) => product(block, unseen) / 2 ** shifts[0]!);
  const offset = Math.round((rest + 0.5 - base) * 2 ** shifts[0]!);
  return {
    method: 'polynomial',
    base,
    centre,
    coefficients,
    shifts,
    offset,
    signed: true,
    z: (block, seen) => {
      const sum = product(block, seen) + offset;
      // Below zero the last division would round the other way.
      seen.largest = Math.max(seen.largest, offset, sum < 0 ? Number.POSITIVE_INFINITY : sum);
      return base + Math.trunc(sum / 2 ** shifts[0]!);
    },
  };
}

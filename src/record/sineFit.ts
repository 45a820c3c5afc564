/**
 * Sine fit: the sine that lies nearest to a record, by least squares.
 *
 *     x[n] ≈ cosine·cos(2πf·n/rate) + sine·sin(2πf·n/rate) + offset
 *
 * Values come in; amplitude, phase, offset and what is left go out. With the frequency known three parameters are fitted; without,
 * the frequency is the fourth, found from the highest line of the spectrum and then refined.
 */
import { bitsRule } from '../chain/quantizing.ts';
import { realFourier } from '../numbers/fourier.ts';
import { maybe, named, notNegative, numbers, positive } from '../numbers/guard.ts';
import { weightedInto } from './spectrum.ts';
import { windowOf } from './windows.ts';

/** The sine nearest to a record; t = 0 at the first value. */
export interface SineFit {
  /** Coefficient of cos(2πft), in the unit of the values. */
  readonly cosine: number;
  /** Coefficient of sin(2πft), in the unit of the values. */
  readonly sine: number;
  /** √(cosine² + sine²), in the unit of the values. */
  readonly amplitude: number;
  /** Phase of amplitude·cos(2πft + phase), rad, −π … π. */
  readonly phase: number;
  /** Frequency f, Hz. */
  readonly frequency: number;
  /** Offset, in the unit of the values. */
  readonly offset: number;
  /** Rms of what is left, divisor M, in the unit of the values. */
  readonly residual: number;
}

/** Parameters of the model: cosine, sine, offset, and frequency in cycles per value. */
interface Model {
  cosine: number;
  sine: number;
  offset: number;
  cycles: number;
}

/** Solves A·x = b by elimination with pivots, A symmetric, both overwritten; undefined where a pivot is nothing but rounding. */
function solved(a: number[][], b: number[]): number[] | undefined {
  const n = b.length;
  const scale = a.map((row, i) => Math.sqrt(Math.abs(row[i]!)) || 1);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < n; j++) a[i]![j]! /= scale[i]! * scale[j]!;
    b[i]! /= scale[i]!;
  }
  for (let i = 0; i < n; i++) {
    let top = i;
    for (let r = i + 1; r < n; r++) if (Math.abs(a[r]![i]!) > Math.abs(a[top]![i]!)) top = r;
    if (!(Math.abs(a[top]![i]!) > 1e-13)) return undefined;
    [a[i], a[top]] = [a[top]!, a[i]!];
    [b[i], b[top]] = [b[top]!, b[i]!];
    for (let r = i + 1; r < n; r++) {
      const f = a[r]![i]! / a[i]![i]!;
      for (let j = i; j < n; j++) a[r]![j]! -= f * a[i]![j]!;
      b[r]! -= f * b[i]!;
    }
  }
  for (let i = n - 1; i >= 0; i--) {
    for (let j = i + 1; j < n; j++) b[i]! -= a[i]![j]! * b[j]!;
    b[i]! /= a[i]![i]!;
  }
  return b.map((x, i) => x / scale[i]!);
}

/** One step of least squares from a model: what to add to it; and the sum of squares that the model leaves. */
function step(
  values: ArrayLike<number>,
  model: Model,
  parameters: 3 | 4,
): { by: number[] | undefined; squares: number } {
  const middle = (values.length - 1) / 2;
  const a = Array.from({ length: parameters }, () => new Array<number>(parameters).fill(0));
  const b = new Array<number>(parameters).fill(0);
  const row = [0, 0, 1, 0];
  let squares = 0;
  for (let n = 0; n < values.length; n++) {
    const turns = model.cycles * (n - middle);
    const angle = 2 * Math.PI * (turns - Math.round(turns));
    const c = Math.cos(angle);
    const s = Math.sin(angle);
    const left = values[n]! - model.cosine * c - model.sine * s - model.offset;
    row[0] = c;
    row[1] = s;
    row[3] = 2 * Math.PI * (n - middle) * (model.sine * c - model.cosine * s);
    for (let i = 0; i < parameters; i++) {
      for (let j = i; j < parameters; j++) a[i]![j]! += row[i]! * row[j]!;
      b[i]! += row[i]! * left;
    }
    squares += left * left;
  }
  for (let i = 0; i < parameters; i++) for (let j = 0; j < i; j++) a[i]![j] = a[j]![i]!;
  return { by: solved(a, b), squares };
}

/** The three-parameter fit: one step from nothing, and one more that takes out the rounding of the first. */
function fitAt(values: ArrayLike<number>, cycles: number): { model: Model; squares: number } | undefined {
  const model: Model = { cosine: 0, sine: 0, offset: 0, cycles };
  for (let i = 0; i < 2; i++) {
    const { by } = step(values, model, 3);
    if (!by) return undefined;
    model.cosine += by[0]!;
    model.sine += by[1]!;
    model.offset += by[2]!;
  }
  return { model, squares: step(values, model, 3).squares };
}

/** Cycles per value of the highest line, from the two highest bins of a Hann spectrum. */
function highestLine(values: ArrayLike<number>): number {
  const length = values.length;
  const weighted = new Float64Array(length);
  weightedInto(values, 0, windowOf('hann', length).weights, weighted);
  const x = realFourier(weighted);
  const size = (k: number): number => Math.hypot(x[2 * k] ?? 0, x[2 * k + 1] ?? 0);
  const last = x.length / 2 - 1;
  let top = 1;
  for (let k = 2; k <= last; k++) if (size(k) > size(top)) top = k;
  const side = top < last && (top === 1 || size(top + 1) > size(top - 1)) ? 1 : -1;
  const r = size(top) === 0 ? 0 : size(top + side) / size(top);
  // A Hann line that stands off its bin by d shows in the next with (1 + d)/(2 − d) of its height.
  const off = (2 * r - 1) / (1 + r);
  return Math.min(0.5 - 0.01 / length, Math.max(0.1 / length, (top + side * Math.max(-0.5, off)) / length));
}

/** The four-parameter fit, from a first frequency. */
function refined(values: ArrayLike<number>, first: number): { model: Model; squares: number } | undefined {
  // The line is known to a small part of a bin, unless there are few cycles: then look around it.
  let best: { model: Model; squares: number } | undefined;
  const reach = first * values.length < 4 ? 10 : 2;
  for (let i = -reach; i <= reach; i++) {
    const cycles = first + (0.15 * i) / values.length;
    if (cycles <= 0 || cycles >= 0.5) continue;
    const tried = fitAt(values, cycles);
    if (tried && !(best && best.squares <= tried.squares)) best = tried;
  }
  for (let i = 0; best && i < 50; i++) {
    const { by } = step(values, best.model, 4);
    if (!by) break;
    // Half the way, and again, while the whole way leads past the least.
    let part = 1;
    let next = fitAt(values, best.model.cycles + by[3]!);
    while (next && next.squares > best.squares * (1 + 1e-12) && part > 1e-3) {
      part /= 2;
      next = fitAt(values, best.model.cycles + part * by[3]!);
    }
    if (!next || next.squares > best.squares * (1 + 1e-12)) break;
    best = next;
    if (Math.abs(by[3]!) * values.length < 1e-12) break;
  }
  return best;
}

/**
 * The sine nearest to a record, by least squares.
 *
 * @param values - record of M values in any unit, M from 4 (5 without `frequency`); not modified
 * @param rate - values per second, Hz, above 0
 * @param frequency - frequency, Hz, above 0, where it is known: three parameters. May lie above half the rate
 * @returns the sine and what it leaves
 * @throws RangeError for an argument outside its range, or where the record tells no sine at that frequency from an offset
 * @see [IEEE1057] annex on sine fits, [IEEE1241] 4.1.4 (clauses from memory)
 *
 * sineFit({ values: [3, 5, 3, 1, 3, 5, 3, 1], rate: 4, frequency: 1 }).amplitude // => 2
 */
export function sineFit(given: { values: ArrayLike<number>; rate: number; frequency?: number }): SineFit {
  const { values, rate, frequency } = named(
    'sineFit',
    {
      values: numbers(given?.frequency === undefined ? 5 : 4),
      rate: positive('Hz'),
      frequency: maybe(positive('Hz')),
    },
    given,
  );
  const fit =
    frequency === undefined ? refined(values, highestLine(values)) : fitAt(values, frequency / rate);
  if (!fit) {
    throw new RangeError(
      `sineFit.frequency: got ${frequency}; allowed frequencies that ${values.length} values at ${rate} Hz tell from an offset`,
    );
  }
  const { cycles, offset } = fit.model;
  // The model was fitted with t = 0 in the middle, where amplitude and frequency disturb each other least.
  const turns = (cycles * (values.length - 1)) / 2;
  const angle = 2 * Math.PI * (turns - Math.round(turns));
  const cosine = fit.model.cosine * Math.cos(angle) - fit.model.sine * Math.sin(angle);
  const sine = fit.model.cosine * Math.sin(angle) + fit.model.sine * Math.cos(angle);
  return {
    cosine,
    sine,
    amplitude: Math.hypot(cosine, sine),
    phase: Math.atan2(-sine, cosine),
    frequency: frequency ?? cycles * rate,
    offset,
    residual: Math.sqrt(fit.squares / values.length),
  };
}

/**
 * Effective number of bits from the residual of a sine fit: those of the ideal converter whose quantization is as large.
 *
 *     ENOB = log2(2^N/(rms·√12))
 *
 * @param residual - rms of what the sine fit leaves, LSB, above 0
 * @param bits - number of bits N, 1 … 32
 * @returns ENOB, bits; 'any' for a residual of 0
 * @throws RangeError for an argument outside its range
 * @see [IEEE1241] definition of effective number of bits (from memory)
 *
 * effectiveBitsFromResidual({ residual: 1.22180932, bits: 12 }) // => 9.9184996
 */
export function effectiveBitsFromResidual(given: { residual: number; bits: number }): number | 'any' {
  const { residual, bits } = named(
    'effectiveBitsFromResidual',
    { residual: notNegative('LSB'), bits: bitsRule },
    given,
  );
  return residual === 0 ? 'any' : bits - Math.log2(residual * Math.sqrt(12));
}

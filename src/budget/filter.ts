/**
 * Filters that firmware adds over readings: what each makes of noise and of a step.
 *
 * In comes the filter; out go its noise factor, the readings it takes to follow a step, and the codes by which it may stay short for
 * ever. The same filters in integers, bit for bit, are `filteredCodes`.
 */
import { between, choice, named, or, type Rule, whole } from '../numbers/guard.ts';
import { normalDensity, normalTail } from '../numbers/normal.ts';

/** How the exponential filter is written: see `filteredCodes`. */
export type ExponentialForm = 'shift' | 'divide' | 'accumulator';

/** A filter over readings. */
export type ReadingFilter =
  | { readonly kind: 'mean'; readonly length: number }
  | { readonly kind: 'exponential'; readonly shift: number; readonly form: ExponentialForm }
  | { readonly kind: 'median'; readonly length: 3 | 5 };

/** What a filter does. */
export interface FilterFigures {
  /** Standard deviation of its output over that of independent, normal readings. */
  readonly noiseFactor: number;
  /** Readings from a step until the output shows the wanted part of it, the first reading after the step being 1. */
  readonly stepReadings: number;
  /** Dead band: codes by which the settled output may stay below a steady input after a rise, and above it after a fall. */
  readonly deadBand: { readonly below: number; readonly above: number };
}

const meanShape = { kind: choice(['mean']), length: whole(1, 4096) };
const exponentialShape = {
  kind: choice(['exponential']),
  shift: whole(0, 16),
  form: choice<ExponentialForm>(['shift', 'divide', 'accumulator']),
};
const medianShape = { kind: choice(['median']), length: choice([3, 5]) };
const kinds = choice(['mean', 'exponential', 'median']);

/** The rule of an argument that is a filter; `readFilter` reads it. */
export const filterRule: Rule<object> = {
  allowed: "a filter {kind: 'mean' | 'exponential' | 'median', …}",
  keeps: (v): v is object =>
    typeof v === 'object' && v !== null && kinds.keeps((v as { kind?: unknown }).kind),
};

/** The filter of an argument. */
export function readFilter(caller: string, given: object): ReadingFilter {
  const place = `${caller}.filter`;
  const { kind } = given as ReadingFilter;
  if (kind === 'mean') return named(place, meanShape, given) as ReadingFilter;
  if (kind === 'median') return named(place, medianShape, given) as ReadingFilter;
  return named(place, exponentialShape, given) as ReadingFilter;
}

/**
 * Standard deviation of the median of n normal deviates, n odd, m = (n − 1)/2:
 *
 *     √∫ z²·n!/(m!)²·(Φ(z)·(1 − Φ(z)))^m·φ(z) dz
 *
 * by the trapezoidal rule, which converges beyond double precision at this step for so smooth an integrand.
 */
function medianNoise(n: 3 | 5): number {
  const orders = n === 3 ? 6 : 30;
  const step = 1 / 16;
  let sum = 0;
  for (let i = -160; i <= 160; i++) {
    const z = i * step;
    sum += z * z * (normalTail(z) * normalTail(-z)) ** ((n - 1) / 2) * normalDensity(z);
  }
  return Math.sqrt(orders * sum * step);
}

/**
 * What a filter over readings does to noise and to a step.
 *
 *     mean of n: noise 1/√n      exponential, a = 2^−shift: noise √(a/(2 − a)), step (1 − a)^m      median of 3: 0.6698, of 5: 0.5356
 *
 * Noise is that of independent normal readings that spread over several codes; step that of the filter in real numbers, which an
 * integer one follows while what is left of the step exceeds its dead band. A median throws out one false reading of three, or two
 * of five, whatever their size; a mean does not.
 *
 * @param filter - {kind: 'mean', length: 1 … 4096}, {kind: 'exponential', shift: 0 … 16, form: 'shift' | 'divide' | 'accumulator'} or {kind: 'median', length: 3 | 5}
 * @param settled - part of the step that the output has to show, 0.01 … 0.999999; 0.99 if absent
 * @returns noise factor, number of readings, dead band in codes
 * @throws RangeError if an argument is outside its range
 * @see own derivation; [ORDERSTATISTICS] (median)
 *
 * @example
 * filterFigures({ filter: { kind: 'exponential', shift: 3, form: 'shift' } }).noiseFactor // => 0.258199
 * filterFigures({ filter: { kind: 'exponential', shift: 3, form: 'shift' } }).deadBand // => { below: 7, above: 0 }
 */
export function filterFigures(given: {
  readonly filter: ReadingFilter;
  readonly settled?: number | undefined;
}): FilterFigures {
  const caller = 'filterFigures';
  const shape = { filter: filterRule, settled: or(between(0.01, 0.999999, ''), 0.99) };
  const a = named(caller, shape, given);
  const filter = readFilter(caller, a.filter);
  const none = { below: 0, above: 0 };
  if (filter.kind === 'mean') {
    const { length } = filter;
    // A part that is a whole number of readings but for rounding needs no further one.
    const stepReadings = Math.max(1, Math.ceil(a.settled * length - 1e-9));
    return { noiseFactor: 1 / Math.sqrt(length), stepReadings, deadBand: none };
  }
  if (filter.kind === 'median') {
    return { noiseFactor: medianNoise(filter.length), stepReadings: (filter.length + 1) / 2, deadBand: none };
  }
  const gain = 2 ** -filter.shift;
  const stepReadings =
    gain === 1 ? 1 : Math.max(1, Math.ceil(Math.log1p(-a.settled) / Math.log1p(-gain) - 1e-9));
  const short = 2 ** filter.shift - 1;
  return {
    noiseFactor: Math.sqrt(gain / (2 - gain)),
    stepReadings,
    deadBand: {
      shift: { below: short, above: 0 },
      divide: { below: short, above: short },
      accumulator: none,
    }[filter.form],
  };
}

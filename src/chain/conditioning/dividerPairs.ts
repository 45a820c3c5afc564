/**
 * Divider pairs: which two resistors of an E series bring a voltage down to the pin, under a current that may be drawn.
 *
 * In come the highest voltage, what the pin may get, the current allowed and the series; out go the pairs that no other beats, each
 * with what it draws and how far it may be off. For one upper resistor the largest lower one that keeps the pin in range draws least,
 * has the finest code and the least error by tolerances, at the same error by leakage: so there is one pair for each upper resistor,
 * and what it draws falls as its leakage error rises.
 */
import { digitsOf } from '../../numbers/decimal.ts';
import { type SeriesName, seriesNames, seriesValues } from '../../numbers/eseries.ts';
import { between, choice, named, notNegative, or, positive, refusal } from '../../numbers/guard.ts';
import { year } from '../../numbers/units.ts';
import { divider } from '../source/divider.ts';

/** Two resistors, and what they do at the highest voltage. Errors are in V at the voltage measured, either way. */
export interface DividerPair {
  /** Between the voltage and the pin, Ω. */
  readonly upper: number;
  /** Between the pin and ground, Ω. */
  readonly lower: number;
  /** (upper + lower)/lower, what the pin's voltage is multiplied by, in lowest terms. */
  readonly multiplier: { readonly numerator: number; readonly denominator: number };
  /** Both resistors in parallel, which the pin sees, Ω. */
  readonly theveninResistance: number;
  /** A */
  readonly current: number;
  /** What that current takes in a year of 8760 h, C. */
  readonly chargePerYear: number;
  /** V at the pin, both resistors as marked. */
  readonly pinVoltage: number;
  /** That of what the pin may get, 0 … 1. */
  readonly share: number;
  /** By the tolerance of both resistors, worse corner. */
  readonly toleranceError: number;
  /** By leakage through both resistors in parallel. */
  readonly leakageError: number;
  /** By what the pin's voltage is misread by. */
  readonly readingError: number;
  /** The three together at their worst. */
  readonly worstCase: number;
  /** Root of the sum of their squares. */
  readonly rootSumSquare: number;
}

/** The pairs that no other beats. */
export interface DividerPairs {
  /** By rising resistance: each draws less than the one before, and its leakage error is larger. */
  readonly pairs: readonly DividerPair[];
  /** The pair of the least worst case; of equals the one with the lowest resistors, which settles soonest. */
  readonly recommended: DividerPair | 'none';
}

/** Values this near to a limit, relative to it, keep it. */
const same = 1e-9;

const shape = {
  highest: positive('V'),
  largestAtPin: positive('V'),
  largestCurrent: between(1e-12, 1, 'A'),
  series: or(choice(seriesNames), 'E24'),
  tolerance: or(between(0, 0.5, ''), 0),
  leakage: or(notNegative('A'), 0),
  pinError: or(notNegative('V'), 0),
  largestResistor: or(between(1, 1e12, 'Ω'), 10e6),
};

/** The values of a series from `low` to `high`, rising. */
function valuesBetween(series: SeriesName, low: number, high: number): number[] {
  const decade = seriesValues({ series });
  const first = Math.floor(Math.log10(low));
  const count = Math.max(0, Math.floor(Math.log10(high)) - first + 1);
  return Array.from({ length: count }, (_, i) => decade.map((v) => Number(`${v}e${first + i}`)))
    .flat()
    .filter((v) => v >= low * (1 - same) && v <= high * (1 + same));
}

/** (upper + lower)/lower in lowest terms; both are of few digits. */
function multiplierOf(upper: number, lower: number): DividerPair['multiplier'] {
  const finest = Math.min(...[upper, lower].map(lastDigit));
  const whole = (value: number): number => Math.round(value / 10 ** finest);
  const [all, part] = [whole(upper) + whole(lower), whole(lower)];
  const common = divisor(all, part);
  return { numerator: all / common, denominator: part / common };
}

/** Power of ten of a value's last digit. */
function lastDigit(value: number): number {
  const { digits, exponent } = digitsOf(value);
  return exponent - digits.length + 1;
}

const divisor = (a: number, b: number): number => (b === 0 ? a : divisor(b, a % b));

/** What the figures of a pair follow from, as `dividerPairs` takes it. */
export interface PairDemand {
  readonly highest: number;
  readonly largestAtPin: number;
  readonly tolerance: number;
  readonly leakage: number;
  readonly pinError: number;
}

/** The figures of any two resistors. */
export function dividerPair(
  { highest, largestAtPin, tolerance, leakage, pinError }: PairDemand,
  upper: number,
  lower: number,
): DividerPair {
  const of = divider({ upper, lower, resistorTolerance: tolerance, validRange: { low: 0, high: highest } });
  const pinVoltage = of.toElectrical(highest);
  const toleranceError = of.tolerance?.(highest) ?? 0;
  const leakageError = of.leakageShift(leakage);
  const readingError = (pinError * highest) / pinVoltage;
  const current = of.current(highest);
  return {
    upper,
    lower,
    multiplier: multiplierOf(upper, lower),
    theveninResistance: of.theveninResistance,
    current,
    chargePerYear: current * year,
    pinVoltage,
    share: pinVoltage / largestAtPin,
    toleranceError,
    leakageError,
    readingError,
    worstCase: toleranceError + leakageError + readingError,
    rootSumSquare: Math.hypot(toleranceError, leakageError, readingError),
  };
}

/**
 * The pairs of resistors of an E series that bring a voltage down to a pin and that no other pair beats.
 *
 *     I = V/(R1 + R2) ≤ largestCurrent      V·R2(1 + t)/(R1(1 − t) + R2(1 + t)) ≤ largestAtPin
 *     error by leakage = I_leak·(R1‖R2)·(R1 + R2)/R2 = I_leak·R1
 *
 * Every pair of the series was looked at: a pair not returned draws no less, has a leakage error no smaller and uses no more of the
 * pin's range than one that is.
 *
 * @param highest - highest voltage V, V, above `largestAtPin`
 * @param largestAtPin - what the pin may get with both resistors at their worst, V, > 0: the reference at its least
 * @param largestCurrent - through both resistors as marked, at the highest voltage, A, 1e-12 … 1
 * @param series - 'E3' … 'E192'; 'E24' if absent
 * @param tolerance - half-width t of each resistor, relative, 0 … 0.5; 0 if absent
 * @param leakage - into the pin or out of it, A, ≥ 0; 0 if absent
 * @param pinError - what the voltage at the pin is misread by (offset, INL), V, ≥ 0; 0 if absent
 * @param largestResistor - Ω, 1 … 1e12; 10e6 if absent: beyond it moisture and dirt lead as much
 * @returns the pairs, and the one that reads nearest: none where the largest resistor draws too much
 * @throws RangeError if an argument is outside its range
 * @see [IEC60063] for the series; that 10 MΩ is the most: common practice, no source
 *
 * @example
 * dividerPairs({ highest: 6.4, largestAtPin: 2.2, largestCurrent: 2e-6, leakage: 1e-9 }).recommended.upper // => 2.2e6
 * dividerPairs({ highest: 6.4, largestAtPin: 2.2, largestCurrent: 2e-6, leakage: 1e-9 }).recommended.multiplier // => { numerator: 3, denominator: 1 }
 */
export function dividerPairs(given: {
  readonly highest: number;
  readonly largestAtPin: number;
  readonly largestCurrent: number;
  readonly series?: SeriesName | undefined;
  readonly tolerance?: number | undefined;
  readonly leakage?: number | undefined;
  readonly pinError?: number | undefined;
  readonly largestResistor?: number | undefined;
}): DividerPairs {
  const a = named('dividerPairs', shape, given);
  const { highest, largestAtPin, series, tolerance, largestResistor } = a;
  if (highest <= largestAtPin) {
    throw new RangeError(
      refusal(
        'dividerPairs.highest',
        highest,
        `values above largestAtPin, ${largestAtPin} V: up to that no divider is needed`,
      ),
    );
  }
  const least = highest / a.largestCurrent;
  // The lower resistor over the upper one, both as marked, at which the worst corner is at the limit.
  const most = ((1 - tolerance) * largestAtPin) / ((1 + tolerance) * (highest - largestAtPin));
  const uppers = valuesBetween(series, least / (1 + most), largestResistor);
  // Every lower one that may be due: a decade below the first, since no two values are so far apart.
  const lowers = valuesBetween(series, ((uppers[0] ?? largestResistor) * most) / 10, largestResistor);
  let next = 0;
  const pairs = uppers.flatMap((upper): DividerPair[] => {
    // Both rise together, so the largest that serves is looked for from the last one on.
    while (next < lowers.length && lowers[next]! <= upper * most * (1 + same)) next++;
    const lower = lowers[next - 1];
    if (lower === undefined || upper + lower < least * (1 - same)) return [];
    return [dividerPair(a, upper, lower)];
  });
  const recommended = pairs.reduce<DividerPair | undefined>(
    (best, p) => (best && best.worstCase <= p.worstCase * (1 + same) ? best : p),
    undefined,
  );
  return { pairs, recommended: recommended ?? 'none' };
}

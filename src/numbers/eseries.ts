/**
 * Preferred numbers: the E series in which resistors and capacitors are made.
 *
 * In come a value and the name of a series; out goes the nearest value of the series, or the next one up or down.
 */
import { digitsOf } from './decimal.ts';
import { between, choice, named } from './guard.ts';

/** The series, by the number of values in a decade. */
export const seriesNames = ['E3', 'E6', 'E12', 'E24', 'E48', 'E96', 'E192'] as const;
export type SeriesName = (typeof seriesNames)[number];

// Where the series depart from the rounded geometric rule: index in the finest of each kind, and the value that stands there.
const exceptions24: Readonly<Record<number, number>> = {
  10: 27,
  11: 30,
  12: 33,
  13: 36,
  14: 39,
  15: 43,
  16: 47,
  22: 82,
};
const exceptions192: Readonly<Record<number, number>> = { 185: 920 };

/** The whole numbers of a series in one decade: from 10 up to E24, from 100 beyond. */
function decade(series: SeriesName): readonly number[] {
  const count = Number(series.slice(1));
  const [finest, first, exceptions] = count <= 24 ? [24, 10, exceptions24] : [192, 100, exceptions192];
  return Array.from({ length: count }, (_, i) => {
    const index = (i * finest) / count;
    return exceptions[index] ?? Math.round(first * 10 ** (index / finest));
  });
}

const decades = new Map(seriesNames.map((s) => [s, decade(s)]));

/** Values this near to one of the series, relative to it, are taken as that one. */
const same = 1e-9;

const shape = { value: between(1e-30, 1e30, ''), series: choice(seriesNames) };

/** The values of a series from one decade below a value to one above, rising. */
function around(value: number, series: SeriesName): number[] {
  const whole = decades.get(series)!;
  const { exponent } = digitsOf(value);
  const digits = String(whole[0]).length - 1;
  return [-1, 0, 1].flatMap((step) => whole.map((v) => Number(`${v}e${exponent + step - digits}`)));
}

/**
 * The values of a series in one decade.
 *
 *     v_i = 10^(i/n), rounded to two digits up to E24 and to three beyond, with the exceptions of the standard
 *
 * @param series - 'E3', 'E6', 'E12', 'E24', 'E48', 'E96' or 'E192'
 * @returns the values from 1 to below 10, rising
 * @throws RangeError for another series
 * @see [IEC60063] tables 1 and 2
 *
 * @example
 * seriesValues({ series: 'E6' }) // => [1, 1.5, 2.2, 3.3, 4.7, 6.8]
 */
export function seriesValues(given: { series: SeriesName }): number[] {
  const { series } = named('seriesValues', { series: shape.series }, given);
  return around(1, series).filter((v) => v >= 1 && v < 10);
}

/**
 * The value of a series nearest to a value, by their ratio.
 *
 * @param value - in any unit, 10⁻³⁰ … 10³⁰
 * @param series - as for `seriesValues`
 * @returns the value of the series, in the unit of `value`
 * @throws RangeError for an argument outside its range
 * @see [IEC60063]
 *
 * @example
 * nearestInSeries({ value: 4321, series: 'E24' }) // => 4300
 */
export function nearestInSeries(given: { value: number; series: SeriesName }): number {
  const { value, series } = named('nearestInSeries', shape, given);
  const apart = (v: number): number => Math.abs(Math.log(v / value));
  return around(value, series).reduce((best, v) => (apart(v) < apart(best) ? v : best));
}

/**
 * The next value of a series above or below a value. A value of the series itself, to a part in 10⁹, steps to its neighbour.
 *
 * @param value - in any unit, 10⁻³⁰ … 10³⁰
 * @param series - as for `seriesValues`
 * @param direction - 'up' or 'down'
 * @returns the value of the series, in the unit of `value`
 * @throws RangeError for an argument outside its range
 * @see [IEC60063]
 *
 * @example
 * stepSeries({ value: 9100, series: 'E24', direction: 'up' }) // => 10000
 * stepSeries({ value: 4.5e-9, series: 'E6', direction: 'down' }) // => 3.3e-9
 */
export function stepSeries(given: { value: number; series: SeriesName; direction: 'up' | 'down' }): number {
  const { value, series, direction } = named(
    'stepSeries',
    { ...shape, direction: choice(['up', 'down']) },
    given,
  );
  const values = around(value, series);
  return direction === 'up'
    ? values.find((v) => v > value * (1 + same))!
    : values.findLast((v) => v < value * (1 - same))!;
}

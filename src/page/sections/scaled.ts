/** Figures for an axis or a column: all in one unit with one prefix; ticks for many decades; where the words of a limit have room. */
import { formatQuantity } from '../../numbers/format.ts';
import { ownUnit } from '../../numbers/units.ts';

/** A unit in print, and a value as a number of it. */
export interface Scaled {
  readonly unit: string;
  readonly of: (value: number) => number;
}

const powers: Readonly<Record<string, number>> = {
  f: -15,
  p: -12,
  n: -9,
  µ: -6,
  m: -3,
  k: 3,
  M: 6,
  G: 9,
};

/** The unit with the prefix in which `size` is 1 … 1000. */
export function scaled(size: number, unit: string): Scaled {
  const own = ownUnit(unit);
  if (own !== undefined) return { unit: own, of: (value) => value };
  const name = formatQuantity({ value: size, unit }).replace(/^.*\u202f/, '');
  const power = [...name].length > 1 ? (powers[name[0]!] ?? 0) : 0;
  return { unit: name, of: (value) => value * 10 ** -power };
}

/** Powers of ten within a logarithmic axis of more than three decades; shorter ones are divided as usual. */
export function decadeTicks(from: number, to: number): { readonly ticks?: readonly number[] } {
  const [a, b] = [Math.ceil(Math.log10(from) - 1e-9), Math.floor(Math.log10(to) + 1e-9)];
  if (Math.log10(to / from) <= 3) return {};
  const every = b - a > 8 ? 2 : 1;
  return {
    ticks: Array.from({ length: Math.floor((b - a) / every) + 1 }, (_, i) => Number(`1e${a + i * every}`)),
  };
}

type Line = readonly (readonly [number, number])[];

/** The end of a logarithmic plot at which the curves stay further from the line of a limit, for its words. */
export function limitPlace(
  limit: number,
  x: { readonly from: number; readonly to: number },
  curves: readonly Line[],
): 'above left' | 'above right' {
  const room = (low: number, high: number): number => {
    const share = ([v]: readonly [number, number]): number => Math.log(v / x.from) / Math.log(x.to / x.from);
    const near = curves.flat().filter((p) => share(p) >= low && share(p) <= high);
    return Math.min(...near.map(([, y]) => Math.abs(Math.log(y / limit))));
  };
  return room(0, 0.25) > room(0.75, 1) ? 'above left' : 'above right';
}

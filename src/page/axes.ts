/** Axes: spans and divisions that suit the figures of a plot. */
import { ticks } from 'd3-array';

/** A span that holds all values with some room, ending at round figures. */
export function roundSpan(values: readonly number[]): { from: number; to: number } {
  const [low, high] = [Math.min(...values), Math.max(...values)];
  const room = high > low ? 0.06 * (high - low) : Math.abs(high) * 0.1 || 1;
  const round = ticks(low - room, high + room, 8);
  const step = round.length > 1 ? round[1]! - round[0]! : room;
  return {
    from: Number((Math.floor((low - room) / step) * step).toPrecision(12)),
    to: Number((Math.ceil((high + room) / step) * step).toPrecision(12)),
  };
}

/** A span of a logarithmic axis that holds all values, ending at 1, 2 or 5 times a power of ten. */
export function decadeSpan(values: readonly number[]): { from: number; to: number } {
  const [low, high] = [Math.min(...values) / 1.15, Math.max(...values) * 1.15];
  const series = Array.from({ length: 3 * 40 }, (_, i) => [1, 2, 5][i % 3]! * 10 ** (Math.floor(i / 3) - 24));
  return {
    from: Number(series.findLast((v) => v <= low)!.toPrecision(3)),
    to: Number(series.find((v) => v >= high)!.toPrecision(3)),
  };
}

/** At most `most` of a rising list, the first and every so many after it. */
export function thinned(values: readonly number[], most: number): number[] {
  const every = Math.ceil(values.length / most);
  return values.filter((_, i) => i % every === 0);
}

/** Round stations between two ends, both ends included. */
export const stationsBetween = (low: number, high: number, count: number): number[] => [
  ...new Set([low, ...ticks(low, high, count).filter((v) => v > low && v < high), high]),
];

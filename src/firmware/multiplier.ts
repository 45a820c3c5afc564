/**
 * Multiplier and shift: a straight line in integers.
 *
 *     z = base + ((u·multiplier + offset) >> shift),  u = block − first
 *
 * Everything that is shifted is unsigned, so the shift is a division rounded down; half a step is in the offset.
 */
import { type Curve, middle, midwayOver } from './curve.ts';
import { type Form, limitOf, type Width } from './form.ts';

/** The constants of a straight line. */
export interface Multiplier extends Form {
  readonly method: 'multiplier';
  /** Steps, turned so that they rise. */
  readonly base: number;
  readonly multiplier: number;
  readonly offset: number;
  readonly shift: number;
}

/** Largest shift: beyond this a multiplier gains nothing in doubles. */
const largestShift = 40;

/** The straight line with the finest multiplier that fits the width; undefined where none does. */
export function multiplierFor(curve: Curve, width: Width): Multiplier | undefined {
  const { first, last } = curve;
  const n = last - first;
  const slope = n === 0 ? 0 : (middle(curve, last) - middle(curve, first)) / n;
  const limit = limitOf(width, false);
  for (let shift = Math.min(width - 1, largestShift); shift >= 0; shift--) {
    const multiplier = Math.round(slope * 2 ** shift);
    if (multiplier * n > limit) continue;
    // The line lies midway between the furthest points of the curve above and under it.
    const start = midwayOver(curve, (block) => (multiplier * (block - first)) / 2 ** shift) + 0.5;
    const base = Math.floor(start);
    const offset = Math.round((start - base) * 2 ** shift);
    if (multiplier * n + offset > limit) continue;
    return {
      method: 'multiplier',
      base,
      multiplier,
      offset,
      shift,
      signed: false,
      z: (block, seen) => {
        const sum = (block - first) * multiplier + offset;
        if (sum > seen.largest) seen.largest = sum;
        return base + Math.floor(sum / 2 ** shift);
      },
    };
  }
  return undefined;
}

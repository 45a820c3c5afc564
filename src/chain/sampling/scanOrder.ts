/**
 * Scan order: in which order the channels of a scan disturb each other least.
 *
 * In comes a scan; out goes an order and its errors. Up to eight channels every order is tried; beyond, orders are improved
 * step by step and the answer says that it may not be the best.
 */
import { named } from '../../numbers/guard.ts';
import {
  type ChannelError,
  type CoupledScan,
  channelErrors,
  coupledScan,
  type Scan,
  scanErrors,
  scanShape,
} from './crosstalk.ts';

/** An order of a scan. */
export interface ScanOrder {
  /** Indices of the channels in the order of conversion. */
  order: number[];
  /** Largest |error| of a channel, V. */
  worstError: number;
  /** Whether every order was tried; if not, a better one may exist. */
  exhaustive: boolean;
  /** What each channel receives, in that order. */
  channels: ChannelError[];
}

/** Channels up to which every order is tried. */
const exhaustiveTo = 8;

/** How good an order is: the largest |error|, and the sum of squares to decide between equals. */
interface Score {
  readonly worst: number;
  readonly squares: number;
}

/** Whether a is better than b by more than rounding: an order turned round differs by no more. */
function better(a: Score, b: Score): boolean {
  if (a.worst < b.worst * (1 - 1e-12)) return true;
  return a.worst <= b.worst * (1 + 1e-12) && a.squares < b.squares * (1 - 1e-12);
}

/**
 * The order in which the largest |error| of a scan is least.
 *
 * Up to 8 channels all orders are tried. Beyond, two orders (up by every other voltage and down by the rest; always on to
 * the nearest voltage) are improved by moving one channel or swapping two while that helps; then `exhaustive` is false.
 *
 * @param channels - 2 … 64 of {voltage V, sourceResistance Ω, pinCapacitance F, sampleTime s}; not modified
 * @param switchResistance - R_sw, Ω, 0 … 1e30
 * @param sampleCapacitance - C_s, F, 1e-24 … 1e6
 * @param holdTime - from the end of a sample time to the start of the next, s, from 0; 0 if absent
 * @param period - start to start of the scan, s, at least the time of its conversions; if absent every pin has settled
 * @param dummy - conversions left out after each change of channel, 0 … 16; true is one; none if absent
 * @returns the order, starting with channel 0, its largest |error| in V, its channels' errors, and whether every order was tried
 * @throws RangeError if an argument is out of range or `period` is too short
 * @see the derivation at the head of network.ts
 *
 * @example
 * bestScanOrder({ channels: [0, 3, 1, 2].map((voltage) => ({ voltage, sourceResistance: 9e3, pinCapacitance: 0, sampleTime: 3e-7 })), switchResistance: 1e3, sampleCapacitance: 1e-11 }).order // => [0, 3, 1, 2]
 */
export function bestScanOrder(given: Scan): ScanOrder {
  const scan = coupledScan('bestScanOrder', named('bestScanOrder', scanShape, given));
  const exhaustive = scan.voltages.length <= exhaustiveTo;
  const order = exhaustive ? bestOfAll(scan) : bestFound(scan);
  const channels = channelErrors(scan, order);
  const worstError = Math.max(...channels.map((c) => Math.abs(c.error)));
  return { order, worstError, exhaustive, channels };
}

function scorer(scan: CoupledScan): (order: ArrayLike<number>) => Score {
  const errors = new Float64Array(scan.voltages.length);
  return (order) => {
    scanErrors(scan, order, errors);
    let worst = 0;
    let squares = 0;
    for (const e of errors) {
      worst = Math.max(worst, Math.abs(e));
      squares += e * e;
    }
    return { worst, squares };
  };
}

/** The best of all orders that start with channel 0: a scan goes round, so the start does not matter. */
function bestOfAll(scan: CoupledScan): number[] {
  const score = scorer(scan);
  const order = scan.voltages.map((_, i) => i);
  let best = [...order];
  let least = score(order);
  const permute = (from: number): void => {
    if (from === order.length - 1) {
      const here = score(order);
      if (better(here, least)) {
        least = here;
        best = [...order];
      }
      return;
    }
    for (let i = from; i < order.length; i++) {
      [order[from], order[i]] = [order[i]!, order[from]!];
      permute(from + 1);
      [order[from], order[i]] = [order[i]!, order[from]!];
    }
  };
  permute(1);
  return best;
}

/** A good order of many channels. */
function bestFound(scan: CoupledScan): number[] {
  const score = scorer(scan);
  const { voltages } = scan;
  const rising = [...voltages.keys()].sort((i, j) => voltages[i]! - voltages[j]!);
  const upAndDown = [
    ...rising.filter((_, k) => k % 2 === 0),
    ...rising.filter((_, k) => k % 2 === 1).reverse(),
  ];
  const found = [upAndDown, nearestWalk(voltages, rising[0]!)].map((start) => improved(start, score));
  const best = better(score(found[1]!), score(found[0]!)) ? found[1]! : found[0]!;
  const at = best.indexOf(0);
  return [...best.slice(at), ...best.slice(0, at)];
}

/** From `start` on, always to the channel of the nearest voltage that is left. */
function nearestWalk(voltages: readonly number[], start: number): number[] {
  const order = [start];
  const left = new Set(voltages.keys());
  left.delete(start);
  while (left.size > 0) {
    const here = voltages[order.at(-1)!]!;
    let next = -1;
    for (const i of left) {
      if (next < 0 || Math.abs(voltages[i]! - here) < Math.abs(voltages[next]! - here)) next = i;
    }
    order.push(next);
    left.delete(next);
  }
  return order;
}

/** The order after moving one channel or swapping two for as long as that makes it better. */
function improved(start: number[], score: (order: number[]) => Score): number[] {
  let order = start;
  let least = score(order);
  for (let going = true; going; ) {
    going = false;
    for (let i = 0; i < order.length; i++) {
      for (let j = 0; j < order.length; j++) {
        for (const candidate of i < j ? [moved(order, i, j), swapped(order, i, j)] : [moved(order, i, j)]) {
          const here = score(candidate);
          if (better(here, least)) {
            least = here;
            order = candidate;
            going = true;
          }
        }
      }
    }
  }
  return order;
}

const moved = (order: number[], from: number, to: number): number[] =>
  order.toSpliced(from, 1).toSpliced(to, 0, order[from]!);

const swapped = (order: number[], i: number, j: number): number[] =>
  order.with(i, order[j]!).with(j, order[i]!);

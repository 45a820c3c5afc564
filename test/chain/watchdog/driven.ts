import { accumulate } from '../../../src/chain/averaging/accumulate.ts';
import { codeFromVoltage } from '../../../src/chain/quantizing.ts';
import type { Compare } from '../../../src/chain/watchdog/comparator.ts';

// A converter and its comparator driven bit by bit: voltages in, and whether the hardware trips. Nothing here inverts anything.

export interface Converter {
  bits: number;
  reference: number;
  firstTransition: 0.5 | 1;
}

export interface Averaging {
  ratio: number;
  shift: number;
  rounding: 'truncate' | 'round';
}

export interface Errors {
  offsetLsb: number;
  inlLsb: number;
  gain: number;
  reference: number;
}

export const none: Errors = { offsetLsb: 0, inlLsb: 0, gain: 0, reference: 0 };

/** A corner of the tolerance: every transition moved by so many LSB, then all stretched by a factor. */
export interface Corner {
  moved: number;
  factor: number;
}

export function cornersOf(errors: Errors): Corner[] {
  const out = [{ moved: 0, factor: 1 }];
  const signs = [-1, 1];
  for (const move of signs) {
    for (const gain of signs) {
      for (const reference of signs) {
        out.push({
          moved: move * (errors.offsetLsb + errors.inlLsb),
          factor: (1 + gain * errors.gain) * (1 + reference * errors.reference),
        });
      }
    }
  }
  const key = (c: Corner) => `${c.moved} ${c.factor}`;
  return out.filter((c, i) => out.findIndex((d) => key(d) === key(c)) === i);
}

/** Voltage of transition k in a corner. */
export const transitionIn = (c: Converter, { moved, factor }: Corner, k: number): number =>
  (((k - 1 + c.firstTransition + moved) * c.reference) / 2 ** c.bits) * factor;

/** Code in a corner: that of a converter whose reference is stretched, at a voltage set back by the move. */
export const codeIn = (c: Converter, { moved, factor }: Corner, volts: number): number =>
  codeFromVoltage({
    volts: volts - ((moved * c.reference) / 2 ** c.bits) * factor,
    bits: c.bits,
    reference: c.reference * factor,
    firstTransition: c.firstTransition,
  });

/** The value that the hardware compares while a steady input gives this code, by way of a whole burst. */
export function comparedValue(code: number, averaging: Averaging, compare: Compare): number {
  const result =
    compare.stage === 'conversion'
      ? code
      : accumulate({
          ratio: averaging.ratio,
          shift: averaging.shift,
          rounding: averaging.rounding,
          codes: new Uint32Array(averaging.ratio).fill(code),
          registerBits: 31,
          onOverflow: 'saturate',
        })[0]!;
  return result >> (compare.drop ?? 0);
}

/** Whether the hardware trips: the register's upper bits against the value. */
export function trips(side: 'above' | 'below', register: number, value: number, compare: Compare): boolean {
  const threshold = Math.floor(register / 2 ** ((compare.registerBits ?? compare.bits) - compare.bits));
  if (compare.inclusive) return side === 'above' ? value >= threshold : value <= threshold;
  return side === 'above' ? value > threshold : value < threshold;
}

const view = new DataView(new ArrayBuffer(8));

/** The double next to x, `step` doubles up or down. */
export function beside(x: number, step: 1 | -1): number {
  if (x === 0) return step * Number.MIN_VALUE;
  view.setFloat64(0, x);
  view.setBigInt64(0, view.getBigInt64(0) + BigInt(x > 0 ? step : -step));
  return view.getFloat64(0);
}

/** Whether two doubles are the same voltage but for the rounding of decimals. */
export const same = (a: number, b: number, c: Converter): boolean =>
  Math.abs(a - b) <= 2 ** -48 * Math.max(Math.abs(b), c.reference / 2 ** c.bits);

/** Voltages next to a limit: the doubles beside it, and the nearest that are not the same voltage. */
export function justBeside(limit: number, c: Converter): number[] {
  const apart = 2 ** -46 * Math.max(Math.abs(limit), c.reference / 2 ** c.bits);
  return [beside(limit, 1), beside(limit, -1), limit + apart, limit - apart];
}

/** The codes that steady inputs of each side of a limit give in any corner. */
export interface Reached {
  /** V > limit. */
  over: number[];
  /** V ≤ limit. */
  upTo: number[];
  /** V < limit. */
  under: number[];
  /** V ≥ limit. */
  from: number[];
}

/** Drives every corner with every voltage, and with those at and next to each limit, and files the codes by side of the limit. */
export function reachedCodes(
  c: Converter,
  corners: Corner[],
  voltages: number[],
  limits: number[],
): Reached[] {
  const codes = (volts: number) => [...new Set(corners.map((corner) => codeIn(c, corner, volts)))];
  const driven = voltages.map((volts) => ({ volts, codes: codes(volts) }));
  return limits.map((limit) => {
    const seen = {
      over: new Set<number>(),
      upTo: new Set<number>(),
      under: new Set<number>(),
      from: new Set<number>(),
    };
    const near = [limit, ...justBeside(limit, c)].map((volts) => ({ volts, codes: codes(volts) }));
    for (const list of [driven, near]) {
      for (const { volts, codes } of list) {
        for (const code of codes) {
          seen[volts > limit ? 'over' : 'upTo'].add(code);
          if (volts >= limit) seen.from.add(code);
          else if (!same(volts, limit, c)) seen.under.add(code);
        }
      }
    }
    return { over: [...seen.over], upTo: [...seen.upTo], under: [...seen.under], from: [...seen.from] };
  });
}

/**
 * The trip set that keeps the guarantee and is not one value too cautious, found from the values seen on either side of the limit:
 * it is described by the lowest value above the cut.
 */
export function cutFor(
  side: 'above' | 'below',
  intent: 'must-trip' | 'must-not-trip',
  reached: Reached,
  value: (code: number) => number,
): number {
  const least = (codes: number[]): number => Math.min(...codes.map(value));
  const most = (codes: number[]): number => Math.max(...codes.map(value));
  if (side === 'above') return intent === 'must-trip' ? least(reached.over) : most(reached.upTo) + 1;
  return intent === 'must-trip' ? most(reached.under) + 1 : least(reached.from);
}

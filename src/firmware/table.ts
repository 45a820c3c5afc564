/**
 * Table with interpolation, indexed by the high bits of the code.
 *
 *     i = (block >> segmentBits) − firstIndex,  f = block & (2^segmentBits − 1)
 *     z = base + ((E[i] + (((E[i + 1] − E[i])·f + half) >> segmentBits) + halfEntry) >> entryBits)
 *
 * Entries rise, so everything is unsigned. They lie off the curve by half of what the chords lie off it, which halves the error.
 */
import { type Curve, middle } from './curve.ts';
import { type Form, limitOf, type Width } from './form.ts';

/** The constants of a table. */
export interface Table extends Form {
  readonly method: 'table';
  /** Steps, turned so that they rise. */
  readonly base: number;
  /** log2 of the blocks of one segment. */
  readonly segmentBits: number;
  readonly firstIndex: number;
  /** log2 of the parts of a step that entries count in. */
  readonly entryBits: number;
  /** Whether every entry fits 16 bits. */
  readonly narrow: boolean;
  readonly entries: readonly number[];
}

/** Most entries of a table. */
const mostEntries = 1024;

/** Finest part of a step that entries count in, log2. */
const finestEntryBits = 6;

/** Places of a segment at which the chord is held against the curve. */
const places = 8;

/** Where the knots lie: along the curve, and beyond its ends along its end chords. */
function knotsOf(curve: Curve, segmentBits: number, firstIndex: number, count: number): number[] {
  const { first, last } = curve;
  const length = 2 ** segmentBits;
  const reach = Math.min(length, last - first);
  const slope = (from: number, to: number): number =>
    to === from ? 0 : (middle(curve, to) - middle(curve, from)) / (to - from);
  return Array.from({ length: count }, (_, i) => {
    const at = (firstIndex + i) * length;
    if (at < first) return middle(curve, first) + slope(first, first + reach) * (at - first);
    if (at > last) return middle(curve, last) + slope(last - reach, last) * (at - last);
    return middle(curve, at);
  });
}

/** By how much each segment's chord lies under the curve, midway between its extremes. */
function sagsOf(curve: Curve, segmentBits: number, firstIndex: number, knots: readonly number[]): number[] {
  const length = 2 ** segmentBits;
  return knots.slice(1).map((to, i) => {
    const start = (firstIndex + i) * length;
    const [a, b] = [Math.max(start, curve.first), Math.min(start + length, curve.last)];
    let [least, most] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
    for (let k = 0; k <= places; k++) {
      const at = Math.round(a + ((b - a) * k) / places);
      const off = middle(curve, at) - knots[i]! - ((to - knots[i]!) * (at - start)) / length;
      if (off < least) least = off;
      if (off > most) most = off;
    }
    return (least + most) / 2;
  });
}

/** A table with segments of 2^segmentBits blocks; undefined where it would be too long or fits neither entries nor width. */
export function tableFor(
  curve: Curve,
  width: Width,
  segmentBits: number,
  narrow: boolean,
): Table | undefined {
  const length = 2 ** segmentBits;
  const firstIndex = Math.floor(curve.first / length);
  const count = Math.floor(curve.last / length) - firstIndex + 2;
  if (count > mostEntries) return undefined;
  const knots = knotsOf(curve, segmentBits, firstIndex, count);
  const sags = sagsOf(curve, segmentBits, firstIndex, knots);
  const lifted = knots.map((z, i) => z + ((sags[i - 1] ?? sags[i])! + (sags[i] ?? sags[i - 1])!) / 2);
  const base = Math.floor(Math.min(lifted[0]!, lifted[1]!));
  const span = lifted.at(-1)! - base;
  const rise = Math.max(...lifted.slice(1).map((z, i) => z - lifted[i]!));
  const fits = (value: number): boolean => value <= limitOf(width, false);
  const room = (bits: number): boolean =>
    (span + 1) * 2 ** bits <= limitOf(narrow ? 16 : 32, false) &&
    fits((span + 1) * 2 ** bits) &&
    fits((rise * 2 ** bits + 1) * (length - 1) + length / 2);
  let entryBits = finestEntryBits;
  while (entryBits >= 0 && !room(entryBits)) entryBits--;
  if (entryBits < 0) return undefined;
  const entries = lifted.map((z) => Math.round((z - base) * 2 ** entryBits));
  if (entries.some((entry, i) => i > 0 && entry < entries[i - 1]!)) return undefined;
  const half = length / 2;
  const halfEntry = entryBits === 0 ? 0 : 2 ** (entryBits - 1);
  return {
    method: 'table',
    base,
    segmentBits,
    firstIndex,
    entryBits,
    narrow,
    entries,
    signed: false,
    z: (block, seen) => {
      const i = Math.floor(block / length) - firstIndex;
      const product = (entries[i + 1]! - entries[i]!) * (block % length) + half;
      const sum = entries[i]! + Math.floor(product / length) + halfEntry;
      if (product > seen.largest) seen.largest = product;
      if (sum > seen.largest) seen.largest = sum;
      return base + Math.floor(sum / 2 ** entryBits);
    },
  };
}

/**
 * Form: integer arithmetic for a curve, and the proof of what it does, at every block of codes.
 */
import type { Curve } from './curve.ts';

/** Widths of an intermediate, bits. */
export const widths = [16, 32, 64] as const;
export type Width = (typeof widths)[number];

/** The largest magnitude of an intermediate met so far. */
export interface Seen {
  largest: number;
}

/** Integer arithmetic in one of the three ways. */
export interface Form {
  /** Steps, turned so that they rise, for a block; what it meets on the way is seen. */
  z(block: number, seen: Seen): number;
  readonly signed: boolean;
}

/** Largest magnitude that an intermediate may have. Of 64 bits 53 are used, so that doubles follow exactly. */
export const limitOf = (width: Width, signed: boolean): number =>
  width === 64 ? 2 ** 53 : 2 ** (signed ? width - 1 : width) - 1;

/** What was proved of a form, or the error that it does not keep. */
export interface Proof {
  readonly holds: boolean;
  /** Largest error, steps; where it does not hold, the largest that was met. */
  readonly error: number;
  /** Block of the largest error. */
  readonly block: number;
  /** Largest magnitude of an intermediate. */
  readonly intermediate: number;
}

/** Blocks that are looked at before all of them are. */
const sample = 256;

/** Walks through all blocks: whether the error stays within `allowed` steps and every intermediate within the width. */
export function proofOf(curve: Curve, form: Form, width: Width, allowed: number): Proof {
  const limit = limitOf(width, form.signed);
  const { first, last, lowest, highest } = curve;
  const seen = { largest: 0 };
  let [error, block] = [0, first];
  const look = (at: number): void => {
    const z = form.z(at, seen);
    const off = Math.max(Math.abs(z - lowest[at - first]!), Math.abs(z - highest[at - first]!));
    if (off > error) [error, block] = [off, at];
  };
  for (const stride of [Math.max(1, Math.floor((last - first) / sample)), 1]) {
    for (let at = first; at <= last; at += stride) look(at);
    if (error > allowed || seen.largest > limit)
      return { holds: false, error, block, intermediate: seen.largest };
  }
  return { holds: true, error, block, intermediate: seen.largest };
}

/** Review notes that differ between two worksheets: they change no result, so they are told apart from inputs. */
import type { Worksheet } from './read.ts';
import { type ReviewEntry, subjectLabel } from './review.ts';

/** A note that differs, in its words or its state; 'none' where a worksheet does not have it. */
export interface ReviewDifference {
  /** Path of the input or name of the finding. */
  readonly on: string;
  readonly label: string;
  readonly a: Pick<ReviewEntry, 'note' | 'state'> | 'none';
  readonly b: Pick<ReviewEntry, 'note' | 'state'> | 'none';
}

/**
 * The review notes in which two worksheets differ.
 *
 * @param a - a worksheet
 * @param b - another
 * @returns in the order of `a`, then those that `b` alone has
 */
export function reviewDifferences(a: Worksheet, b: Worksheet): ReviewDifference[] {
  const notes = (w: Worksheet) => new Map((w.inputs.review ?? []).map(({ on, ...rest }) => [on, rest]));
  const [here, there] = [notes(a), notes(b)];
  return [...new Set([...here.keys(), ...there.keys()])].flatMap((on) => {
    const [x, y] = [here.get(on), there.get(on)];
    if (x?.note === y?.note && x?.state === y?.state) return [];
    return [{ on, label: subjectLabel(x ? a : b, on), a: x ?? 'none', b: y ?? 'none' }];
  });
}

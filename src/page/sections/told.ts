/** What every section of a page is told: the evaluation, and how its figures are written. */
import { formatNumber } from '../../numbers/format.ts';
import type { Evaluation } from '../../worksheet/evaluate.ts';
import { type Scale, scaleOf } from '../scale.ts';

export interface Told extends Scale {
  readonly e: Evaluation;
}

export const told = (e: Evaluation): Told => ({ e, ...scaleOf(e) });

/** A number in print. */
export const number = (value: number, digits = 3): string => formatNumber({ value, digits });

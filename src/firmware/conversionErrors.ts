/** Errors of an integer conversion over the codes that it converts, for a look at them: the least and the most of each stretch. */
import type { Evaluation } from '../worksheet/evaluate.ts';
import type { IntegerConversion } from './integerConversion.ts';

/** A stretch of codes, and how far the conversion is off in it. */
export interface ConversionErrors {
  /** Measurand in the middle of the stretch. */
  readonly measurand: number;
  /** Least and largest error, signed, in the measurand's unit of differences. */
  readonly least: number;
  readonly most: number;
}

/**
 * The errors of a conversion, stretch by stretch, in rising measurand. Every code is looked at, or of a long stretch so many that it is
 * even.
 */
export function conversionErrors(e: Evaluation, c: IntegerConversion, stretches: number): ConversionErrors[] {
  const count = c.highestCode - c.lowestCode + 1;
  const parts = Math.min(stretches, count);
  const stride = Math.max(1, Math.floor(count / (parts * mostInStretch)));
  const out = Array.from({ length: parts }, (_, i): ConversionErrors => {
    const from = c.lowestCode + Math.floor((count * i) / parts);
    const to = c.lowestCode + Math.floor((count * (i + 1)) / parts);
    let [least, most] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
    for (let code = from; code < to; code += stride) {
      const error = c.errorAt(code);
      if (error < least) least = error;
      if (error > most) most = error;
    }
    return { measurand: e.reading.measurandAt(Math.floor((from + to - 1) / 2)), least, most };
  });
  return c.falling ? out.reverse() : out;
}

/** Codes of a stretch that are looked at. */
const mostInStretch = 256;

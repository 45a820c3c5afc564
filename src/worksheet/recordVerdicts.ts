/**
 * Verdicts: each assumption of the worksheet that a record of a still input can test, with what was assumed, what was found, and what
 * the difference costs.
 *
 * A difference is taken for none within three standard uncertainties, or within 5 %. Beyond, it matters where it costs a tenth of
 * a bit or more at the worksheet's own ratio; else the record differs, to no harm.
 */
import type { Evaluation } from './evaluation.ts';
import { codesVerdict, gaussianVerdict, rangeVerdict, rateVerdict } from './recordCodeVerdicts.ts';
import type { RecordFound, RecordVerdict } from './recordFound.ts';
import { averagingVerdict, enoughVerdict, noiseVerdict } from './recordNoiseVerdicts.ts';
import { humVerdict, stillVerdict } from './recordSlowVerdicts.ts';

/** The verdicts of a record of a still input. */
export const stillVerdicts = (e: Evaluation, found: RecordFound): RecordVerdict[] => [
  noiseVerdict(e, found),
  ...enoughVerdict(e, found),
  averagingVerdict(e, found),
  humVerdict(e, found),
  stillVerdict(e, found),
  codesVerdict(e, found),
  gaussianVerdict(found),
  rangeVerdict(found),
  ...rateVerdict(found),
];

/** Verdicts on the codes of a record themselves: which occur, how they are spread, where they end, when they came. */
import { formatNumber, formatQuantity } from '../numbers/format.ts';
import { codeProbabilities, histogramFit } from '../record/histogram.ts';
import { transitionNoise } from '../record/transitionNoise.ts';
import type { Evaluation } from './evaluation.ts';
import type { RecordFound, RecordVerdict } from './recordFound.ts';
import { absentWords, due, lsb } from './recordWords.ts';

/** More codes in a row than these are no missing codes, but the distance to a spike, or to another level. */
const widestGap = 8;

/** The codes about the most frequent one, up to gaps wider than missing codes leave: what spikes would pull apart. */
function cluster(counts: Float64Array): { from: number; to: number } {
  let from = 0;
  for (let k = 1; k < counts.length; k++) if (counts[k]! > counts[from]!) from = k;
  let to = from;
  for (let k = from - 1; k >= 0 && from - k <= widestGap + 1; k--) if (counts[k]! > 0) from = k;
  for (let k = to + 1; k < counts.length && k - to <= widestGap + 1; k++) if (counts[k]! > 0) to = k;
  return { from, to };
}

/** Whether every code occurs that is due. */
export function codesVerdict(e: Evaluation, { figures }: RecordFound): RecordVerdict {
  const { summary } = figures;
  const head = { name: 'no missing code', path: 'converter.dnl' };
  const untold = (text: string): RecordVerdict => ({ ...head, standing: 'untold', lostBits: 0, text });
  if (summary.counts === 'none') return untold('too few codes occur to tell');
  const { from, to } = cluster(summary.counts);
  const counts = summary.counts.slice(from, to + 1);
  const first = summary.lowest + from;
  const told = transitionNoise({ counts, first });
  if (told === 'none' || told.noiseLsb === 0) return untold('too few codes occur to tell');
  const total = counts.reduce((sum, n) => sum + n, 0);
  const { mean, noiseLsb } = told;
  const expected = codeProbabilities({ mean, noiseLsb, first, count: counts.length });
  const judged = Array.from(expected, (p, k) => ({
    code: first + k,
    due: p * total,
    seen: counts[k]!,
  })).filter((c) => c.due >= due);
  if (judged.length < 3) return untold(`only ${judged.length} codes occur often enough to tell`);
  const missing = judged.filter((c) => c.seen === 0);
  if (missing.length === 0)
    return {
      ...head,
      standing: 'holds',
      lostBits: 0,
      text: `all ${judged.length} codes that occur often enough are there`,
    };
  return {
    ...head,
    standing: 'refuted',
    lostBits: 0,
    text: `DNL of ${lsb(e.worksheet.profile.dnl.value)} assumed, which leaves none out; ${absentWords(missing.map((c) => c.code))}, ${formatNumber({ value: missing[0]!.due, digits: 2 })} were due`,
  };
}

/** Whether the codes are spread as Gaussian noise would spread them. */
export function gaussianVerdict({ figures, noise }: RecordFound): RecordVerdict {
  const { summary, autocorrelation } = figures;
  const head = { name: 'is Gaussian', path: 'converter.noise' };
  const told = summary.transitionNoise;
  const untold = (text: string): RecordVerdict => ({ ...head, standing: 'untold', lostBits: 0, text });
  if (summary.counts === 'none' || told === 'none' || told.noiseLsb === 0)
    return untold('too few codes occur to tell');
  if (
    autocorrelation !== 'none' &&
    (autocorrelation.effectiveCount < 0.5 * autocorrelation.count || noise.parts.hum > 0)
  )
    return untold('the codes hang together; their histogram is that of what moves them');
  const { probability } = histogramFit({
    counts: summary.counts,
    first: summary.lowest,
    mean: told.mean,
    noiseLsb: told.noiseLsb,
  });
  if (probability === 'none') return untold('too few codes occur to tell');
  const chance =
    probability < 1e-4
      ? 'less than 1 in 10\u202f000'
      : formatQuantity({ value: probability, unit: '%', digits: 2 });
  return {
    ...head,
    standing: probability < 0.001 ? 'differs' : 'holds',
    lostBits: 0,
    text: `a histogram this far from Gaussian has a chance of ${chance}`,
  };
}

/** Whether codes stand at an end of the range, where what lies beyond is lost. */
export function rangeVerdict({ figures, averaged, largestCode }: Omit<RecordFound, 'noise'>): RecordVerdict {
  const { summary } = figures;
  const head = { name: 'within the range', path: 'requirement.range' };
  const { counts, lowest, highest, count } = summary;
  const at = (code: number): number =>
    counts === 'none' || code < lowest || code > highest ? 0 : counts[code - lowest]!;
  const ends = at(0) + at(largestCode);
  const share = ends / count;
  if (ends === 0)
    return {
      ...head,
      standing: 'holds',
      lostBits: 0,
      text: `codes ${lowest} … ${highest} of 0 … ${largestCode}`,
    };
  return {
    ...head,
    standing: share > 0.001 ? 'refuted' : 'differs',
    lostBits: 0,
    text: `${ends} ${averaged ? 'results' : 'codes'} stand at an end of 0 … ${largestCode}: what lies beyond is cut off`,
  };
}

/** The rate by the file's column of time, where the worksheet gives one too. */
export function rateVerdict({
  rate,
  rateFrom,
  timedRate,
  jumps,
}: Omit<RecordFound, 'noise'>): RecordVerdict[] {
  const head = { name: 'rate', path: 'record.rate' };
  const late = jumps === 0 ? '' : `; ${jumps} jump${jumps === 1 ? '' : 's'} of time`;
  if (timedRate === 'none' || rateFrom === 'time column') {
    return jumps === 0 ? [] : [{ ...head, standing: 'differs', lostBits: 0, text: late.slice(2) }];
  }
  const off = timedRate / rate - 1;
  const hz = (value: number): string => formatQuantity({ value, unit: 'Hz', digits: 4 });
  const same = Math.abs(off) <= 0.01;
  return [
    {
      ...head,
      standing: same && jumps === 0 ? 'holds' : 'differs',
      lostBits: 0,
      text: `assumed ${hz(rate)}, the column of time shows ${hz(timedRate)}, if it is in seconds${late}`,
    },
  ];
}

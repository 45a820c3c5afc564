/**
 * Verdicts: each assumption of the worksheet that a record of a still input can test, with what was assumed, what was found, and what
 * the difference costs.
 *
 * A difference is taken for none within three standard uncertainties, or within 5 %. Beyond, it matters where it costs a tenth of
 * a bit or more at the worksheet's own ratio; else the record differs, to no harm.
 */
import { boxcarGain } from '../chain/averaging/boxcar.ts';
import { oversample } from '../chain/averaging/oversample.ts';
import { rippleSquare } from '../chain/averaging/ripple.ts';
import { formatFixed, formatNumber, formatQuantity } from '../numbers/format.ts';
import { codeProbabilities, histogramFit } from '../record/histogram.ts';
import type { Evaluation } from './evaluation.ts';
import type { RecordFound, RecordVerdict } from './recordFound.ts';
import { beyondChance, expectedScatter } from './recordNoise.ts';

/** Bits from which on a loss matters. */
export const mattersBits = 0.1;
/** Relative difference that is none. */
const near = 0.05;
/** Codes that are due of a code before its absence says something. */
export const due = 20;
/** Results of averaging from which on their scatter says something. */
const fewest = 16;

/** A number of LSB in print. */
export const lsb = (value: number): string =>
  value < 0.001 ? '<\u202f0.001\u202fLSB' : formatQuantity({ value, unit: 'LSB' });

/** A number of LSB and its expanded uncertainty: two standard uncertainties, to one digit, or two where the first is a 1. */
export function lsbParts(value: number, uncertainty: number): { value: string; within: string } {
  const two = 2 * uncertainty;
  if (!(two > 0)) return { value: lsb(value), within: '' };
  const leading = two / 10 ** Math.floor(Math.log10(two));
  const decimals = Math.min(6, Math.max(0, (leading < 2 ? 1 : 0) - Math.floor(Math.log10(two))));
  const text = (x: number): string => formatFixed({ value: x, decimals });
  return { value: `${text(value)}\u202fLSB`, within: text(Math.max(two, 10 ** -decimals)) };
}

/** `1.31 ± 0.02 LSB`. */
export function lsbWithin(value: number, uncertainty: number): string {
  const parts = lsbParts(value, uncertainty);
  return parts.within === ''
    ? parts.value
    : parts.value.replace('\u202fLSB', `\u202f±\u202f${parts.within}\u202fLSB`);
}

/** `1.2 bits less at ratio 64`. */
const lossWords = (bits: number, ratio: number): string =>
  `${formatNumber({ value: Math.abs(bits), digits: Math.abs(bits) < 1 ? 1 : 2 })} bits ${bits < 0 ? 'more' : 'less'} at ratio ${ratio}`;

const bitsLost = (found: number, assumed: number): number => Math.log2(found / assumed);

/** Rms of the averaged result at the worksheet's own setting, for a white noise, native LSB. */
function resultRms(
  { quantizing: { bits }, averaging: { ratio, shift, rounding } }: Evaluation,
  noiseLsb: number,
): number {
  return oversample({ bits, noiseLsb, ratio, shift, rounding }).rmsErrorLsb;
}

/** What of the noise is no white noise, in words: `0.6 LSB of it is a 50 Hz line`. */
function partsWords({ noise }: RecordFound): string {
  const { hum, drift, wander } = noise.parts;
  const line = noise.lines[0];
  const several = noise.lines.length > 1 ? ` and ${noise.lines.length - 1} more` : '';
  return [
    ...(line
      ? [`${lsb(hum)} of it is a line at ${formatQuantity({ value: line.frequency, unit: 'Hz' })}${several}`]
      : []),
    ...(drift > 0 ? [`${lsb(drift)} is drift`] : []),
    ...(wander > 0 ? [`${lsb(wander)} wanders slower than from code to code`] : []),
  ].join(', ');
}

/** The noise of one conversion. */
function noiseVerdict(e: Evaluation, found: RecordFound): RecordVerdict {
  const { noise, assumedLsb, averaged } = found;
  const head = { name: averaged ? 'noise of a result' : 'noise', path: 'converter.noise' };
  const assumed = `assumed ${lsb(assumedLsb)}`;
  const bounded = noise.foundLsb === 0;
  const isBelow = bounded && noise.atMostLsb < assumedLsb;
  if (bounded && !isBelow) {
    return {
      ...head,
      standing: 'untold',
      lostBits: 0,
      text: `${assumed}, found at most ${lsb(noise.atMostLsb)}: too few codes occur to tell`,
    };
  }
  const rms = (ahead: number): number =>
    averaged ? Math.hypot(ahead, e.averaging.resultLsb / Math.sqrt(12)) : resultRms(e, ahead);
  const lostBits = bitsLost(rms(bounded ? noise.atMostLsb : noise.foundLsb), rms(assumedLsb));
  const differs =
    isBelow ||
    Math.abs(noise.foundLsb - assumedLsb) > Math.max(beyondChance * noise.uncertaintyLsb, near * assumedLsb);
  const parts = partsWords(found);
  const figure = bounded
    ? `at most ${lsb(noise.atMostLsb)}`
    : lsbWithin(noise.foundLsb, noise.uncertaintyLsb);
  const cost = !differs
    ? ''
    : Math.abs(lostBits) < 0.05
      ? ': no bits lost'
      : `: ${lossWords(lostBits, e.averaging.ratio)}`;
  return {
    ...head,
    standing: !differs ? 'holds' : lostBits >= mattersBits ? 'refuted' : 'differs',
    lostBits: differs ? lostBits : 0,
    text: `${assumed}, found ${figure}${cost}${parts && `; ${parts}`}`,
  };
}

/** Whether there is noise enough to average, where the worksheet counts on it. */
function enoughVerdict(e: Evaluation, { noise, averaged }: RecordFound): RecordVerdict[] {
  const { ratio } = e.averaging;
  if (averaged || ratio === 1) return [];
  const share = (sigma: number): number => {
    const ripple = rippleSquare(sigma);
    return ripple / (ripple + (sigma ** 2 + 1 / 12 - ripple) / ratio);
  };
  const sigma = noise.foundLsb === 0 ? noise.atMostLsb : noise.foundLsb;
  const stays = `steps of ${lsb(Math.sqrt(rippleSquare(sigma)))} rms stay`;
  const head = { name: 'smooths the steps', path: 'averaging.ratio' };
  const counted = share(e.noise.independentLsb) < 0.5;
  if (share(sigma) < 0.5) {
    return [
      {
        ...head,
        standing: counted ? 'holds' : 'differs',
        lostBits: 0,
        text: `there is noise enough: ${stays} in the mean of ${ratio}`,
      },
    ];
  }
  const lostBits = Math.max(0, bitsLost(resultRms(e, sigma), resultRms(e, e.noise.independentLsb)));
  return [
    {
      ...head,
      standing: counted ? 'refuted' : 'holds',
      lostBits: counted ? lostBits : 0,
      text: counted
        ? `too little noise: ${stays} at any ratio, the codes stick`
        : `too little noise, as the worksheet has it: ${stays} at any ratio`,
    },
  ];
}

/** Whether averaging the record lowers its scatter as the worksheet's noise would. */
function averagingVerdict(e: Evaluation, found: RecordFound): RecordVerdict {
  const { figures, averaged, noise, rate, ratios } = found;
  const head = {
    name: averaged ? 'results are independent' : 'averages as white',
    path: 'noise.flickerCorner',
  };
  const untold = (text: string): RecordVerdict => ({ ...head, standing: 'untold', lostBits: 0, text });
  const wanted = averaged ? 16 : e.averaging.ratio;
  const row = ratios.findLast((r) => r.ratio <= wanted && r.results >= fewest);
  if (noise.foundLsb < 0.25 * (averaged ? e.averaging.resultLsb : 1)) return untold('the codes hardly move');
  if (row === undefined || row.ratio === 1) {
    return untold(
      `${figures.summary.count} codes are too few: ${wanted > 1 ? fewest * wanted : 2 * fewest} or more would tell`,
    );
  }
  // What the worksheet makes of the scatter that there is.
  const timing = { rate, averaged, count: figures.summary.count };
  const one = ratios[0]!;
  const alone = expectedScatter(e, timing, 1);
  const share = alone > 0 ? expectedScatter(e, timing, row.ratio) / alone : 1 / Math.sqrt(row.ratio);
  const expected = one.measuredLsb * share;
  const lostBits = bitsLost(row.measuredLsb, expected);
  const chance = beyondChance / Math.sqrt(2 * (row.results - 1));
  const differs = Math.abs(row.measuredLsb / expected - 1) > Math.max(near, chance);
  const burst = 1 / e.sampling.interval;
  const apart =
    averaged || (rate < 2 * burst && rate > burst / 2)
      ? ''
      : `; the record converts at ${formatQuantity({ value: rate, unit: 'Hz' })}, a burst at ${formatQuantity({ value: burst, unit: 'Hz' })}`;
  const cost = differs && Math.abs(lostBits) >= 0.05 ? `, ${lossWords(lostBits, row.ratio)}` : '';
  return {
    ...head,
    standing: !differs ? 'holds' : lostBits >= mattersBits ? 'refuted' : 'differs',
    lostBits: differs ? lostBits : 0,
    text: `${row.ratio} averaged should scatter by ${lsb(expected)}, and do by ${lsbWithin(row.measuredLsb, row.measuredLsb / Math.sqrt(2 * (row.results - 1)))}${cost}${apart}`,
  };
}

/** Lines of the mains against the interference that the worksheet names. */
function humVerdict(e: Evaluation, { noise, rate, figures, averaged }: RecordFound): RecordVerdict {
  const head = { name: 'hum', path: 'conditioning.interference' };
  const named = e.worksheet.inputs.conditioning.interference ?? [];
  const { codeBinWidth } = e.quantizing;
  const { ratio } = e.averaging;
  const gain = (frequency: number): number =>
    averaged ? 1 : Math.abs(boxcarGain({ frequency, ratio, interval: e.sampling.interval }));
  // 50 Hz must stand clear of 0 Hz, and of 60.
  if (figures.fine === 'none' || figures.fine.binWidth > 4) {
    const needed = formatQuantity({ value: 0.5, unit: 's' });
    return {
      ...head,
      standing: 'untold',
      lostBits: 0,
      text: `the record is too short to tell lines of the mains; ${needed} or more would`,
    };
  }
  const line = noise.lines[0];
  if (!line) {
    const text =
      named.length === 0 ? 'none assumed, none found' : `${named.length} assumed, no line of the mains found`;
    return { ...head, standing: 'holds', lostBits: 0, text };
  }
  let extra = 0;
  let given = 0;
  for (const l of noise.lines) {
    const about = named.filter((i) => {
      const raw = i.frequency.value % rate;
      return (
        Math.abs(Math.min(raw, rate - raw) - l.frequency) <
        0.02 * i.frequency.value + (2 * figures.rate) / figures.summary.count
      );
    });
    const assumed = about.reduce((sum, i) => sum + (i.amplitude.value / codeBinWidth) ** 2 / 2, 0);
    given += assumed;
    // A name of the line tells where it is before it folds.
    const order = /^(?:(\d+) × )?(\d+) Hz/.exec(l.names[0]!)!;
    const frequency = Number(order[1] ?? 1) * Number(order[2]);
    extra += Math.max(0, l.rms ** 2 - assumed * (1 + near) ** 2) * gain(frequency) ** 2;
  }
  const others = expectedScatter(
    e,
    { rate: 1 / e.sampling.interval, count: figures.summary.count, averaged: false },
    ratio,
  );
  const lostBits = 0.5 * Math.log2(1 + extra / others ** 2);
  const where = noise.lines
    .slice(0, 3)
    .map((l) => `${lsb(l.rms)} rms at ${formatQuantity({ value: l.frequency, unit: 'Hz' })} (${l.names[0]})`);
  const cost = lostBits < 0.05 ? '' : `: ${lossWords(lostBits, ratio)}`;
  return {
    ...head,
    standing: extra === 0 ? 'holds' : lostBits >= mattersBits ? 'refuted' : 'differs',
    lostBits,
    text: `${given === 0 ? 'none assumed' : `assumed ${lsb(Math.sqrt(given))} rms`}, found ${where.join(', ')}${cost}`,
  };
}

/** Whether the input, or the reading of it, stands still. */
function stillVerdict(e: Evaluation, { noise, figures, rate, averaged }: RecordFound): RecordVerdict {
  const { slopeLsb, slopeUncertaintyLsb } = noise;
  const { count } = figures.summary;
  const assumed = e.noise.slopeLsb;
  const perMinute = (slope: number): string =>
    formatQuantity({ value: 60 * slope * e.channel.worst.perCode, unit: e.units.difference });
  const excess = Math.abs(slopeLsb) - assumed;
  const differs =
    count > 2 && excess > Math.max(beyondChance * slopeUncertaintyLsb, near * assumed) && excess > 0;
  const head = { name: 'stands still', path: 'noise.drift' };
  const was = assumed === 0 ? 'still' : `${perMinute(assumed)} a minute`;
  if (!differs)
    return {
      ...head,
      standing: 'holds',
      lostBits: 0,
      text: `assumed ${was}, no more drift than chance explains`,
    };
  // Within a burst the mean lags by half of the way.
  const burst = averaged ? 0 : (excess * e.averaging.ratio * e.sampling.interval) / 2;
  const scatter = expectedScatter(
    e,
    { rate: 1 / e.sampling.interval, count: e.averaging.ratio, averaged: false },
    e.averaging.ratio,
  );
  const lostBits = bitsLost(scatter + burst, scatter);
  return {
    ...head,
    standing: lostBits >= mattersBits ? 'refuted' : 'differs',
    lostBits,
    text: `assumed ${was}, found ${lsb((Math.abs(slopeLsb) * count) / rate)} over the record, ${perMinute(Math.abs(slopeLsb))} a minute${lostBits < 0.05 ? '; next to nothing within a burst' : ''}`,
  };
}

/** Whether every code occurs that is due. */
function codesVerdict(e: Evaluation, { figures }: RecordFound): RecordVerdict {
  const { summary } = figures;
  const head = { name: 'no missing code', path: 'converter.dnl' };
  const told = summary.transitionNoise;
  const untold = (text: string): RecordVerdict => ({ ...head, standing: 'untold', lostBits: 0, text });
  if (summary.counts === 'none' || told === 'none' || told.noiseLsb === 0)
    return untold('too few codes occur to tell');
  const first = summary.lowest;
  const expected = codeProbabilities({
    mean: told.mean,
    noiseLsb: told.noiseLsb,
    first,
    count: summary.counts.length,
  });
  const judged = Array.from(expected, (p, k) => ({
    code: first + k,
    due: p * summary.count,
    seen: (summary.counts as Float64Array)[k]!,
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
  const list = missing
    .slice(0, 6)
    .map((c) => String(c.code))
    .join(', ');
  return {
    ...head,
    standing: 'refuted',
    lostBits: 0,
    text: `DNL of ${lsb(e.worksheet.profile.dnl.value)} assumed, which leaves none out; code ${list}${missing.length > 6 ? ' …' : ''} never occurs, ${formatNumber({ value: missing[0]!.due, digits: 2 })} were due`,
  };
}

/** Whether the codes are spread as Gaussian noise would spread them. */
function gaussianVerdict({ figures, noise }: RecordFound): RecordVerdict {
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

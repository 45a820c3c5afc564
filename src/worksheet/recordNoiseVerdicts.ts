/** Verdicts on the noise of a record: how much it is, whether it smooths the steps, whether averaging lowers it as it should. */
import { oversample } from '../chain/averaging/oversample.ts';
import { rippleSquare } from '../chain/averaging/ripple.ts';
import { formatQuantity } from '../numbers/format.ts';
import type { Evaluation } from './evaluation.ts';
import type { RecordFound, RecordRatio, RecordVerdict } from './recordFound.ts';
import { beyondChance, expectedScatter } from './recordNoise.ts';
import { bitsLost, fewest, lossWords, lsb, lsbWithin, mattersBits, near } from './recordWords.ts';

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
    ...(drift > 0 ? [`beside it ${lsb(drift)} is drift`] : []),
    ...(wander > 0 ? [`${lsb(wander)} wanders slower than from code to code`] : []),
  ].join(', ');
}

/** The noise of one conversion, about its drift: that has a verdict of its own. */
export function noiseVerdict(e: Evaluation, found: RecordFound): RecordVerdict {
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
  const lostBits = bitsLost(rms(bounded ? noise.atMostLsb : noise.stillLsb), rms(assumedLsb));
  const differs =
    isBelow ||
    Math.abs(noise.stillLsb - assumedLsb) >
      Math.max(beyondChance * noise.stillUncertaintyLsb, near * assumedLsb);
  const parts = partsWords(found);
  const figure = bounded
    ? `at most ${lsb(noise.atMostLsb)}`
    : lsbWithin(noise.stillLsb, noise.stillUncertaintyLsb);
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
export function enoughVerdict(e: Evaluation, { noise, averaged }: RecordFound): RecordVerdict[] {
  const { ratio } = e.averaging;
  if (averaged || ratio === 1) return [];
  const share = (sigma: number): number => {
    const ripple = rippleSquare(sigma);
    return ripple / (ripple + (sigma ** 2 + 1 / 12 - ripple) / ratio);
  };
  // Hum and drift smooth no step: they hardly move within a burst.
  const sigma = noise.foundLsb === 0 ? noise.atMostLsb : noise.parts.white;
  const stays = `steps of ${lsb(Math.sqrt(rippleSquare(sigma)))} rms stay`;
  const head = { name: 'smooths the steps', path: 'averaging.ratio' };
  const counted = share(e.noise.independentLsb) < 0.5;
  if (share(sigma) < 0.5) {
    // A limit from above tells that there is too little, never that there is enough.
    if (noise.foundLsb === 0)
      return [{ ...head, standing: 'untold', lostBits: 0, text: 'too few codes occur to tell' }];
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

/** Scatter of the means of R codes of the record, without what its straight line adds to it. */
function aboutLine({ noise, rate }: RecordFound, { ratio, results, measuredLsb }: RecordRatio): number {
  if (noise.parts.drift === 0) return measuredLsb;
  const step = (noise.slopeLsb / rate) * ratio;
  // Of 0, 1 … m − 1 steps.
  const line = (step ** 2 * results * (results + 1)) / 12;
  return Math.sqrt(Math.max(0, measuredLsb ** 2 - line));
}

/** Whether averaging the record lowers its scatter as the worksheet's noise would. */
export function averagingVerdict(e: Evaluation, found: RecordFound): RecordVerdict {
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
  const expected = aboutLine(found, one) * share;
  const measured = aboutLine(found, row);
  const lostBits = bitsLost(measured, expected);
  const chance = beyondChance / Math.sqrt(2 * (row.results - 1));
  const differs = Math.abs(measured / expected - 1) > Math.max(near, chance);
  const burst = 1 / e.sampling.interval;
  const line = noise.parts.drift === 0 ? '' : ', about the drift';
  const apart =
    averaged || (rate < 2 * burst && rate > burst / 2)
      ? ''
      : `; the record converts at ${formatQuantity({ value: rate, unit: 'Hz' })}, a burst at ${formatQuantity({ value: burst, unit: 'Hz' })}`;
  const cost = differs && Math.abs(lostBits) >= 0.05 ? `, ${lossWords(lostBits, row.ratio)}` : '';
  return {
    ...head,
    standing: !differs ? 'holds' : lostBits >= mattersBits ? 'refuted' : 'differs',
    lostBits: differs ? lostBits : 0,
    text: `${row.ratio} averaged should scatter by ${lsb(expected)}, and do by ${lsbWithin(measured, measured / Math.sqrt(2 * (row.results - 1)))}${line}${cost}${apart}`,
  };
}

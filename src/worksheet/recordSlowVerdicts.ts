/** Verdicts on what is slow in a record: lines of the mains, drift. */
import { boxcarGain } from '../chain/averaging/boxcar.ts';
import { formatQuantity } from '../numbers/format.ts';
import type { Evaluation } from './evaluation.ts';
import type { RecordFound, RecordVerdict } from './recordFound.ts';
import { beyondChance, expectedScatter } from './recordNoise.ts';
import { bitsLost, lossWords, lsb, mattersBits, near } from './recordWords.ts';

/** Lines of the mains against the interference that the worksheet names. */
export function humVerdict(e: Evaluation, { noise, rate, figures, averaged }: RecordFound): RecordVerdict {
  const head = { name: 'hum', path: 'conditioning.interference' };
  const named = e.worksheet.inputs.conditioning.interference ?? [];
  const { codeBinWidth } = e.quantizing;
  const { ratio } = e.averaging;
  const gain = (frequency: number): number =>
    averaged ? 1 : Math.abs(boxcarGain({ frequency, ratio, interval: e.sampling.interval }));
  // 50 Hz must stand clear of 0 Hz, and of 60.
  if (figures.fine === 'none' || figures.fine.binWidth > 4) {
    const needed = formatQuantity({ value: 0.5, unit: 's' });
    const isShort = figures.summary.count / rate < 0.5;
    // Lines are told from a power of two of codes, from the first on.
    const slow = formatQuantity({ value: 200e3, unit: 'Hz' });
    return {
      ...head,
      standing: 'untold',
      lostBits: 0,
      text: isShort
        ? `the record is too short to tell lines of the mains; ${needed} or more would`
        : `the record is too quick to tell lines of the mains; ${needed} at ${slow} or less would`,
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
export function stillVerdict(e: Evaluation, { noise, figures, rate, averaged }: RecordFound): RecordVerdict {
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

/** Filters that firmware adds over readings: what each leaves of the noise, how long it takes, and where it sticks. */
import type { FilteredReadings, WorksheetNoise } from '../../worksheet/noiseOf.ts';
import * as b from '../blocks.ts';
import { prose, type Section } from '../blocks.ts';
import { number, type Told } from './told.ts';

function nameOf({ filter }: FilteredReadings): string {
  switch (filter.kind) {
    case 'mean':
      return `mean of ${filter.length}`;
    case 'median':
      return `median of ${filter.length}`;
    case 'exponential':
      return filter.form === 'accumulator'
        ? `the same, ${filter.shift} bits wider`
        : `shift filter, ${filter.shift} bits`;
  }
}

/** The table of filters. */
export function filters(
  { e: { reading, channel, worksheet }, small, inSmall, difference, time }: Told,
  { filters: rows }: WorksheetNoise,
): Section {
  const period = worksheet.inputs.requirement.period.value;
  const sticks = rows.reduce((a, r) => (r.deadBand > a.deadBand ? r : a));
  return {
    body: [
      b.table({
        name: 'filters',
        claim: `A shift filter over readings can stay ${difference(sticks.deadBand * reading.step)} short for ever.`,
        text: prose`Filters over readings ${time(period)} apart, of a still input. The shift filter, y += (x − y) >> 3, throws away what is less than one result code of ${difference(reading.step)}; with the sum kept wider nothing is lost. A median throws out single outliers.`,
        columns: [
          { head: 'filter', words: true },
          { head: 'noise', unit: 'factor', minor: true },
          { head: 'scatter', unit: `${small} rms` },
          { head: '99\u202f% of a step', unit: 'readings' },
          { head: 'sticks', unit: 'codes' },
          { head: 'short by', unit: small },
        ],
        rows: rows.map((r) => ({
          cells: [
            nameOf(r),
            number(r.noiseFactor),
            number(inSmall(r.rmsLsb * channel.worst.perCode)),
            String(r.stepReadings),
            String(r.deadBand),
            number(inSmall(r.deadBand * reading.step)),
          ],
        })),
      }),
    ],
  };
}

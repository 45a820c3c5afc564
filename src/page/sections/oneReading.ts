/** How far one reading may be trusted, and what more of them bring. */
import type { WorksheetNoise } from '../../worksheet/noiseOf.ts';
import * as b from '../blocks.ts';
import { paragraph, prose, type Section, symbol } from '../blocks.ts';
import { number, type Told } from './told.ts';

/** Two standard deviations of one reading, as a data sheet would have it, and of the mean of more. */
export function oneReading({ e, difference, time }: Told, { many, enoughReadings }: WorksheetNoise): Section {
  const { perCode } = e.channel.worst;
  const { averaging, worksheet } = e;
  const figure = (n: (typeof many)[number]): string => `±${difference(n.twoSigmaLsb * perCode)}`;
  const wanted = worksheet.inputs.requirement.resolution?.value;
  const more = many.slice(1).map((n) => `${n.readings} give ${figure(n)}`);
  const needed =
    wanted === undefined
      ? ''
      : enoughReadings === 'none'
        ? ` No number of them is within ±${difference(wanted)}: what no averaging takes away is more.`
        : enoughReadings === 1
          ? ` One is within ±${difference(wanted)} already.`
          : ` It takes ${number(enoughReadings!, 6)} for ±${difference(wanted)}.`;
  return {
    claim: `One reading is good to ${figure(many[0]!)} (2σ).`,
    body: [
      paragraph(
        prose`For a data sheet: noise ${figure(many[0]!)} (2σ) at worst, mean of ${String(averaging.ratio)} conversions in ${time(averaging.burstTime)}. Of a still input ${more.join(', ')}.${needed}`,
      ),
    ],
    margin: [
      paragraph(prose`Scatter and steps only; how far off the reading is, is another question.`),
      b.working({
        result: 'filters over readings',
        steps: [
          prose`A shift by ${symbol('s')}, as below, takes a share ${symbol('a')} of each new reading:`,
          { formula: 'a = 2^(−s)' },
          { formula: 'u/u_1 = sqrt(a/(2 − a))' },
          prose`It rounds the rest of a rise down to nothing: the output may stay short of a steady input by as many result codes as`,
          { formula: '2^s − 1' },
        ],
        source: 'For independent readings; the steps of a still input are in every one of them and stay.',
      }),
    ],
  };
}

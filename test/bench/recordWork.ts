/**
 * The work of a peer comparison: a file of codes through reading, summary with histogram, averaged spectrum and overlapping Allan
 * deviation. Prints figures that the peers print too, and the most memory that it held, MiB.
 */
import { closeSync, openSync, readSync } from 'node:fs';
import { allanStream } from '../../src/record/allanStream.ts';
import { spectrumStream } from '../../src/record/averagedSpectrum.ts';
import { recordReader } from '../../src/record/reader.ts';
import { summaryStream } from '../../src/record/summary.ts';

const reader = recordReader({ bits: 12 });
const summary = summaryStream({ bits: 12 });
const spectrum = spectrumStream({ rate: 1 });
const allan = allanStream({ rate: 1 });
const take = ([codes]: readonly Float64Array[]): void => {
  if (!codes) return;
  summary.add(codes);
  spectrum.add(codes);
  allan.add(codes);
};
const file = openSync(process.argv[2]!, 'r');
const bytes = new Uint8Array(1 << 18);
for (let n = readSync(file, bytes); n > 0; n = readSync(file, bytes)) take(reader.push(bytes.subarray(0, n)));
closeSync(file);
take(reader.end());
const told = summary.summary();
const power = spectrum.spectrum();
if (told === 'none' || power === 'none') throw new Error('no codes');
const points = allan.points();
console.log(
  JSON.stringify({
    mean: told.mean,
    deviation: told.standardDeviation,
    count: told.counts === 'none' ? 0 : told.counts[told.counts.length >> 1],
    power: power.power[100],
    allan: points.at(10)!.deviation,
    memory: process.resourceUsage().maxRSS / 1024,
  }),
);

/**
 * The work of a peer comparison: a file of codes through reading, summary with histogram, averaged spectrum and overlapping Allan
 * deviation, in one thread, or in two that both read the file. Prints figures that the peers print too, and the most memory that it
 * held, MiB.
 */
import { closeSync, openSync, readSync } from 'node:fs';
import { isMainThread, parentPort, Worker, workerData } from 'node:worker_threads';
import type { AllanPoint } from '../../src/record/allan.ts';
import { allanStream } from '../../src/record/allanStream.ts';
import { spectrumStream } from '../../src/record/averagedSpectrum.ts';
import { recordReader } from '../../src/record/reader.ts';
import { summaryStream } from '../../src/record/summary.ts';

/** Hands the codes of a file to all that take them. */
function read(path: string, takers: readonly { add(codes: Float64Array): void }[]): void {
  const reader = recordReader({ bits: 12 });
  const take = ([codes]: readonly Float64Array[]): void => {
    if (codes) for (const taker of takers) taker.add(codes);
  };
  const file = openSync(path, 'r');
  const bytes = new Uint8Array(1 << 18);
  for (let n = readSync(file, bytes); n > 0; n = readSync(file, bytes))
    take(reader.push(bytes.subarray(0, n)));
  closeSync(file);
  take(reader.end());
}

const allan = allanStream({ rate: 1 });

async function main(path: string, threads: string | undefined): Promise<void> {
  const summary = summaryStream({ bits: 12 });
  const spectrum = spectrumStream({ rate: 1 });
  const takers = [summary, spectrum];
  let points: readonly AllanPoint[];
  if (threads === '2') {
    const second = new Worker(new URL(import.meta.url), { workerData: path });
    const found = new Promise<readonly AllanPoint[]>((resolve, reject) => {
      second.once('message', resolve).once('error', reject);
    });
    read(path, takers);
    points = await found;
  } else {
    read(path, [...takers, allan]);
    points = allan.points();
  }
  const told = summary.summary();
  const power = spectrum.spectrum();
  if (told === 'none' || power === 'none') throw new Error('no codes');
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
}

if (isMainThread) await main(process.argv[2]!, process.argv[3]);
else {
  read(workerData as string, [allan]);
  parentPort?.postMessage(allan.points());
}

/** A recorded file of any length: read a piece at a time, a long one by two threads that share its figures. */
import { createReadStream, type Stats, statSync } from 'node:fs';
import { availableParallelism } from 'node:os';
import { basename } from 'node:path';
import type { Worker } from 'node:worker_threads';
import { type RecordAnalysis, type RecordReading, recordAnalysis } from '../record/analysis.ts';
import type { Dependence } from '../record/figures.ts';
import { InputError, reason } from './files.ts';
import { Progress } from './progress.ts';

/** A file and how it is read. Plain data. */
export interface RecordFile {
  readonly path: string;
  /** Bytes that count, above 0: the file may grow meanwhile. */
  readonly size: number;
  readonly reading: RecordReading;
}

/** Bytes that are read at a time. */
const piece = 1 << 18;
/** Bytes from which on a second thread is worth its start. */
const long = 1 << 23;

/** The bytes of a file, a piece at a time. */
export const recordBytes = ({ path, size }: Pick<RecordFile, 'path' | 'size'>): AsyncIterable<Buffer> =>
  createReadStream(path, { highWaterMark: piece, end: size - 1 });

/** The second thread at its half of the figures. */
class SecondThread {
  readonly #worker: Worker;
  readonly dependence: Promise<Dependence>;

  private constructor(worker: Worker) {
    this.#worker = worker;
    this.dependence = new Promise((resolve, reject) => {
      worker.once('message', resolve).once('error', reject);
    });
    // What it fails at is told when its half is asked for, or by the first thread's own failure.
    this.dependence.catch(() => undefined);
  }

  static async on(file: RecordFile): Promise<SecondThread> {
    const { startRecordPart } = await import('./sources.ts');
    return new SecondThread(startRecordPart(file));
  }

  end(): Promise<number> {
    return this.#worker.terminate();
  }
}

/**
 * Analyses a file, or standard input ('-'), in bounded memory.
 *
 * @throws InputError where it cannot be read
 */
export async function analysedFile(path: string, reading: RecordReading): Promise<RecordAnalysis> {
  const about: Stats | undefined = path === '-' ? undefined : statSync(path, { throwIfNoEntry: false });
  const size = about?.isFile() ? about.size : 0;
  const second =
    size >= long && availableParallelism() > 1 ? await SecondThread.on({ path, size, reading }) : undefined;
  const analysis = recordAnalysis({ ...reading, dependence: second ? 'elsewhere' : 'here' });
  const progress = new Progress(basename(path), size);
  const source =
    path === '-' ? process.stdin : size > 0 ? recordBytes({ path, size }) : createReadStream(path);
  try {
    for await (const bytes of source as AsyncIterable<Buffer>) {
      analysis.push(bytes);
      progress.add(bytes.length);
    }
    return analysis.end(await second?.dependence);
  } catch (error) {
    if (error instanceof RangeError || (error as NodeJS.ErrnoException).code === undefined) throw error;
    throw new InputError(`${path}: ${reason(error)}`);
  } finally {
    progress.end();
    await second?.end();
  }
}

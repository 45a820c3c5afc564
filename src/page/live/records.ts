/** The record of a page at work: the one it carries, or a file that the reader hands in, read in a worker where it is long. */
import type { Evaluation } from '../../worksheet/evaluate.ts';
import type { Carried } from '../beside.ts';
import type { Way } from '../html/prose.tsx';
import type { Beside } from '../page.ts';
import {
  type CarriedRecord,
  carriedRecord,
  mostCarried,
  type PageRecord,
  type ReadingAs,
  readingAs,
} from '../record.ts';
import type { Session } from '../session.ts';
import type { HandedIn } from './handedIn.ts';
import type { RecordNews, RecordTask } from './recordWorker.ts';

/** Time between two words on how far a file is read, ms. */
const pause = 150;

/** A file too long to be carried, and what was made of it. */
interface LongFile {
  readonly file: File;
  readonly as: ReadingAs;
  readonly record: PageRecord;
}

const megabytes = (bytes: number): string => `${(bytes / 1e6).toFixed(bytes < 1e7 ? 1 : 0)}\u202fMB`;

/** Holds the record of a page, and tells when there is news. */
export class Records implements HandedIn {
  readonly refused = '';
  readonly #worker: string;
  readonly #own: CarriedRecord | undefined;
  readonly #changed: () => void;
  #now: CarriedRecord | LongFile | undefined;
  #busy: { worker: Worker; file: File; as: ReadingAs; done: number } | undefined;
  #told = 0;

  /** `worker` is the script that reads files when it runs as a worker. */
  constructor(worker: string, { record }: Carried, changed: () => void) {
    this.#worker = worker;
    this.#own = record;
    this.#now = record;
    this.#changed = changed;
  }

  given({ evaluation }: Session): Partial<Beside> {
    return { record: this.#record(evaluation) };
  }

  /** The record for a worksheet; a long file is read anew where the worksheet has its codes otherwise, and until then is as it was. */
  #record(evaluation: Evaluation): PageRecord | undefined {
    const now = this.#now;
    if (now === undefined) return undefined;
    if ('text' in now) return carriedRecord(now, evaluation);
    const as = readingAs(evaluation);
    if (this.#differs(now.as, as) && !(this.#busy && !this.#differs(this.#busy.as, as)))
      this.#read(now.file, as);
    return now.record;
  }

  #differs(a: ReadingAs, b: ReadingAs): boolean {
    return a.bits !== b.bits || a.column !== b.column;
  }

  /** How far a file is read, in words; empty while none is. */
  get reading(): string {
    if (!this.#busy) return '';
    const { file, done } = this.#busy;
    return `reading ${file.name}: ${Math.floor((100 * done) / Math.max(1, file.size))}\u202f% of ${megabytes(file.size)}`;
  }

  ways(): readonly Way[] {
    if (this.#now === this.#own) return [];
    return [{ words: 'go back to the record of the worksheet', act: () => this.#goBack() }];
  }

  carried(): Carried {
    const now = this.#now;
    if (now === undefined) return {};
    if ('text' in now) return { record: now };
    const { name, size } = now.file;
    return { record: { name, text: '', absent: `${megabytes(size)} are too long to be carried in a page` } };
  }

  async take(file: File, { evaluation }: Session): Promise<void> {
    this.#end();
    if (file.size > mostCarried) {
      this.#read(file, readingAs(evaluation));
      return;
    }
    try {
      this.#now = { name: file.name, text: await file.text() };
    } catch (error) {
      this.#now = { name: file.name, text: '', absent: (error as Error).message };
    }
    this.#changed();
  }

  #goBack(): void {
    this.#end();
    this.#now = this.#own;
    this.#changed();
  }

  #end(): void {
    this.#busy?.worker.terminate();
    this.#busy = undefined;
  }

  #read(file: File, as: ReadingAs): void {
    this.#end();
    const url = URL.createObjectURL(new Blob([this.#worker], { type: 'text/javascript' }));
    const worker = new Worker(url);
    const busy = { worker, file, as, done: 0 };
    this.#busy = busy;
    const settle = (record: PageRecord): void => {
      this.#end();
      this.#now = { file, as, record };
      URL.revokeObjectURL(url);
      this.#changed();
    };
    worker.onmessage = ({ data }: MessageEvent<RecordNews>) => {
      if (this.#busy !== busy) return;
      if ('analysis' in data) settle({ name: file.name, analysis: data.analysis });
      else if ('problem' in data) settle({ name: file.name, analysis: 'none', absent: data.problem });
      else {
        busy.done = data.done;
        if (performance.now() - this.#told < pause) return;
        this.#told = performance.now();
        this.#changed();
      }
    };
    worker.onerror = (event) => settle({ name: file.name, analysis: 'none', absent: event.message });
    worker.postMessage({ file, as } satisfies RecordTask);
    // Later than now: a page being shown is not shown again from within.
    setTimeout(() => this.#changed());
  }
}

/**
 * Reads a file of codes beside the page, a piece at a time, so that the page stays at work however long the file is. The page's own
 * script does it when it runs as a worker, where there is no document.
 */
import { type RecordAnalysis, recordAnalysis } from '../../record/analysis.ts';
import type { ReadingAs } from '../record.ts';

/** What the page asks for. */
export interface RecordTask {
  readonly file: File;
  readonly as: ReadingAs;
}

/** What it is told: how many bytes are read, or the end. */
export type RecordNews =
  | { readonly done: number }
  | { readonly analysis: RecordAnalysis }
  | { readonly problem: string };

/** Bytes that are read at a time. */
const piece = 1 << 20;

const tell = (news: RecordNews): void =>
  (self as unknown as { postMessage(news: RecordNews): void }).postMessage(news);

async function read({ file, as }: RecordTask): Promise<void> {
  try {
    const analysis = recordAnalysis(as);
    for (let at = 0; at < file.size; at += piece) {
      analysis.push(new Uint8Array(await file.slice(at, at + piece).arrayBuffer()));
      tell({ done: Math.min(file.size, at + piece) });
    }
    tell({ analysis: analysis.end() });
  } catch (error) {
    tell({ problem: (error as Error).message });
  }
}

/** Waits for a file to read. */
export function serveRecords(): void {
  self.onmessage = ({ data }: MessageEvent<RecordTask>) => void read(data);
}

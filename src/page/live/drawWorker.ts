/**
 * Makes many draws of a worksheet's reading beside the page, which stays at work meanwhile. The page's own script does it when it runs
 * as a worker, where there is no document: it reads the same worksheet by the same code, so the figures are those of everywhere else.
 */
import { type Witness, witnessRun } from '../../worksheet/witnessOf.ts';
import { Session, type SessionData } from '../session.ts';

/** What it is told: the part that is drawn, 0 … 1, or the end. */
export type DrawNews =
  | { readonly done: number }
  | { readonly witness: Witness }
  | { readonly problem: string };

const tell = (news: DrawNews): void =>
  (self as unknown as { postMessage(news: DrawNews): void }).postMessage(news);

function draw(data: SessionData): void {
  try {
    const run = witnessRun(new Session(data).evaluation);
    while (run.advance()) tell({ done: run.drawn / run.draws });
    tell({ witness: run.witness() });
  } catch (error) {
    tell({ problem: (error as Error).message });
  }
}

/** Waits for a worksheet to draw. */
export function serveDraws(): void {
  self.onmessage = ({ data }: MessageEvent<SessionData>) => draw(data);
}

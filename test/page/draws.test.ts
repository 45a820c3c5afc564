import { afterEach, describe, expect, it, vi } from 'vitest';
import { Draws } from '../../src/page/live/draws.ts';
import type { DrawNews } from '../../src/page/live/drawWorker.ts';
import { serveDraws } from '../../src/page/live/drawWorker.ts';
import type { SessionData } from '../../src/page/session.ts';
import { drawnOut, manyDraws, type Witness, witnessRun } from '../../src/worksheet/witnessOf.ts';
import { profiles, sessionOn } from './demo.ts';

/** The draws of a page, with what was told of them. */
function held() {
  const session = sessionOn('cellar');
  const data: SessionData = { name: 'cellar', text: session.text, profiles, pages: [] };
  const progress: number[] = [];
  const draws = new Draws('', data, () => {
    const { done } = draws.hand;
    if (done !== undefined) progress.push(done);
    draws.drawn(session);
  });
  const made = (): Promise<Witness> =>
    vi.waitFor(() => draws.drawn(session) ?? Promise.reject(new Error('not drawn')), { timeout: 20_000 });
  return { session, draws, progress, made, data };
}

afterEach(() => vi.unstubAllGlobals());

describe('without a worker, on the page’s own thread', () => {
  it('are not begun before they are asked for, nor shown once given up', async () => {
    const { session, draws, made } = held();
    expect(draws.drawn(session)).toBeUndefined();
    expect(draws.hand).toMatchObject({ wanted: false, said: '' });
    draws.hand.turn();
    expect(draws.hand).toMatchObject({ wanted: true, done: 0, said: 'under way' });
    draws.hand.turn();
    expect(draws.hand).toMatchObject({ wanted: false, said: 'given up' });
    expect(draws.hand.done).toBeUndefined();
    draws.hand.turn();
    await made();
    expect(draws.hand).toMatchObject({ wanted: true, said: 'made' });
    expect(draws.hand.done).toBeUndefined();
    draws.hand.turn();
    expect(draws.drawn(session)).toBeUndefined();
  });

  it('are those of anywhere else, and their progress only rises', async () => {
    const { session, draws, progress, made } = held();
    draws.hand.turn();
    const many = await made();
    expect(many.draws).toBe(manyDraws);
    expect(many).toEqual(drawnOut(witnessRun(session.evaluation)));
    expect(progress.every((p, i) => p >= (progress[i - 1] ?? 0) && p <= 1)).toBe(true);
    // Between parts the page had its turn.
    expect(progress.some((p) => p > 0 && p < 1)).toBe(true);
  });

  it('cost nothing more once given up', async () => {
    const { draws, progress } = held();
    draws.hand.turn();
    await vi.waitFor(() => expect(progress.some((p) => p > 0)).toBe(true));
    draws.hand.turn();
    const turns = vi.spyOn(globalThis, 'setTimeout');
    await new Promise((done) => setImmediate(done));
    await new Promise((done) => setTimeout(done, 20));
    await new Promise((done) => setTimeout(done, 20));
    // What this test waits by, and nothing else.
    expect(turns).toHaveBeenCalledTimes(2);
    turns.mockRestore();
  });

  it('begin anew after a change, and only then', async () => {
    const { session, draws, made } = held();
    draws.hand.turn();
    const before = await made();
    expect(draws.drawn(session)).toBe(before);
    expect(session.write({ 'converter.inl': '5 LSB' })).toBeUndefined();
    expect(draws.drawn(session)).toBeUndefined();
    expect(draws.hand).toMatchObject({ wanted: true, done: 0 });
    const after = await made();
    expect(after).toEqual(drawnOut(witnessRun(session.evaluation)));
    expect(after.high).toBeGreaterThan(before.high);
    // The way back ends what is under way: the draws for it are there.
    session.write({ 'converter.inl': '6 LSB' });
    expect(draws.drawn(session)).toBeUndefined();
    session.goBack();
    expect(draws.drawn(session)).toBe(after);
    expect(draws.hand.done).toBeUndefined();
  });
});

describe('in a worker', () => {
  /** Workers that were made, each with what it was given. */
  function stubbed() {
    const workers: { given: SessionData[]; ended: boolean; onmessage?: unknown; onerror?: unknown }[] = [];
    vi.stubGlobal(
      'Worker',
      class {
        given: SessionData[] = [];
        ended = false;
        constructor() {
          workers.push(this);
        }
        postMessage(data: SessionData): void {
          this.given.push(data);
        }
        terminate(): void {
          this.ended = true;
        }
      },
    );
    return workers;
  }
  const tell = (worker: { onmessage?: unknown }, data: DrawNews): void =>
    (worker.onmessage as (event: { data: DrawNews }) => void)({ data });
  const begun = (workers: readonly unknown[], count: number): Promise<void> =>
    vi.waitFor(() => expect(workers).toHaveLength(count));

  it('gets the worksheet as it stands, is ended by a change, and its late news is not heard', async () => {
    const workers = stubbed();
    const { session, draws } = held();
    draws.hand.turn();
    await begun(workers, 1);
    expect(workers[0]!.given[0]).toMatchObject({ name: 'cellar', text: session.text });
    tell(workers[0]!, { done: 0.25 });
    expect(draws.hand.done).toBe(0.25);
    session.write({ 'converter.inl': '5 LSB' });
    draws.drawn(session);
    expect(workers[0]!.ended).toBe(true);
    tell(workers[0]!, { done: 0.5 });
    tell(workers[0]!, { problem: 'too late' });
    expect(draws.hand).toMatchObject({ wanted: true, done: 0 });
    // Another change before the next has begun: one worker, for the last.
    session.write({ 'converter.inl': '6 LSB' });
    draws.drawn(session);
    await begun(workers, 2);
    expect(workers[1]!.given[0]!.text).toBe(session.text);
    const witness = drawnOut(witnessRun(session.evaluation, 1000));
    tell(workers[1]!, { witness });
    expect(workers[1]!.ended).toBe(true);
    expect(draws.drawn(session)).toBe(witness);
  });

  it('that cannot draw says why; one that does not run is done without', async () => {
    const workers = stubbed();
    const { session, draws, made } = held();
    draws.hand.turn();
    await begun(workers, 1);
    tell(workers[0]!, { problem: 'no such value' });
    expect(draws.hand).toMatchObject({ wanted: false, problem: 'no such value', said: 'not made' });
    draws.hand.turn();
    expect(draws.hand.problem).toBeUndefined();
    await begun(workers, 2);
    (workers[1]!.onerror as () => void)();
    expect(await made()).toEqual(drawnOut(witnessRun(session.evaluation)));
  });

  it('reads the worksheet it is given, draws it, and tells how far it is', () => {
    const news: DrawNews[] = [];
    const scope: { postMessage: (n: DrawNews) => void; onmessage?: (event: { data: SessionData }) => void } =
      {
        postMessage: (n) => news.push(n),
      };
    vi.stubGlobal('self', scope);
    serveDraws();
    const { session, data } = held();
    scope.onmessage!({ data });
    const last = news.pop()!;
    expect(last).toEqual({ witness: drawnOut(witnessRun(session.evaluation)) });
    const parts = news.map((n) => ('done' in n ? n.done : Number.NaN));
    expect(parts.length).toBeGreaterThan(20);
    expect(parts.every((p, i) => p > (parts[i - 1] ?? 0) && p < 1)).toBe(true);
    scope.onmessage!({ data: { ...data, text: '{' } });
    expect(news.pop()).toHaveProperty('problem');
  });
});

/**
 * Allan deviation of a record of any length, in constant memory: values in, in pieces; the overlapping deviation at octave factors
 * out, at any time.
 *
 * The sums X[n] pass through a window of a little over 2·2^16. Factors up to 2^16 overlap fully. Beyond, every second sum is handed
 * to a further stage of the same kind, every second of those to the next, and so on: stage j sees every 2^j-th sum and serves
 * factor 2^(16 + j), so spans start every 2^j values instead of at every one. That loses next to nothing, since spans that start
 * so near to each other tell the same.
 */
import { named, positive } from '../numbers/guard.ts';
import { type AllanPoint, squaresOfDifferences } from './allan.ts';

/** Largest factor that overlaps fully, as a power of two. */
const fullLog = 16;
/** Sums taken in between two runs over the window. */
const piece = 2 ** 15;

/** A deviation with how densely its spans were laid. */
export interface StreamedAllanPoint extends AllanPoint {
  /** Spans start every so many values; 1 is full overlap. */
  readonly stride: number;
}

/** Takes a record in pieces. */
export interface AllanStream {
  /** Takes the next values: whole numbers, whose sum stays within ±2^53. */
  add(values: ArrayLike<number>): void;
  /** Deviations so far at factors 1, 2, 4 … ≤ M/3 (at least 1), for M values; none for M < 2. */
  points(): StreamedAllanPoint[];
}

/**
 * Adds to `squares`, from `at` on, Σ D[n]² of factors m, 2m, 4m and 8m over the differences that end at `from` … `to` − 1.
 *
 * The four share sums that they read, and add up side by side: measured twice as fast as one after the other. Each lag has a view of
 * its own, so that one index serves all: measured twice as fast again.
 */
function addFourOctaves(
  sums: Float64Array,
  m: number,
  from: number,
  to: number,
  squares: Float64Array,
  at: number,
): void {
  const back = (lag: number): Float64Array => sums.subarray(from - lag, to - lag);
  const [x0, x1, x2, x4, x8, x16] = [back(0), back(m), back(2 * m), back(4 * m), back(8 * m), back(16 * m)];
  let s1 = 0;
  let s2 = 0;
  let s4 = 0;
  let s8 = 0;
  for (let i = 0; i < to - from; i++) {
    const last = x0[i]!;
    const by2 = x2[i]!;
    const by4 = x4[i]!;
    const by8 = x8[i]!;
    const d1 = last - 2 * x1[i]! + by2;
    const d2 = last - 2 * by2 + by4;
    const d4 = last - 2 * by4 + by8;
    const d8 = last - 2 * by8 + x16[i]!;
    s1 += d1 * d1;
    s2 += d2 * d2;
    s4 += d4 * d4;
    s8 += d8 * d8;
  }
  squares[at]! += s1;
  squares[at + 1]! += s2;
  squares[at + 2]! += s4;
  squares[at + 3]! += s8;
}

/** A window over sums that come one by one; serves factors 2^lowest … 2^16 of its own spacing. */
class Stage {
  private readonly window = new Float64Array(2 ** (fullLog + 1) + 1 + piece);
  private readonly squares = new Float64Array(fullLog + 1);
  private readonly lowest: number;
  private held = 0;
  /** Sums in the window that all factors have been served of. */
  private served = 0;
  private next: Stage | undefined;
  /** Sums taken. */
  private taken = 0;

  constructor(lowest: number) {
    this.lowest = lowest;
  }

  /** Room for further sums, `room` of them at least 1: the caller fills from `at` on and says how many. */
  fill(most: number): { window: Float64Array; at: number; room: number } {
    if (this.held === this.window.length) this.serve();
    return { window: this.window, at: this.held, room: Math.min(most, this.window.length - this.held) };
  }

  filled(count: number): void {
    this.held += count;
    this.taken += count;
  }

  /** Serves the sums not served yet, hands every second of them on, and keeps the last 2·2^16. */
  serve(): void {
    const { window, squares, served, held } = this;
    // D[n] whose last sum is among the new ones.
    for (let log = this.lowest; log <= fullLog; ) {
      if (log + 3 <= fullLog && served >= 2 ** (log + 4)) {
        addFourOctaves(window, 2 ** log, served, held, squares, log);
        log += 4;
      } else {
        const from = Math.max(0, served - 2 ** (log + 1));
        squares[log]! += squaresOfDifferences(window, 2 ** log, from, held - 1, 1);
        log++;
      }
    }
    this.handOn();
    const kept = Math.min(held, 2 ** (fullLog + 1));
    window.copyWithin(0, held - kept, held);
    this.held = kept;
    this.served = kept;
  }

  /** The next stage takes the sums of even number. */
  private handOn(): void {
    const first = this.taken - this.held;
    let n = this.served + ((first + this.served) & 1);
    if (n >= this.held) return;
    // A further stage serves nothing before 2·2^16 of its sums have come, but must have them all.
    this.next ??= new Stage(fullLog);
    while (n < this.held) {
      const { window, at, room } = this.next.fill(Math.ceil((this.held - n) / 2));
      for (let i = 0; i < room; i++, n += 2) window[at + i] = this.window[n]!;
      this.next.filled(room);
    }
  }

  /** Adds the points of this stage and of those it hands on to; its sums stand 2^depth values apart. */
  collect(points: StreamedAllanPoint[], rate: number, count: number, depth: number): void {
    this.serve();
    const stride = 2 ** depth;
    for (let log = this.lowest; log <= fullLog; log++) {
      const factor = 2 ** (log + depth);
      const terms = this.taken - 2 ** (log + 1);
      if (terms < 1 || (factor > 1 && factor > count / 3)) return;
      const mean = this.squares[log]! / terms;
      points.push({ factor, tau: factor / rate, deviation: Math.sqrt(mean / 2) / factor, terms, stride });
    }
    this.next?.collect(points, rate, count, depth + 1);
  }
}

/**
 * Overlapping Allan deviation of a record that comes in pieces.
 *
 * @param rate - values per second, Hz, above 0
 * @returns a stream to add values to
 * @throws RangeError for an argument outside its range
 * @see [SP1065] 5.2.4 (clause from memory)
 *
 * allanStream({ rate: 1 }).points() // => []
 */
export function allanStream(given: { rate: number }): AllanStream {
  const { rate } = named('allanStream', { rate: positive('Hz') }, given);
  const stage = new Stage(0);
  stage.fill(1).window[0] = 0;
  stage.filled(1);
  let sum = 0;
  let count = 0;
  return {
    add(values) {
      for (let i = 0; i < values.length; ) {
        const { window, at, room } = stage.fill(values.length - i);
        for (let j = 0; j < room; j++) window[at + j] = sum += values[i + j]!;
        stage.filled(room);
        i += room;
      }
      count += values.length;
    },
    points() {
      const points: StreamedAllanPoint[] = [];
      if (count > 1) stage.collect(points, rate, count, 0);
      return points;
    },
  };
}

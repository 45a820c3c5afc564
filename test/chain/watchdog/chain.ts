import { seededRandom } from '../../../src/numbers/random.ts';

// The counter of the comparator as a Markov chain of c states, and as a simulation with noise drawn: neither uses a closed form.

/** Alarms per value in the long run: power iteration of the chain whose state is the number of trips in a row. */
export function alarmsOfChain(p: number, count: number): number {
  let state = new Float64Array(count).fill(1 / count);
  for (let n = 0; n < 20000; n++) {
    const next = new Float64Array(count);
    let total = 0;
    for (const share of state) total += share;
    next[0] = total * (1 - p) + state[count - 1]! * p;
    for (let i = 1; i < count; i++) next[i] = state[i - 1]! * p;
    // Half a step of rest keeps a chain of fixed period from turning round for ever.
    let change = 0;
    for (let i = 0; i < count; i++) {
      const mean = (next[i]! + state[i]!) / 2;
      change = Math.max(change, Math.abs(mean - state[i]!));
      next[i] = mean;
    }
    state = next;
    if (change < 1e-17) break;
  }
  return state[count - 1]! * p;
}

/** Probability of no alarm in the first n values, n = 0 … length − 1. */
export function survivalOfChain(p: number, count: number, length: number): number[] {
  let state = new Float64Array(count);
  state[0] = 1;
  return Array.from({ length }, () => {
    const left = state.reduce((a, b) => a + b, 0);
    const next = new Float64Array(count);
    next[0] = left * (1 - p);
    for (let i = 1; i < count; i++) next[i] = state[i - 1]! * p;
    state = next;
    return left;
  });
}

/** Numbers of values from alarm to alarm, the input a margin under the threshold, noise drawn. */
export function simulatedIntervals(
  given: { marginLsb: number; noiseLsb: number; consecutive: number },
  values: number,
  seed: number,
): number[] {
  const noise = seededRandom(seed);
  const out: number[] = [];
  let [row, since] = [0, 0];
  for (let n = 0; n < values; n++) {
    since++;
    row = given.noiseLsb * noise.normal() > given.marginLsb ? row + 1 : 0;
    if (row === given.consecutive) {
      out.push(since);
      [row, since] = [0, 0];
    }
  }
  return out;
}

/** Mean number of values from alarm to alarm with hysteresis: set by c above the threshold, cleared by c under the release. */
export function simulatedCycle(
  given: { below: number; hysteresis: number; noiseLsb: number; consecutive: number },
  values: number,
  seed: number,
): { mean: number; standardError: number } {
  const noise = seededRandom(seed);
  const cycles: number[] = [];
  let [alarm, row, since] = [false, 0, 0];
  for (let n = 0; n < values; n++) {
    since++;
    const x = given.noiseLsb * noise.normal();
    row = (alarm ? x < given.below - given.hysteresis : x > given.below) ? row + 1 : 0;
    if (row < given.consecutive) continue;
    row = 0;
    alarm = !alarm;
    if (!alarm) continue;
    cycles.push(since);
    since = 0;
  }
  return meanOf(cycles);
}

export function meanOf(list: number[]): { mean: number; standardError: number } {
  const mean = list.reduce((a, b) => a + b, 0) / list.length;
  const square = list.reduce((a, b) => a + (b - mean) ** 2, 0) / (list.length - 1);
  return { mean, standardError: Math.sqrt(square / list.length) };
}

/**
 * Sorted runs: many draws put in order a part at a time, so that neither adding nor asking takes long at once.
 *
 * In come runs of draws, each in rising order; out come values by their rank among all of them, and how many lie below a level. Both
 * are those of the whole list in order, which is never made.
 */

/** How many of the values from `from` to `to` of a run in rising order lie below a level (or at it, where `at`), counted from its start. */
function below(run: Float64Array, level: number, at: boolean, from = 0, to = run.length): number {
  let [low, high] = [from, to];
  while (low < high) {
    const middle = (low + high) >> 1;
    const value = run[middle]!;
    if (value < level || (at && value === level)) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** How many values of all runs lie below a level. */
export const countBelow = (runs: readonly Float64Array[], level: number): number =>
  runs.reduce((sum, run) => sum + below(run, level, false), 0);

/** The value of a rank, from 0, among those of all runs together. */
export function valueOfRank(runs: readonly Float64Array[], rank: number): number {
  // What may be it of each run: between two places, which close in on a value chosen from the longest such stretch.
  let from = Int32Array.from(runs, () => 0);
  let to = Int32Array.from(runs, (run) => run.length);
  for (;;) {
    let longest = 0;
    for (let i = 1; i < runs.length; i++) {
      if (to[i]! - from[i]! > to[longest]! - from[longest]!) longest = i;
    }
    const chosen = runs[longest]![(from[longest]! + to[longest]!) >> 1]!;
    const first = Int32Array.from(runs, (run, i) => below(run, chosen, false, from[i], to[i]));
    const past = Int32Array.from(runs, (run, i) => below(run, chosen, true, first[i], to[i]));
    if (rank < first.reduce((a, b) => a + b, 0)) to = first;
    else if (rank >= past.reduce((a, b) => a + b, 0)) from = past;
    else return chosen;
  }
}

/**
 * The edge: of many settings those that no other beats in both rate and bits (the Pareto front of the two).
 *
 * In come settings with their rate and what they are worth; out go those on the edge. Sorted once and walked once.
 */

/** What is traded: more of one for less of the other. */
export interface Traded {
  /** Results per second, Hz. */
  readonly outputRate: number;
  readonly effectiveBits: number;
}

/** Values this near to one another, relative, count as equal. */
const same = 1e-9;

/**
 * The settings that no other beats: none is at least as fast and gives more bits, or is faster and gives as many.
 *
 * @param settings - in any order; not modified
 * @returns those on the edge, fastest first, so that the bits rise; of equals the first
 *
 * @example
 * edgeOf([{ outputRate: 8, effectiveBits: 10 }, { outputRate: 4, effectiveBits: 9 }, { outputRate: 2, effectiveBits: 11 }]).length // => 2
 */
export function edgeOf<S extends Traded>(settings: readonly S[]): S[] {
  const byRate = [...settings].sort((a, b) => b.outputRate - a.outputRate);
  const edge: S[] = [];
  for (const setting of byRate) {
    const last = edge.at(-1);
    if (last === undefined || setting.effectiveBits > last.effectiveBits * (1 + same)) {
      // Rates that differ by rounding alone are one rate.
      if (last !== undefined && setting.outputRate >= last.outputRate * (1 - same)) edge.pop();
      edge.push(setting);
    }
  }
  return edge;
}

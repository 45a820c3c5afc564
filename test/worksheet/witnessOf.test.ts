import { describe, expect, it } from 'vitest';
import { symmetricInterval } from '../../src/budget/coverageInterval.ts';
import { drawOf } from '../../src/budget/draws.ts';
import { seededRandom } from '../../src/numbers/random.ts';
import { boardOf } from '../../src/worksheet/boardOf.ts';
import { type Evaluation, evaluate } from '../../src/worksheet/evaluate.ts';
import { readWorksheet } from '../../src/worksheet/read.ts';
import { drawnOut, fewDraws, manyDraws, witnessOf, witnessRun } from '../../src/worksheet/witnessOf.ts';
import { demo, profiles, worksheetTexts } from './demos.ts';

const names = ['beehive', 'cellar', 'workbench'];
const of = (name: string): Evaluation => evaluate({ worksheet: demo(name) });
const uncalibrated = (name: string): Evaluation => {
  const document = JSON.parse(worksheetTexts[name]!);
  delete document.calibration;
  return evaluate({ worksheet: readWorksheet({ text: JSON.stringify(document), profiles }) });
};

/** Errors of the reading drawn in one piece, each quantity a column, in the order of drawing. */
function drawnWhole(e: Evaluation, draws: number): Float64Array {
  const board = boardOf(e);
  const columns = board.influences.map(({ distribution, degreesOfFreedom }, i) => {
    const out = new Float64Array(draws);
    const nu =
      degreesOfFreedom === 'any' || distribution !== 'normal' ? Number.POSITIVE_INFINITY : degreesOfFreedom;
    const size = { estimate: 0, standardUncertainty: 1, limit: 1, degreesOfFreedom: nu };
    drawOf({ name: '', distribution, ...size }, seededRandom(1).fork(i))(out);
    return out;
  });
  const { measurand } = e.uncertainty.present;
  const reading = board.at(measurand);
  return Float64Array.from({ length: draws }, (_, n) => reading(columns.map((c) => c[n]!)) - measurand);
}

describe('draws made in parts', () => {
  it.each(['beehive', 'cellar'])('%s: are those made in one piece, put in order at once', (name) => {
    const e = uncalibrated(name);
    const draws = 12_345;
    const w = drawnOut(witnessRun(e, draws));
    const errors = drawnWhole(e, draws);
    const mean = errors.reduce((a, b) => a + b) / draws;
    const square = errors.reduce((sum, x) => sum + (x - mean) ** 2, 0);
    expect(w.mean).toBeCloseTo(mean, 12);
    expect(w.standardUncertainty).toBeCloseTo(Math.sqrt(square / (draws - 1)), 12);
    errors.sort();
    expect({ low: w.low, high: w.high }).toEqual(symmetricInterval(errors, 0.95));
    expect(w.largest).toBe(Math.max(-errors[0]!, errors.at(-1)!));
    const { expanded } = e.uncertainty.present;
    expect(w.within).toBe(errors.filter((x) => Math.abs(x) < expanded).length / draws);
    const { reach, counts } = w.histogram;
    const width = (2 * reach) / counts.length;
    counts.forEach((count, i) => {
      const from = -reach + i * width;
      // A draw in a billion may lie on an edge, to rounding.
      expect(count).toBe(errors.filter((x) => x >= from && x < from + width).length);
    });
  });

  it.each(names)('%s: the few are the first of the many, kept or drawn anew', (name) => {
    const e = of(name);
    expect(drawnOut(witnessRun(e, fewDraws))).toEqual(witnessOf(e));
    expect(witnessOf(e)).toEqual(witnessOf(of(name)));
  });

  it('go on to their end, which is told only there', () => {
    const run = witnessRun(of('cellar'), 12_345);
    expect(run.drawn).toBe(0);
    const drawn: number[] = [];
    while (run.advance()) {
      drawn.push(run.drawn);
      expect(() => run.witness()).toThrow(
        new RangeError(`witness: got ${run.drawn} of 12345 draws; allowed after all`),
      );
    }
    expect(drawn).toEqual([5000, 10_000]);
    expect([run.drawn, run.draws]).toEqual([12_345, 12_345]);
  });
});

describe('a million draws', () => {
  it('come again to the last digit, within the scatter of the few, and scatter a tenth as much', () => {
    const e = of('beehive');
    const few = witnessOf(e);
    const many = drawnOut(witnessRun(e));
    expect(many.draws).toBe(manyDraws);
    expect(drawnOut(witnessRun(of('beehive')))).toEqual(many);
    for (const end of ['low', 'high'] as const) {
      expect(Math.abs(few[end] - many[end])).toBeLessThan(3 * few.scatter[end]);
      // Each scatter is known to about a seventh for the few.
      expect(few.scatter[end] / many.scatter[end]).toBeGreaterThan(6);
      expect(few.scatter[end] / many.scatter[end]).toBeLessThan(16);
    }
    expect(many.histogram.counts.reduce((a, b) => a + b)).toBeGreaterThan(0.99 * manyDraws);
    expect(many.within).toBeGreaterThan(0.95);
  });
});

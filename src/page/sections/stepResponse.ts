/** How soon a reading follows: the part of a step that it shows, against the time since the step. */
import type { WorksheetResponse } from '../../worksheet/responseOf.ts';
import * as b from '../blocks.ts';
import { paragraph, prose, type Section, symbol } from '../blocks.ts';
import { scaled } from './scaled.ts';
import { number, type Told } from './told.ts';

export function stepResponse({ e, time }: Told, r: WorksheetResponse): Section {
  const { step, continuous, stepCurve, window } = r;
  const unit = scaled(stepCurve.at(-1)!.after / 2, 's');
  const points = stepCurve.map((p) => [unit.of(p.after), 100 * p.shown] as const);
  const period = e.worksheet.inputs.requirement.period.value;
  const rare = period > 1.5 * window;
  return {
    body: [
      b.plot({
        name: 'step',
        claim: `A reading that begins after a step shows 99\u202f% of it ${time(step.best)} after the step at the earliest.`,
        text: prose`A burst that straddles the step shows a part of it. Bursts that follow one another have it within ${time(continuous.worst)}, whenever it comes${rare ? `; with a reading every ${time(period)} it may wait that long for the next, ${time(step.worst)} in all` : ''}.`,
        description: `Part of a step that a reading shows, in %, against the time from the step to the end of its burst: 99\u202f% after ${time(step.best)}`,
        x: {
          label: `from the step to the reading, ${unit.unit}`,
          scale: 'linear',
          from: 0,
          to: unit.of(stepCurve.at(-1)!.after),
        },
        y: { label: '% of the step', scale: 'linear', from: 0, to: 110, ticks: [0, 20, 40, 60, 80, 100] },
        marks: [
          b.curve({ name: 'shown', points, style: 'first' }),
          b.point({
            x: unit.of(step.best),
            y: 99,
            standing: 'chosen',
            text: `99\u202f%: ${time(step.best)}`,
            place: 'below right',
          }),
        ],
        figures: {
          heads: [unit.unit, '% of the step'],
          rows: stepCurve
            .filter((_, i) => i % 10 === 0)
            .map((p) => [number(unit.of(p.after)), number(100 * p.shown)]),
        },
      }),
    ],
    margin: [
      b.working({
        result: time(continuous.worst),
        steps: [
          prose`The rule for bursts that follow one another, worst over the moment of the step:`,
          { formula: 't = 2 R T + 4.6 τ' },
          prose`It says ${time(continuous.rule)}; the mean of what the low-pass gives to each conversion says ${time(continuous.worst)}. ${symbol('τ')} = ${time(r.timeConstant)}.`,
        ],
        source: 'Own derivation: the sum of a geometric series.',
      }),
      paragraph(
        prose`A filter over readings comes on top; ${b.toPage('noise-and-dither', 'Noise and dither')} has their steps.`,
      ),
    ],
  };
}

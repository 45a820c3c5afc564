import { describe, expect, it } from 'vitest';
import { assumptionsOf, withFigure } from '../../src/worksheet/assumptionsOf.ts';
import { evaluate } from '../../src/worksheet/evaluate.ts';
import { sessionOn } from '../page/demo.ts';

const of = (name: string, changes: Record<string, string> = {}) => {
  const session = sessionOn(name);
  expect(session.write(changes)).toBeUndefined();
  return { session, found: assumptionsOf(session.evaluation, evaluate) };
};

describe('a figure put in', () => {
  it.each([
    ['converter.noise', '0.9 LSB', 0.9],
    ['converter.sampleCapacitance', '8 pF', 8e-12],
    ['power.battery.usable', '50 %', 0.5],
    ['power.battery.capacity', '300 mAh', 1080],
  ])('gives what the worksheet with it written in gives: %s', (path, text, value) => {
    const session = sessionOn('beehive');
    const put = evaluate({ worksheet: withFigure(session.worksheet, path, value) });
    expect(session.write({ [path]: text })).toBeUndefined();
    expect(put.requirements).toEqual(session.evaluation.requirements);
  });

  it('leaves the worksheet it was put into as it was', () => {
    const { worksheet } = sessionOn('beehive');
    const before = JSON.stringify(worksheet);
    withFigure(worksheet, 'converter.noise', 2);
    expect(JSON.stringify(worksheet)).toBe(before);
  });
});

describe('assumptions', () => {
  it('are judged at both ends of their spread, a fifth each way where none is given', () => {
    const { session, found } = of('beehive');
    const row = found.rows.find((r) => r.path === 'converter.currents.sleep')!;
    expect(row).toMatchObject({ given: false, low: 0.8 * 1.2e-6, high: 1.2 * 1.2e-6 });
    // The life with the larger sleep current, from the worksheet with it written in.
    session.write({ 'converter.currents.sleep': '1.44 uA' });
    const life = session.evaluation.requirements.find((r) => r.name === 'batteryLife')!.actual;
    expect(row.decides).toMatchObject({ name: 'batteryLife', kept: true });
    expect(row.decides!.atHigh).toBeCloseTo(life, 0);
  });

  it('name the one that decides, and count the boards that break the requirement', () => {
    // A life that the assumed sleep current and usable part keep or break from board to board.
    const { found } = of('beehive', { 'requirement.batteryLife': '13.7 year' });
    const first = found.rows[0]!;
    expect(first.decides).toMatchObject({ name: 'batteryLife', kept: false });
    expect(found.passing!.fraction).toBeGreaterThan(0.3);
    expect(found.passing!.fraction).toBeLessThan(0.7);
    expect(found.passing!.failures[0]).toMatchObject({ requirement: 'batteryLife' });
  });

  it('on straight lines give nearly the share that evaluating every board gives', () => {
    const { session, found } = of('beehive', { 'requirement.batteryLife': '13 year' });
    const moving = found.rows.filter((r) => r.decides);
    // Boards on a grid of the two that matter, each evaluated in full.
    let kept = 0;
    const [a, b] = moving as [(typeof moving)[number], (typeof moving)[number]];
    for (let i = 0; i < 12; i++) {
      for (let k = 0; k < 12; k++) {
        const at = (r: typeof a, n: number): number => r.low + ((r.high - r.low) * (n + 0.5)) / 12;
        const worksheet = withFigure(withFigure(session.worksheet, a.path, at(a, i)), b.path, at(b, k));
        if (evaluate({ worksheet }).requirements.every((r) => r.met)) kept++;
      }
    }
    expect(Math.abs(kept / 144 - found.passing!.fraction)).toBeLessThan(0.06);
  });
});

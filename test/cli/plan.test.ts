import { describe, expect, it } from 'vitest';
import { evaluate } from '../../src/worksheet/evaluate.ts';
import { searchOf } from '../../src/worksheet/searchOf.ts';
import { demo } from '../worksheet/demos.ts';
import { halfbit } from './halfbit.ts';

describe('plan', () => {
  it('in JSON: what was looked at, the rejected by reason, the front in SI units, the recommended', () => {
    const { code, out, err } = halfbit(['plan', '--json', 'data/worksheets/workbench.json']);
    expect(err).toBe('');
    expect(code).toBe(0);
    const plan = JSON.parse(out);
    expect(Object.keys(plan)).toEqual(['evaluated', 'rejected', 'front', 'recommended']);
    expect(plan.evaluated).toBe(9 * 8 * 4 * 11 * 11);
    for (const r of plan.rejected) expect(Object.keys(r)).toEqual(['reason', 'count']);
    for (const p of plan.front) {
      expect(Object.keys(p)).toEqual(['error', 'charge', 'time', 'sampling', 'averaging']);
      expect(Object.keys(p.sampling)).toEqual(['clockDivider', 'sampleCycles', 'bits']);
      expect(Object.keys(p.averaging)).toEqual(['ratio', 'shift']);
    }
    const { front, rejected } = searchOf(evaluate({ worksheet: demo('workbench') }));
    expect(plan.front).toEqual(front);
    expect(plan.rejected).toEqual(rejected);
    const { reason, ...recommended } = plan.recommended;
    expect(plan.front).toContainEqual(recommended);
    expect(reason).toBe('least charge of all that meet every requirement');
  });

  it('as text within 80 columns: the front, the recommended and its reason, the rejected by reason', () => {
    const { code, out } = halfbit(['plan']);
    expect(code).toBe(0);
    expect(Math.max(...out.split('\n').map((line) => [...line].length))).toBeLessThanOrEqual(80);
    expect(out).toMatch(/^23 328 settings looked at; 1296 meet every requirement/);
    expect(out).toMatch(/^> +7\.08 m°C +32\.9 nC +42\.7 µs +4 +2 +12 +8 +0$/m);
    expect(out).toMatch(/^ {3,}5832 {2}clock too fast for the converter$/m);
    expect(out.replace(/\s+/g, ' ')).toContain(
      '> Recommended: clock divided by 4, 2 sample cycles, 12 bits × 8, shift 0 (clock 3 MHz): least charge of all that meet every requirement. Least room: step 3.76 m°C, 5 m°C wanted.',
    );
  });

  it('says what is missed with the recommended setting though the search does not judge it', () => {
    const { code, out } = halfbit(['plan', 'data/worksheets/cellar.json']);
    expect(code).toBe(1);
    expect(out.replace(/\s+/g, ' ')).toContain(
      'With it the uncertainty is missed, which is judged for the whole chain:',
    );
  });

  it('nothing serves: exit code 1, and none is recommended', () => {
    const words = ['plan', '--set', 'requirement.resolution=1 uK'];
    const { code, out } = halfbit(words);
    expect(code).toBe(1);
    expect(out).toContain('No setting meets every requirement.');
    const json = halfbit([...words, '--json']);
    expect(json.code).toBe(1);
    expect(JSON.parse(json.out)).toMatchObject({ front: [], recommended: 'none' });
  });

  it('bad input: exit code 2', () => {
    expect(halfbit(['plan', 'nothing.json'])).toMatchObject({ code: 2, out: '' });
    expect(halfbit(['plan', '--set', 'averaging.ratio=48']).code).toBe(2);
  });
});

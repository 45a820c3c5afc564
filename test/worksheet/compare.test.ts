import { describe, expect, it } from 'vitest';
import '../../src/numbers/compound.ts';
import { comparison, mostAlone } from '../../src/worksheet/compare.ts';
import { evaluate } from '../../src/worksheet/evaluate.ts';
import type { Finding } from '../../src/worksheet/evaluation.ts';
import { isUnreviewed } from '../../src/worksheet/findings.ts';
import { readWorksheet, type Worksheet } from '../../src/worksheet/read.ts';
import { pathsOf } from '../../src/worksheet/schema/lookup.ts';
import { worksheetSchema } from '../../src/worksheet/schema/worksheet.ts';
import { stepped } from '../../src/worksheet/steps.ts';
import { withProvenance, withValues } from '../../src/worksheet/write.ts';
import { demo, profiles, worksheetTexts } from './demos.ts';

const compared = (a: Worksheet, b: Worksheet) =>
  comparison({ a: evaluate({ worksheet: a }), b: evaluate({ worksheet: b }) });
const changed = (name: string, values: Record<string, string | undefined>) =>
  compared(demo(name), withValues(demo(name), values));

describe('inputs', () => {
  it.each(['beehive', 'cellar', 'workbench'])(
    'of %s: each one changed alone is the one that differs',
    (name) => {
      const a = demo(name);
      let tried = 0;
      for (const path of pathsOf(worksheetSchema, a.inputs).filter((p) => !p.startsWith('review.'))) {
        for (const direction of ['up', 'down'] as const) {
          const text = stepped(a, path, direction);
          if (text === 'none') continue;
          let b: Worksheet;
          try {
            b = withValues(a, { [path]: text });
          } catch {
            continue;
          }
          if (b === a) continue;
          const { inputs } = compared(a, b);
          expect(inputs.map((d) => d.path)).toEqual([path]);
          expect(inputs[0]!.what).toBe('figure');
          expect(inputs[0]!.b).toMatchObject({ by: 'worksheet' });
          tried++;
        }
      }
      expect(tried).toBeGreaterThan(15);
    },
  );

  it('a figure written otherwise is the same; one from another source is told apart', () => {
    const text = worksheetTexts.beehive!;
    const same = readWorksheet({ text: text.replace('"value": "0.02 K"', '"value": "20 mK"'), profiles });
    expect(same.text).not.toBe(text);
    expect(compared(demo('beehive'), same).inputs).toEqual([]);
    const measured = withProvenance(demo('beehive'), 'requirement.step', { from: 'measured', note: 'felt' });
    const { inputs, lost } = compared(demo('beehive'), measured);
    expect(inputs).toMatchObject([
      {
        path: 'requirement.step',
        what: 'source',
        a: { from: 'assumed' },
        b: { from: 'measured', note: 'felt' },
      },
    ]);
    expect(lost).toBe(false);
  });

  it('a spread alone is a figure', () => {
    const b = readWorksheet({
      text: worksheetTexts.beehive!.replace('"spread": "0.1 %"', '"spread": "1 %"'),
      profiles,
    });
    const { inputs, results } = compared(demo('beehive'), b);
    expect(inputs).toMatchObject([
      { path: 'conditioning.divider.resistor', what: 'figure', a: { spread: 10 }, b: { spread: 100 } },
    ]);
    expect(results.map((r) => r.name)).toContain('uncertainty');
  });

  it('another sensor, another profile: fields of either kind, figures of either profile', () => {
    const { inputs } = compared(demo('cellar'), demo('workbench'));
    const at = (path: string) => inputs.find((d) => d.path === path);
    expect(at('sensor.kind')).toMatchObject({ a: { value: 'divider' }, b: { value: 'platinum' } });
    expect(at('sensor.top')).toMatchObject({ a: { value: 2.2e6, unit: 'ohm' }, b: 'none' });
    expect(at('sensor.r0')).toMatchObject({ a: 'none', b: { value: 1000 } });
    expect(at('converter.leakage')).toMatchObject({
      a: { value: 80e-9, by: 'profile' },
      b: { value: 30e-9, by: 'profile', from: 'datasheet' },
    });
    expect(at('converter.noise')).toMatchObject({ a: { by: 'worksheet' }, b: { by: 'profile' } });
    expect(at('converter.averaging.ratios')).toMatchObject({ a: 'none' });
    expect(at('watchdog.compare.stage')).toMatchObject({ b: 'none' });
    expect(new Set(inputs.map((d) => d.path)).size).toBe(inputs.length);
    // What both kinds of sensor have stands once.
    const warm = compared(demo('beehive'), demo('workbench')).inputs;
    expect(warm.filter((d) => d.path === 'sensor.dissipation')).toMatchObject([
      { a: { value: 1.5e-3 }, b: { value: 12e-3 } },
    ]);
  });
});

describe('results and requirements', () => {
  it('a shift as large as the ratio: the step is one native code, by hand', () => {
    const { requirements, results, lost } = changed('beehive', {
      'averaging.ratio': '16',
      'averaging.shift': '4',
    });
    // 12 bits, 10 kΩ divider, β 3435 K at 40 °C: dT/dk = T²/(2^N β r (1 − r)), 64 codes shifted by 3 before: an eighth.
    const [kelvin, r] = [313.15, 1 / (1 + 1 / Math.exp(3435 * (1 / 313.15 - 1 / 298.15)))];
    const code = kelvin ** 2 / (4096 * 3435 * r * (1 - r));
    const step = results.find((d) => d.name === 'reading.step')!;
    expect(step.b).toBeCloseTo(code, 9);
    expect(step.a).toBeCloseTo(code / 8, 9);
    expect(lost).toBe(true);
    expect(requirements.find((d) => d.name === 'step')).toMatchObject({
      change: 'lost',
      a: { met: true },
      b: { met: false, required: 0.005 },
      // 16 shifted by 3 is half a code, 64 by 4 a quarter: 15 and 7.5 mK, each too wide alone.
      by: ['averaging.ratio', 'averaging.shift'],
    });
  });

  it('what takes two changes is told of neither; the way back gains it', () => {
    // 32 shifted by 3 and 128 by 5 are a quarter of a code, 7.5 mK; a wider step asked for makes either alone good.
    const base = withValues(demo('beehive'), { 'requirement.step': '10 mK' });
    const b = withValues(base, { 'averaging.ratio': '32', 'averaging.shift': '4' });
    const there = compared(base, b);
    expect(there.requirements.find((d) => d.name === 'step')).toMatchObject({ change: 'lost', by: [] });
    const back = compared(b, base);
    expect(back.lost).toBe(false);
    expect(back.requirements.find((d) => d.name === 'step')).toMatchObject({
      change: 'gained',
      by: ['averaging.ratio', 'averaging.shift'],
    });
  });

  it('a requirement asked by one alone is never lost', () => {
    const wanted = { 'requirement.latency': '1 us' };
    expect(changed('beehive', wanted)).toMatchObject({ lost: false });
    expect(changed('beehive', wanted).requirements.find((d) => d.name === 'latency')).toMatchObject({
      a: 'none',
      change: 'new, missed',
    });
    const dropped = changed('beehive', { 'requirement.step': undefined });
    expect(dropped.requirements.find((d) => d.name === 'step')).toMatchObject({
      b: 'none',
      change: 'dropped',
    });
    expect(dropped.lost).toBe(false);
  });

  it('a worksheet against itself: nothing', () => {
    for (const name of ['beehive', 'cellar', 'workbench']) {
      const { inputs, results, same, lost } = compared(demo(name), demo(name));
      expect([inputs, results, lost]).toEqual([[], [], false]);
      expect(same).toBeGreaterThan(20);
    }
  });

  it('turned round, everything is turned round', () => {
    const [there, back] = [
      compared(demo('beehive'), demo('workbench')),
      compared(demo('workbench'), demo('beehive')),
    ];
    const swap = <T>({ path, a, b }: { path: string; a: T; b: T }) => ({ path, a: b, b: a });
    const byPath = (x: { path: string }, y: { path: string }) => x.path.localeCompare(y.path);
    expect(back.inputs.map(swap).sort(byPath)).toEqual(
      there.inputs.map(({ path, a, b }) => ({ path, a, b })).sort(byPath),
    );
    expect(back.results.length).toBe(there.results.length);
  });

  it('findings come and go by what they are about, not by their figures', () => {
    // What is still to be reviewed is no news.
    const texts = (of: readonly Finding[]) => of.filter((f) => !isUnreviewed(f)).map(({ text }) => text);
    const quiet = { 'converter.noise': '0.1 LSB' };
    const { findings } = changed('beehive', quiet);
    const { findings: all } = evaluate({ worksheet: withValues(demo('beehive'), quiet) });
    expect(texts(evaluate({ worksheet: demo('beehive') }).findings)).toEqual([]);
    expect(texts(findings.came)).toEqual(texts(all));
    expect(texts(all).join(' ')).toContain('too little noise');
    expect(findings.went).toEqual([]);
    // Other figures of the same finding are no news.
    expect(changed('workbench', { 'requirement.resolution': '24 mK' }).findings).toEqual({
      came: [],
      went: [],
    });
    const quieter = changed('workbench', { 'converter.noise': '2 LSB' });
    expect(quieter.findings.came).toEqual([]);
    expect(texts(quieter.findings.went)).toEqual(texts(evaluate({ worksheet: demo('workbench') }).findings));
  });

  it('where more inputs differ than are tried alone, none is named', () => {
    const { inputs, requirements } = compared(demo('beehive'), demo('cellar'));
    expect(inputs.length).toBeGreaterThan(mostAlone);
    const turned = requirements.filter((r) => r.change === 'lost');
    expect(turned.length).toBeGreaterThan(0);
    expect(turned.map((r) => r.by)).toEqual(turned.map(() => []));
  });

  it('codes of the watchdog follow the averaging', () => {
    const { results } = changed('beehive', { 'averaging.shift': '4' });
    const low = results.find((d) => d.name === 'watchdog.low')!;
    // Half the code, in the steps of 16 result codes that this comparator sees.
    expect([low.a, low.b].every((code) => (code as number) % 16 === 0)).toBe(true);
    expect(Math.abs((low.a as number) / 2 - (low.b as number))).toBeLessThan(16);
  });
});

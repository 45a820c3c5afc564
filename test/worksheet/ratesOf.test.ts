import { describe, expect, it } from 'vitest';
import { evaluate } from '../../src/worksheet/evaluate.ts';
import { operationsOf } from '../../src/worksheet/operationsOf.ts';
import { ratesOf } from '../../src/worksheet/ratesOf.ts';
import { settingsOf } from '../../src/worksheet/settingsOf.ts';
import { withValue } from '../../src/worksheet/write.ts';
import { expectNear } from '../close.ts';
import { demo } from './demos.ts';

const names = ['beehive', 'cellar', 'workbench'];
const of = (name: string, changes: Readonly<Record<string, string>> = {}) =>
  evaluate({
    worksheet: Object.entries(changes).reduce((w, [path, text]) => withValue(w, path, text), demo(name)),
  });

describe('every row', () => {
  it.each(names)('of %s is what the worksheet gives with that row written into it', (name) => {
    const e = of(name);
    for (const row of ratesOf(e).rows) {
      const written = of(name, {
        'sampling.bits': String(row.bits),
        'averaging.ratio': String(row.ratio),
        'averaging.shift': String(row.shift),
      });
      const what = `${row.bits} bits, ${row.ratio}, ${row.shift}`;
      expectNear(row.effectiveBits, written.averaging.effectiveBits, 1e-12, what);
      expectNear(row.outputRate, written.averaging.outputRate, 1e-12, what);
      expectNear(row.rms, written.reading.rms, 1e-12, what);
      expectNear(row.charge, written.averaging.charge, 1e-12, what);
      expect(
        row.failures.map((f) => f.name),
        what,
      ).toEqual(
        // What no setting decides, as the uncertainty of the whole chain, is judged elsewhere.
        written.requirements
          .filter((r) => !r.met && row.requirements.some((q) => q.name === r.name))
          .map((r) => r.name),
      );
      expect(row.requirements.length, what).toBeGreaterThanOrEqual(3);
    }
  });
});

describe('the rows, by hand', () => {
  it('beehive: 12, 10 and 8 bits with every ratio, and the chosen shift', () => {
    const { rows, edge, chosen } = ratesOf(of('beehive'));
    expect(rows).toHaveLength(3 * 9 + 1);
    // 2 MHz; 8 cycles of sampling and 14, 11 or 9 of conversion.
    for (const row of rows) {
      const cycles = { 12: 14, 10: 11, 8: 9 }[row.bits]!;
      expectNear(row.outputRate, 2e6 / (row.ratio * (8 + cycles)), 1e-12);
      // The least shift whose sum of R(2^N − 1) fits 16 bits.
      if (row === chosen) continue;
      const least = Math.max(0, Math.ceil(Math.log2((row.ratio * (2 ** row.bits - 1)) / 65535)));
      expect(row.shift, `${row.bits} × ${row.ratio}`).toBe(least);
      if (row.shift > 0 || row.bits !== 12) continue;
      // 0.6 LSB is white enough that the ripple is 2e-4 LSB: u² = (σ² + 1/12)/R.
      const u = Math.sqrt((0.36 + 1 / 12) / row.ratio);
      expectNear(row.effectiveBits, 12 - Math.log2(Math.sqrt(12) * u), 1e-5);
    }
    // Of the resolutions one conversion each, then every ratio of the finest.
    expect(edge.map((r) => `${r.bits}/${r.ratio}`)).toEqual([
      ...['8/1', '10/1', '12/1'],
      ...[2, 4, 8, 16, 32, 64, 128, 256].map((r) => `12/${r}`),
    ]);
    expect(chosen).toMatchObject({ bits: 12, ratio: 64, shift: 3, onEdge: false });
  });

  it('workbench: a timer starts each conversion, so a rate is 20 kHz over the ratio at any resolution', () => {
    for (const row of ratesOf(of('workbench')).rows) expectNear(row.outputRate, 20e3 / row.ratio, 1e-12);
  });

  it('a resolution whose conversion outlasts the timer is left out', () => {
    // At 10 MHz 520 cycles of sampling and 18, 15, 12 and 10 of conversion are 53.8, 53.5, 53.2 and 53.0 µs.
    const e = of('workbench', {
      'sampling.interval': '53.3 us',
      'sampling.bits': '10',
      'sampling.sampleCycles': '520',
    });
    expect(new Set(ratesOf(e).rows.map((r) => r.bits))).toEqual(new Set([10, 8]));
  });

  it('the fastest that meets everything, and where the present resolution has it, that of Which ratio?', () => {
    const e = of('beehive');
    const { recommended, rows } = ratesOf(e);
    const meet = rows.filter((r) => r.failures.length === 0);
    expect(recommended!.outputRate).toBe(Math.max(...meet.map((r) => r.outputRate)));
    expect(recommended).toMatchObject({ bits: 12, ratio: 8, shift: 0 });
    expect(settingsOf(e).recommended).toMatchObject({ ratio: 8, shift: 0 });
    expect(ratesOf(of('cellar')).recommended).toBeUndefined();
  });
});

describe('a further bit', () => {
  it('beehive: two more doublings, a quarter of the rate', () => {
    const { further } = ratesOf(of('beehive'));
    if (further === 'none') throw new Error('none');
    expect(further.row).toMatchObject({ bits: 12, ratio: 256, shift: 4 });
    expectNear(further.rateFactor, 4, 1e-12);
    expectNear(further.gained, 1, 0.01);
  });

  it('from the end of the edge there is none', () => {
    expect(ratesOf(of('beehive', { 'averaging.ratio': '256', 'averaging.shift': '4' })).further).toBe('none');
  });

  it('workbench: it comes with more rate, by two more bits of the converter', () => {
    const { further } = ratesOf(of('workbench'));
    if (further === 'none') throw new Error('none');
    expect(further.row.bits).toBe(14);
    expectNear(further.rateFactor, 8 / 256, 1e-12);
  });
});

describe('the bits wanted', () => {
  it('are those at which a reading is as noisy as allowed', () => {
    const e = of('beehive');
    const { wantedBits, rows } = ratesOf(e);
    for (const row of rows.filter((r) => r.bits === 12)) {
      expect(row.effectiveBits >= wantedBits!, `× ${row.ratio}`).toBe(
        !row.failures.some((f) => f.name === 'resolution'),
      );
    }
  });
});

describe('ways to operate', () => {
  it('beehive, by hand: 11 µs a conversion, 4 of them sampling, 20 µs ahead for the divider', () => {
    const [single, continuous, timed, ...rest] = operationsOf(of('beehive'));
    expect(rest).toHaveLength(0);
    for (const way of [single!, continuous!, timed!]) {
      expectNear(way.ready, 20e-6 + 64 * 11e-6, 1e-12);
      expectNear(way.age, (63 * 11e-6) / 2 + 7e-6, 1e-12);
      expect(way.delay).toBe(0);
    }
    expectNear(single!.every, 724e-6, 1e-12);
    expectNear(continuous!.every, 704e-6, 1e-12);
    expect(timed).toMatchObject({ is: 'timed readings', every: 60, present: true });
  });

  it('workbench: 46.3 µs of delay between conversions of 3.7 µs', () => {
    const ways = operationsOf(of('workbench'));
    const timed = ways.find((w) => w.is === 'timed conversions')!;
    expect(timed.present).toBe(true);
    expectNear(timed.delay, 46.3e-6, 1e-9);
    expectNear(timed.every, 256 * 50e-6, 1e-12);
    // Half the result rate: the sum of 256 samples a 1/512 of a turn apart.
    let [re, im] = [0, 0];
    for (let k = 0; k < 256; k++) {
      re += Math.cos((2 * Math.PI * k) / 512) / 256;
      im += Math.sin((2 * Math.PI * k) / 512) / 256;
    }
    expectNear(timed.halfRate, 20e3 / 512, 1e-12);
    expectNear(timed.atHalfRate, Math.hypot(re, im), 1e-12);
  });
});

import { describe, expect, it } from 'vitest';
import '../../src/numbers/compound.ts';
import { accumulate } from '../../src/chain/averaging/accumulate.ts';
import { seededRandom } from '../../src/numbers/random.ts';
import { recordAnalysis } from '../../src/record/analysis.ts';
import { evaluate } from '../../src/worksheet/evaluate.ts';
import type { Worksheet } from '../../src/worksheet/read.ts';
import { expectedScatter } from '../../src/worksheet/recordNoise.ts';
import { recordOf, type WorksheetRecord } from '../../src/worksheet/recordOf.ts';
import { lsbWithin } from '../../src/worksheet/recordWords.ts';
import { withValues } from '../../src/worksheet/write.ts';
import { expectNear } from '../close.ts';
import { demo } from './demos.ts';

const quantized = (x: number): number => Math.max(0, Math.min(4095, Math.floor(x + 0.5)));

/** Codes of an input that moves, with Gaussian noise. */
function codes(count: number, seed: number, noiseLsb: number, input: (n: number) => number): number[] {
  const random = seededRandom(seed);
  return Array.from({ length: count }, (_, n) => quantized(input(n) + noiseLsb * random.normal()));
}

/** The record of codes beside a worksheet. */
function judged(
  worksheet: Worksheet,
  values: readonly (number | string)[],
  options: { rate?: number; averaged?: boolean; bits?: number } = {},
): WorksheetRecord {
  const { bits, ...rest } = options;
  const evaluation = evaluate({ worksheet });
  const analysis = recordAnalysis({
    bits: bits ?? (rest.averaged ? evaluation.averaging.resultBits : evaluation.quantizing.bits),
  });
  analysis.push(new TextEncoder().encode(`${values.join('\n')}\n`));
  const found = recordOf({ evaluation, analysis: analysis.end(), name: 'codes.txt', ...rest });
  if (found === 'none') throw new Error('no codes');
  return found;
}

const verdict = (r: WorksheetRecord, name: string) => {
  const found = r.verdicts.find((v) => v.name === name);
  if (!found) throw new Error(`${name} is not judged`);
  return found;
};
const standings = (r: WorksheetRecord): Record<string, string> =>
  Object.fromEntries(r.verdicts.map((v) => [v.name, v.standing]));

const beehive = demo('beehive');
const still = (): number => 1700.37;

describe('a board as its worksheet has it', () => {
  it('is refuted by chance hardly ever', () => {
    let refuted = 0;
    let differs = 0;
    for (let seed = 100; seed < 160; seed++) {
      const r = judged(
        beehive,
        codes(4096, seed, 0.6, (n) => 1700 + ((seed * 0.37) % 1) + 0 * n),
      );
      if (r.refuted) refuted++;
      differs += r.verdicts.filter((v) => v.standing === 'differs').length;
    }
    // Seven verdicts each, at three standard uncertainties: 60·7·0.27 % = 1.1 in all.
    expect(refuted).toBeLessThanOrEqual(1);
    expect(differs).toBeLessThanOrEqual(4);
  });

  it('says the reading, the rate and where they come from', () => {
    const e = evaluate({ worksheet: beehive });
    const r = judged(
      beehive,
      codes(4096, 1, 0.6, () => e.channel.codeOf(30)),
    );
    expectNear(r.reading.measurand as number, 30, 0.002);
    expect([r.rate, r.rateFrom]).toEqual([90910, 'worksheet']);
    expect(judged(beehive, [1, 2, 3], { rate: 5 }).rateFrom).toBe('told');
    const without = withValues(beehive, { 'record.rate': undefined });
    expectNear(judged(without, [1, 2, 3]).rate, 2e6 / 22, 1e-6);
    const timed = judged(
      without,
      Array.from({ length: 300 }, (_, n) => `${n / 20},${1000 + (n % 2)}`),
    );
    expect(timed.rateFrom).toBe('time column');
    expectNear(timed.rate, 20, 1e-9);
  });
});

describe('noise', () => {
  it('of 1.31 LSB where 0.5 was assumed is found, with its cost', () => {
    const worksheet = withValues(beehive, { 'converter.noise': '0.5 LSB', 'averaging.shift': '0' });
    const r = judged(worksheet, codes(20_000, 2, 1.31, still));
    expect(Math.abs(r.noise.foundLsb - 1.31)).toBeLessThan(3 * r.noise.uncertaintyLsb);
    // That of a variance s² = σ² + 1/12 from M codes: s²/(σ·√(2M)).
    expectNear(r.noise.uncertaintyLsb, (1.31 ** 2 + 1 / 12) / 1.31 / Math.sqrt(40_000), 0.01);
    const v = verdict(r, 'noise');
    // Both noises smooth the steps: white with quantization, over √64.
    expectNear(
      v.lostBits,
      Math.log2(Math.hypot(1.31, 1 / Math.sqrt(12)) / Math.hypot(0.5, 1 / Math.sqrt(12))),
      0.03,
    );
    expect(v.standing).toBe('refuted');
    expect(v.text).toMatch(/^assumed 0\.5.LSB, found 1\.3\d+.±.0\.01\d.LSB: 1\.2 bits less at ratio 64$/);
    expect(r.refuted).toBe(true);
  });

  it('less than assumed is no harm while it smooths the steps', () => {
    const v = verdict(judged(beehive, codes(20_000, 3, 0.5, still)), 'noise');
    expect([v.standing, v.lostBits < 0]).toEqual(['differs', true]);
  });

  it('too little to average is refuted, and its bits are those of one conversion', () => {
    const r = judged(
      beehive,
      codes(4096, 4, 0.1, () => 1700.3),
    );
    expect(standings(r)).toMatchObject({
      noise: 'refuted',
      'smooths the steps': 'refuted',
      'averages as white': 'untold',
    });
    const row = r.ratios.find((x) => x.ratio === 64)!;
    expect(row.measuredBits).toBeLessThan(13);
    expect(row.expectedBits).toBeGreaterThan(13.7);
    // A single code says how much noise may hide: half a code at 99.96 %, for (1 − 2·Q)^4096 = 5 %.
    const single = judged(beehive, new Array<number>(4096).fill(1700));
    expectNear(single.noise.atMostLsb, 0.5 / 3.376, 2e-3);
    expect(standings(single)).toMatchObject({ noise: 'refuted', 'no missing code': 'untold' });
    // One conversion tells next to nothing: 2·Φ(½/σ) − 1 = 5 % at σ = 7.97; ten: 0.443 by (2·Φ(½/σ) − 1)^10 = 5 %.
    const one = judged(beehive, [1700]);
    expectNear(one.noise.atMostLsb, 7.9737, 1e-4);
    expect(standings(one)).toMatchObject({ noise: 'untold', 'smooths the steps': 'untold' });
    expectNear(judged(beehive, new Array<number>(10).fill(1700)).noise.atMostLsb, 0.44284, 1e-4);
  });

  it('too little, where the worksheet has it so, is as assumed', () => {
    const r = judged(
      demo('workbench'),
      codes(8192, 5, 0.15, () => 809.45),
      { rate: 20_000 },
    );
    expect(verdict(r, 'smooths the steps').standing).toBe('holds');
    expect(r.refuted).toBe(false);
  });

  it('is taken into the worksheet as measured, in LSB of the finest resolution', () => {
    const workbench = demo('workbench');
    const r = judged(workbench, codes(8192, 6, 0.4, still), { rate: 20_000 });
    if (r.take === 'none') throw new Error('nothing to take');
    // 14 bits are the finest, 12 are set.
    expectNear(r.take.noiseLsb, 1.6, 0.05);
    const taken = withValues(workbench, r.take.changes);
    expect(taken.inputs.converter.noise).toMatchObject({ from: 'measured', note: '8192 codes, codes.txt' });
    expectNear(evaluate({ worksheet: taken }).quantizing.noiseLsb, 0.4, 0.0125);
    expect(verdict(judged(taken, codes(8192, 6, 0.4, still), { rate: 20_000 }), 'noise').standing).toBe(
      'holds',
    );
    // A figure in its short form becomes a long one, and its own note gives way.
    const again = withValues(beehive, { 'converter.noise': '0.7 LSB', 'converter.noise.note': 'new' });
    expect(again.inputs.converter.noise).toMatchObject({ value: 0.7, from: 'measured', note: 'new' });
  });
});

describe('what is no white noise', () => {
  const hum = (n: number): number => still() + 1.3 * Math.sin(2 * Math.PI * 0.05002 * n);

  it('is told apart: hum, drift, wandering', () => {
    const r = judged(
      beehive,
      codes(8192, 7, 0.6, (n) => hum(n) - 2e-4 * n),
      { rate: 1000 },
    );
    const { white, hum: line, drift, wander } = r.noise.parts;
    expectNear(white, 0.6, 0.03);
    expectNear(line, 1.3 / Math.SQRT2, 0.03);
    expectNear(drift, (2e-4 * 8192) / Math.sqrt(12), 0.02);
    expect(wander).toBe(0);
    expectNear(r.noise.lines[0]!.frequency, 50, 0.3);
    expectNear(r.noise.slopeLsb, -0.2, 0.02);
    expectNear(r.take === 'none' ? 0 : r.take.noiseLsb, 0.6, 0.03);
    // Noise that hangs together over some tens of codes.
    const random = seededRandom(8);
    let slow = 0;
    const wandering = codes(8192, 9, 0.6, () => {
      slow = 0.98 * slow + Math.sqrt(1 - 0.98 ** 2) * random.normal();
      return 1700.4 + slow;
    });
    const w = judged(beehive, wandering, { rate: 1000 });
    expectNear(w.noise.parts.wander, 1, 0.15);
    expectNear(w.noise.parts.white, 0.62, 0.04);
    expect(verdict(w, 'averages as white').standing).toBe('refuted');
  });

  it('hum costs a burst what a simulation of bursts loses by it', () => {
    const r = judged(beehive, codes(8192, 10, 0.6, hum), { rate: 1000 });
    const v = verdict(r, 'hum');
    expect(v.standing).toBe('refuted');
    const random = seededRandom(11);
    const scatter = (amplitude: number): number => {
      let sum = 0;
      let squares = 0;
      for (let burst = 0; burst < 4000; burst++) {
        const phase = 2 * Math.PI * random.uniform();
        let total = 0;
        for (let k = 0; k < 64; k++) {
          total += quantized(
            1700 + amplitude * Math.sin(phase + 2 * Math.PI * 50 * k * 11e-6) + 0.6 * random.normal(),
          );
        }
        sum += total / 64;
        squares += (total / 64) ** 2;
      }
      return Math.sqrt(squares / 4000 - (sum / 4000) ** 2);
    };
    expectNear(v.lostBits, Math.log2(scatter(1.3) / scatter(0)), 0.08);
  });

  it('hum that the worksheet names is as assumed; more of it is not', () => {
    const workbench = demo('workbench');
    const line = (lsb: number) => (n: number) => 809.5 + lsb * Math.sin(2 * Math.PI * 50 * n * 50e-6 + 1);
    const named = 50e-6 / evaluate({ worksheet: workbench }).quantizing.codeBinWidth;
    const noisy = withValues(workbench, { 'converter.noise': '2 LSB' });
    const same = judged(noisy, codes(16_384, 12, 0.5, line(named)), { rate: 20_000 });
    expect(verdict(same, 'hum').standing).toBe('holds');
    const more = judged(noisy, codes(16_384, 13, 0.5, line(20 * named)), { rate: 20_000 });
    expect(verdict(more, 'hum').standing).toBe('refuted');
  });

  it('hum shows in a record back to back, however long; one too quick says so', () => {
    const burst = (n: number): number => still() + 0.2 * Math.sin(2 * Math.PI * 50.02 * n * 11e-6);
    const r = judged(beehive, codes(100_000, 32, 0.6, burst));
    expect(verdict(r, 'hum').text).toContain('50 Hz');
    expectNear(r.noise.parts.hum, 0.2 / Math.SQRT2, 0.1);
    const quick = verdict(judged(beehive, codes(100_000, 32, 0.6, still), { rate: 1e6 }), 'hum');
    expect(quick.text).toContain('too short');
    expect(verdict(judged(beehive, codes(600_000, 32, 0.6, still), { rate: 1e6 }), 'hum').text).toContain(
      'too quick to tell lines of the mains; 500',
    );
  });

  it('a short record says that it cannot tell', () => {
    expect(verdict(judged(beehive, codes(4096, 14, 0.6, still)), 'hum').standing).toBe('untold');
    expect(verdict(judged(beehive, codes(20, 15, 0.6, still)), 'averages as white').standing).toBe('untold');
  });

  it('drift is no noise: what is left about its line is judged', () => {
    const drifting = (noise: number) =>
      judged(
        beehive,
        codes(32_768, 31, noise, (n) => 1700 + 6e-4 * n),
        { rate: 1000 },
      );
    const r = drifting(0.6);
    // 20 LSB over the record: nearly 6 LSB rms.
    expectNear(r.noise.foundLsb, Math.hypot(0.6, (6e-4 * 32_768) / Math.sqrt(12)), 0.03);
    expect(Math.abs(r.noise.stillLsb - 0.6)).toBeLessThan(3 * r.noise.stillUncertaintyLsb);
    expectNear(r.noise.stillUncertaintyLsb, (0.6 ** 2 + 1 / 12) / 0.6 / Math.sqrt(65_536), 0.1);
    expect(standings(r)).toMatchObject({
      noise: 'holds',
      'averages as white': 'holds',
      'stands still': 'differs',
    });
    expect(verdict(r, 'noise').text).toMatch(/; beside it 5\.\d+.LSB is drift$/);
    expect(r.refuted).toBe(false);
    const more = drifting(1.3);
    expect([verdict(more, 'noise').standing, verdict(more, 'averages as white').standing]).toEqual([
      'refuted',
      'holds',
    ]);
    // Nor does it smooth the steps of a burst, whose 704 µs it moves by less than a thousandth of a code.
    expect(verdict(drifting(0.1), 'smooths the steps').standing).toBe('refuted');
  });

  it('drift is told in the measurand by the minute', () => {
    const r = judged(
      beehive,
      codes(4096, 16, 0.6, (n) => 1700 + 1e-3 * n),
      { rate: 100 },
    );
    const v = verdict(r, 'stands still');
    expect(v.standing).toBe('differs');
    const e = evaluate({ worksheet: beehive });
    // 0.1 LSB a second.
    const [, perMinute] = /([\d.]+).m°C a minute/.exec(v.text)!;
    expectNear(Number(perMinute), 60 * 0.1 * 1000 * e.channel.worst.perCode, 0.05);
    expect(Math.abs(r.noise.slopeLsb - 0.1)).toBeLessThan(4 * r.noise.slopeUncertaintyLsb);
    const expecting = withValues(beehive, { 'noise.drift': '0.2 K' });
    expect(
      verdict(
        judged(
          expecting,
          codes(4096, 16, 0.6, (n) => 1700 + 1e-3 * n),
          { rate: 100 },
        ),
        'stands still',
      ).standing,
    ).toBe('holds');
  });
});

describe('codes', () => {
  it('that never occur are named', () => {
    const gap = (code: number): number => (code === 1701 ? 1702 : code);
    const r = judged(beehive, codes(4096, 17, 1.3, still).map(gap));
    const v = verdict(r, 'no missing code');
    expect(v.standing).toBe('refuted');
    expect(v.text).toContain('code 1701 never occurs');
    expect(verdict(judged(beehive, codes(4096, 17, 1.3, still)), 'no missing code').standing).toBe('holds');
  });

  it('between the noise and its spikes are not missing', () => {
    const random = seededRandom(35);
    const spikes = codes(20_000, 33, 0.6, () => (random.uniform() < 0.002 ? 1740 : 1700.3));
    const r = judged(beehive, spikes);
    expect(standings(r)).toMatchObject({ 'no missing code': 'holds', 'is Gaussian': 'differs' });
    // A converter that gives only every fourth code leaves three out at a time.
    const coarse = codes(20_000, 34, 6, still).map((code) => 4 * Math.floor(code / 4));
    expect(verdict(judged(beehive, coarse), 'no missing code').standing).toBe('refuted');
  });

  it('of other than Gaussian noise are told by their histogram', () => {
    const random = seededRandom(18);
    const uniform = codes(4096, 19, 0.01, () => 1700 + 4 * random.uniform());
    expect(verdict(judged(beehive, uniform), 'is Gaussian').standing).toBe('differs');
    expect(verdict(judged(beehive, codes(4096, 20, 1.2, still)), 'is Gaussian').standing).toBe('holds');
  });

  it('at an end of the range are cut off', () => {
    const v = verdict(
      judged(
        beehive,
        codes(4096, 21, 0.6, () => 4094.8),
      ),
      'within the range',
    );
    expect(v.standing).toBe('refuted');
    expect(
      verdict(
        judged(
          beehive,
          codes(4096, 22, 0.6, () => 0.2),
        ),
        'within the range',
      ).standing,
    ).toBe('refuted');
  });
});

describe('a column of time', () => {
  it('is held against the rate of the worksheet', () => {
    const rows = codes(400, 23, 0.6, still).map((c, n) => `${(n / 98).toFixed(6)},${c}`);
    const at = (rate: string) => withValues(beehive, { 'record.rate': rate });
    expect(verdict(judged(at('98 Hz'), rows), 'rate').standing).toBe('holds');
    const v = verdict(judged(at('100 Hz'), rows), 'rate');
    expect([v.standing, v.text]).toEqual(['differs', expect.stringContaining('98')]);
    rows.splice(100, 5);
    expect(verdict(judged(at('98 Hz'), rows), 'rate').text).toContain('1 jump of time');
  });
});

describe('scatter by the worksheet', () => {
  it.each([
    ['beehive', {}, 1000],
    // At less noise hum climbs the steps, and the codes scatter by more than the sum of the two.
    ['workbench', { 'converter.noise': '2 LSB' }, 1000],
    ['cellar', {}, 500],
    ['beehive', { 'noise.sourceRms': '0.5 mV', 'noise.sourceTime': '5 ms' }, 1000],
  ] as const)('of %s with %o agrees with a simulation of codes and averages', (name, changes, rate) => {
    const worksheet = withValues(demo(name), changes);
    const e = evaluate({ worksheet });
    const { noiseLsb, codeBinWidth } = e.quantizing;
    const { sourceLsb, sourceTime } = e.noise;
    const random = seededRandom(24);
    const [blocks, length] = [400, 256];
    const keep = Math.exp(-1 / (rate * sourceTime));
    const lines = (worksheet.inputs.conditioning.interference ?? []).map((i) => ({
      turn: (2 * Math.PI * i.frequency.value) / rate,
      lsb: i.amplitude.value / codeBinWidth,
    }));
    for (const ratio of [1, 16]) {
      // A still input somewhere in a code, for each block; the scatter about its own long mean.
      let squares = 0;
      let count = 0;
      for (let block = 0; block < blocks; block++) {
        const input = 1000 + random.uniform();
        let slow = random.normal();
        const phases = lines.map(() => 2 * Math.PI * random.uniform());
        const means: number[] = [];
        for (let k = 0; k < length; k++) {
          let sum = 0;
          for (let j = 0; j < ratio; j++) {
            const n = k * ratio + j;
            slow = keep * slow + Math.sqrt(1 - keep ** 2) * random.normal();
            const hum = lines.reduce((s, l, i) => s + l.lsb * Math.sin(l.turn * n + phases[i]!), 0);
            sum += Math.floor(input + hum + sourceLsb * slow + noiseLsb * random.normal() + 0.5);
          }
          means.push(sum / ratio);
        }
        const mean = means.reduce((a, b) => a + b, 0) / length;
        squares += means.reduce((a, b) => a + (b - mean) ** 2, 0);
        count += length - 1;
      }
      const expected = expectedScatter(e, { rate, count: length * ratio, averaged: false }, ratio);
      expectNear(Math.sqrt(squares / count) / expected, 1, 0.04);
    }
  });

  it('of averaged results agrees with a simulation of the hardware', () => {
    for (const name of ['beehive', 'cellar']) {
      const e = evaluate({ worksheet: demo(name) });
      const { ratio, shift, rounding, registerBits, onOverflow, resultLsb } = e.averaging;
      const random = seededRandom(25);
      let squares = 0;
      let count = 0;
      for (let place = 0; place < 100; place++) {
        const input = 1000 + random.uniform();
        const found = Array.from({ length: 60 * ratio }, () =>
          Math.floor(input + e.quantizing.noiseLsb * random.normal() + 0.5),
        );
        const results = accumulate({
          codes: found,
          ratio,
          shift,
          rounding,
          registerBits: Math.min(31, registerBits),
          onOverflow,
        });
        const mean = results.reduce((a, b) => a + b, 0) / results.length;
        squares += results.reduce((a, b) => a + (b - mean) ** 2, 0);
        count += results.length - 1;
      }
      const expected = expectedScatter(e, { rate: 1, count: 6000, averaged: true }, 1);
      expectNear((Math.sqrt(squares / count) * resultLsb) / expected, 1, 0.06);
    }
  });
});

describe('a record of averaged results', () => {
  it('is judged in results, and the noise of one conversion is told from them', () => {
    const worksheet = withValues(beehive, { 'averaging.shift': '0' });
    const { ratio, shift, rounding } = evaluate({ worksheet }).averaging;
    const results = accumulate({
      codes: codes(64 * 8000, 26, 0.8, still),
      ratio,
      shift,
      rounding,
      registerBits: 31,
      onOverflow: 'saturate',
    });
    const r = judged(worksheet, Array.from(results), { averaged: true, rate: 1 });
    expect(r.lsb).toBe(1 / 64);
    expectNear(r.noise.foundLsb, Math.hypot(0.8, 1 / Math.sqrt(12)) / 8, 0.025);
    expect(verdict(r, 'noise of a result').standing).toBe('refuted');
    expectNear(r.take === 'none' ? 0 : r.take.noiseLsb, 0.8, 0.03);
  });
});

describe('a record of a sine', () => {
  const tone = (noise: number, third: number) =>
    judged(
      beehive,
      codes(8192, 27, noise, (n) => 2047.5 + 1900 * Math.sin(0.07 * n) + third * Math.sin(0.21 * n)),
    );

  it('gives an ENOB, and no effective resolution', () => {
    const r = tone(0.6, 0);
    if (r.sine === 'none') throw new Error('no sine');
    expectNear(r.sine.effectiveBits as number, 12 - Math.log2(Math.sqrt(12 * (0.36 + 1 / 12))), 0.03);
    expect(r.refuted).toBe(false);
    expect(r.take).toBe('none');
    expect(standings(r)).toEqual({
      noise: 'holds',
      'bends within the INL': 'holds',
      'codes are even': 'untold',
      'within the range': 'holds',
    });
  });

  it('tells noise from distortion', () => {
    expect(standings(tone(1, 0)).noise).toBe('refuted');
    const bent = tone(0.6, 6);
    expect(standings(bent)).toMatchObject({ noise: 'holds', 'bends within the INL': 'refuted' });
    const [, height] = /largest harmonic is ([\d.]+).LSB/.exec(verdict(bent, 'bends within the INL').text)!;
    expectNear(Number(height), 6, 0.02);
  });

  it('judges every code where there are enough of them', () => {
    const many = codes(120_000, 28, 0.6, (n) => 2047.5 + 2060 * Math.sin(0.0701 * n + 0.1));
    const uneven = many.map((c) => (c === 1500 ? 1501 : c));
    expect(standings(judged(beehive, many))['codes are even']).toBe('holds');
    const v = verdict(judged(beehive, uneven), 'codes are even');
    expect(v.text).toContain('code 1500 never occurs');
    expect(v.standing).toBe('refuted');
  });
});

describe('figures with their uncertainty', () => {
  it('end at its digit', () => {
    const plain = (text: string): string => text.replaceAll('\u202f', ' ');
    expect(plain(lsbWithin(1.3123, 0.01))).toBe('1.31 ± 0.02 LSB');
    expect(plain(lsbWithin(1.3123, 0.0071))).toBe('1.312 ± 0.014 LSB');
    expect(plain(lsbWithin(13.2, 3))).toBe('13 ± 6 LSB');
    expect(plain(lsbWithin(0.6, 0))).toBe('0.6 LSB');
  });
});

import { describe, expect, it } from 'vitest';
import { seededRandom } from '../../src/numbers/random.ts';
import { calibrationsOf } from '../../src/worksheet/calibrationsOf.ts';
import { correctionOf, kindsFor } from '../../src/worksheet/correctionOf.ts';
import { type Evaluation, evaluate } from '../../src/worksheet/evaluate.ts';
import { readWorksheet } from '../../src/worksheet/read.ts';
import { uncertaintyOver } from '../../src/worksheet/uncertaintyOf.ts';
import { witnessOf } from '../../src/worksheet/witnessOf.ts';
import { profiles, worksheetTexts } from './demos.ts';

// biome-ignore lint/suspicious/noExplicitAny: a document to take apart at will
type Document = any;

const of = (name: string, change: (d: Document) => void = () => {}): Evaluation => {
  const document = JSON.parse(worksheetTexts[name]!) as Document;
  change(document);
  return evaluate({ worksheet: readWorksheet({ text: JSON.stringify(document), profiles }) });
};
const uncalibrated = (d: Document): void => {
  delete d.calibration;
};
const settled = (d: Document): void => {
  d.sampling.sampleCycles = 130;
};
const line = (e: Evaluation, name: string) => e.uncertainty.present.lines.find((l) => l.name === name)!;

// The chains of two demos, written here once more from their circuits; nothing of src/ is in them.

/** The beehive: thermistor to ground, divider on the reference, 12 bits, code k centred on k. */
const beehive = {
  code: (t: number, b: Board): number => {
    const ohms = b.r25 * Math.exp(b.beta * (1 / (t + 273.15) - 1 / 298.15));
    const leak = (b.leakage * ((ohms * b.resistor) / (ohms + b.resistor))) / 3;
    return (ohms / (ohms + b.resistor)) * 4096 * b.gain + b.offset + leak * 4096;
  },
  read: (code: number): number => {
    const x = code / 4096;
    const ohms = (10e3 * x) / (1 - x);
    return 1 / (Math.log(ohms / 10e3) / 3435 + 1 / 298.15) - 273.15;
  },
};
interface Board {
  r25: number;
  beta: number;
  resistor: number;
  gain: number;
  offset: number;
  leakage: number;
}
const nominal: Board = { r25: 10e3, beta: 3435, resistor: 10e3, gain: 1, offset: 0, leakage: 0 };

describe('the budget of the beehive without calibration', () => {
  const e = of('beehive', uncalibrated);
  const { before, present, after } = e.uncertainty;

  it('is that of numeric derivatives of the whole chain', () => {
    expect(after).toBeUndefined();
    expect(present).toBe(before);
    expect(present.measurand).toBe(40);
    const limits: [keyof Board, number][] = [
      ['r25', 100],
      ['beta', 34.35],
      ['resistor', 10],
      ['gain', 0.0012],
      ['offset', 2],
      // 50 nA at 25 °C, four times that at 45 °C.
      ['leakage', 200e-9],
    ];
    const effect = (key: keyof Board, step: number): number => {
      const at = (s: number) => beehive.read(beehive.code(40, { ...nominal, [key]: nominal[key] + s }));
      return (at(step) - at(-step)) / 2;
    };
    // A step of a hundredth: what the third derivative adds is 1e-4 of it.
    const effects = limits.map(([key, a]) => 100 * Math.abs(effect(key, a / 100)));
    const perCode = Math.abs(
      beehive.read(beehive.code(40, nominal) + 0.5) - beehive.read(beehive.code(40, nominal) - 0.5),
    );
    // INL; and over 35 K 0.012 LSB/K of offset and 6 ppm/K of gain.
    effects.push(1.5 * perCode, 0.012 * 35 * perCode, (effects[3]! / 0.0012) * 6e-6 * 35);
    const noise = perCode * e.averaging.rmsErrorLsb;
    const u = Math.sqrt(effects.reduce((sum, a) => sum + (a * a) / 3, 0) + noise ** 2);
    expect(present.combined / u).toBeCloseTo(1, 4);
    expect(present.degreesOfFreedom).toBe('any');
    expect(present.coverageFactor).toBeCloseTo(1.959964, 5);
    expect(present.expanded / (1.959964 * u)).toBeCloseTo(1, 4);
    expect(present.worstCase / (effects.reduce((a, b) => a + b, 0) + 3 * noise)).toBeCloseTo(1, 4);
    expect(line(e, 'beta').limit / effects[1]!).toBeCloseTo(1, 4);
    expect(line(e, 'offset error').sensitivity / perCode).toBeCloseTo(1, 4);
  });

  it('has noise and quantization once, shares that make the whole, and no line below nothing', () => {
    const names = present.lines.map((l) => l.name);
    expect(names.filter((n) => /noise|quantiz/.test(n))).toEqual(['noise and quantization']);
    expect(present.lines.reduce((sum, l) => sum + l.share, 0)).toBeCloseTo(1, 12);
    expect(present.combined).toBeCloseTo(Math.hypot(...present.lines.map((l) => l.uncertainty)), 12);
    expect(present.worstCase).toBeCloseTo(
      present.lines.reduce((sum, l) => sum + l.limit, 0),
      12,
    );
  });

  it('is largest, of all places looked at, where it says', () => {
    const over = uncertaintyOver(e).present;
    expect(Math.max(...over.map((p) => p.expanded))).toBe(present.expanded);
    expect(over[0]!.measurand).toBe(20);
    expect(over.at(-1)!.measurand).toBe(40);
  });
});

describe('boards of the beehive, made and read at random', () => {
  const random = seededRandom(20_240_229);
  const within = (a: number): number => a * (2 * random.uniform() - 1);
  const boards = 20_000;

  /** The result of one burst: 64 noisy conversions, summed and shifted by 3, and what the firmware makes of it. */
  const burst = (code: number): number => {
    let sum = 0;
    for (let i = 0; i < 64; i++) sum += Math.floor(code + 0.6 * random.normal() + 0.5);
    // The shift drops 0 … 7 of the sum, 3.5 on average.
    return beehive.read((8 * Math.floor(sum / 8) + 3.5) / 64);
  };
  const made = (): Board => ({
    r25: 10e3 * (1 + within(0.01)),
    beta: 3435 * (1 + within(0.01)),
    resistor: 10e3 * (1 + within(0.001)),
    gain: 1 + within(0.0012),
    offset: within(2),
    leakage: within(200e-9),
  });
  /** The board in use, at a temperature where offset and gain have moved; on the bench they have not, and leakage is small. */
  const inUse = (board: Board): Board => ({
    ...board,
    offset: board.offset + within(0.012 * 35),
    gain: board.gain * (1 + within(6e-6 * 35)),
  });
  const rms = (errors: readonly number[]): number =>
    Math.sqrt(errors.reduce((sum, x) => sum + x * x, 0) / errors.length);
  const halfOf = (errors: readonly number[]): number => {
    const sorted = errors.map(Math.abs).sort((a, b) => a - b);
    return sorted[Math.floor(0.95 * sorted.length)]!;
  };

  it('scatter by the combined uncertainty, and the expanded one covers them', () => {
    const e = of('beehive', uncalibrated);
    const { present } = e.uncertainty;
    const errors = Array.from(
      { length: boards },
      () => burst(beehive.code(40, inUse(made())) + within(1.5)) - 40,
    );
    // 20 000 boards tell a standard deviation to 0.5 %; the chain's bend adds 0.1 %.
    expect(Math.abs(rms(errors) / present.combined - 1)).toBeLessThan(0.012);
    const part = errors.filter((x) => Math.abs(x) <= present.expanded).length / boards;
    expect(part).toBeGreaterThan(0.94);
    expect(part).toBeLessThan(0.975);
    const w = witnessOf(e);
    expect(Math.abs(w.standardUncertainty / rms(errors) - 1)).toBeLessThan(0.02);
    expect(Math.abs((w.high - w.low) / 2 / halfOf(errors) - 1)).toBeLessThan(0.025);
  });

  it('calibrated at one point, likewise', () => {
    const e = of('beehive');
    const { present, after } = e.uncertainty;
    expect(after!.correction.kind).toBe('offset');
    expect(present.measurand).toBe(20);
    const errors = Array.from({ length: boards }, () => {
      const board = made();
      // On the bench leakage is no part of the comparison: the budget counts it whole in use.
      const bench = { ...board, leakage: 0 };
      const found = beehive.read(beehive.code(35, bench) + within(1.5)) - 35 + 0.05 * random.normal();
      return burst(beehive.code(20, inUse(board)) + within(1.5)) - found - 20;
    });
    expect(Math.abs(rms(errors) / present.combined - 1)).toBeLessThan(0.015);
    const w = witnessOf(e);
    expect(w.measurand).toBe(20);
    expect(Math.abs(w.standardUncertainty / rms(errors) - 1)).toBeLessThan(0.02);
    expect(Math.abs((w.high - w.low) / 2 / halfOf(errors) - 1)).toBeLessThan(0.025);
  });
});

describe('the second witness', () => {
  it('draws a point and the standard apart: shared, they would cancel', () => {
    const known = { value: '0.3 K', from: 'datasheet' };
    const e = of('beehive', (d) => {
      d.calibration.points[0].uncertainty = known;
      d.calibration.standard = known;
    });
    expect(Math.abs(witnessOf(e).standardUncertainty / e.uncertainty.present.combined - 1)).toBeLessThan(
      0.02,
    );
  });

  it('draws what is assumed from a t distribution', () => {
    const e = of('beehive', (d) => {
      d.calibration.standard = '0.3 K';
      d.calibration.drift = '0.4 K';
    });
    const { present } = e.uncertainty;
    expect(present.lines.slice(0, 2).map((l) => l.name)).toEqual([
      'calibration standard',
      'drift since calibration',
    ]);
    // The standard counts as assumed, with 8 degrees of freedom: its draws are of a t distribution, wider by √(8/6) [JCGM101] 6.4.9.
    const expected = Math.sqrt(present.combined ** 2 + 0.3 ** 2 * (8 / 6 - 1));
    // 10 000 draws tell a standard deviation to 0.7 %.
    expect(Math.abs(witnessOf(e).standardUncertainty / expected - 1)).toBeLessThan(0.02);
  });
});

describe('the budget of the cellar', () => {
  it('settled, in closed form: every line is a share of the voltage but the converter’s', () => {
    const e = of('cellar', settled);
    const { present } = e.uncertainty;
    expect(present.measurand).toBe(6.4);
    const lsb = (2.2 / 4096) * 3.2;
    const halves: Record<string, number> = {
      'internal reference': 0.008 * 6.4,
      'upper resistor': 0.01 * 6.4 * (2.2 / 3.2),
      'lower resistor': 0.01 * 6.4 * (2.2 / 3.2),
      leakage: 80e-9 * 2.2e6,
      'offset error': 3 * lsb,
      INL: 2 * lsb,
    };
    for (const [name, a] of Object.entries(halves)) {
      // The resistors’ own curve bends by a ten-thousandth over their spread.
      expect(line(e, name).limit / a).toBeCloseTo(1, 3);
      expect(line(e, name).uncertainty / (a / Math.sqrt(3))).toBeCloseTo(1, 3);
    }
    const code = (6.4 / 3.2 / 2.2) * 4096;
    expect(line(e, 'gain error').limit / (0.002 * code * lsb)).toBeCloseTo(1, 6);
    expect(e.requirements.find((r) => r.name === 'uncertainty')).toMatchObject({
      required: 0.1,
      actual: present.expanded,
      met: false,
      unit: 'V',
    });
  });

  it('not settled, counts what settling leaves as limits, and says so', () => {
    const e = of('cellar');
    const s = line(e, 'settling');
    expect(s.distribution).toBe('rectangular');
    expect(s.limit).toBeCloseTo(e.sampling.settlingErrorMeasurand * -1, 9);
    expect(e.uncertainty.present.lines[0]).toBe(s);
    expect(e.findings.map((f) => f.text)).toContain(
      'A reading may be off by 542\u202fmV (coverage 95\u202f%); 100\u202fmV is wanted. 84\u202f% of the variance is settling.',
    );
  });

  it('calibrated at one voltage, keeps the leakage and loses every share', () => {
    const e = of('cellar', (d) => {
      settled(d);
      d.calibration = { points: [{ at: '6 V', uncertainty: '3 mV' }], standard: '1 mV', drift: '10 mV' };
    });
    expect(e.uncertainty.after!.correction.kind).toBe('gain');
    for (const name of ['internal reference', 'upper resistor', 'lower resistor']) {
      expect(line(e, name).limit).toBeLessThan(1e-9);
    }
    expect(line(e, 'leakage').limit).toBeCloseTo(0.176, 9);
    // w = x/x1: 3 mV at 6 V are 3.2 mV at 6.4 V; figures of a short form are assumed.
    expect(line(e, 'calibration points')).toMatchObject({ distribution: 'normal', degreesOfFreedom: 8 });
    expect(line(e, 'calibration points').uncertainty).toBeCloseTo(0.0032, 9);
    expect(line(e, 'calibration standard').uncertainty).toBeCloseTo(0.001, 12);
    expect(line(e, 'drift since calibration').uncertainty).toBeCloseTo(0.01 / Math.sqrt(3), 12);
    const witness = witnessOf(e);
    expect(Math.abs(witness.standardUncertainty / e.uncertainty.present.combined - 1)).toBeLessThan(0.02);
  });
});

describe('the budget of the workbench', () => {
  const e = of('workbench');

  it('calibrated at two points, has a straight line and twice the INL', () => {
    expect(e.uncertainty.after!.correction.kind).toBe('line');
    expect(e.uncertainty.present.measurand).toBe(95);
    // Weights of the line through 0 and 80 at 95: −15/80 and 95/80.
    expect(e.uncertainty.after!.correction.weights(95)).toEqual([
      expect.closeTo(-15 / 80, 9),
      expect.closeTo(95 / 80, 9),
    ]);
    const points = line(e, 'calibration points');
    expect(points.uncertainty).toBeCloseTo(Math.hypot((15 / 80) * 0.005, (95 / 80) * 0.01), 9);
    const inl = line(e, 'INL');
    const atPoints = line(e, 'INL at the points');
    const slope = (t: number) => e.channel.perCode(t);
    expect(inl.limit).toBeCloseTo(0.75 * slope(95), 6);
    expect(atPoints.uncertainty).toBeCloseTo(
      (0.75 / Math.sqrt(3)) * Math.hypot((15 / 80) * slope(0), (95 / 80) * slope(80)),
      6,
    );
    expect(atPoints.limit).toBeCloseTo(0.75 * ((15 / 80) * slope(0) + (95 / 80) * slope(80)), 6);
    const hum = line(e, 'interference at 50 Hz');
    expect(hum.distribution).toBe('arcsine');
    expect(hum.uncertainty).toBeCloseTo(hum.limit / Math.SQRT2, 12);
    // 50 µV of 50 Hz, 1 % of mains and 1 % of clock off, in 256 conversions 50 µs apart, at the worst phase, added up.
    let amplitude = 0;
    for (let p = 0; p < 720; p++) {
      let sum = 0;
      for (let i = 0; i < 256; i++) sum += Math.sin(2 * Math.PI * (50 * 0.99 ** 2 * 50e-6 * i + p / 720));
      amplitude = Math.max(amplitude, Math.abs(sum / 256));
    }
    expect(hum.limit / (amplitude * (50e-6 / (3 / 4096)) * slope(95))).toBeCloseTo(1, 4);
  });

  it('has the effective degrees of freedom of its lines', () => {
    const { present } = e.uncertainty;
    const sum = present.lines.reduce(
      (s, l) => s + (l.degreesOfFreedom === 'any' ? 0 : l.uncertainty ** 4 / l.degreesOfFreedom),
      0,
    );
    expect((present.degreesOfFreedom as number) / (present.combined ** 4 / sum)).toBeCloseTo(1, 9);
  });

  it('reaches to the points outside of the range, and is judged within it', () => {
    const over = uncertaintyOver(e).present;
    expect(over[0]!.measurand).toBe(0);
    expect(over.at(-1)!.measurand).toBe(95);
    const inside = over.filter((p) => p.measurand >= 15);
    expect(Math.max(...inside.map((p) => p.expanded))).toBe(e.uncertainty.present.expanded);
    expect(e.requirements.map((r) => r.name)).not.toContain('uncertainty');
  });
});

describe('a correction', () => {
  const u = (at: number, standardUncertainty = 0.1) => ({
    at,
    standardUncertainty,
    degreesOfFreedom: 'any' as const,
  });

  it('has the weights of its fit', () => {
    expect(correctionOf('offset', [u(35)]).weights(20)).toEqual([expect.closeTo(1, 12)]);
    expect(correctionOf('gain', [u(4)]).weights(6)).toEqual([expect.closeTo(1.5, 12)]);
    // Least squares, alike points: w = 1/n + (x − x̄)(x_k − x̄)/Σ(x_i − x̄)².
    const at = [10, 20, 60];
    const mean = 30;
    const square = at.reduce((s, x) => s + (x - mean) ** 2, 0);
    const weights = correctionOf(
      'line',
      at.map((x) => u(x)),
    ).weights(50);
    weights.forEach((w, k) => {
      expect(w).toBeCloseTo(1 / 3 + ((50 - mean) * (at[k]! - mean)) / square, 9);
    });
    // Three points and a parabola: the interpolating polynomials.
    const parabola = correctionOf(
      'quadratic',
      at.map((x) => u(x)),
    ).weights(50);
    parabola.forEach((w, k) => {
      const others = at.filter((_, i) => i !== k);
      expect(w).toBeCloseTo(
        others.reduce((p, x) => (p * (50 - x)) / (at[k]! - x), 1),
        9,
      );
    });
    const { pointsUncertainty } = correctionOf('line', [u(0, 0.3), u(10, 0.4)]);
    expect(pointsUncertainty(5)).toBeCloseTo(0.25, 12);
    expect(pointsUncertainty(20)).toBeCloseTo(Math.hypot(0.3, 0.8), 12);
  });

  it('takes points that are known without doubt, and points that are one', () => {
    expect(correctionOf('line', [u(0, 0), u(10, 0)]).pointsUncertainty(20)).toBeLessThan(1e-6);
    expect(kindsFor([u(35)], false)).toEqual(['offset']);
    expect(kindsFor([u(3), u(3)], true)).toEqual(['offset', 'gain']);
    expect(kindsFor([u(0)], true)).toEqual(['offset']);
    expect(kindsFor([u(3), u(4)], true)).toEqual(['line']);
    expect(kindsFor([u(3), u(4), u(5)], false)).toEqual(['line', 'quadratic']);
  });
});

describe('ways to calibrate', () => {
  it('stand from none to five, each known as well as the worksheet’s own', () => {
    const { choices, pointUncertainty, stated } = calibrationsOf(of('beehive'));
    expect([pointUncertainty, stated]).toEqual([0.05, true]);
    expect(choices.map((c) => c.is)).toEqual(['none', 'one', 'two', 'three', 'five', 'as given']);
    const given = choices.at(-1)!;
    expect([given.at, given.kind]).toEqual([[35], 'offset']);
    // The middle serves better than 35 °C, and the ends are the best two.
    expect(choices[1]).toMatchObject({ at: [30], kind: 'offset' });
    expect(choices[2]).toMatchObject({ at: [20, 40], kind: 'line' });
    const expanded = choices.map((c) => c.worst.expanded);
    expect(expanded[1]).toBeLessThan(given.worst.expanded);
    for (let i = 1; i < 5; i++) expect(expanded[i]!).toBeLessThan(expanded[i - 1]!);
    const without = calibrationsOf(of('cellar'));
    expect(without.stated).toBe(false);
    expect(without.choices.map((c) => c.is)).not.toContain('as given');
  });
});

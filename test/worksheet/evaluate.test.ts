import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { voltageFromResult } from '../../src/chain/averaging/result.ts';
import { asciiQuantity } from '../../src/numbers/format.ts';
import { evaluate } from '../../src/worksheet/evaluate.ts';
import { isUnreviewed } from '../../src/worksheet/findings.ts';
import { WorksheetError } from '../../src/worksheet/problem.ts';
import { readWorksheet } from '../../src/worksheet/read.ts';
import { fieldAt, pathsOf } from '../../src/worksheet/schema/lookup.ts';
import { worksheetSchema } from '../../src/worksheet/schema/worksheet.ts';
import { settingsOf } from '../../src/worksheet/settingsOf.ts';
import { withValue } from '../../src/worksheet/write.ts';
import { expectNear } from '../close.ts';
import { demo, profiles, worksheetTexts } from './demos.ts';

const of = (name: string, changes: Readonly<Record<string, string>> = {}) =>
  evaluate({
    worksheet: Object.entries(changes).reduce((w, [path, text]) => withValue(w, path, text), demo(name)),
  });

/** The findings that say something of the results. */
const ofResults = (e: ReturnType<typeof of>) => e.findings.filter((f) => !isUnreviewed(f));

const verdicts = (e: ReturnType<typeof of>) => Object.fromEntries(e.requirements.map((r) => [r.name, r.met]));

/** Uniform and normal numbers from a seed, written here so that the simulation owes nothing to the program. */
function generator(seed: number) {
  let state = seed >>> 0;
  const uniform = () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), state | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 2 ** 32;
  };
  const normal = () => Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform());
  return { uniform, normal };
}

describe('beehive, by hand', () => {
  const e = of('beehive');
  /** R = 10 kΩ·exp(3435·(1/T − 1/298.15)) over 10 kΩ; one code is T²/(β·x(1 − x)·4096). */
  const share = (celsius: number) => {
    const r = Math.exp(3435 * (1 / (celsius + 273.15) - 1 / 298.15));
    return r / (r + 1);
  };
  const perCode = (celsius: number) =>
    (celsius + 273.15) ** 2 / (3435 * share(celsius) * (1 - share(celsius)) * 4096);

  it('a code is 30.06 m°C at 40 °C, the worst end, and 24.67 at 20 °C', () => {
    expectNear(e.channel.worst.perCode, perCode(40), 1e-12);
    expectNear(e.channel.best.perCode, perCode(20), 1e-12);
    expect(e.channel.worst.measurand).toBe(40);
    expect(e.channel.falling).toBe(true);
  });

  it('times: 2 MHz, 8 + 14 cycles, 64 of them', () => {
    expect(e.sampling).toMatchObject({
      clock: 2e6,
      sampleTime: 4e-6,
      conversionTime: 11e-6,
      interval: 11e-6,
    });
    expectNear(e.averaging.burstTime, 704e-6, 1e-12);
    expectNear(e.averaging.outputRate, 1 / 704e-6, 1e-12);
    // The divider settles for 20 µs, the converter starts in 9.
    expectNear(e.averaging.latency, 724e-6, 1e-12);
  });

  it('charge: converter, sleeping core and the divider where it draws most', () => {
    const divider = 3 / (10_000 * (1 + Math.exp(3435 * (1 / 313.15 - 1 / 298.15))));
    expectNear(e.averaging.charge, 704e-6 * (0.42e-3 + 0.16e-3 + divider), 1e-12);
  });

  it('noise: 20.01 m°C alone, 7.08 at 8 without shift, 2.72 at 64 with 3', () => {
    const alone = Math.sqrt(0.36 + 1 / 12) * perCode(40);
    expectNear(e.reading.rmsOfOne, alone, 1e-12);
    expect((alone * 1e3).toFixed(2)).toBe('20.01');
    // The ripple at 0.6 LSB is 1.8e-4 LSB: two parts in a million of the square.
    const eight = of('beehive', { 'averaging.ratio': '8', 'averaging.shift': '0' });
    expectNear(eight.reading.rms, alone / Math.sqrt(8), 2e-6);
    expect((eight.reading.rms * 1e3).toFixed(2)).toBe('7.08');
    // The shift drops 3 bits of the sum: (4³ − 1)/12 more.
    expectNear(e.reading.rms, Math.sqrt((0.36 + 1 / 12) / 64 + 63 / 12 / 64 ** 2) * perCode(40), 1e-4);
  });

  it('meets what is judged, and 8 without shift is cheapest', () => {
    expect(verdicts(e)).toEqual({
      resolution: true,
      step: true,
      settling: true,
      overflow: true,
      period: true,
      batteryLife: true,
      uncertainty: true,
    });
    expect(e.requirements.find((r) => r.name === 'step')).toMatchObject({
      required: 0.005,
      actual: e.channel.worst.perCode / 8,
      unit: 'K',
    });
    expect(e.unjudged).toEqual([]);
    expect(ofResults(e)).toEqual([]);
    const { rows, recommended, chosen, wouldServe } = settingsOf(e);
    expect(rows).toHaveLength(45);
    expect(recommended).toMatchObject({ ratio: 8, shift: 0 });
    expect(chosen).toMatchObject({ ratio: 64, shift: 3, failures: [] });
    expect(chosen.rms).toBe(e.reading.rms);
    expect(wouldServe).toEqual([]);
  });

  it('alone it just misses: 20.01 of 20', () => {
    const alone = of('beehive', { 'averaging.ratio': '1', 'averaging.shift': '0' });
    expect(ofResults(alone).map((f) => f.text)).toEqual([
      'Readings scatter by 20.01\u202fm°C rms at worst; 20\u202fm°C is wanted.',
      'The result steps by 30.1\u202fm°C at worst; 5\u202fm°C is wanted.',
      'Half a bit for every doubling would promise 8.68\u202fm°C rms and call this met; it is 20.01\u202fm°C.',
    ]);
  });

  it('a better divider resistor makes both ends alike', () => {
    const { divider } = settingsOf(e);
    // √(slopes) by hand: 5.84 kΩ; of E96 5.9 kΩ.
    expect((divider!.resistor / 1e3).toFixed(2)).toBe('5.84');
    expectNear(divider!.inSeries, 5900, 1e-12);
    expect((divider!.perCode * 1e3).toFixed(1)).toBe('27.9');
    const with59 = of('beehive', { 'conditioning.divider.resistor': '5.9 kohm' });
    expectNear(divider!.perCode, with59.channel.worst.perCode, 1e-12);
  });

  it('the result at 36 °C is 13072 or so, and leads back', () => {
    // 64·(share·4096)/8, less half a code of the bits dropped.
    expect(Math.abs(e.reading.codeAt(36) - (8 * share(36) * 4096 - 7 / 16))).toBeLessThanOrEqual(0.5);
    for (let t = 20; t <= 40; t++)
      expect(Math.abs(e.reading.measurandAt(e.reading.codeAt(t)) - t)).toBeLessThan(0.002);
    expect(e.reading.codeAt(-79)).toBe(Math.round((64 * share(-79) * 4096 - 3.5) / 8));
  });

  it('what is still assumed', () => {
    expect(e.assumed.map((a) => a.path)).toEqual([
      'requirement.step',
      'converter.currents.sleep',
      'power.phases.0.time',
      'power.battery.usable',
      'converter.previousVoltage',
    ]);
    expect(e.assumed[0]!.label).toBe('widest step');
  });
});

describe('beehive, simulated code by code', () => {
  it('readings at 35 … 36 °C scatter and lie as computed', () => {
    const e = of('beehive');
    const { uniform, normal } = generator(11);
    const count = 12_000;
    let [sum, squares, forgot] = [0, 0, 0];
    for (let i = 0; i < count; i++) {
      const celsius = 35 + uniform();
      const r = Math.exp(3435 * (1 / (celsius + 273.15) - 1 / 298.15));
      const input = (r / (r + 1)) * 4096;
      let codes = 0;
      for (let n = 0; n < 64; n++) codes += Math.floor(input + 0.6 * normal() + 0.5);
      const result = Math.floor(codes / 8);
      const error = e.reading.measurandAt(result) - celsius;
      sum += error;
      squares += error * error;
      forgot += e.channel.measurandOf((result * 8) / 64) - celsius;
    }
    const here = e.channel.perCode(35.5) / e.channel.worst.perCode;
    const rms = Math.sqrt(squares / count);
    // Four standard errors: 1/√(2·12000) of the rms, rms/√12000 of a mean.
    expectNear(rms, e.reading.rms * here, 4 / Math.sqrt(2 * count));
    const apart = (4 * rms) / Math.sqrt(count);
    expect(Math.abs(sum / count)).toBeLessThan(apart);
    expect(Math.abs(forgot / count - e.reading.biasMeasurand * here)).toBeLessThan(apart);
  });
});

/** The mean error of a burst, V, by stepping two capacitors through time (midpoint rule). */
function stepped(of: {
  source: number;
  sourceOhms: number;
  pinFarads: number;
  switchOhms: number;
  sampleFarads: number;
  sampleTime: number;
  period: number;
  ratio: number;
  keeps: boolean;
  step: number;
}): number {
  const { source, step } = of;
  const slopes = (p: number, h: number, closed: boolean) => {
    const through = closed ? (p - h) / of.switchOhms : 0;
    return [((source - p) / of.sourceOhms - through) / of.pinFarads, through / of.sampleFarads] as const;
  };
  let [pin, held, sum] = [source, 0, 0];
  for (let n = 0; n < of.ratio; n++) {
    if (!of.keeps) held = 0;
    for (let i = 0; i < Math.round(of.period / step); i++) {
      const closed = i < Math.round(of.sampleTime / step);
      const [p1, h1] = slopes(pin, held, closed);
      const [p2, h2] = slopes(pin + (step / 2) * p1, held + (step / 2) * h1, closed);
      pin += step * p2;
      held += step * h2;
    }
    sum += held - source;
  }
  return sum / of.ratio;
}

describe('cellar', () => {
  const e = of('cellar');

  it('the sample time is missed, and the uncertainty with it', () => {
    expect(verdicts(e)).toEqual({
      resolution: true,
      step: true,
      settling: false,
      overflow: true,
      period: true,
      latency: true,
      batteryLife: true,
      uncertainty: false,
    });
    expectNear(e.channel.worst.perCode, ((2.2 / 4096) * 3.2) / 1, 1e-12);
    expectNear(e.sampling.sourceResistance, 2.2e6 / 3.2, 1e-12);
    expect(ofResults(e).map((f) => [f.kind, f.stage, f.path, f.text])).toEqual([
      [
        'missed',
        'sampling',
        'sampling.sampleCycles',
        'The reading is 255\u202fLSB of the result short of settled; 0.25\u202fLSB is allowed. It takes 105\u202fµs: 130 sample cycles at this clock.',
      ],
      [
        'missed',
        'reading',
        'requirement.uncertainty',
        'A reading may be off by 542\u202fmV (coverage 95\u202f%); 100\u202fmV is wanted. 84\u202f% of the variance is settling.',
      ],
    ]);
  });

  it('the settling error is that of the network stepped through time', () => {
    // 6.4 V: 2 V behind 687.5 kΩ, 8 pF at the pin, 3.2 kΩ to 9 pF put to 0 V each time; 24 µs of 40, sixteen times.
    const error = stepped({
      ...{ source: 2, sourceOhms: 2.2e6 / 3.2, pinFarads: 8e-12, switchOhms: 3.2e3, sampleFarads: 9e-12 },
      ...{ sampleTime: 24e-6, period: 40e-6, ratio: 16, keeps: false, step: 1e-9 },
    });
    // Midpoint steps of 1 ns against time constants of 14 ns and 12 µs.
    expectNear(e.sampling.settlingErrorLsb, error / (2.2 / 4096), 1e-4);
    expect(e.sampling.worstAt).toBe(6.4);
    expectNear(e.sampling.settlingErrorMeasurand, error * 3.2, 1e-4);
  });

  it('130 cycles serve and 57 do not, as it says', () => {
    expect(e.sampling.minSampleCycles).toBe(130);
    expect(verdicts(of('cellar', { 'sampling.sampleCycles': '57' })).settling).toBe(false);
    const served = of('cellar', { 'sampling.sampleCycles': '130' });
    // Leakage through so high a divider is left.
    expect(served.requirements.filter((r) => !r.met).map((r) => r.name)).toEqual(['uncertainty']);
    const time = e.sampling.minSampleTime as number;
    expect(time > 57e-6 && time < 130e-6).toBe(true);
  });

  it('the largest source resistance is one that just serves', () => {
    const largest = e.sampling.maxSourceResistance as number;
    // top ∥ 1 MΩ just below and just above it.
    const behind = (source: number) => {
      const top = 1 / (1 / source - 1e-6);
      const changed = demo('cellar')
        .text.replace('"2.2 Mohm"', `"${top} ohm"`)
        .replace('"value": "6.4 V"', `"value": "${(2 * (top + 1e6)) / 1e6} V"`)
        .replace('"value": "3.6 V"', '"value": "0.1 V"');
      return evaluate({ worksheet: readWorksheet({ text: changed, profiles }) }).sampling;
    };
    const [below, above] = [behind(largest * 0.999), behind(largest * 1.001)];
    expect(Math.abs(below.settlingErrorLsb)).toBeLessThan(0.25);
    expect(Math.abs(above.settlingErrorLsb)).toBeGreaterThan(0.25);
  });

  it('says that more sample time would serve, with one conversion enough', () => {
    const { recommended, reason, wouldServe } = settingsOf(e);
    expect(recommended).toBeUndefined();
    expect(reason).toBe('no setting meets every requirement');
    // √(0.64 + 1/12)·1.719 mV = 1.46 mV.
    expect(wouldServe.map((a) => [a.path, a.value, a.text])).toEqual([
      [
        'sampling.sampleCycles',
        '130',
        'With 130 sample cycles, one conversion gives 1.46\u202fmV rms in steps of 1.72\u202fmV and meets everything.',
      ],
    ]);
  });
});

describe('workbench', () => {
  const e = of('workbench');
  /** B² = Σ exp(−4π²k²σ²)/(2π²k²) at 0.15 LSB, by hand. */
  const ripple = Math.sqrt(
    [1, 2, 3, 4, 5].reduce(
      (s, k) => s + Math.exp(-4 * (Math.PI * k * 0.15) ** 2) / (2 * (Math.PI * k) ** 2),
      0,
    ),
  );
  /** One code at 95 °C: 1000·(1 + At + Bt²) and 2.1 Ω of lead against 4.7 kΩ; [IEC60751]. */
  const s = 1000 * (1 + 3.9083e-3 * 95 - 5.775e-7 * 95 ** 2) + 2.1;
  const perCode = (s + 4700) ** 2 / (4700 * 1000 * (3.9083e-3 - 2 * 5.775e-7 * 95)) / 4096;

  it('14 bits of 0.6 LSB are 12 bits of 0.15', () => {
    expect(e.quantizing).toMatchObject({ bits: 12, noiseLsb: 0.15 });
    expect(of('workbench', { 'sampling.bits': '14' }).quantizing.noiseLsb).toBe(0.6);
  });

  it('a code is 0.5035 °C, and the staircase leaves 0.1456 of it', () => {
    expectNear(e.channel.worst.perCode, perCode, 1e-12);
    expectNear(e.averaging.rippleLsb, ripple, 1e-8);
    // √(B² + (σ² + 1/12 − B²)/256 + (4² − 1)/12/256²)
    const rms = Math.sqrt(ripple ** 2 + (0.0225 + 1 / 12 - ripple ** 2) / 256 + 15 / 12 / 256 ** 2);
    // The shift's part is exact only where the sum spans many codes.
    expectNear(e.averaging.rmsErrorLsb, rms, 1e-3);
  });

  it('the capacitor at the pin shares its charge: stepped through time', () => {
    // s and 4.7 kΩ behind 1 kΩ; 10 nF and 5 pF; 0.7 kΩ to 4 pF that starts at 0 V and keeps what it has; 2.2 µs of 50.
    const error = stepped({
      ...{ source: (3 * s) / (s + 4700), sourceOhms: (s * 4700) / (s + 4700) + 1000, pinFarads: 10.005e-9 },
      ...{
        switchOhms: 700,
        sampleFarads: 4e-12,
        sampleTime: 2.2e-6,
        period: 50e-6,
        ratio: 8,
        keeps: true,
        step: 1e-9,
      },
    });
    // Only the first few conversions are off, so a burst of 256 has a 32nd of the mean of 8; they leave 1e-7 of the kick.
    expectNear(e.sampling.settlingErrorLsb, error / 32 / (3 / 4096), 1e-3);
    expectNear(e.sampling.pinCapacitance, 10.005e-9, 1e-12);
  });

  it('what the mean of 256 leaves of the hum is the most that adding it up leaves, over 1 % of mains and 1 % of clock', () => {
    const mostOf = (interval: number): number => {
      let most = 0;
      for (const frequency of [50 * 0.99 ** 2, 50, 50 * 1.01 ** 2])
        for (let phase = 0; phase < 64; phase++) {
          let sum = 0;
          for (let n = 0; n < 256; n++)
            sum += Math.sin(2 * Math.PI * (frequency * n * interval + phase / 64));
          most = Math.max(most, Math.abs(sum / 256));
        }
      return most;
    };
    const rmsOf = (interval: number): number =>
      ((mostOf(interval) * 50e-6) / Math.SQRT2 / (3 / 4096)) * perCode;
    const hum = e.reading.contributions[1]!;
    expect(hum.name).toBe('interference at 50 Hz');
    // 64 phases miss the largest by at most 1 − cos(π/64).
    expectNear(hum.rms, rmsOf(50e-6), 1.3e-3);
    const others = e.reading.contributions.slice(2).map((c) => c.rms);
    expectNear(e.reading.rms, Math.hypot(hum.rms, ...others, e.averaging.rmsErrorLsb * perCode), 1e-12);
    // 78.125 µs make 20 ms of 256: the hum is gone as far as the tolerances let it, and 5 mV of it are too much.
    const nulled = { 'sampling.interval': '78.125 us' };
    expectNear(of('workbench', nulled).reading.contributions[1]!.rms, rmsOf(78.125e-6), 1.3e-3);
    const exact = { 'conditioning.interference.0.tolerance': '0 %', 'converter.timer.tolerance': '0 %' };
    expect(of('workbench', { ...nulled, ...exact }).reading.contributions[1]!.rms).toBeLessThan(1e-12);
    const much = { ...nulled, 'conditioning.interference.0.amplitude': '5 mV', 'sampling.bits': '14' };
    const met = (changes: Record<string, string>) =>
      of('workbench', changes).requirements.find((r) => r.name === 'resolution')!.met;
    expect(met({ ...much, ...exact })).toBe(true);
    expect(met(much)).toBe(false);
  });

  it('the half-bit rule would call it met; it is missed', () => {
    const promised = perCode / Math.sqrt(12) / 16;
    expect(promised).toBeLessThan(0.025);
    expect(verdicts(e)).toEqual({
      resolution: false,
      step: true,
      settling: true,
      overflow: true,
      period: true,
      latency: true,
    });
    expect(ofResults(e).map((f) => f.text)).toEqual([
      'Readings scatter by 74.9\u202fm°C rms at worst; 25\u202fm°C is wanted.',
      `Half a bit for every doubling would promise ${(promised * 1e3).toFixed(2)}\u202fm°C rms and call this met; it is 74.9\u202fm°C.`,
      'There is too little noise to average: at 0.15\u202fLSB rms the staircase leaves 73.3\u202fm°C rms at any ratio.',
    ]);
  });

  it('dither or 14 bits would serve; another divider or more conversions would not', () => {
    const { recommended, wouldServe } = settingsOf(e);
    expect(recommended).toBeUndefined();
    expect(wouldServe.map((a) => [a.kind, a.serves])).toEqual([
      ['dither', true],
      ['resolution', true],
      ['divider', false],
      ['software', false],
    ]);
    // What it says of 14 bits is what the worksheet then gives.
    const finer = wouldServe[1]!;
    const changed = of('workbench', {
      'sampling.bits': finer.value,
      'averaging.ratio': String(finer.row.ratio),
      'averaging.shift': String(finer.row.shift),
    });
    expect(changed.requirements.every((r) => r.met)).toBe(true);
    expectNear(changed.reading.rms, finer.row.rms, 1e-12);
  });
});

describe('findings', () => {
  it('a shift that throws the averaging away, and a bias beyond the scatter', () => {
    const e = of('beehive', { 'averaging.ratio': '8', 'averaging.shift': '8' });
    const texts = e.findings.filter((f) => /shift|rounding/.test(f.path)).map((f) => f.text);
    expect(texts[0]).toBe(
      'A shift of 8 after 8 makes one result code 32 codes of a conversion: averaging is thrown away.',
    );
    // −(2⁸ − 1)/16 LSB, 479 m°C; the code falls as it gets warmer, so readings are high.
    expect(texts[1]).toBe(
      'The shift drops its low bits; firmware that forgets them reads 479\u202fm°C too high, more than the scatter.',
    );
  });

  it('an overflow, with the bits that it takes', () => {
    const e = of('beehive', { 'averaging.ratio': '64', 'averaging.shift': '1' });
    expect(ofResults(e).map((f) => f.text)).toEqual([
      'The largest result is 131\u202f040; the register holds 65\u202f535. It needs 17 bits; it stays at the largest code.',
    ]);
  });

  it('a range beyond the reference', () => {
    const text = worksheetTexts.cellar!.replace('"6.4 V"', '"9 V"');
    const e = evaluate({ worksheet: readWorksheet({ text, profiles }) });
    const clipped = e.findings.filter((f) => f.stage === 'conditioning');
    expect(clipped.map((f) => [f.path, f.text])).toEqual([
      [
        'requirement.range.high',
        'At 9\u202fV the pin is at 128\u202f% of the reference: the code stays at its end, and a pin beyond the supply feeds current into the chip.',
      ],
    ]);
  });

  it('interference that is most of the scatter', () => {
    const e = of('workbench', { 'sampling.bits': '14', 'conditioning.interference.0.amplitude': '0.5 mV' });
    const text = e.findings.find((f) => f.path === 'conditioning.interference.0.frequency')?.text;
    expect(text).toMatch(
      // 0.4674 of 0.5 mV/√2, and 126 m°C for 183 µV.
      /^Most of the scatter is interference at 50 Hz: 114\u202fm°C rms is left after averaging\.$/u,
    );
  });

  it('a period, a latency and a sample time that no setting keeps', () => {
    const late = of('workbench', { 'requirement.period': '10 ms', 'requirement.latency': '5 ms' });
    expect(late.findings.map((f) => f.text)).toContain(
      'The conversions take 38.4\u202fms; readings are 10\u202fms apart. The scan’s other channels take 25.6\u202fms of it.',
    );
    expect(late.findings.map((f) => f.text)).toContain(
      'The result comes after 12.8\u202fms; 5\u202fms is wanted.',
    );
    const slow = of('cellar', { 'sensor.top': '2 Gohm', 'sensor.bottom': '1 Gohm' });
    expect(slow.sampling.minSampleCycles).toBe('none');
    expect(slow.findings[0]!.text).toMatch(
      /; no sample time of the profile is long enough for 667\u202fMΩ at this clock\.$/u,
    );
  });
});

describe('result codes', () => {
  it.each(Object.keys(worksheetTexts))(
    '%s: from the measurand to the code and back, to half a step',
    (name) => {
      const e = of(name);
      const { low, high } = e.channel.range;
      for (let i = 0; i <= 100; i++) {
        const measurand = low + ((high - low) * i) / 100;
        const half = (e.averaging.resultLsb * e.channel.perCode(measurand)) / 2;
        const apart = Math.abs(e.reading.measurandAt(e.reading.codeAt(measurand)) - measurand);
        // The width of a code changes a little from one code to the next.
        expect(apart).toBeLessThan(half * 1.001);
      }
    },
  );
});

describe('measurand of a result code', () => {
  it.each(Object.keys(worksheetTexts))('%s: has the voltage that the code stands for', (name) => {
    const e = of(name);
    const { ratio, shift, rounding, largestCode } = e.averaging;
    const { bits, reference, firstTransition } = e.quantizing;
    for (const part of [0.4, 0.55, 0.7]) {
      const code = Math.round(largestCode * (name === 'workbench' ? part / 3 : part));
      const volts = voltageFromResult({ code, bits, reference, firstTransition, ratio, shift, rounding });
      expectNear(e.channel.fraction(e.reading.measurandAt(code)) * reference, volts, 1e-12);
    }
  });
});

describe('any worksheet that is read can be evaluated', () => {
  it('and nothing in the result is NaN or infinite, for any one figure anywhere in its range', () => {
    const figures = Object.keys(worksheetTexts).flatMap((name) => {
      const worksheet = demo(name);
      return pathsOf(worksheetSchema, worksheet.inputs).flatMap((path) => {
        const field = fieldAt(worksheetSchema, path, worksheet.inputs)!;
        return field.is === 'quantity' || field.is === 'count' ? [{ name, path, field }] : [];
      });
    });
    let read = 0;
    fc.assert(
      fc.property(
        fc.constantFrom(...figures),
        fc.double({ min: 0, max: 1, noNaN: true }),
        fc.boolean(),
        ({ name, path, field }, place, logarithmic) => {
          const { low, high } = field;
          const value =
            logarithmic && low > 0
              ? low * (high / low) ** place
              : low + (high - low) * place ** (logarithmic ? 8 : 1);
          const unit =
            field.is === 'count'
              ? ''
              : ((
                  {
                    measurand: name === 'cellar' ? 'V' : 'degC',
                    difference: name === 'cellar' ? 'V' : 'K',
                    limit: 'V',
                  } as Record<string, string>
                )[field.unit] ?? field.unit);
          let worksheet: ReturnType<typeof demo>;
          try {
            const text = field.is === 'count' ? String(Math.round(value)) : asciiQuantity({ value, unit });
            worksheet = withValue(demo(name), path, text);
          } catch (error) {
            if (error instanceof WorksheetError) return;
            throw error;
          }
          read++;
          const e = evaluate({ worksheet });
          const { wouldServe: _, ...table } = settingsOf(e);
          const text = JSON.stringify([{ ...e, worksheet: 0 }, table], (_key, v: unknown) =>
            typeof v === 'number' && !Number.isFinite(v) ? 'not finite' : v,
          );
          expect(text.includes('not finite'), `${name} ${path} = ${value}`).toBe(false);
        },
      ),
      { seed: 12, numRuns: 400 },
    );
    expect(read).toBeGreaterThan(120);
  });
});

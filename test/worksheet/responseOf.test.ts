import { describe, expect, it } from 'vitest';
import { evaluate } from '../../src/worksheet/evaluate.ts';
import { responseOf } from '../../src/worksheet/responseOf.ts';
import { withValue } from '../../src/worksheet/write.ts';
import { expectNear, expectPrinted } from '../close.ts';
import { demo } from './demos.ts';

const names = ['beehive', 'cellar', 'workbench'];
const of = (name: string, changes: Readonly<Record<string, string>> = {}) =>
  evaluate({
    worksheet: Object.entries(changes).reduce((w, [path, text]) => withValue(w, path, text), demo(name)),
  });

/** Amplitude that the mean of R samples leaves of a sine, by adding them up. */
function summed(frequency: number, interval: number, ratio: number): number {
  let [re, im] = [0, 0];
  for (let i = 0; i < ratio; i++) {
    const angle = 2 * Math.PI * ((frequency * interval * i) % 1);
    re += Math.cos(angle);
    im += Math.sin(angle);
  }
  return Math.hypot(re, im) / ratio;
}

describe('disturbances of the workbench', () => {
  const e = of('workbench');
  const r = responseOf(e);

  it('are left as the reading counts them', () => {
    expect(r.aliases.map((a) => a.rms)).toEqual(
      e.reading.contributions.filter((c) => c.name.startsWith('interference')).map((c) => c.rms),
    );
  });

  it('by adding up 256 samples 50 µs apart where the tolerances leave most: rms over the phase, in the unit of the reading', () => {
    // 50 Hz is left most at the lower end of 1 % of mains and 1 % of clock; 9 · 20 kHz are within 5 % of 180.3 kHz.
    for (const [i, most] of [50 * 0.99 ** 2, 180e3].entries()) {
      const a = r.aliases[i]!;
      let squares = 0;
      for (let k = 0; k < 64; k++) {
        let mean = 0;
        for (let n = 0; n < 256; n++)
          mean += Math.sin(2 * Math.PI * (((most * 50e-6 * n) % 1) + k / 64)) / 256;
        squares += (a.amplitude * mean) ** 2 / 64;
      }
      const perVolt = e.channel.worst.perCode / (3 / 4096);
      expectNear(a.rms, Math.sqrt(squares) * perVolt, 1e-9, a.name);
      expectNear(a.gain, summed(a.frequency, 50e-6, 256), 1e-9, a.name);
    }
  });

  it('180.3 kHz looks like 300 Hz at 20 kHz, and over 5 % may meet a multiple of it', () => {
    expectNear(r.aliases[1]!.amongConversions, 300, 1e-9);
    expect(r.aliases[1]!.mostGain).toBe(1);
  });

  it('50 Hz exact, one reading in 1.01 s: a beat of 2.02 s, the fastest there can be, and the nearest such period', () => {
    const exact = { 'conditioning.interference.0.tolerance': '0 %', 'converter.timer.tolerance': '0 %' };
    const [a] = responseOf(of('workbench', { ...exact, 'requirement.period': '1.01 s' })).aliases;
    // 50 Hz against 50.495 multiples of 1/1.01 s.
    expectNear(a!.beat.longest as number, 2.02, 1e-9);
    expectNear(a!.betterPeriod as number, 50.5 / 50, 1e-12);
    const [b] = responseOf(of('workbench', { ...exact, 'requirement.period': '1 s' })).aliases;
    expect(b!.beat.longest).toBe('none');
    expectNear(b!.betterPeriod as number, 50.5 / 50, 1e-12);
  });
});

describe('the curve', () => {
  it.each(names)('%s: never below what the mean leaves within its band, and reached', (name) => {
    const e = of(name);
    const { curve } = responseOf(e);
    const { interval } = e.sampling;
    const { ratio } = e.averaging;
    const step = curve[1]!.frequency / curve[0]!.frequency;
    const margin = Math.sqrt(step);
    for (const p of curve.filter((_, i) => i % 4 === 0)) {
      let most = 0;
      for (let i = 0; i <= 400; i++) {
        const f = (p.frequency / margin) * step ** (i / 400);
        most = Math.max(most, summed(f, interval, ratio));
      }
      // A band of less than a third of a lobe is shown by its middle.
      const width = (p.frequency / margin) * (step - 1) * ratio * interval;
      if (width < 0.3) expectNear(p.boxcar, summed(p.frequency, interval, ratio), 0, '', 1e-9);
      else expect(p.boxcar, `${p.frequency}`).toBeGreaterThan(0.995 * most);
      // A band of more than a lobe touches the line over the lobes, which rises within it by its width.
      const turns = p.frequency * interval;
      const apart = Math.abs(turns - Math.round(turns)) > 4 * (step - 1) * turns;
      if (width > 3 && apart && p.boxcar < 1) expect(p.boxcar).toBeLessThan(1.4 * most);
    }
  });

  it('the low-pass is that of the largest source resistance and the pin', () => {
    const e = of('workbench');
    const r = responseOf(e);
    // 4.7 kΩ beside a sensor of 1366.8 Ω at 95 °C and its 2.1 Ω of lead, 1 kΩ in series; 10 nF and 5 pF.
    const sensor = 1000 * (1 + 3.9083e-3 * 95 - 5.775e-7 * 95 ** 2) + 2.1;
    const source = 1 / (1 / 4700 + 1 / sensor) + 1000;
    expectNear(r.timeConstant, source * 10.005e-9, 1e-9);
    expectNear(r.atRate, 1 / Math.hypot(1, 2 * Math.PI * 20e3 * source * 10.005e-9), 1e-9);
  });
});

describe('hum', () => {
  it('common practice, no source: 20 ms null 50 Hz and leave −16 dB of 60 Hz; 2 % off leave −34 dB', () => {
    const exact = {
      'sampling.interval': '78.125 us',
      'conditioning.interference.0.tolerance': '2 %',
      'converter.timer.tolerance': '0 %',
    };
    const [fifty, sixty] = responseOf(of('workbench', exact)).hum.rows;
    expect(fifty!.exact.gain).toBeLessThan(1e-9);
    expectPrinted(-(sixty!.exact.rejectionDb as number), '-16');
    expectPrinted(-(fifty!.mainsOff.rejectionDb as number), '-34');
  });

  it.each(names)('%s: what is left of each window is the most over the tolerances', (name) => {
    const e = of(name);
    const { windows, rows } = responseOf(e).hum;
    const timed = { beehive: 30e-6, cellar: 0.02, workbench: 0.01 }[name]!;
    for (const w of windows.filter((_, i) => i % 5 === 0)) {
      expectNear(w.window, w.ratio * w.interval, 1e-12);
      for (const [i, f] of [50, 60].entries()) {
        const off = (1 + rows[i]!.tolerance.value) * (1 + timed) - 1;
        const low = (1 - rows[i]!.tolerance.value) * (1 - timed) - 1;
        let most = 0;
        for (let k = 0; k <= 300; k++) {
          const x = f * (1 + low + ((off - low) * k) / 300);
          most = Math.max(most, summed(x, w.interval, w.ratio));
        }
        expectNear(w.left[i]!, most, 1e-3, `${w.ratio} ${f}`, 1e-9);
      }
    }
  });

  it('the recommended window keeps period and latency, and nulls what is named', () => {
    const { best } = responseOf(of('workbench')).hum;
    expect(best).toMatchObject({ ratio: 256, nulls: [50] });
    const taken = of('workbench', { 'sampling.interval': `${best!.interval * 1e6} us` });
    expect(taken.requirements.filter((r) => ['period', 'latency'].includes(r.name)).every((r) => r.met)).toBe(
      true,
    );
    // What the tolerances leave of a null against what they leave without: 2.05 % and 46.7 %.
    expect(taken.reading.contributions.find((c) => c.name.includes('50 Hz'))!.rms).toBeLessThan(
      0.05 * responseOf(of('workbench')).aliases[0]!.rms,
    );
    // Both named or none: 100 ms, where the latency allows it.
    expect(responseOf(of('beehive')).hum.best).toMatchObject({ nulls: [50, 60] });
    expect(responseOf(of('cellar')).hum.best).toBeUndefined();
  });
});

describe('the step', () => {
  it.each(names)('%s: the curve is the mean of what the low-pass gives to each conversion', (name) => {
    const e = of(name);
    const r = responseOf(e);
    const { interval } = e.sampling;
    const { ratio } = e.averaging;
    for (const p of r.stepCurve.filter((_, i) => i % 10 === 3)) {
      let shown = 0;
      for (let n = 0; n < ratio; n++) {
        const t = p.after - r.window + n * interval;
        shown += (t < 0 ? 0 : 1 - Math.exp(-t / r.timeConstant)) / ratio;
      }
      expectNear(p.shown, shown, 0, '', 1e-9);
    }
    expect(r.stepCurve[0]!.shown).toBe(0);
    expect(r.stepCurve.at(-1)!.shown).toBeGreaterThan(0.999);
    const at = r.stepCurve.find((p) => p.shown >= 0.99)!.after;
    expect(at).toBeGreaterThanOrEqual(r.step.best * (1 - 1e-9));
    expect(at - r.step.best).toBeLessThan(r.stepCurve[1]!.after * 1.001);
  });
});

describe('the anti-alias filter', () => {
  it.each(names)('%s: every row written into the worksheet settles, at the corner that it says', (name) => {
    const e = of(name);
    const { rows, present } = responseOf(e).antiAlias;
    expectNear(present.settlingLsb, Math.abs(e.sampling.settlingErrorLsb), 1e-6, name, 1e-9);
    for (const row of rows.filter((_, i) => i % 3 === 0)) {
      const written = of(name, {
        ...(row.resistor > 0 && { 'conditioning.seriesResistor': `${row.resistor} ohm` }),
        'conditioning.capacitor': `${row.capacitor * 1e12} pF`,
      });
      expect(
        written.requirements.find((r) => r.name === 'settling')!.met,
        `${row.resistor} ${row.capacitor}`,
      ).toBe(true);
      if (row.resistor > 0) {
        const tau = written.sampling.sourceResistance * written.sampling.pinCapacitance;
        expectNear(row.corner, 1 / (2 * Math.PI * tau), 1e-9);
        expectNear(row.atRate, 1 / Math.hypot(1, (2 * Math.PI * tau) / e.sampling.interval), 1e-9);
      }
    }
  });

  it('the recommended one leaves a hundredth at the rate of conversions', () => {
    const { best, rows } = responseOf(of('workbench')).antiAlias;
    expect(best!.atRate).toBeLessThanOrEqual(0.01);
    expect(rows.filter((r) => r.capacitor < best!.capacitor).every((r) => r.atRate > 0.01)).toBe(true);
  });
});

import '../../src/numbers/compound.ts';
import { describe, expect, it } from 'vitest';
import { averagedNoise, usefulRatio } from '../../src/chain/averaging/noise.ts';
import { oversample } from '../../src/chain/averaging/oversample.ts';
import { seededRandom } from '../../src/numbers/random.ts';
import { type Evaluation, evaluate } from '../../src/worksheet/evaluate.ts';
import { noiseOf } from '../../src/worksheet/noiseOf.ts';
import { withValue } from '../../src/worksheet/write.ts';
import { expectNear } from '../close.ts';
import { demo } from './demos.ts';

function evaluated(name: string, changes: Readonly<Record<string, string>> = {}): Evaluation {
  let worksheet = demo(name);
  for (const [path, text] of Object.entries(changes)) worksheet = withValue(worksheet, path, text);
  return evaluate({ worksheet });
}

/**
 * Mean square of the mean of R codes less the input, of inputs anywhere in a code: white noise of one conversion, noise of the
 * source alike in neighbours by ρ, and a known wave; drawn one by one.
 */
function drawn(a: {
  ratio: number;
  white: number;
  source?: number;
  correlation?: number;
  wave?: (i: number) => number;
  bursts?: number;
  shift?: number;
  readings?: number;
}): { square: number; scatter: number } {
  const { ratio, white, source = 0, correlation = 0, wave = () => 0, bursts = 20_000, readings = 1 } = a;
  const { shift = 0 } = a;
  const random = seededRandom(11);
  let sum = 0;
  let squares = 0;
  for (let b = 0; b < bursts; b++) {
    const input = random.uniform() - 0.5;
    let mean = 0;
    for (let n = 0; n < readings; n++) {
      let slow = source * random.normal();
      let total = 0;
      for (let i = 0; i < ratio; i++) {
        total += Math.floor(input + white * random.normal() + slow + wave(i) + 0.5);
        slow = correlation * slow + source * Math.sqrt(1 - correlation ** 2) * random.normal();
      }
      // Rounding shift, its bias of half a dropped code taken out again.
      const result =
        shift > 0 ? Math.floor((total + 2 ** (shift - 1)) / 2 ** shift) * 2 ** shift - 0.5 : total;
      mean += result / ratio / readings;
    }
    const square = (mean - input) ** 2;
    sum += square;
    squares += square * square;
  }
  const square = sum / bursts;
  return { square, scatter: Math.sqrt((squares / bursts - square ** 2) / bursts) };
}

describe('noise beside the converter’s own', () => {
  const all = {
    'noise.sourceRms': '0.3 mV',
    'noise.sourceTime': '60 us',
    'noise.flickerCorner': '300 Hz',
  };

  it('makes one total, whether part by part or from the exact error of the mean', () => {
    const e = evaluated('workbench', all);
    const { noise, quantizing } = e;
    for (const ratio of [1, 2, 16, 256, 1024]) {
      const parts = averagedNoise({ ...noise.sources, ratio });
      const fast = oversample({ bits: quantizing.bits, noiseLsb: noise.independentLsb, ratio, shift: 0 });
      const { source, flicker } = noise.slowLsb(ratio);
      // The same integral of 1/f noise, its corner scaled to the white part with and without quantization.
      expectNear(parts.total, Math.hypot(fast.rmsErrorLsb, source, flicker), 1e-9, `ratio ${ratio}`);
    }
  });

  it('is the exact error alone where the worksheet names none', () => {
    for (const name of ['beehive', 'cellar', 'workbench']) {
      const e = evaluated(name);
      expect(e.noise.independentLsb).toBe(e.quantizing.noiseLsb);
      expect(e.noise.slowLsb(e.averaging.ratio)).toEqual({ source: 0, flicker: 0 });
      const { ratio } = e.averaging;
      const { rmsErrorLsb } = oversample({
        bits: e.quantizing.bits,
        noiseLsb: e.quantizing.noiseLsb,
        ratio,
        shift: 0,
      });
      expectNear(averagedNoise({ ...e.noise.sources, ratio }).total, rmsErrorLsb, 1e-12, name);
    }
  });

  it.each([
    // From one conversion to the next 50 µs pass: ρ 0.007, 0.43, 0.95.
    ['10 us', 16],
    ['60 us', 2],
    ['60 us', 16],
    ['1 ms', 2],
    ['1 ms', 32],
  ])('of a source through %s is never told smaller than it is, at ratio %i', (sourceTime, ratio) => {
    const e = evaluated('workbench', { 'noise.sourceRms': '0.25 mV', 'noise.sourceTime': sourceTime });
    const { sourceLsb, correlation, sources } = e.noise;
    const { square, scatter } = drawn({
      ratio,
      white: e.quantizing.noiseLsb,
      source: sourceLsb,
      correlation,
    });
    const told = averagedNoise({ ...sources, ratio }).total ** 2;
    expect(told).toBeGreaterThan(square - 4 * scatter);
    // Exact at two conversions, and where next to nothing is alike; the ripple is bounded, not told, between.
    if (ratio === 2 || correlation < 0.01) expectNear(told, square, 0, '', 4 * scatter);
    else expect(told).toBeLessThan(1.35 * square + 4 * scatter);
  });

  it('counts in the reading and its requirement', () => {
    const [plain, noisy] = [evaluated('beehive'), evaluated('beehive', { 'noise.flickerCorner': '3 kHz' })];
    expect(noisy.reading.contributions.map((c) => c.name)).toContain('1/f noise');
    expect(noisy.reading.rms).toBeGreaterThan(plain.reading.rms);
    const required = noisy.requirements.find((r) => r.name === 'resolution')!;
    expect(required.actual).toBe(noisy.reading.rms);
  });

  it('comes through source resistance and pin capacitor unless it is told otherwise', () => {
    const e = evaluated('workbench', { 'noise.sourceRms': '20 uV' });
    // 4.7 kΩ beside the sensor at 95 °C and its leads, then 1 kΩ; 10 nF on the board, 5 pF in the pin.
    const sensor = e.sensor.toElectrical(95) + 2.1;
    const resistance = 1000 + 1 / (1 / 4700 + 1 / sensor);
    expectNear(e.noise.sourceTime, resistance * 10.005e-9, 1e-12);
    expectNear(e.noise.sourceLsb, 20e-6 / (3 / 4096), 1e-12);
  });
});

describe('whether the noise is enough', () => {
  it('goes by the share of the steps in the error', () => {
    expect(noiseOf(evaluated('workbench')).standing).toBe('too little');
    expect(noiseOf(evaluated('beehive')).standing).toBe('enough');
    expect(noiseOf(evaluated('cellar')).standing).toBe('enough');
    // At σ 0.25 and R 8: B² 0.0043, mean square 0.0043 + 0.1415/8.
    const hardly = { 'converter.noise': '0.25 LSB', 'averaging.ratio': '8', 'averaging.shift': '0' };
    expect(noiseOf(evaluated('beehive', hardly)).standing).toBe('hardly');
  });

  it('looks at the profile’s largest ratio where nothing is averaged', () => {
    const found = noiseOf(evaluated('workbench', { 'averaging.shift': '0', 'averaging.ratio': '1' }));
    expect([found.ratio, found.shift]).toEqual([1024, 0]);
  });

  it('finds the best noise at a shift as a close search does', () => {
    const { bestHere, bits } = noiseOf(evaluated('beehive'));
    let best = { noiseLsb: 0, effectiveBits: 0 };
    for (let noiseLsb = 0.2; noiseLsb < 0.6; noiseLsb += 0.001) {
      const { effectiveBits } = oversample({ bits: 12, noiseLsb, ratio: 64, shift: 3 });
      if (effectiveBits > best.effectiveBits) best = { noiseLsb, effectiveBits };
    }
    expectNear(bestHere.effectiveBits, best.effectiveBits, 1e-6);
    expectNear(bestHere.noiseLsb, best.noiseLsb, 0, '', 0.002);
    expect(Math.max(...bits.map((p) => p.effectiveBits))).toBeLessThanOrEqual(bestHere.effectiveBits + 1e-9);
  });

  it('stops where one more doubling brings less than a tenth', () => {
    const { usefulRatio: useful, ratios } = noiseOf(evaluated('workbench'));
    const total = (ratio: number): number => ratios.find((r) => r.ratio === ratio)!.parts.total;
    expect(useful).toBe(8);
    expect(total(16)).toBeGreaterThan(0.9 * total(8));
    expect(total(8)).toBeLessThanOrEqual(0.9 * total(4));
    // Without the steps nothing would stop it.
    const { steady: _, ...rest } = evaluated('workbench').noise.sources;
    expect(usefulRatio({ ...rest, observationTime: 1e6 })).toBe(65536);
  });
});

describe('dithers', () => {
  const e = evaluated('workbench');
  const found = noiseOf(e);
  const rms = (kind: string): number => found.dithers.find((d) => d.kind === kind)!.rmsErrorLsb;

  it('a triangle of one period a burst is worth what drawing it gives', () => {
    const wave = (i: number): number => {
      const turn = (i + 0.5) / 256;
      return (turn < 0.5 ? 2 * turn : 2 - 2 * turn) - 0.5;
    };
    const { square, scatter } = drawn({ ratio: 256, white: 0.15, wave, bursts: 4000 });
    expectNear(rms('wave') ** 2, square, 0, '', 4 * scatter);
  });

  it('without noise it leaves the steps of half as many heights', () => {
    const quiet = noiseOf(evaluated('beehive', { 'converter.noise': '0 LSB' }));
    const told = quiet.dithers.find((d) => d.kind === 'wave')!.rmsErrorLsb;
    expectNear(told, 1 / 32 / Math.sqrt(12), 1e-9);
    const wave = (i: number): number => {
      const turn = (i + 0.5) / 64;
      return (turn < 0.5 ? 2 * turn : 2 - 2 * turn) - 0.5;
    };
    const { square, scatter } = drawn({ ratio: 64, white: 0, wave, bursts: 4000 });
    expectNear(told ** 2, square, 0, '', 4 * scatter);
  });

  it('the best noise likewise', () => {
    const { square, scatter } = drawn({ ratio: 256, white: Math.hypot(0.15, found.addLsb), bursts: 4000 });
    expectNear(rms('noise') ** 2, square, 0, '', 4 * scatter);
  });

  it('the input’s own change is a ramp over the burst', () => {
    const moving = noiseOf(evaluated('workbench', { 'noise.drift': '2000 K' }));
    const slope = moving.dithers.find((d) => d.kind === 'slope')!;
    expectNear(slope.spanLsb, ((2000 / 60) * 0.0128) / e.channel.worst.perCode, 1e-9);
    expect(slope.effectiveBits).toBeGreaterThan(13.5);
    expectNear(moving.moving.lagLsb, ((2000 / 60) * 255 * 50e-6) / 2 / e.channel.worst.perCode, 1e-9);
  });

  it('a resistor that brings the reference down to a code is 2^N − 1 times the source, but for the capacitor', () => {
    const { resistor } = found.triangle;
    // The capacitor takes 4τ·ln 2/P = 0.5 % of the triangle.
    expectNear(resistor as number, 4095 * e.sampling.sourceResistance, 0.01);
  });
});

describe('many readings of a still input', () => {
  it('with a coarse shift scatter as drawn', () => {
    // The cellar: 0.8 LSB, 16 conversions, shift 4 with rounding.
    const { many } = noiseOf(evaluated('cellar'));
    for (const { readings, twoSigmaLsb } of many.slice(0, 3)) {
      const { square } = drawn({ ratio: 16, white: 0.8, shift: 4, readings, bursts: 12_000 });
      // The noise of the sum is taken as normal for the steps of the shift.
      expectNear(twoSigmaLsb / 2, Math.sqrt(square), 0.04, `${readings}`);
    }
  });

  it('say how many it takes, or that none do', () => {
    expect(noiseOf(evaluated('workbench')).enoughReadings).toBe('none');
    const found = noiseOf(evaluated('beehive', { 'requirement.resolution': '2 mK' }));
    const n = found.enoughReadings as number;
    const one = evaluated('beehive').reading.rms;
    // All of it is white: 2·rms/√n is 2 m°C at the most.
    expect(n).toBe(Math.ceil(((2 * one) / 0.002) ** 2));
  });

  it('leave the steps to every filter', () => {
    const e = evaluated('workbench');
    for (const { rmsLsb } of noiseOf(e).filters) expect(rmsLsb).toBeGreaterThan(e.noise.rippleLsb);
    const [mean] = noiseOf(evaluated('beehive')).filters;
    expectNear(
      mean!.rmsLsb,
      evaluated('beehive').reading.rms / evaluated('beehive').channel.worst.perCode / Math.sqrt(8),
      1e-4,
    );
  });
});

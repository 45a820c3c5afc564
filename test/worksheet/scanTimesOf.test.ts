import { describe, expect, it } from 'vitest';
import '../../src/numbers/compound.ts';
import { bufferOf } from '../../src/worksheet/bufferOf.ts';
import { type Evaluation, evaluate } from '../../src/worksheet/evaluate.ts';
import { scanOf } from '../../src/worksheet/scanOf.ts';
import { scanSettlingOf } from '../../src/worksheet/scanSettlingOf.ts';
import { scanTimesOf } from '../../src/worksheet/scanTimesOf.ts';
import { searchOf } from '../../src/worksheet/searchOf.ts';
import { withValues } from '../../src/worksheet/write.ts';
import { demo } from './demos.ts';

const of = (name: string, values: Record<string, string> = {}): Evaluation =>
  evaluate({ worksheet: withValues(demo(name), values) });

const two = {
  'scan.channels.0.name': 'battery',
  'scan.channels.0.voltage': '1.4 V',
  'scan.channels.0.sourceResistance': '100 kohm',
  'scan.channels.1.name': 'chip',
  'scan.channels.1.voltage': '0.7 V',
  'scan.channels.1.sourceResistance': '10 kohm',
  'scan.channels.1.input': 'internal',
};

/** Every conversion of one reading as the hardware takes it: channel, start, end of its sample time, whether it counts. */
function played(e: Evaluation) {
  const { inputs, profile } = e.worksheet;
  const clock = profile.clock.source.value / inputs.sampling.clockDivider.value;
  const { conversionCycles } = profile.resolutions.find((r) => r.bits === inputs.sampling.bits.value)!;
  const others = inputs.scan?.channels ?? [];
  const cycles = [undefined, ...others.map((c) => c.sampleCycles)].map(
    (c) => c ?? inputs.sampling.sampleCycles.value,
  );
  const ratio = inputs.averaging.ratio.value;
  const d = others.length > 0 ? (inputs.scan?.discard ?? 0) : 0;
  const hardware = profile.averaging.by === 'hardware';
  const tick = inputs.sampling.interval?.value;
  const list: {
    channel: number;
    start: number;
    sampled: number;
    end: number;
    counts: boolean;
    stored: boolean;
  }[] = [];
  let free = 0;
  const convert = (channel: number, counts: boolean, stored: boolean): void => {
    // With a timer the first tick at which the converter is free.
    const start = tick === undefined ? free : Math.ceil(free / tick - 1e-6) * tick;
    const sampled = start + cycles[channel]! / clock;
    free = sampled + conversionCycles / clock;
    list.push({ channel, start, sampled, end: free, counts, stored });
  };
  for (let round = 0; round < (hardware ? 1 : ratio); round++) {
    for (let channel = 0; channel < cycles.length; channel++) {
      for (let i = 0; i < d; i++) convert(channel, false, true);
      const k = hardware ? ratio : 1;
      for (let i = 0; i < k; i++) convert(channel, true, i === k - 1);
    }
  }
  return list;
}

const cases: [string, string, Record<string, string>][] = [
  ['workbench', 'timed, averaged by hardware', {}],
  ['workbench', 'two left out', { 'scan.discard': '2', 'averaging.ratio': '16' }],
  ['workbench', 'a conversion longer than the interval', { 'scan.channels.1.sampleCycles': '520' }],
  ['beehive', 'alone', {}],
  ['beehive', 'back to back', { ...two, 'scan.channels.1.sampleCycles': '25' }],
  ['cellar', 'averaged by firmware', { ...two, 'scan.channels.1.sampleCycles': '11' }],
  ['cellar', 'one left out', { ...two, 'scan.discard': '1', 'averaging.ratio': '4' }],
  ['cellar', 'alone', {}],
];

describe('times, against the conversions taken one by one', () => {
  it.each(cases)('%s, %s', (name, _, values) => {
    const e = of(name, values);
    const times = scanTimesOf(e);
    const list = played(e);
    const at = times.visits.map((_, c) => {
      const counting = list.filter((v) => v.channel === c && v.counts);
      return counting.reduce((sum, v) => sum + v.sampled, 0) / counting.length;
    });
    times.visits.forEach((v, c) => {
      expect(v.start).toBeCloseTo(list.find((l) => l.channel === c)!.start, 12);
      expect(v.at).toBeCloseTo(at[c]!, 12);
      expect(v.skew).toBeCloseTo(at[c]! - at[0]!, 12);
    });
    expect(times.readingTime).toBeCloseTo(list.at(-1)!.end, 12);
    expect(times.spread).toBeCloseTo(Math.max(...at) - Math.min(...at), 12);
  });

  it.each(cases)(
    'of %s, %s: when this channel has its result, and what is left of the period',
    (name, _, values) => {
      const e = of(name, values);
      const list = played(e);
      const own = list.filter((v) => v.channel === 0).at(-1)!;
      expect(e.averaging.latency - e.averaging.startTime).toBeCloseTo(own.end, 12);
      const latency = own.end + e.averaging.startTime;
      const judgedBy = (limit: string, value: number) =>
        of(name, { ...values, [limit]: `${value} s` }).requirements.find((r) => limit.endsWith(r.name))!;
      expect(judgedBy('requirement.latency', 0.999 * latency).met).toBe(false);
      expect(judgedBy('requirement.latency', 1.001 * latency).met).toBe(true);
      // Alone, the reading may start again as soon as the last conversion ends.
      const whole = e.worksheet.inputs.scan?.channels ? scanTimesOf(e).leastPeriod : list.at(-1)!.end;
      expect(judgedBy('requirement.period', 0.999 * whole).met).toBe(false);
      expect(judgedBy('requirement.period', 1.001 * whole).met).toBe(true);
    },
  );

  it('the search rejects what does not fit the scan, setting by setting as the evaluation does', () => {
    const e = of('workbench', { 'requirement.period': '100 ms', 'requirement.latency': '20 ms' });
    const { rejectionOf, chosen } = searchOf(e);
    for (const ratio of [2, 64, 256, 512, 1024]) {
      const shift = 0;
      const { requirements } = of('workbench', {
        'requirement.period': '100 ms',
        'requirement.latency': '20 ms',
        'averaging.ratio': String(ratio),
        'averaging.shift': '0',
      });
      const missed = (['step', 'overflow', 'period', 'latency'] as const).find(
        (n) => requirements.find((r) => r.name === n)?.met === false,
      );
      const why = rejectionOf({ sampling: chosen.sampling, averaging: { ratio, shift } });
      if (missed) expect(why).toBe(missed);
      else expect(['period', 'latency']).not.toContain(why);
    }
  });

  it('a channel that does not settle in its turn, or is sampled too short, is a finding', () => {
    const texts = (values: Record<string, string>) =>
      of('workbench', values)
        .findings.filter((f) => f.path === 'scan')
        .map((f) => f.text);
    expect(texts({})).toEqual([]);
    expect(texts({ 'scan.channels.1.sampleCycles': '95' })).toEqual([
      'In the scan chip temperature is sampled for 9.5\u202fµs and its data sheet asks for 12\u202fµs.',
    ]);
    const off = texts({ 'scan.channels.0.sourceResistance': '3 Mohm' });
    expect(off).toHaveLength(1);
    expect(off[0]).toMatch(
      /^In the scan heater supply, after this channel, is .*\sLSB of a conversion from settled; /u,
    );
  });

  it.each(cases)('buffer of %s, %s: what is stored when', (name, _, values) => {
    const e = of(name, { ...values, 'scan.buffer.scans': '4' });
    const times = scanTimesOf(e);
    const buffer = bufferOf(e, times);
    if (buffer === 'none') throw new Error('it fits');
    const stored = played(e).filter((v) => v.stored);
    const round = stored.filter((v) => v.start < times.roundTime - 1e-12);
    expect(buffer.channels).toBe(round.length);
    expect(buffer.length).toBe(8 * round.length);
    const period = times.turn === 'burst' ? e.worksheet.inputs.requirement.period.value : times.roundTime;
    // The first result of the half is overwritten eight scans after it was stored, the interrupt comes with the last of four.
    const [first, last] = [round[0]!.end, round.at(-1)!.end];
    expect(buffer.buffered.latency).toBeCloseTo(first + 8 * period - (last + 3 * period), 9);
    expect(buffer.oldest).toBeCloseTo(last + 3 * period, 9);
    const gaps = stored.slice(1).map((v, i) => v.end - stored[i]!.end);
    if (gaps.length > 0) expect(buffer.resultInterval).toBeCloseTo(Math.min(...gaps), 12);
  });

  it('a scan that does not fit is told, and has no buffer', () => {
    const e = of('workbench', { 'scan.period': '30 ms' });
    expect(scanTimesOf(e)).toMatchObject({ fits: false, period: 0.03 });
    expect(bufferOf(e)).toBe('none');
  });

  it('a sample time shorter than the sheet asks for is told', () => {
    const visits = (cycles: string) =>
      scanTimesOf(of('workbench', { 'scan.channels.1.sampleCycles': cycles })).visits;
    // 12 µs at 10 MHz are 120 cycles.
    expect(visits('95')[2]!.short).toBe(true);
    expect(visits('210')[2]!.short).toBe(false);
  });
});

describe('settling and crosstalk without a pin capacitance: a single exponential', () => {
  const bare = { 'converter.pinCapacitance': '0 F' };

  it('the matrix is (V_j − V_i)·exp(−t/τ) in LSB', () => {
    const e = of('beehive', { ...two, ...bare });
    const { matrix } = scanOf(e)!;
    // 3 V, 12 bits; 1.4 kΩ and 5 pF; 8 cycles of 2 MHz.
    const left = Math.exp(-4e-6 / ((100e3 + 1400) * 5e-12));
    expect(matrix[1]!.from[2]!).toBeCloseTo((0.7 - 1.4) * left * (4096 / 3), 9);
    expect(matrix[1]!.from[1]!).toBe(0);
  });

  it('of a burst the mean: (V_j − V_i)·Σ exp(−n·t/τ)/R, C_s keeping its charge', () => {
    const e = of('beehive', { ...two, ...bare });
    const settling = scanSettlingOf(e, scanTimesOf(e));
    const left = Math.exp(-4e-6 / ((100e3 + 1400) * 5e-12));
    let sum = 0;
    for (let n = 1; n <= 64; n++) sum += left ** n;
    const own = e.channel.fraction(20) * 3;
    const far = e.channel.fraction(40) * 3;
    // This channel stands where it is furthest from the one before it, 0.7 V.
    const voltage = Math.abs(own - 0.7) > Math.abs(far - 0.7) ? own : far;
    expect(settling[1]!.lsb).toBeCloseTo(((voltage - 1.4) * (sum / 64) * 4096) / 3, 9);
  });

  it('starting afresh, every conversion falls short alike, whatever stood before it', () => {
    const e = of('cellar', { ...two, ...bare, 'scan.channels.0.sourceResistance': '500 kohm' });
    const settling = scanSettlingOf(e, scanTimesOf(e));
    // 2.2 V, 12 bits; 3.2 kΩ and 9 pF; 24 cycles of 1 MHz; from 0 V.
    const left = Math.exp(-24e-6 / ((500e3 + 3200) * 9e-12));
    expect(settling[1]!.lsb).toBeCloseTo((-1.4 * left * 4096) / 2.2, 9);
  });

  it('alone it is what the evaluation says', () => {
    for (const name of ['beehive', 'cellar']) {
      const e = of(name);
      expect(scanSettlingOf(e, scanTimesOf(e))[0]!.lsb).toBeCloseTo(e.sampling.settlingErrorLsb, 9);
    }
  });
});

describe('inputs', () => {
  it('channels are put in one after the other, and refused where they leave a gap', () => {
    const { worksheet } = of('beehive', two);
    expect(worksheet.inputs.scan!.channels!.map((c) => c.name)).toEqual(['battery', 'chip']);
    expect(() => of('beehive', { 'scan.channels.0.name': 'battery' })).toThrow('voltage: missing');
    expect(() => of('workbench', { 'scan.channels.3.name': 'far' })).toThrow('has 2 places; the next is 2');
    const third = of('workbench', {
      'scan.channels.2.name': 'third',
      'scan.channels.2.voltage': '1 V',
      'scan.channels.2.sourceResistance': '1 kohm',
    });
    expect(third.worksheet.inputs.scan!.channels![2]).toMatchObject({ name: 'third' });
  });

  it('more pins than the profile has, and a sample time that it has not, are refused', () => {
    const many = Object.fromEntries(
      Array.from({ length: 8 }, (_, i) => [
        [`scan.channels.${i}.name`, `c${i}`],
        [`scan.channels.${i}.voltage`, '1 V'],
        [`scan.channels.${i}.sourceResistance`, '1 kohm'],
      ]).flat(),
    );
    expect(() => of('cellar', many)).toThrow('9 channels at pins; the profile has 8');
    expect(() => of('cellar', { ...many, 'scan.channels.7.input': 'internal' })).not.toThrow();
    expect(() => of('workbench', { 'scan.channels.1.sampleCycles': '9' })).toThrow(
      '9 is no sample time of the profile',
    );
  });
});

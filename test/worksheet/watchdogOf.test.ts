import { describe, expect, it } from 'vitest';
import { accumulate } from '../../src/chain/averaging/accumulate.ts';
import { seededRandom } from '../../src/numbers/random.ts';
import { evaluate } from '../../src/worksheet/evaluate.ts';
import { falseTripsOf, year } from '../../src/worksheet/falseTripsOf.ts';
import { faultCodesOf } from '../../src/worksheet/faultCodesOf.ts';
import { watchdogOf } from '../../src/worksheet/watchdogOf.ts';
import { watchdogSettingsOf } from '../../src/worksheet/watchdogSettingsOf.ts';
import { withValues } from '../../src/worksheet/write.ts';
import { expectNear } from '../close.ts';
import { demo } from './demos.ts';

const evaluated = (name: string, changes: Record<string, string> = {}) =>
  evaluate({ worksheet: withValues(demo(name), changes) });
const watchdogAt = (name: string, changes?: Record<string, string>) => {
  const e = evaluated(name, changes);
  return { e, watchdog: watchdogOf(e)! };
};

/** The beehive's voltage at the pin by its own law: β 3435 K, 10 kΩ at 25 °C over 10 kΩ, 3 V. */
const beehiveVolts = (celsius: number): number => {
  const ohms = 1e4 * Math.exp(3435 * (1 / (celsius + 273.15) - 1 / 298.15));
  return (3 * ohms) / (ohms + 1e4);
};

/** A converter of 12 bits with errors drawn within their half-widths; an INL for each transition. */
function board(
  seed: number,
  q: number,
  first: number,
  half: { offset: number; inl: number; gain: number; reference: number },
) {
  const random = seededRandom(seed);
  const within = (width: number): number => width * (2 * random.uniform() - 1);
  const [offset, scale] = [within(half.offset), (1 + within(half.gain)) * (1 + within(half.reference))];
  const transitions = Array.from(
    { length: 4095 },
    (_, i) => (i + first + offset + within(half.inl)) * q * scale,
  ).sort((a, b) => a - b);
  return (volts: number): number => {
    let [low, high] = [0, transitions.length];
    while (low < high) {
      const middle = (low + high) >> 1;
      if (transitions[middle]! <= volts) low = middle + 1;
      else high = middle;
    }
    return low;
  };
}

describe('the watchdog of a worksheet', () => {
  it('beehive: 400 converters within the tolerance all trip above 37 °C, none before the zone, bit by bit', () => {
    const { watchdog } = watchdogAt('beehive');
    const [low] = watchdog.thresholds;
    expect(watchdog.swapped).toBe(true);
    expect(low).toMatchObject({ register: 'low', code: 12848, hex: '0x3230' });
    const { startsAt, surelyAt } = low!;
    const half = { offset: 2, inl: 1.5, gain: 0.0012, reference: 0 };
    let [earliest, latest] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
    for (let seed = 1; seed <= 400; seed++) {
      const code = board(seed, 3 / 4096, 0.5, half);
      // 64 equal codes, shift 3, the lowest 4 bits dropped, compared with the upper 12 bits of the register.
      const trips = (celsius: number): boolean => {
        const [result] = accumulate({
          codes: new Array(64).fill(code(beehiveVolts(celsius))),
          ratio: 64,
          shift: 3,
          rounding: 'truncate',
          onOverflow: 'saturate',
        });
        return result! >> 4 < 12848 >> 4;
      };
      expect(trips(37.000001), `converter ${seed}`).toBe(true);
      let [quiet, alarm] = [36, 37.1];
      while (alarm - quiet > 1e-4) {
        const middle = (quiet + alarm) / 2;
        if (trips(middle)) alarm = middle;
        else quiet = middle;
      }
      earliest = Math.min(earliest, alarm);
      latest = Math.max(latest, alarm);
    }
    expect(earliest).toBeGreaterThan((startsAt.measurand as number) - 1e-4);
    expect(latest).toBeLessThan((surelyAt.measurand as number) + 1e-4);
    // The zone is no wider than it must be: draws reach most of it.
    const width = (surelyAt.measurand as number) - (startsAt.measurand as number);
    expect(latest - earliest).toBeGreaterThan(0.6 * width);
  });

  it('one code less than the beehive’s breaks the guarantee', () => {
    // The converter that reads highest: every transition lowest.
    const highest = (volts: number): number => Math.floor(volts / (3 / 4096) / (1 - 0.0012) + 3.5 + 0.5);
    const u = (celsius: number): number => ((64 * highest(beehiveVolts(celsius))) >> 3) >> 4;
    expect(u(37.000001)).toBeLessThan(12848 >> 4);
    expect(u(37.000001)).toBeGreaterThanOrEqual((12848 >> 4) - 1);
  });

  it('cellar: each conversion compared, reference tolerance counted, no swap', () => {
    const { watchdog } = watchdogAt('cellar');
    const [low] = watchdog.thresholds;
    expect(watchdog).toMatchObject({
      swapped: false,
      tolerance: { offsetLsb: 3, inlLsb: 2, gain: 0.002, reference: 0.008 },
    });
    // u(V just under 1.25 V) with every transition lowest, plus one.
    const highest = Math.ceil((1.25 * 4096) / (2.2 * 0.998 * 0.992) + 5) - 1;
    expect(low!.code).toBe(highest + 1);
    const lowest = (low!.code + 0 + 5) * (2.2 / 4096) * 1.002 * 1.008 * 3.2;
    expectNear(low!.startsAt.measurand as number, lowest, 1e-12);
    expectNear(
      low!.surelyAt.measurand as number,
      (low!.code - 5) * (2.2 / 4096) * 0.998 * 0.992 * 3.2,
      1e-12,
    );
    expect(low!.surelyAt.measurand).toBeGreaterThanOrEqual(4);
  });

  it('a limit in volts at the pin meets the reference’s spread, one in degrees of a ratiometric chain does not', () => {
    const spread = { 'converter.reference.voltage': '3.0 V ± 2 %' };
    expect(watchdogAt('beehive', spread).watchdog.tolerance.reference).toBe(0);
    const atPin = watchdogAt('beehive', { ...spread, 'watchdog.above': '1.2 V' }).watchdog;
    expectNear(atPin.tolerance.reference, 0.02, 1e-12);
    expect(atPin.swapped).toBe(false);
    expect(atPin.thresholds[0]!.register).toBe('high');
  });

  it('must not trip: the first converter trips at the limit or beyond', () => {
    const [low] = watchdogAt('beehive', { 'watchdog.intent': 'must-not-trip' }).watchdog.thresholds;
    expect(low!.startsAt.measurand).toBeGreaterThanOrEqual(37 - 1e-9);
    expect(low!.startsAt.measurand as number).toBeLessThan(37 + low!.step);
  });

  it('sensor, divider and leakage add what their spread comes to', () => {
    const [low] = watchdogAt('beehive').watchdog.thresholds;
    // A sensor at a corner of R25 and β, each 1 %, stands at 37 °C; the nominal curve makes this of its resistance. And 0.1 % of the
    // resistor, as a share of the thermistor's own resistance.
    const kelvin = 310.15;
    const corners = [0.99, 1.01].flatMap((r25) =>
      [0.99, 1.01].map((beta) => {
        const log = Math.log(r25) + 3435 * beta * (1 / kelvin - 1 / 298.15);
        return Math.abs(1 / (1 / 298.15 + log / 3435) - kelvin);
      }),
    );
    // 50 nA at 25 °C, doubled every 10 K to the 45 °C under the roof, through both resistances side by side, over the slope in V/K.
    const r = 10e3 * Math.exp(3435 * (1 / kelvin - 1 / 298.15));
    const slope = (3 * 10e3 * 3435 * r) / ((r + 10e3) * kelvin) ** 2;
    const leakage = (200e-9 * ((10e3 * r) / (10e3 + r))) / slope;
    expectNear(low!.sensorTolerance, Math.max(...corners) + (0.001 * kelvin ** 2) / 3435 + leakage, 1e-9);
  });

  it('says why no code serves, and keeps quiet where nothing is asked', () => {
    expect(watchdogOf(evaluated('workbench'))).toBeUndefined();
    expect(watchdogAt('beehive', { 'watchdog.compare.bits': '10' }).watchdog.refused).toMatch(
      /compare\.bits: got 10; allowed from 11; the largest compared value is 2047/,
    );
    expect(watchdogAt('cellar', { 'watchdog.below': '7.1 V' }).watchdog.refused).toMatch(/always trips$/);
    expect(
      watchdogAt('cellar', { 'watchdog.above': '7.1 V', 'watchdog.intent': 'must-not-trip' }).watchdog
        .refused,
    ).toMatch(/4096 > 4095 never trips$/);
    expect(watchdogAt('beehive', { 'watchdog.below': '0.5 V' }).watchdog.refused).toMatch(
      /in different units/,
    );
    expect(watchdogAt('beehive', { 'watchdog.above': '900 degC' }).watchdog.refused).toMatch(/200/);
  });

  it('a window in degrees on a falling curve: the upper limit is the low threshold', () => {
    const { watchdog } = watchdogAt('beehive', { 'watchdog.below': '30 degC' });
    expect(watchdog.thresholds.map((t) => [t.register, t.limit.side])).toEqual([
      ['high', 'below'],
      ['low', 'above'],
    ]);
  });
});

describe('the codes at every other setting', () => {
  it.each([
    ['beehive', {}],
    ['workbench', { 'watchdog.above': '60 degC', 'watchdog.below': '20 degC' }],
    ['cellar', {}],
  ])('%s: are what the worksheet gives when it stands there', (name, changes) => {
    const { e, watchdog } = watchdogAt(name, changes);
    const settings = watchdogSettingsOf(e, watchdog);
    expect(settings.filter((s) => s.chosen).length).toBe(1);
    expect(settings.filter((s) => s.refused)).toEqual([]);
    for (const s of settings.filter((_, i) => i % 3 === 0 || settings.length < 5)) {
      const there = watchdogAt(name, {
        ...changes,
        'sampling.bits': String(s.bits),
        ...(s.ratio !== 'any' && { 'averaging.ratio': String(s.ratio), 'averaging.shift': String(s.shift) }),
      }).watchdog;
      expect(
        there.thresholds.map((t) => t.hex),
        `${s.bits}/${s.ratio}/${s.shift}`,
      ).toEqual(s.thresholds.map((t) => t.hex));
    }
  });
});

describe('false trips of a worksheet', () => {
  it.each([
    ['beehive', {}],
    ['beehive', { 'averaging.ratio': '8', 'averaging.shift': '0' }],
    ['cellar', {}],
  ])('%s %j: driven with noise bit by bit, the share that trips is the one told', (name, changes) => {
    const { e, watchdog } = watchdogAt(name, changes);
    const threshold = watchdog.thresholds[0]!;
    const trips = falseTripsOf(e, watchdog, threshold);
    const { codeBinWidth: q, firstTransition } = e.quantizing;
    const { ratio, shift } = e.averaging;
    const { stage, drop, bits, registerBits } = watchdog.compare;
    const u = threshold.code >> (registerBits - bits);
    const random = seededRandom(11);
    const values = stage === 'result' ? ratio : 1;
    const runs = 20_000;
    for (const sigmas of [-1.5, 0, 1]) {
      // Quiet side of a low threshold: higher volts.
      const volts = threshold.tripsAt.volts + sigmas * trips.noiseLsb * q;
      let tripped = 0;
      for (let run = 0; run < runs; run++) {
        let sum = 0;
        for (let i = 0; i < values; i++) {
          sum += Math.floor(volts / q + 1 - firstTransition + e.noise.independentLsb * random.normal());
        }
        const x = stage === 'result' ? sum >> shift : sum;
        if (x >> drop < u) tripped++;
      }
      const told = trips.probability(sigmas * trips.noiseLsb);
      // Four standard deviations of the count, and for a mean of conversions the grain of their sum, a 1/R of an LSB.
      const grain = stage === 'result' ? 0.4 / ratio / trips.noiseLsb / 2 : 0;
      expect(Math.abs(tripped / runs - told)).toBeLessThan(
        4 * Math.sqrt((told * (1 - told)) / runs) + 0.1 * grain,
      );
    }
  });

  it('one a year at the margin; a count and the delay are those of the readings', () => {
    const { e, watchdog } = watchdogAt('beehive');
    const trips = falseTripsOf(e, watchdog, watchdog.thresholds[0]!);
    for (const row of trips.rows) {
      expectNear(trips.perYear(row.marginLsb as number, row.consecutive), 1, 1e-9);
      // A jump just after a reading: c readings a minute apart, and the burst of the last.
      expectNear(row.longestDelay, 60 * row.consecutive + e.averaging.burstTime, 1e-12);
    }
    expect(trips.rate).toBeCloseTo(1 / 60, 12);
    expect(trips.rows.find((r) => r.chosen)!.consecutive).toBe(2);
    expect(year).toBe(8760 * 3600);
  });

  it('cellar: sixteen conversions a reading, so three in a row come within one', () => {
    const { e, watchdog } = watchdogAt('cellar');
    const trips = falseTripsOf(e, watchdog, watchdog.thresholds[0]!);
    expect(trips.valuesPerReading).toBe(16);
    // 24 + 16 cycles at 1 MHz each.
    expect(trips.rows[2]!.longestDelay).toBeCloseTo(3600 + 3 * 40e-6, 9);
    const seventeen = falseTripsOf(
      ...(Object.values(watchdogAt('cellar', { 'watchdog.consecutive': '17' })) as [
        typeof e,
        typeof watchdog,
      ]),
      watchdog.thresholds[0]!,
    );
    expect(seventeen.rows.find((r) => r.chosen)!.longestDelay).toBeCloseTo(7200 + 40e-6, 9);
  });

  it('a hysteresis smaller than the zone makes the worst converter trip at the release point', () => {
    const { e, watchdog } = watchdogAt('beehive', { 'watchdog.hysteresis': '0.25 K' });
    const row = falseTripsOf(e, watchdog, watchdog.thresholds[0]!).rows.find((r) => r.chosen)!;
    // The first converter trips 0.343 K ahead of the limit: every second reading is an alarm of two.
    expectNear(row.atRestWorst!, year / 60 / 2, 1e-6);
    expect(row.atRest).toBeLessThan(1e-9);
  });
});

describe('the codes of a broken sensor', () => {
  it('beehive: a short gives 0, an open full scale, and 300 faulty boards stay beyond the limits', () => {
    const { ends } = faultCodesOf(evaluated('beehive', { 'converter.leakage': '2 uA' }));
    expect(ends.map((f) => [f.end, f.fault, f.code])).toEqual([
      ['low', 'short', 0],
      ['high', 'open', 32760],
    ]);
    const half = { offset: 2, inl: 1.5, gain: 0.0012, reference: 0 };
    const result = (code: number): number => (64 * code) >> 3;
    for (let seed = 1; seed <= 300; seed++) {
      const code = board(seed, 3 / 4096, 0.5, half);
      // 2 µA through the 10 kΩ that still drives an open pin.
      const [short, open] = [result(code(0)), result(code(3 - 2e-6 * 1e4))];
      expect(short).toBeLessThanOrEqual(ends[0]!.worstCode);
      expect(open).toBeGreaterThanOrEqual(ends[1]!.worstCode);
      const readings = [20, 40].map((t) => result(code(beehiveVolts(t))));
      expect(readings[1]).toBeGreaterThanOrEqual(ends[0]!.rangeCode - 4);
      expect(readings[0]).toBeLessThanOrEqual(ends[1]!.rangeCode + 4);
    }
    for (const f of ends) {
      const sign = f.end === 'low' ? 1 : -1;
      expect(sign * (f.limitCode - f.worstCode)).toBeGreaterThan(0);
      expect(f.margin).toBe(sign * (f.rangeCode - f.limitCode));
      expect(f.consecutive).toBe(1);
    }
    // 2 % of 4096 codes, in result codes of an eighth.
    expect(ends[0]!.limitCode).toBe(655);
  });

  it('a divider on the high side turns open and short round; a battery’s divider has its own faults', () => {
    const high = faultCodesOf(evaluated('beehive', { 'conditioning.divider.side': 'high' })).ends;
    expect(high.map((f) => f.fault)).toEqual(['open', 'short']);
    expect(faultCodesOf(evaluated('cellar')).ends.map((f) => f.fault)).toEqual([
      'upper resistor open',
      'lower resistor open',
    ]);
  });
});

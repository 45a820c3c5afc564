import { describe, expect, it } from 'vitest';
import { channel } from '../../src/chain/reading/channel.ts';
import { thermistor } from '../../src/chain/source/thermistor.ts';
import { boardOf } from '../../src/worksheet/boardOf.ts';
import { boardTemperatures, leakageCurrent, temperatureSpan } from '../../src/worksheet/conditionsOf.ts';
import { evaluate } from '../../src/worksheet/evaluate.ts';
import { readWorksheet } from '../../src/worksheet/read.ts';
import { profiles, worksheetTexts } from './demos.ts';

// biome-ignore lint/suspicious/noExplicitAny: a document to take apart at will
type Document = any;

const of = (name: string, change: (d: Document) => void = () => {}) => {
  const document = JSON.parse(worksheetTexts[name]!) as Document;
  change(document);
  return evaluate({ worksheet: readWorksheet({ text: JSON.stringify(document), profiles }) });
};

/** The board of an evaluation, asked by the names of its influences. */
function asked(e: ReturnType<typeof of>) {
  const board = boardOf(e);
  const at = (measurand: number, deviations: Record<string, number> = {}): number => {
    const d = new Float64Array(board.influences.length);
    for (const [name, value] of Object.entries(deviations)) {
      const i = board.influences.findIndex((x) => x.name === name);
      expect(i, name).toBeGreaterThanOrEqual(0);
      d[i] = value;
    }
    return board.at(measurand)(d);
  };
  return { board, at, names: board.influences.map((i) => i.name) };
}

const die = (d: Document): void => {
  d.requirement.range = { low: '0 degC', high: '60 degC' };
  d.sensor = {
    kind: 'die',
    low: { temperature: { value: '30 degC', from: 'datasheet', spread: '1 K' }, code: 1035 },
    high: { temperature: '110 degC', code: 1380 },
    bits: 12,
    reference: '3.0 V',
    outputResistance: '10 kohm',
  };
  d.conditioning = { wiring: 'absolute' };
  d.converter.reference = {
    source: 'external',
    voltage: { value: '3.0 V', from: 'datasheet', spread: '0.1 %' },
  };
  delete d.calibration;
  delete d.watchdog;
};
const linear = (d: Document): void => {
  die(d);
  d.sensor = {
    kind: 'linear',
    voltsPerDegree: { value: '10 mV/K', from: 'datasheet', spread: '0.1 mV/K' },
    voltsAtZero: { value: '0.5 V', from: 'datasheet', spread: '10 mV' },
    outputResistance: '1 kohm',
  };
  d.conditioning.amplifier = {
    gain: 2,
    zero: { value: '0.2 V', from: 'datasheet', spread: '2 mV' },
    outputResistance: '100 ohm',
    gainError: '0.5 %',
  };
};

describe('a board with nothing off', () => {
  it.each([
    ['beehive', undefined],
    ['cellar', undefined],
    ['workbench', undefined],
    ['beehive', die],
    ['beehive', linear],
  ] as const)('reads what is there: %s %#', (name, change) => {
    const e = of(name, change);
    const { at } = asked(e);
    const { low, high } = e.channel.range;
    // The inverse of the chain is exact to rounding.
    for (let i = 0; i <= 10; i++) {
      const m = low + ((high - low) * i) / 10;
      expect(Math.abs(at(m) - m)).toBeLessThan(1e-9);
    }
  });
});

describe('a board with one thing off', () => {
  it('beehive: the thermistor, the divider and the converter, each by a chain made with that value', () => {
    const e = of('beehive');
    const { at, names } = asked(e);
    expect(names).toEqual([
      'thermistor resistance at 25 °C',
      'beta',
      'divider resistor',
      'gain error',
      'gain drift',
      'offset error',
      'INL',
      'offset drift',
      'settling',
      'leakage',
      'noise and quantization',
      'self-heating',
    ]);
    const nominal = { reference: 3, bits: 12, firstTransition: 0.5 } as const;
    const made = (r25: number, beta: number, resistor: number) =>
      channel({ sensor: thermistor({ r25, beta }), divider: { resistor, side: 'low' }, ...nominal });
    const read = made(10e3, 3435, 10e3);
    for (const m of [20, 27, 40]) {
      expect(at(m, { 'thermistor resistance at 25 °C': 1 })).toBeCloseTo(
        read.measurandOf(made(10.1e3, 3435, 10e3).codeOf(m)),
        9,
      );
      expect(at(m, { beta: -1 })).toBeCloseTo(read.measurandOf(made(10e3, 3435 * 0.99, 10e3).codeOf(m)), 9);
      expect(at(m, { 'divider resistor': 1 })).toBeCloseTo(
        read.measurandOf(made(10e3, 3435, 10010).codeOf(m)),
        9,
      );
      const code = read.codeOf(m);
      expect(at(m, { 'offset error': 1 })).toBeCloseTo(read.measurandOf(code + 2), 9);
      expect(at(m, { 'gain error': 1 })).toBeCloseTo(read.measurandOf(code * 1.0012), 9);
      expect(at(m, { INL: -1 })).toBeCloseTo(read.measurandOf(code - 1.5), 9);
      const r = (rs: number) => (rs * 10e3) / (rs + 10e3);
      expect(at(m, { 'gain drift': 1 })).toBeCloseTo(read.measurandOf(code * (1 + 6e-6 * 35)), 9);
      expect(at(m, { 'offset drift': 1 })).toBeCloseTo(read.measurandOf(code + 0.012 * 35), 9);
      // Four times as much at 45 °C.
      const leak = (200e-9 * r(thermistor({ r25: 10e3, beta: 3435 }).toElectrical(m)) * 4096) / 3;
      expect(at(m, { leakage: 1 })).toBeCloseTo(read.measurandOf(code + leak), 9);
    }
  });

  it('self-heating counts for the part of the time that the divider is on', () => {
    const e = of('beehive');
    const always = of('beehive', (d) => {
      d.conditioning.excitation = { switched: false };
    });
    // 3 V over 10 kΩ and the thermistor: I²·R over 1.5 mW/K, on for burst and settling once a minute.
    const ohms = 10e3 * Math.exp(3435 * (1 / 313.15 - 1 / 298.15));
    const rise = ((3 / (10e3 + ohms)) ** 2 * ohms) / 1.5e-3;
    expect(asked(always).at(40, { 'self-heating': 1 }) - 40).toBeCloseTo(rise, 9);
    const part = (e.averaging.burstTime + 20e-6) / 60;
    expect((asked(e).at(40, { 'self-heating': 1 }) - 40) / (rise * part)).toBeCloseTo(1, 6);
  });

  it('cellar: both resistors and the internal reference, in closed form', () => {
    const { at, names } = asked(of('cellar'));
    expect(names).toContain('internal reference');
    const still = of('cellar', (d) => {
      delete d.conditions;
    });
    expect(asked(still).names).not.toContain('temperature of the reference');
    const ratio = (top: number, bottom: number) => bottom / (top + bottom);
    for (const m of [3.6, 6.4]) {
      expect(at(m, { 'upper resistor': 1 })).toBeCloseTo((m * ratio(2.222e6, 1e6)) / ratio(2.2e6, 1e6), 9);
      expect(at(m, { 'lower resistor': -1 })).toBeCloseTo((m * ratio(2.2e6, 0.99e6)) / ratio(2.2e6, 1e6), 9);
      // A reference that is higher than thought makes the reading low.
      expect(at(m, { 'internal reference': 1 })).toBeCloseTo(m / 1.008, 9);
    }
  });

  it('workbench: class of the sensor, wires, and errors at 14 bits counted at 12', () => {
    const { at, names, board } = asked(of('workbench'));
    expect(at(95, { 'sensor class': 1 }) - 95).toBeCloseTo(0.15 + 0.002 * 95, 9);
    const offset = board.influences[names.indexOf('offset error')]!;
    expect(offset.size(50)).toBe(5 / 4);
    // 0.1 Ω of wire among 1000·(1 + A·t + B·t²) Ω, by the equation's own slope.
    const slope = 1000 * (3.9083e-3 - 2 * 5.775e-7 * 50);
    expect(at(50, { 'lead resistance': 1 }) - 50).toBeCloseTo(0.1 / slope, 4);
    expect(board.uncounted).toEqual([]);
  });

  it('a linear sensor behind an amplifier, and the sensor on the chip', () => {
    const l = asked(of('beehive', linear));
    // V = (0.5 + 0.01·m − 0.2)·2 against 3 V.
    const volts = (m: number) => (0.5 + 0.01 * m - 0.2) * 2;
    const read = (v: number) => (v / 2 + 0.2 - 0.5) / 0.01;
    expect(l.at(50, { slope: 1 })).toBeCloseTo(read(volts(50) + 2 * 0.1e-3 * 50), 9);
    expect(l.at(50, { 'voltage at 0 °C': 1 })).toBeCloseTo(51, 9);
    expect(l.at(50, { 'amplifier zero': 1 })).toBeCloseTo(50 - 0.2, 9);
    expect(l.at(50, { 'amplifier gain error': 1 })).toBeCloseTo(read(volts(50) * 1.005), 9);
    expect(l.at(50, { reference: -1 })).toBeCloseTo(read(volts(50) / 0.999), 9);
    const d = asked(of('beehive', die));
    // 1 K of the factory’s, and half a code at 345 codes for 80 K.
    expect(d.at(50, { 'factory points': 1 }) - 50).toBeCloseTo(1 + (0.5 * 80) / 345, 9);
  });
});

describe('conditions', () => {
  const warm = (d: Document): void => {
    d.conditions = { coldest: '-5 degC', warmest: '45 degC' };
  };

  it('double leakage every 10 K, and move an internal reference by its coefficient', () => {
    const e = of('cellar', warm);
    expect(boardTemperatures(e.worksheet)).toEqual({ coldest: -5, warmest: 45 });
    expect(temperatureSpan(e.worksheet)).toBe(30);
    expect(leakageCurrent(e.worksheet)).toBeCloseTo(4 * 80e-9, 18);
    const { at } = asked(e);
    expect(at(5, { 'temperature of the reference': 1 })).toBeCloseTo(5 / (1 + 80e-6 * 30), 9);
    expect(leakageCurrent(of('cellar').worksheet)).toBe(80e-9);
  });

  it('are refused where the warmest is below the coldest; a calibration point where the sensor has none', () => {
    expect(() =>
      of('beehive', (d) => {
        d.conditions = { coldest: '30 degC', warmest: '20 degC' };
      }),
    ).toThrow(/conditions.warmest.*20 degC is below the coldest, 30 degC/);
    expect(() =>
      of('beehive', (d) => {
        d.calibration.points[0].at = '300 degC';
      }),
    ).toThrow(/calibration.points.0.at/);
  });
});

describe('a missing spread', () => {
  it('is told, and counts as exact', () => {
    const e = of('beehive', (d) => {
      delete d.sensor.r25.spread;
      delete d.conditioning.divider.resistor.spread;
    });
    expect(e.uncertainty.uncounted.map((u) => u.path)).toEqual([
      'sensor.r25',
      'conditioning.divider.resistor',
    ]);
    expect(asked(e).names).not.toContain('divider resistor');
  });
});

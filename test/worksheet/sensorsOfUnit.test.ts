import { describe, expect, it } from 'vitest';
import { boardOf } from '../../src/worksheet/boardOf.ts';
import type { Evaluation } from '../../src/worksheet/evaluate.ts';
import { faultCodesOf } from '../../src/worksheet/faultCodesOf.ts';
import { formsOf } from '../../src/worksheet/formsOf.ts';
import { lineReader, wantedForm } from '../../src/worksheet/formText.ts';
import { drawsOf, phasesOf } from '../../src/worksheet/phasesOf.ts';
import { WorksheetError } from '../../src/worksheet/problem.ts';
import { switchingOf } from '../../src/worksheet/switchingOf.ts';
import { watchdogOf } from '../../src/worksheet/watchdogOf.ts';
import { publishedRows } from '../chain/source/published.ts';
import { expectNear } from '../close.ts';
import { evaluationOf } from '../firmware/worksheets.ts';
import { type ChannelName, channelNames, channels } from './measurands.ts';

// biome-ignore lint/suspicious/noExplicitAny: a document to take apart at will
type Document = any;

const of = (name: ChannelName, change: (d: Document) => void = () => {}): Evaluation =>
  evaluationOf('beehive', (d) => {
    channels[name].change(d);
    change(d);
  });

/** What the board reads with one influence at its limit. */
function off(e: Evaluation, measurand: number, name: string): number {
  const board = boardOf(e);
  const i = board.influences.findIndex((x) => x.name === name);
  expect(i, `${name} among ${board.influences.map((x) => x.name).join(', ')}`).toBeGreaterThanOrEqual(0);
  return board.at(measurand)(Float64Array.from(board.influences, (_, k) => (k === i ? 1 : 0)));
}

describe('channels by hand', () => {
  it('current loop: 4…20 mA into 100 Ω and 150 Ω', () => {
    // Ohm's law: 0.4 V … 2 V and 0.6 V … 3 V of 3 V.
    const e = of('current loop');
    expect(e.units).toEqual({ measurand: '{bar}', difference: '{bar}' });
    for (const [bar, volts] of [
      [0, 0.4],
      [2.5, 0.8],
      [10, 2],
    ] as const) {
      expectNear(e.channel.fraction(bar), volts / 3, 1e-12);
    }
    expect(e.channel.sourceResistance(3)).toBe(1100);
    expect(e.channel.largestExcitationCurrent).toBe(0);
    const larger = of('current loop', (d) => {
      d.sensor.resistance = '150 ohm';
    });
    expectNear(larger.channel.fraction(5), 1.8 / 3, 1e-12);
    const dead = of('current loop', (d) => {
      Object.assign(d.sensor, { currentAtLow: '0 mA', currentAtHigh: '20 mA' });
    });
    expectNear(dead.channel.fraction(5), 1 / 3, 1e-12);
  });

  it('bridge: 2 mV/V behind an amplifier, fed from the reference and absolutely', () => {
    const e = of('bridge');
    // 40 kg of 50: 1.6 mV/V of 3 V is 4.8 mV, 5.3 mV above the amplifier's zero, times 400.
    expectNear(e.channel.fraction(40), (0.0053 * 400) / 3, 1e-12);
    expectNear(e.channel.excitationCurrent(7), 3 / 350, 1e-12);
    expect(e.channel.sourceResistance(7)).toBe(100);
    const absolute = of('bridge', (d) => {
      d.conditioning.wiring = 'absolute';
      d.conditioning.excitation.voltage = { value: '2.5 V', from: 'datasheet', spread: '1 %' };
    });
    expectNear(absolute.channel.fraction(40), ((0.004 + 0.0005) * 400) / 3, 1e-12);
    expectNear(absolute.channel.excitationCurrent(7), 2.5 / 350, 1e-12);
    // The bridge's part of the voltage follows its excitation.
    expectNear(off(absolute, 40, 'excitation voltage'), 40.4, 1e-9);
  });

  it('thermocouple: type K with its cold junction, by the published table', () => {
    const e = of('thermocouple');
    // [SRD60]: E(t), mV at each 10 °C. E(25) is between those of 20 and 30: 1.0005 ± 0.001 by the chord and its bend.
    const table = publishedRows('thermocouple-emf.csv').filter(([type]) => type === 'K');
    const emf = (t: number) => Number(table.find(([, at]) => Number(at) === t)![2]);
    const cold = (emf(20) + emf(30)) / 2;
    for (const t of [0, 100, 500, 1000]) {
      const pin = (emf(t) - cold + 2) * 1e-3 * 50;
      expectNear(e.channel.fraction(t) * 3, pin, 0, String(t), 50 * 1.5e-6);
    }
    // A cold junction 1 K warmer takes away what 1 K is worth there; worth of 1 K at 1000 °C by the table's differences.
    const [there, here] = [(emf(30) - emf(20)) / 10, (emf(1010) - emf(990)) / 20];
    expectNear(off(e, 1000, 'cold junction'), 1000 - there / here, 0, '', 0.005);
    // The larger of 1.5 K and 0.4 % of 1000 °C.
    expectNear(off(e, 1000, 'tolerance of the thermocouple'), 1004, 1e-12);
    expectNear(off(e, 100, 'tolerance of the thermocouple'), 101.5, 1e-12);
  });

  it('shunt with an amplifier', () => {
    const e = of('shunt');
    expect(e.units).toEqual({ measurand: 'A', difference: 'A' });
    // 0.8 A through 0.1 Ω is 80 mV, times 25.
    expectNear(e.channel.fraction(0.8), 2 / 3, 1e-12);
    const bare = of('shunt', (d) => {
      delete d.conditioning.amplifier;
    });
    expect(bare.channel.sourceResistance(0.5)).toBe(0.1);
    expect(bare.findings.map((f) => f.text).join()).toMatch(/spans 137 of 4096 codes: an amplifier/);
    expect(e.findings.map((f) => f.text).join()).toMatch(/takes 100\u202fmV .* up to 100\u202fmW into heat/);
  });

  it('potentiometer: the source resistance is the track’s two parts side by side', () => {
    const { channel } = of('potentiometer');
    for (const angle of [10, 90, 135, 260]) {
      const below = (10_000 * angle) / 270;
      const above = 10_000 - below;
      expectNear(channel.fraction(angle), below / (below + above), 1e-12);
      expectNear(channel.sourceResistance(angle), 1 / (1 / below + 1 / above), 1e-9);
      expectNear(channel.excitationCurrent(angle), 3 / 10_000, 1e-12);
    }
  });

  it('table: the points themselves, and the cubic between them', () => {
    const volts = of('table of volts');
    expectNear(volts.sensor.toElectrical(50), 1, 1e-12);
    // By hand: secants 0.01 and 0.02 V a unit, equal widths. Slope inside 2/(1/0.01 + 1/0.02) = 1/75 V, at the end
    // (3·0.02 − 0.01)/2 = 0.025 V; half way the mean of the ends and an eighth of the width times the slopes' difference.
    expectNear(volts.sensor.toElectrical(75), 1.5 + (50 / 8) * (1 / 75 - 0.025), 1e-12);
    const ohms = of('table of ohms');
    // The points stand one decade of lx apart.
    for (const [lx, r] of [
      [10, 20_000],
      [100, 4000],
    ] as const) {
      expectNear(ohms.channel.fraction(lx), r / (r + 10_000), 1e-12);
    }
    const asTemperature = of('table of volts', (d) => {
      d.sensor.unit = 'degC';
      for (const p of d.sensor.points) p.at = p.at.replace('%RH', 'degC');
      d.requirement.range = { low: '283.15 K', high: '90 degC' };
      d.requirement.resolution = '100 mK';
      d.requirement.uncertainty = '4 K';
      d.watchdog.above = '80 °C';
    });
    expect(asTemperature.units).toEqual({ measurand: 'degC', difference: 'K' });
    expect(asTemperature.channel.range.low).toBeCloseTo(10, 9);
  });
});

describe('the budget’s lines by hand, each with its input at its limit', () => {
  it('current loop', () => {
    const e = of('current loop');
    // 20 mA read as 20.02 mA, 16 mA being 10 bar; and at the low end 4 mA as 4.004 mA.
    expectNear(off(e, 10, 'loop resistor'), 10 + (0.02 / 16) * 10, 1e-9);
    expectNear(off(e, 0, 'loop resistor'), (0.004 / 16) * 10, 1e-9);
    expectNear(off(e, 10, 'transmitter tolerance'), 10.05, 1e-9);
    const [worst] = e.uncertainty.before.lines;
    expect(worst!.name).toBe('transmitter tolerance');
    expectNear(worst!.uncertainty, 0.05 / Math.sqrt(3), 1e-6);
  });

  it('bridge and its amplifier', () => {
    const e = of('bridge');
    expectNear(off(e, 50, 'bridge sensitivity'), 50.05, 1e-9);
    expectNear(off(e, 50, 'bridge zero'), 50 + (0.02 / 2) * 50, 1e-9);
    expectNear(off(e, 50, 'bridge tolerance'), 50.02, 1e-9);
    // 6 mV are 50 kg: 6.5 mV above the zero read 0.2 % high, and a zero that lies 0.01 mV higher.
    expectNear(off(e, 50, 'amplifier gain error'), 50 + ((6.5 * 0.002) / 6) * 50, 1e-9);
    expectNear(off(e, 50, 'amplifier zero'), 50 - (0.01 / 6) * 50, 1e-9);
  });

  it('a bridge’s sensitivity multiplies what the load adds to its zero, not the zero', () => {
    const e = of('bridge', (d) => {
      d.sensor.zero = '0.5 mV/V';
    });
    expectNear(off(e, 50, 'bridge sensitivity'), 50.05, 1e-9);
  });

  it('shunt, potentiometer, table', () => {
    const shunt = of('shunt');
    expectNear(off(shunt, 0.8, 'shunt resistance'), 0.808, 1e-9);
    expectNear(off(shunt, 0.8, 'amplifier zero'), 0.799, 1e-9);
    expectNear(off(of('potentiometer'), 100, 'linearity'), 102.7, 1e-9);
    expectNear(off(of('table of ohms'), 100, 'tolerance of the table'), 105, 1e-9);
  });

  it('at the ends of the sensor errors are counted both ways', () => {
    for (const [name, end] of [
      ['current loop', 10],
      ['bridge', 50],
      ['shunt', 1],
    ] as const) {
      const e = of(name);
      const line = e.uncertainty.before.lines.find((l) => l.name === 'gain error')!;
      // Gain error of 0.12 % moves the code at the end by that share of it.
      expect(e.uncertainty.before.measurand).toBe(end);
      expectNear(line.limit, 0.0012 * e.channel.fraction(end) * 4096 * e.channel.perCode(end), 1e-3, name);
    }
  });

  it('what no spread is given for is told', () => {
    const e = of('thermocouple', (d) => {
      d.sensor.coldJunction = '25 degC';
    });
    expect(e.uncertainty.uncounted.map((u) => u.label)).toContain('cold junction');
    expect(e.findings.map((f) => f.text).join()).toMatch(/cold junction at 25\u202f°C; each kelvin/);
  });

  it('an error that the worksheet leaves out is told as well, and one that it states is not', () => {
    const leftOut = (name: ChannelName, change: (d: Document) => void): string[] =>
      of(name, change).uncertainty.uncounted.map((u) => u.label);
    const bare = (d: Document) => {
      for (const key of ['tolerance', 'relativeTolerance', 'zero', 'linearity']) delete d.sensor[key];
      delete d.conditioning.amplifier?.gainError;
    };
    expect(leftOut('thermocouple', bare)).toEqual(expect.arrayContaining(['thermocouple', 'amplifier gain']));
    expect(leftOut('current loop', bare)).toContain('transmitter');
    expect(leftOut('potentiometer', bare)).toContain('linearity of the potentiometer');
    expect(leftOut('bridge', bare)).toEqual(
      expect.arrayContaining(['bridge zero', 'linearity of the bridge', 'amplifier gain']),
    );
    const stated = leftOut('bridge', (d) => {
      Object.assign(d.sensor, {
        zero: { value: '0 mV/V', spread: '0.01 mV/V', from: 'datasheet' },
        tolerance: '0.02 kg',
      });
      d.conditioning.amplifier.gainError = '0.1 %';
    });
    for (const label of ['bridge zero', 'linearity of the bridge', 'amplifier gain'])
      expect(stated).not.toContain(label);
    // A buffer has hardly any.
    const buffer = leftOut('bridge', (d) => {
      bare(d);
      d.conditioning.amplifier.gain = 1;
    });
    expect(buffer).not.toContain('amplifier gain');
  });
});

describe('what follows from them', () => {
  it.each(channelNames)('%s: code to measurand and back, every code of the range', (name) => {
    const e = of(name);
    const { code, measurand, current, resistance } = formsOf(e);
    const ends = [e.channel.range.low, e.channel.range.high].map((m) => e.reading.codeAt(m));
    let strayed = 0;
    for (let c = Math.min(...ends); c <= Math.max(...ends); c++) {
      for (const form of [measurand, current, resistance]) {
        if (form && code.valueOf(form.meanOf(form.valueOf(code.meanOf(c)))) !== c) strayed++;
      }
    }
    expect(strayed).toBe(0);
    expect(e.channel.unit).toBe(e.units.difference);
  });

  it('the current in a loop is a way to say where it stands, beyond its ends too', () => {
    const forms = formsOf(of('current loop'));
    const read = lineReader(forms, false);
    const code = (text: string) => {
      const { form, value } = read(text);
      return forms.code.valueOf(form.meanOf(value));
    };
    // 64 conversions shifted by 3: C stands for (8C + 3.5)/64 codes of 3/4096 V; 12 mA is 1.2 V, 3.6 mA is 0.36 V.
    const byHand = (volts: number) => Math.round((((volts * 4096) / 3) * 64 - 3.5) / 8);
    for (const text of ['12 mA', '5 bar', '5bar', '1.2 V', '0.012 A'])
      expect(code(text), text).toBe(byHand(1.2));
    expect(code('3.6 mA')).toBe(byHand(0.36));
    expect(() => code('5 kPa')).toThrow('"5 kPa" is not in bar; write it in bar');
    expect(wantedForm(forms, 'bar', false).unit).toBe('bar');
    expect(() => wantedForm(forms, 'kg', false)).toThrow('allowed code, bar, V, A, with a prefix');
  });

  it('watchdog limits in the measurand’s own unit, in V at the pin', () => {
    const volts = (name: ChannelName) => watchdogOf(of(name))!.limits.map((l) => l.volts);
    expectNear(volts('current loop')[0]!, 1.36, 1e-9);
    expectNear(volts('bridge')[0]!, 0.0053 * 400, 1e-9);
    expectNear(volts('bridge')[1]!, (0.00012 + 0.0005) * 400, 1e-9);
    expectNear(volts('shunt')[0]!, 2, 1e-9);
    expectNear(volts('potentiometer')[0]!, (3 * 200) / 270, 1e-9);
    const atPin = of('current loop', (d) => {
      d.watchdog = { below: '0.36 V', intent: 'must-trip' };
    });
    expect(watchdogOf(atPin)!.limits[0]!.form.is).toBe('pin');
  });

  it('beside the zone of a watchdog stands what sensor and amplifier add', () => {
    const [above] = watchdogOf(of('bridge'))!.thresholds;
    // kg at 40 kg: 0.1 % of it, zero and rest of the bridge; 0.2 % of 5.3 mV and 0.01 mV of the amplifier, 6 mV being 50 kg;
    // 50 nA through 100 ohm behind a gain of 400.
    const bridge = 0.04 + 0.5 + 0.02;
    const amplifier = ((5.3 * 0.002 + 0.01) / 6) * 50;
    const leakage = ((50e-9 * 100) / 400 / 0.006) * 50;
    expectNear(above!.sensorTolerance, bridge + amplifier + leakage, 1e-9);
  });

  it('an ohm in the supply of a bridge lowers its part of the voltage, not what the amplifier adds', () => {
    // At 50 kg by one part in 350; what the amplifier's zero adds stays.
    expectNear(switchingOf(of('bridge')).switching!.perOhm, 50 / 350, 1e-9);
  });

  it('every converter within its tolerance trips beyond the limit of a loop, and no code more cautious does', () => {
    const e = of('current loop');
    const { thresholds } = watchdogOf(e)!;
    expect(thresholds).toHaveLength(1);
    const { surelyAt, startsAt } = thresholds[0]!;
    expect(surelyAt.measurand as number).toBeLessThanOrEqual(6);
    expect(startsAt.measurand as number).toBeLessThan(surelyAt.measurand as number);
    // What is compared steps by 16 result codes: one threshold more would let 6 bar pass.
    expect((surelyAt.measurand as number) + thresholds[0]!.step).toBeGreaterThan(6);
  });

  it('a broken loop, a track that opens, a shunt that opens', () => {
    const faults = (name: ChannelName) =>
      faultCodesOf(of(name)).ends.map((f) => [f.fault, f.end, f.margin > 0]);
    expect(faults('current loop')).toEqual([
      ['loop broken', 'low', true],
      ['transmitter shorted', 'high', true],
    ]);
    expect(faults('potentiometer')).toEqual([
      ['upper end open', 'low', true],
      ['lower end open', 'high', true],
    ]);
    expect(faults('shunt')).toEqual([['shunt open', 'high', true]]);
    expect(faults('bridge')).toEqual([]);
    expect(faults('thermocouple')).toEqual([]);
    expect(faults('table of ohms')).toHaveLength(2);
    // The limit of a broken loop stands between 0 mA and 4 mA.
    const [broken] = faultCodesOf(of('current loop')).ends;
    expect(broken!.limit.volts).toBeGreaterThan(0);
    expect(broken!.limit.volts).toBeLessThan(0.4);
  });

  it('what bridge and potentiometer draw is in the charge, what loop and shunt carry is not', () => {
    const drawn = (name: ChannelName) => {
      const e = of(name, (d) => {
        if (d.conditioning.excitation) d.conditioning.excitation = { switched: false };
      });
      return drawsOf(e.worksheet, e.channel)
        .slice(1)
        .map((d) => [d.name, d.current]);
    };
    expect(drawn('bridge')).toEqual([['bridge, always on', 3 / 350]]);
    expect(drawn('potentiometer')).toEqual([['potentiometer, always on', 3 / 10_000]]);
    expect(drawn('current loop')).toEqual([]);
    expect(drawn('shunt')).toEqual([]);
    const e = of('bridge');
    const burst = { time: 1, charge: 0 } as Parameters<typeof phasesOf>[2];
    expect(phasesOf(e.worksheet, e.channel, burst).map((p) => p.name)).toContain('bridge and pin settle');
  });
});

describe('refusals', () => {
  const refused = (name: ChannelName, change: (d: Document) => void): readonly string[] => {
    try {
      of(name, change);
    } catch (error) {
      if (error instanceof WorksheetError) return error.problems.map((p) => p.message);
      throw error;
    }
    return [];
  };

  it.each<[string, ChannelName, (d: Document) => void, string[]]>([
    [
      'another unit than the sensor’s',
      'current loop',
      (d) => {
        d.requirement.resolution = '1 kPa';
        d.watchdog.above = '6';
      },
      [
        'requirement.resolution: "1 kPa" is not in bar; write it in bar',
        'watchdog.above: "6" has no unit; write 6 bar',
      ],
    ],
    [
      'no unit: nothing is said of what is in it',
      'table of volts',
      (d) => {
        d.sensor.unit = '*/';
      },
      [
        'sensor.unit: "*/" will not do; allowed a unit of up to 12 characters that starts with a letter, %, ° or ‰, as bar, %RH, mg/m3',
      ],
    ],
    [
      'a bridge without an amplifier',
      'bridge',
      (d) => {
        delete d.conditioning.amplifier;
      },
      [
        'conditioning: missing is "amplifier": a bridge gives the difference of two voltages, millivolts of it, and the pin takes one',
      ],
    ],
    [
      'what makes its own voltage called ratiometric',
      'thermocouple',
      (d) => {
        d.conditioning.wiring = 'ratiometric';
      },
      ['conditioning.wiring: a thermocouple makes its own voltage; write "absolute"'],
    ],
    [
      'a loop called ratiometric, its ends the wrong way round',
      'current loop',
      (d) => {
        d.conditioning.wiring = 'ratiometric';
        d.sensor.high = '0 bar';
      },
      [
        'conditioning.wiring: the current of a loop does not follow the reference; write "absolute"',
        'sensor.high: 0 bar is not above the low end, 0 bar',
      ],
    ],
    [
      'an absolute potentiometer without its excitation, with a divider',
      'potentiometer',
      (d) => {
        d.conditioning = { wiring: 'absolute', divider: { resistor: '1 kohm', side: 'low' } };
      },
      [
        'conditioning: missing is "excitation" with a "voltage": the wiring is absolute',
        'conditioning.divider: a potentiometer gives a part of its excitation; take the divider out',
      ],
    ],
    [
      'a range beyond the sensor',
      'bridge',
      (d) => {
        d.requirement.range.high = '60 kg';
      },
      ['requirement.range.high: 60 kg is outside of what the sensor can be asked; allowed -50 kg … 50 kg'],
    ],
    [
      'a table of ohms and volts, and one that turns',
      'table of volts',
      (d) => {
        d.sensor.points[1].gives = '1 kohm';
      },
      ['sensor.points.1.gives: 1 kohm stands in a table in V; give all points in the same unit'],
    ],
    [
      'a table of resistances without a divider',
      'table of ohms',
      (d) => {
        delete d.conditioning.divider;
      },
      ['conditioning: missing is "divider": a table is a resistance'],
    ],
  ])('%s', (_, name, change, messages) => {
    expect([...refused(name, change)].sort()).toEqual(messages.sort());
  });

  it('a table that turns, by the reason of the function that makes it', () => {
    const [message] = refused('table of volts', (d) => {
      d.sensor.points[1].gives = '3 V';
    });
    expect(message).toMatch(/^sensor: no sensor: points: .*always rising or always falling/);
  });
});

import { describe, expect, it } from 'vitest';
import { burstError } from '../../src/chain/sampling/burst.ts';
import { settle } from '../../src/chain/sampling/settle.ts';
import type { Evaluation } from '../../src/worksheet/evaluate.ts';
import { pinOf } from '../../src/worksheet/pinOf.ts';
import { sampleChangesOf } from '../../src/worksheet/sampleChangesOf.ts';
import { sampleTimesOf, settlingErrors } from '../../src/worksheet/sampleTimesOf.ts';
import { networkAt } from '../../src/worksheet/samplingOf.ts';
import { scanOf } from '../../src/worksheet/scanOf.ts';
import { Circuit } from '../chain/sampling/circuit.ts';
import { expectNear, expectPrinted } from '../close.ts';
import { sessionOn } from '../page/demo.ts';

const evaluated = (name: string, changes: Record<string, string> = {}): Evaluation => {
  const session = sessionOn(name);
  expect(session.write(changes)).toBeUndefined();
  return session.evaluation;
};

/** A source far too high for its sample time, with a capacitor that keeps its charge. */
const slow = { 'sensor.r25': '1 Mohm', 'conditioning.divider.resistor': '1 Mohm' };

describe('the sample times of a worksheet', () => {
  it('cellar: the mean of 16 is that of the circuit stepped through time', () => {
    // 2.2 MΩ and 1 MΩ at 6.4 V; pin 8 pF, switch 3.2 kΩ, capacitor 9 pF put to 0 V; 24 of 40 µs; 2.2 V over 12 bits.
    const pin = { voltage: 2, sourceResistance: 687.5e3, pinCapacitance: 8e-12 };
    const circuit = new Circuit([pin], 3.2e3, 9e-12, 6000);
    const errors: number[] = [];
    for (let n = 0; n < 16; n++) {
      circuit.held = 0;
      circuit.pass(24e-6, 0);
      errors.push(((circuit.held - 2) * 4096) / 2.2);
      circuit.pass(16e-6);
    }
    const { worth } = sampleTimesOf(evaluated('cellar')).chosen;
    // Runge–Kutta at a third of the fastest time constant.
    expectNear(worth!.errors.first, errors[0]!, 1e-6);
    expectNear(worth!.errors.steady, errors[15]!, 1e-6);
    expectNear(worth!.errors.mean, errors.reduce((a, b) => a + b) / 16, 1e-6);
    expectNear(worth!.meanMeasurand, (worth!.errors.mean * 2.2 * 3.2) / 4096, 1e-12);
    expectNear(worth!.meanVoltage, (worth!.errors.mean * 2.2) / 4096, 1e-12);
  });

  it.each(['beehive', 'cellar', 'workbench'])(
    '%s: the chosen row and the recommended one are those of the evaluation',
    (name) => {
      const e = evaluated(name);
      const { rows, chosen, recommended, curve } = sampleTimesOf(e);
      expect(rows.map((r) => r.cycles)).toEqual(e.worksheet.profile.sampleCycles);
      expect(chosen.worth!.errors.mean).toBe(e.sampling.settlingErrorLsb);
      expect(chosen.worth!.meanMeasurand).toBe(e.sampling.settlingErrorMeasurand);
      expect(chosen.worth!.maxSourceResistance).toBe(e.sampling.maxSourceResistance);
      expect(chosen.worth!.charge).toBe(e.averaging.charge);
      expect(recommended!.cycles).toBe(e.sampling.minSampleCycles);
      const failed = e.requirements.filter(
        (r) => !r.met && ['settling', 'period', 'latency'].includes(r.name),
      );
      expect(chosen.missed).toEqual(failed);
      // Between the points of the curve the errors fall.
      curve.forEach((p, i) => {
        if (i > 0) expect(Math.abs(p.first)).toBeLessThanOrEqual(Math.abs(curve[i - 1]!.first));
      });
    },
  );

  it('says where a conversion does not fit its trigger, and where it comes too late', () => {
    expect(sampleTimesOf(evaluated('workbench')).rows.at(-1)).toMatchObject({ cycles: 520, discard: 'none' });
    expect(sampleTimesOf(evaluated('workbench')).rows.at(-1)!.worth).toBeUndefined();
    const late = sampleTimesOf(evaluated('cellar', { 'requirement.latency': '2 ms' }));
    expect(late.recommended).toBeUndefined();
    expect(late.rows.find((r) => r.cycles === 130)!.missed.map((m) => m.name)).toEqual(['latency']);
  });

  it('counts the conversions to leave out where the capacitor keeps its charge', () => {
    const e = evaluated('beehive', slow);
    const { rows } = sampleTimesOf(e);
    const row = rows.find((r) => typeof r.discard === 'number' && r.discard > 1)!;
    const { mean, at } = row.worth!.errors;
    expect(Math.abs(mean)).toBeGreaterThan(e.sampling.allowedErrorLsb);
    const left = (discard: number): number =>
      Math.abs(
        burstError({
          ...networkAt(e.worksheet, e.channel, 3, at),
          sampleTime: row.cycles / 2e6,
          period: (row.cycles + 14) / 2e6,
          ratio: 64,
          discard,
        }),
      ) /
      (3 / 4096);
    expect(left(row.discard as number)).toBeLessThanOrEqual(e.sampling.allowedErrorLsb);
    expect(left((row.discard as number) - 1)).toBeGreaterThan(e.sampling.allowedErrorLsb);
    expect(sampleTimesOf(evaluated('cellar')).chosen.discard).toBe('none');
  });

  it('published: [SETTLING-TABLE] 9.01 time constants leave half an LSB of 12 bits', () => {
    const { rules, ruleConstant } = sampleTimesOf(evaluated('cellar', { 'requirement.settling': '0.5 LSB' }));
    expectPrinted(rules[3]!.constants, '9.01');
    expect(rules.map((r) => Math.round(r.constants * 10) / 10)).toEqual([8, 9, 10, 9]);
    // (687.5 kΩ + 3.2 kΩ)·9 pF
    expectNear(ruleConstant, 690.7e3 * 9e-12, 1e-12);
    // 4096·e^−9, e^9 = 8103.0839276
    expectNear(rules[1]!.promised, 4096 / 8103.0839276, 1e-9);
  });
});

describe('the pin of a worksheet', () => {
  it('cellar: leakage, kick, droop and input impedance by hand', () => {
    const pin = pinOf(evaluated('cellar'));
    // 80 nA · 687.5 kΩ = 55 mV, through 3.2 back to the battery.
    expectNear(pin.leakage.voltage, 0.055, 1e-12);
    expectNear(pin.leakage.measurand, 0.176, 1e-12);
    expectNear(pin.leakage.mostSource!, (687.5e3 * 0.1) / 0.176, 1e-12);
    expectNear(pin.kick, (2 * 9) / 17, 1e-12);
    // R_s·C_s·f = 687.5 kΩ · 9 pF · 25 kHz = 0.1546875
    expectNear(pin.droop, (2 * 0.1546875) / 1.1546875, 1e-12);
    expectNear(pin.inputImpedance as number, 1 / (25e3 * 9e-12), 1e-12);
    // √(1.380649e-23·298.15/9e-12) over 2.2 V/4096
    expectNear(pin.thermal.conversion, (Math.sqrt((1.380649e-23 * 298.15) / 9e-12) * 4096) / 2.2, 1e-9);
    expect(pin.wakeTime).toBeUndefined();
    expect(pin.readDelay).toBe(40e-6);
  });

  it('the edge of a window is where the evaluation has its limit', () => {
    const { windows } = pinOf(evaluated('cellar'));
    const capacitor = `${((windows.large![0] - 8e-12) * 1e9).toFixed(6)} nF`;
    const { sampling } = evaluated('cellar', { 'conditioning.capacitor': capacitor });
    expectNear(Math.abs(sampling.settlingErrorLsb), 0.25, 1e-6);
    const bench = pinOf(evaluated('workbench'));
    expect(bench.windows.small).not.toBeNull();
    expect(bench.windows.large).not.toBeNull();
  });

  it('a switched source ends the range, and asks for a delay', () => {
    const pin = pinOf(evaluated('beehive', { 'conditioning.capacitor': '10 nF' }));
    expect(pin.wakeTime).toBe(20e-6);
    expect(pin.wakeDelay).toBeGreaterThan(pin.wakeTime!);
    expect(pin.readDelay).toBe(pin.wakeDelay);
    expect(pin.inputImpedance).toBe('none');
    expect(pin.droop).toBe(0);
  });
});

describe('what else would serve', () => {
  it.each([
    ['cellar', {}, ['capacitor', 'divider', 'buffer']],
    [
      'cellar',
      { 'sensor.top': '22 Mohm', 'sensor.bottom': '10 Mohm' },
      ['clock', 'capacitor', 'divider', 'buffer'],
    ],
    ['beehive', slow, ['discard', 'buffer']],
  ] as const)('%s %o: each that serves does, when written into the worksheet', (name, changes, kinds) => {
    const e = evaluated(name, changes);
    const found = sampleChangesOf(e, sampleTimesOf(e), pinOf(e));
    expect(found.map((c) => c.kind).sort()).toEqual([...kinds].sort());
    expect(found.filter((c) => !c.serves)).toEqual([]);
    for (const change of found) {
      if (Object.keys(change.changes).length === 0) continue;
      const after = evaluated(name, { ...changes, ...change.changes });
      expect(after.requirements.find((r) => r.name === 'settling')!.met, change.text).toBe(change.serves);
    }
  });

  it('is empty where the chosen sample time serves', () => {
    const e = evaluated('beehive');
    expect(sampleChangesOf(e, sampleTimesOf(e), pinOf(e))).toEqual([]);
  });
});

describe('the scan of a worksheet', () => {
  const scanning = (discard: number, source = '10 kohm'): Evaluation =>
    sessionOn('beehive', (document) => {
      document.sensor.r25.value = source;
      document.conditioning.divider.resistor.value = source;
      document.sampling.sampleCycles = 2;
      document.scan = {
        channels: [
          { name: 'battery', voltage: '0.2 V', sourceResistance: '200 kohm', sampleCycles: 14 },
          { name: 'light', voltage: '2.5 V', sourceResistance: '30 kohm', capacitance: '1 nF' },
        ],
        discard,
      };
    }).evaluation;

  it('each channel receives what the one before held', () => {
    const e = scanning(0);
    const scan = scanOf(e)!;
    expect(scan.asListed.map((c) => `${c.name} after ${c.previous}`)).toEqual([
      'this channel after light',
      'battery after this channel',
      'light after battery',
    ]);
    const q = 3 / 4096;
    const own = networkAt(e.worksheet, e.channel, 3, 40);
    const battery = settle({
      sourceResistance: 200e3,
      pinCapacitance: 6e-12,
      switchResistance: 1.4e3,
      sampleCapacitance: 5e-12,
      sampleTime: 7e-6,
      previousVoltage: own.sourceVoltage + scan.asListed[0]!.lsb * q,
      sourceVoltage: 0.2,
    });
    expectNear(scan.asListed[1]!.lsb * q, battery.error, 1e-9);
  });

  it('one more left out, and the best order, are no worse; the mean is what the settling of the burst says', () => {
    const worst = (errors: readonly { lsb: number }[]): number =>
      Math.max(...errors.map((c) => Math.abs(c.lsb)));
    const none = scanOf(scanning(0))!;
    const one = scanOf(scanning(1))!;
    expect(one.asListed).toEqual(none.oneMore);
    expect(worst(one.asListed)).toBeLessThan(worst(none.asListed));
    expect(worst(none.best)).toBeLessThanOrEqual(worst(none.asListed));
    expect(Math.abs(one.mean)).toBeLessThan(Math.abs(none.mean));
    expect(scanOf(evaluated('beehive'))).toBeUndefined();
  });

  it('the mean of the burst is that of the circuit, started at the voltage of the channel before', () => {
    const e = scanning(0, '1 Mohm');
    const { sourceResistance, sourceVoltage: voltage } = networkAt(e.worksheet, e.channel, 3, 40);
    const circuit = new Circuit([{ voltage, sourceResistance, pinCapacitance: 6e-12 }], 1.4e3, 5e-12, 400);
    circuit.held = 2.5;
    let sum = 0;
    for (let n = 0; n < 64; n++) {
      circuit.pass(1e-6, 0);
      sum += circuit.held - voltage;
      circuit.pass(7e-6);
    }
    // Runge–Kutta at a third of the fastest time constant.
    expectNear(scanOf(e)!.mean, ((sum / 64) * 4096) / 3, 1e-5);
  });

  it('the steady state of a capacitor that keeps its charge is settled', () => {
    expect(settlingErrors(scanning(0), 2).steady).toBe(0);
  });
});

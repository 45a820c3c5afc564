import { describe, expect, it } from 'vitest';
import { seededRandom } from '../../src/numbers/random.ts';
import { type Evaluation, evaluate } from '../../src/worksheet/evaluate.ts';
import { readWorksheet } from '../../src/worksheet/read.ts';
import { referenceOf } from '../../src/worksheet/referenceOf.ts';
import { profiles, worksheetTexts } from './demos.ts';

// biome-ignore lint/suspicious/noExplicitAny: a document to take apart at will
type Document = any;

const of = (name: string, change: (d: Document) => void = () => {}): Evaluation => {
  const document = JSON.parse(worksheetTexts[name]!) as Document;
  change(document);
  return evaluate({ worksheet: readWorksheet({ text: JSON.stringify(document), profiles }) });
};
const wayOf = (e: Evaluation, is: string) => referenceOf(e).ways.find((w) => w.is === is)!;

/** The beehive's reading for a share of the reference at the pin, and the share at a temperature, from the circuit. */
const beehive = {
  share: (t: number): number => {
    const ohms = 10e3 * Math.exp(3435 * (1 / (t + 273.15) - 1 / 298.15));
    return ohms / (ohms + 10e3);
  },
  read: (x: number): number => 1 / (Math.log(x / (1 - x)) / 3435 + 1 / 298.15) - 273.15,
};

describe('the ways to have a reference', () => {
  it('of the beehive: ratiometric cancels; corrected by the supply it would be off by what the supply is', () => {
    const e = of('beehive');
    const { ways } = referenceOf(e);
    expect(ways.map((w) => [w.is, w.present])).toEqual([
      ['ratiometric', true],
      ['internal', false],
      ['corrected supply', false],
      ['supply', false],
    ]);
    expect(ways[0]).toMatchObject({ halfWidth: 0, adds: 0, worst: e.uncertainty.before });
    // The internal reference of 1.3 V is below the pin, 0.549 of 3 V.
    expect(ways[1]!.beyond).toBeCloseTo(3 * beehive.share(20), 9);
    expect(ways[1]!.worst).toBeUndefined();
    // 0.6 % and 60 ppm/K over 35 K, and 2 and 1.5 LSB of 1775.
    const limit = 0.006 + 60e-6 * 35 + 3.5 / ((1.3 / 3) * 4096);
    expect(ways[2]!.halfWidth).toBeCloseTo(limit, 12);
    const at = ways[2]!.worst!.measurand;
    const off = (r: number) => beehive.read(beehive.share(at) * (1 + r));
    expect(ways[2]!.adds / ((Math.abs(off(1e-4) - off(-1e-4)) / 2e-4) * limit)).toBeCloseTo(1, 4);
    // Down to the cell at rest, 2.8 V.
    expect(ways[3]!.halfWidth).toBeCloseTo(0.2 / 3, 12);
  });

  it('of the cellar: the internal reference counts with its temperature, and the supply with its gain cancelled', () => {
    const e = of('cellar');
    const { ways } = referenceOf(e);
    expect(ways.map((w) => [w.is, w.present])).toEqual([
      ['internal', true],
      ['corrected supply', false],
      ['supply', false],
    ]);
    // 80 ppm/K from 25 to 4 °C.
    expect(ways[0]!.halfWidth).toBeCloseTo(0.008 + 80e-6 * 21, 12);
    expect(ways[0]!.adds).toBeCloseTo(6.4 * (0.008 + 80e-6 * 21), 6);
    const names = (w: (typeof ways)[number]) => w.there!.lines.map((l) => l.name);
    expect(names(ways[0]!)).toContain('gain error');
    expect(names(ways[1]!)).not.toContain('gain error');
    // At 3 V full scale a code is worth 3/2.2 as much.
    const offset = (w: (typeof ways)[number]) => w.there!.lines.find((l) => l.name === 'offset error')!.limit;
    expect(offset(ways[1]!) / offset(ways[0]!)).toBeCloseTo(3 / 2.2, 9);
    // No battery voltage is given: down to the least reference.
    expect(ways[2]!.halfWidth).toBeCloseTo(1 / 3, 12);
  });

  it('with a reference of its own: exact without a spread, else by it', () => {
    const external = (spread?: string) => (d: Document) => {
      d.converter.reference = {
        source: 'external',
        voltage: { value: '2.5 V', from: 'datasheet', ...(spread && { spread }) },
      };
    };
    expect(wayOf(of('cellar', external('0.1 %')), 'external')).toMatchObject({
      present: true,
      halfWidth: 0.001,
    });
    expect(wayOf(of('cellar', external('0.1 %')), 'external').adds).toBeCloseTo(6.4 * 0.001, 9);
    expect(wayOf(of('cellar', external()), 'external').adds).toBe(0);
    const measured = of('cellar', (d) => {
      d.converter.reference.voltage = { value: '2.19 V', from: 'measured', spread: '2 mV' };
    });
    expect(wayOf(measured, 'internal').halfWidth).toBeCloseTo(2 / 2190 + 80e-6 * 21, 12);
  });

  it('count the supply by its spread where it has one', () => {
    const e = of('beehive', (d) => {
      d.converter.reference.voltage.spread = '0.1 V';
    });
    expect(wayOf(e, 'supply').halfWidth).toBeCloseTo(0.1 / 3, 12);
  });

  it('have a leverage that the budget confirms', () => {
    for (const name of ['beehive', 'cellar', 'workbench']) {
      const { ways, leverage } = referenceOf(of(name));
      const way = ways.find((w) => w.adds > 0)!;
      const there = leverage.find((p) => p.measurand === way.worst!.measurand)!;
      // One is a difference quotient over the spread, the other a slope.
      expect(way.adds / (there.perUnit * way.halfWidth)).toBeCloseTo(1, 3);
    }
  });
});

describe('the supply through the internal reference', () => {
  it('is propagated from reference and code', () => {
    const { supply } = referenceOf(of('cellar'));
    // V = V_int·2^N/(k + ½): 2.2 V at 3 V.
    expect(supply.code).toBeCloseTo((2.2 / 3) * 4096 - 0.5, 9);
    expect(supply.perCode).toBeCloseTo(9 / (2.2 * 4096), 12);
    expect(supply.byReference).toBeCloseTo((3 * Math.hypot(0.008, 80e-6 * 21)) / Math.sqrt(3), 9);
    expect(supply.byConverter).toBeCloseTo((Math.hypot(3, 2) / Math.sqrt(3)) * supply.perCode, 9);
  });

  it('needs as many conversions as simulated ones say', () => {
    const e = of('beehive', (d) => {
      d.converter.noise = '3 LSB';
      d.converter.internalReference = { tolerance: '0.05 %', tempco: '0 ppm/K' };
      d.converter.offset = '0 LSB';
      d.converter.inl = '0 LSB';
    });
    const { supply } = referenceOf(e);
    const rest = (3 * 0.0005) / Math.sqrt(3);
    expect(supply.byReference).toBeCloseTo(rest, 9);
    const random = seededRandom(7);
    // Means of n conversions of the reference, and the supply that follows from each.
    const scatter = (n: number): number => {
      const boards = 4000;
      let square = 0;
      for (let b = 0; b < boards; b++) {
        const level = 1774.9 + random.uniform();
        let sum = 0;
        for (let i = 0; i < n; i++) sum += Math.floor(level + 3 * random.normal() + 0.5);
        square += ((1.3 * 4096) / (sum / n) - (1.3 * 4096) / level) ** 2;
      }
      return Math.sqrt(square / boards);
    };
    const n = supply.suffices as number;
    expect(Math.hypot(scatter(n), rest)).toBeLessThan(1.013 * rest);
    expect(Math.hypot(scatter(n / 2), rest)).toBeGreaterThan(1.01 * rest);
    // 4000 means tell their scatter to 1.1 %.
    const one = supply.steps[0]!.byNoise;
    expect(Math.abs(scatter(1) / one - 1)).toBeLessThan(0.04);
  });

  it('is nothing where the reference is not below the supply', () => {
    const e = of('cellar', (d) => {
      d.power.supply = '2.2 V';
    });
    const { supply, ways } = referenceOf(e);
    expect(supply.code).toBe(0);
    expect(ways.map((w) => w.is)).not.toContain('corrected supply');
  });
});

describe('ripple on the reference', () => {
  it('moves the code as a full scale that moves, and the mean as the burst leaves it', () => {
    const e = of('cellar', (d) => {
      d.converter.reference.ripple = '5 mV';
      d.converter.reference.rippleFrequency = '700 Hz';
    });
    const { ripple } = referenceOf(e);
    const code = (v: number) => (6.4 / 3.2 / v) * 4096;
    // To first order: full scale up by 5 mV of 2.2 V.
    expect(ripple.lsb! / (code(2.2) - code(2.205))).toBeCloseTo(1, 2);
    // 16 conversions 40 µs apart, worst phase, added up.
    let worst = 0;
    for (let p = 0; p < 360; p++) {
      let sum = 0;
      for (let i = 0; i < 16; i++) sum += Math.sin(2 * Math.PI * (700 * 40e-6 * i + p / 360));
      worst = Math.max(worst, Math.abs(sum / 16));
    }
    expect(ripple.averagedLsb! / (ripple.lsb! * worst)).toBeCloseTo(1, 4);
    expect(ripple.measurand! / (ripple.averagedLsb! * 3.2 * (2.2 / 4096))).toBeCloseTo(1, 9);
    // The low-pass leaves a quarter LSB.
    const left = ripple.averagedLsb! / Math.hypot(1, 2 * Math.PI * 700 * ripple.filter!);
    expect(left).toBeCloseTo(0.25, 9);
    const { ripple: none } = referenceOf(of('cellar'));
    expect(none).toEqual({ perLsb: ripple.perLsb });
  });
});

describe('the battery under load', () => {
  it('falls by current times resistance, from 25 °C to the coldest along a straight logarithm', () => {
    const { sag } = referenceOf(of('beehive'));
    expect(sag).toMatchObject({ rest: 2.8, current: 3.1e-3, least: 1.8, leastIs: 'reference' });
    expect(sag!.mostResistance).toBeCloseTo(1 / 3.1e-3, 9);
    const at = (celsius: number) => sag!.curve!.find((p) => Math.abs(p.celsius - celsius) < 0.7)!;
    expect(at(-10).volts).toBeCloseTo(2.8 - 3.1e-3 * 60, 12);
    expect(at(45).volts).toBeCloseTo(2.8 - 3.1e-3 * 18, 12);
    const p = at(7.5);
    expect(p.resistance).toBeCloseTo(18 * (60 / 18) ** ((25 - p.celsius) / 35), 9);
  });

  it('that the channel measures itself may fall to the low end of the range', () => {
    const { sag } = referenceOf(of('cellar'));
    expect(sag).toMatchObject({ rest: 4, least: 3.6, leastIs: 'range' });
    expect(sag!.curve).toBeUndefined();
    expect(referenceOf(of('workbench')).sag).toBeUndefined();
  });
});

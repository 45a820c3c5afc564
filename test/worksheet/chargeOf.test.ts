import { describe, expect, it } from 'vitest';
import { chargeOf } from '../../src/worksheet/chargeOf.ts';
import { evaluate } from '../../src/worksheet/evaluate.ts';
import { readWorksheet } from '../../src/worksheet/read.ts';
import { settingsOf } from '../../src/worksheet/settingsOf.ts';
import { withValue } from '../../src/worksheet/write.ts';
import { expectNear } from '../close.ts';
import { demo, profiles, worksheetTexts } from './demos.ts';

const names = ['beehive', 'cellar', 'workbench'];
const of = (name: string, changes: Readonly<Record<string, string>> = {}) =>
  evaluate({
    worksheet: Object.entries(changes).reduce((w, [path, text]) => withValue(w, path, text), demo(name)),
  });
const year = 8760 * 3600;

// biome-ignore lint/suspicious/noExplicitAny: a document to take apart at will
const changed = (name: string, change: (document: any) => void) => {
  const document = JSON.parse(worksheetTexts[name]!);
  change(document);
  return evaluate({ worksheet: readWorksheet({ text: JSON.stringify(document), profiles }) });
};

/** The divider of the beehive where it draws most, at 40 °C, A. */
const divider = 3 / (10_000 * (1 + Math.exp(3435 * (1 / 313.15 - 1 / 298.15))));

describe('beehive, by hand from worksheet and profile', () => {
  const c = chargeOf(of('beehive'));

  it('phases: wake 6 µs, the divider 20 µs and the converter 9 µs ahead of 64 conversions of 11 µs, then 40 µs', () => {
    expect(c.phases.map((p) => p.kind)).toEqual(['wake', 'excitation', 'converter', 'conversions', 'own']);
    const expected = [
      [0, 6e-6, 3.1e-3],
      [6e-6, 11e-6, 0.16e-3 + divider],
      [17e-6, 9e-6, 0.16e-3 + divider + 0.42e-3],
      [26e-6, 704e-6, 0.16e-3 + divider + 0.42e-3],
      [730e-6, 40e-6, 3.1e-3],
    ];
    c.phases.forEach((p, i) => {
      const [start, time, current] = expected[i]!;
      expectNear(p.start, start!, 1e-12, `${p.name}, start`, 1e-18);
      expectNear(p.time, time!, 1e-12, p.name);
      expectNear(p.current, current!, 1e-12, p.name);
      expectNear(p.charge, time! * current!, 1e-12, p.name);
    });
  });

  it('charge, energy, average, life', () => {
    const charge = 46e-6 * 3.1e-3 + 11e-6 * (0.16e-3 + divider) + 713e-6 * (0.58e-3 + divider);
    expectNear(c.charge, charge, 1e-12);
    expectNear(c.energy!.energy, 3 * charge, 1e-12);
    const average = (charge + 1.2e-6 * (60 - 770e-6)) / 60;
    expectNear(c.averageCurrent, average, 1e-12);
    // 220 mA·h, of which 80 % can be drawn and 1 % a year is lost.
    const capacity = 0.22 * 3600;
    expectNear(c.life as number, (0.8 * capacity) / (average + (0.01 * capacity) / year), 1e-12);
    expectNear(c.alikePeriod as number, charge / 1.2e-6, 1e-12);
    expectNear(c.readingsShare, charge / 60 / average, 1e-12);
  });

  it('a doubling of the ratio adds as many conversions and nothing else', () => {
    for (let i = 1; i < c.ratios.length; i++) {
      const [a, b] = [c.ratios[i - 1]!, c.ratios[i]!];
      expectNear(b.charge - a.charge, (b.ratio - a.ratio) * 11e-6 * (0.58e-3 + divider), 1e-9);
    }
  });

  it('drift: 0.012 LSB and 6 ppm a kelvin, 0.8 LSB and 0.03 % a volt, of 20 m°C at 40 °C', () => {
    const e = of('beehive');
    const { perCode } = e.channel.worst;
    const code = 4096 / (1 + 1 / Math.exp(3435 * (1 / 313.15 - 1 / 298.15)));
    const { temperature, supply } = c.recalibration;
    expectNear(temperature.change as number, 0.02 / (perCode * (0.012 + 6e-6 * code)), 1e-6);
    expectNear(supply.change as number, 0.02 / (perCode * (0.8 + 3e-4 * code)), 1e-6);
    expectNear(c.recalibration.cost!.charge, 65e-6 * 0.58e-3, 1e-12);
  });
});

describe('cellar, by hand', () => {
  const c = chargeOf(of('cellar'));

  it('the internal reference starts ahead of the converter and stays on for the burst; software keeps the core running', () => {
    expect(c.phases.map((p) => p.kind)).toEqual(['wake', 'reference', 'converter', 'conversions', 'own']);
    const [wake, reference, converter, conversions] = c.phases;
    expectNear(wake!.charge, 11e-6 * 4.4e-3, 1e-12);
    expectNear(reference!.charge, 15e-6 * 4.445e-3, 1e-12);
    expectNear(converter!.charge, 25e-6 * 5.095e-3, 1e-12);
    expectNear(conversions!.charge, 640e-6 * 5.095e-3, 1e-12);
    expectNear(of('cellar').averaging.charge, conversions!.charge, 1e-15);
  });

  it('the divider draws 6.4 V over 3.2 MΩ all the time', () => {
    expectNear(c.idleCurrent, 1.6e-6 + 2e-6, 1e-12);
    expectNear(c.averageCurrent, (c.charge + 1.6e-6 * (3600 - c.time)) / 3600 + 2e-6, 1e-12);
  });

  it('an absolute reading follows the internal reference: 80 ppm of 6.4 V a kelvin', () => {
    const { temperature, supply } = c.recalibration;
    // The code is that of 6.4 V with the first transition at 1 LSB: half a code lower.
    expectNear(temperature.change as number, 0.002 / (80e-6 * 6.4), 2e-4);
    expect(temperature.parts.map((p) => [p.name, p.cured])).toEqual([['internal reference', false]]);
    expect(supply.change).toBe('any');
  });
});

describe('by adding up small steps of time', () => {
  it.each(names)('%s: the average current over three periods', (name) => {
    const c = chargeOf(of(name, { 'requirement.period': '20 ms' }));
    const always = c.draws.filter((d) => d.always).reduce((s, d) => s + d.current, 0);
    const asleep = c.draws.filter((d) => !d.always).reduce((s, d) => s + d.current, 0);
    const steps = 600_000;
    let charge = 0;
    for (let i = 0; i < steps; i++) {
      const t = (((i + 0.5) / steps) * 0.06) % 0.02;
      const phase = c.phases.find((p) => t >= p.start && t < p.start + p.time);
      charge += ((phase?.current ?? asleep) + always) * (0.06 / steps);
    }
    // A step of 0.1 µs at each end of a phase.
    expectNear(c.averageCurrent, charge / 0.06, 2e-3, name);
  });
});

describe('the requirement', () => {
  it.each(['beehive', 'cellar'])('%s is judged by the life that the page shows', (name) => {
    const e = of(name);
    const life = e.requirements.find((r) => r.name === 'batteryLife')!;
    expect(life.actual).toBe(chargeOf(e).life);
    expect(life).toMatchObject({ met: true, unit: 's', margin: life.actual / life.required });
    expect(e.unjudged).not.toContain('batteryLife');
  });

  it('every row of the settings is judged as the worksheet with that row written into it', () => {
    const rows = settingsOf(of('beehive', { 'requirement.period': '2 s' })).rows.filter(
      (_, i) => i % 7 === 0,
    );
    for (const row of rows) {
      const written = of('beehive', {
        'requirement.period': '2 s',
        'averaging.ratio': String(row.ratio),
        'averaging.shift': String(row.shift),
      });
      const own = row.requirements.find((r) => r.name === 'batteryLife')!;
      expectNear(own.actual, chargeOf(written).life as number, 1e-12, `${row.ratio}`);
    }
  });

  it('missed: said with both figures, and the ratios that serve are recommended', () => {
    const e = of('beehive', { 'requirement.batteryLife': '12 year', 'requirement.period': '1 s' });
    expect(e.findings[0]).toMatchObject({ kind: 'missed', path: 'requirement.batteryLife' });
    expect(e.findings[0]!.text).toMatch(/^The battery lasts 9\.\d+\u202fyears; 12\u202fyears is wanted\.$/);
    const { rows, recommended } = settingsOf(e);
    expect(recommended).toMatchObject({ ratio: 8, shift: 0 });
    expect(rows.at(-1)!.failures.map((f) => f.text)).toContain('battery empty too soon');
  });

  it('a battery without which nothing tells is not judged', () => {
    const e = changed('beehive', (d) => delete d.power.battery);
    expect(e.unjudged).toContain('batteryLife');
    expect(e.requirements.some((r) => r.name === 'batteryLife')).toBe(false);
    expect(chargeOf(e).life).toBe('none');
  });

  it('readings longer than their period follow one another', () => {
    const e = of('workbench', { 'requirement.period': '5 ms' });
    const c = chargeOf(e);
    const always = c.draws.find((d) => d.always)!.current;
    expectNear(c.averageCurrent, c.charge / c.time + always, 1e-12);
  });
});

describe('left on', () => {
  it('each draws what the profile says on top of what is meant, and shortens the life so', () => {
    const c = chargeOf(of('beehive'));
    const row = (name: string) => c.leftOn.find((r) => r.name === name)!;
    expectNear(row('as meant').current, 1.2e-6, 1e-12);
    expectNear(row('internal reference left on').current, 15.2e-6, 1e-12);
    expectNear(row('core left running').current, 3.1e-3, 1e-12);
    expectNear(row('divider left on').current, 1.2e-6 + divider, 1e-12);
    const capacity = 0.22 * 3600;
    const drain = 15.2e-6 + c.charge / 60 + (0.01 * capacity) / year;
    expectNear(row('internal reference left on').life as number, (0.8 * capacity) / drain, 1e-12);
    const currents = c.leftOn.slice(1).map((r) => r.current);
    expect([...currents].sort((a, b) => a - b)).toEqual(currents);
  });
});

describe('switching the divider', () => {
  it.each(names)('%s: at the break-even period both ways take the same charge', (name) => {
    const s = chargeOf(of(name)).switching!;
    const period = s.breakEvenPeriod as number;
    expectNear(s.current * period, s.current * s.onTime + s.extraCharge, 1e-12);
  });

  it('an ohm in the supply of the divider moves the reading as the channel with it says', () => {
    // Sensor at ground: the resistor at the top stands for the ohm above it.
    const more = of('beehive', { 'conditioning.divider.resistor': '10.001 kohm' });
    const e = of('beehive');
    const moved = Math.abs(e.channel.measurandOf(more.channel.codeOf(40)) - 40);
    expectNear(chargeOf(e).switching!.perOhm, moved, 2e-3);
  });
});

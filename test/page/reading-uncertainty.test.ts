import { describe, expect, it } from 'vitest';
import script from '../../notebooks/reading-uncertainty.ts';
import { pageView } from '../../src/page/page.ts';
import type { Session } from '../../src/page/session.ts';
import { markdownText } from '../../src/page/text/markdown.ts';
import { terminalText } from '../../src/page/text/terminal.ts';
import { drawnOut, witnessRun } from '../../src/worksheet/witnessOf.ts';
import { sessionOn } from './demo.ts';

const page = { name: 'reading-uncertainty', ...script };
const viewOf = (session: Session) =>
  pageView(page, session, { pages: [{ name: page.name, short: page.short }] });
const shown = (name: string, changes: Record<string, string> = {}) => {
  const session = sessionOn(name);
  expect(session.write(changes)).toBeUndefined();
  return viewOf(session);
};
const said = (name: string, changes?: Record<string, string>): string =>
  terminalText(shown(name, changes)).replace(/\s+/g, ' ');
const blocks = (name: string, changes?: Record<string, string>) =>
  shown(name, changes).content.sections.flatMap((s) => s.body);

describe('the answer', () => {
  it('is the expanded uncertainty beside what is wanted, its largest parts, and the worst case', () => {
    const cellar = said('cellar');
    expect(cellar).toContain('✗ A reading may be off by 542 mV (95 %), where 100 mV are allowed.');
    expect(cellar).toContain('Most of it: settling 84 %, leakage 13 %, internal reference 1 %.');
    // 438 of settling, 176 of leakage, 51 and 11 of the reference, twice 44 of the resistors, 23 of the converter.
    expect(cellar).toContain('With everything at its limit 787 mV; the worksheet states no calibration.');
    expect(said('beehive')).toContain('✓ A reading is within ±216 m°C (95 %), where 500 m°C are allowed.');
    expect(said('beehive')).toContain('without calibration ±387 m°C');
    expect(said('workbench')).toContain('A reading is within ±677 m°C (95 %).');
  });

  it('follows the board’s temperature, the standard and the drift', () => {
    expect(said('cellar', { 'conditions.warmest': '45 degC' })).toContain('leakage 71 %');
    expect(said('workbench', { 'conditions.warmest': '85 degC' })).toContain('leakage');
    const aged = said('beehive', { 'calibration.drift': '0.6 K', 'calibration.standard': '0.1 K' });
    expect(aged).toContain('✗ A reading may be off by');
    expect(aged).toContain('drift since calibration');
  });
});

describe('the sections', () => {
  it('draw the whole, the worst case and the three largest parts, the limit hatched', () => {
    const [plot] = blocks('cellar').filter((b) => b.type === 'plot');
    expect(plot!.marks.flatMap((m) => (m.type === 'curve' ? [[m.name, m.style]] : []))).toEqual([
      ['settling', 'thin'],
      ['leakage', 'thin'],
      ['worst case', 'second'],
      ['expanded uncertainty', 'first'],
    ]);
    expect(plot!.marks.find((m) => m.type === 'limit')).toMatchObject({ y: 100, forbidden: 'above' });
    expect(plot!.marks.find((m) => m.type === 'point')).toMatchObject({ x: 6.4, text: 'most: 542' });
  });

  it('list the budget with its sum', () => {
    const table = blocks('cellar').find((b) => b.type === 'table')!;
    expect(table.rows.map((r) => r.cells[0])).toEqual([
      'settling',
      'leakage',
      'internal reference',
      'upper resistor',
      'lower resistor',
      'gain error',
      'temperature of the reference',
      '3 others together',
      'combined',
    ]);
    expect(table.rows[2]!.cells).toEqual([
      'internal reference',
      '±0.8\u202f%',
      'rectangular',
      '∞',
      '64 / %',
      '29.6',
      '51.2',
      '1\u202f%',
    ]);
    expect(said('beehive')).toContain('cancels the wiring is ratiometric');
  });

  it('compare calibrations, and take as many points as the worksheet has', () => {
    const workbench = said('workbench');
    expect(workbench).toContain('Calibration takes ±985 m°C down to ±677 m°C at the worst end.');
    expect(workbench).toContain('Among its points ±606 m°C are left, outside up to ±677 m°C.');
    expect(said('beehive')).toContain(
      'No calibration is needed for ±500 m°C; five points would make it ±106',
    );
    expect(said('cellar')).toContain('No calibration brings it to ±100 mV: ±201 mV at best.');
    expect(said('beehive', { 'requirement.uncertainty': '0.2 K' })).toContain(
      'One point is enough for ±200 m°C.',
    );
    expect(blocks('cellar').filter((b) => b.type === 'plot')).toHaveLength(2);
    expect(blocks('workbench').filter((b) => b.type === 'plot')).toHaveLength(3);
  });

  it('bring the second witness', () => {
    expect(said('beehive')).toMatch(
      /Drawn at random, 95 % of readings are off by −\d+ m°C to \+\d+ m°C at 20 °C\./,
    );
    expect(said('beehive')).toContain('The budget is on the safe side.');
  });

  it('say whether the draws confirm the budget, to how many they are, and why not', () => {
    expect(said('beehive')).toMatch(
      /By 10 000 draws .* leave either end a standard deviation of 2\.72 m°C\. To two digits of u the budget is not confirmed: its ends are 11\.8 m°C and 9\.88 m°C from the drawn ones, with 5 m°C allowed \(clause 8\), because the drawn interval is narrower: beta, 64 % of the variance, ends at a limit/,
    );
    // Normal points of 0.5 K outweigh all else: few draws do not tell, many do.
    const normal = { 'calibration.points.0.uncertainty': '0.5 K' };
    expect(said('beehive', normal)).toContain(
      'Whether the budget is confirmed to two digits of u, 10 000 draws do not tell',
    );
    expect(said('beehive', normal)).toContain('1 000 000 would tell more.');
    const session = sessionOn('beehive');
    session.write(normal);
    const many = drawnOut(witnessRun(session.evaluation));
    const view = pageView(page, session, { pages: [] }, { drawn: many });
    expect(terminalText(view).replace(/\s+/g, ' ')).toMatch(
      /By 1 000 000 draws .* To two digits of u the budget is confirmed: its ends are [\d.]+ m°C and [\d.]+ m°C from/,
    );
    // At −80 °C the thermistor bends and the reading ends.
    const wide = { 'requirement.range.low': '-80 degC', 'requirement.range.high': '200 degC' };
    expect(said('beehive', wide)).toContain(
      'because the chain bends within its spread, so that the errors lie to one side, by +',
    );
  });

  it('say where the budget is wider than everything at its limit, beside the drawn interval', () => {
    const drift = said('beehive', { 'calibration.drift': '3 K' });
    expect(drift).toContain(
      'That is more than everything at its limit, 3.49 °C, because the budget takes the sum for normal; drawn at random, 95 % are off by −2.84 °C to +2.85 °C. Without calibration ±387 m°C.',
    );
    expect(drift).toContain(
      'Its ±4.00 °C is even more than everything at its limit, 3.49 °C, which hardly a reading is off by: take the drawn interval, −2.84 °C to +2.85 °C.',
    );
    for (const name of ['beehive', 'cellar', 'workbench'])
      expect(said(name)).not.toContain('more than everything at its limit');
  });

  it('draw the errors with the budget’s normal curve and both intervals', () => {
    const plot = blocks('beehive').find((b) => b.type === 'plot' && b.name === 'errors')!;
    if (plot.type !== 'plot') throw new Error('no plot');
    const [drawn, normal] = plot.marks.flatMap((m) => (m.type === 'curve' ? [m] : []));
    expect([drawn!.style, normal!.style]).toEqual(['first', 'second']);
    const total = (c: typeof drawn): number => c!.points.reduce((sum, p) => sum + p[1], 0);
    // Of 10 000 the histogram shows all but a handful; of the normal curve what lies within 2.95 u.
    expect(total(drawn)).toBeGreaterThan(99.5);
    expect(total(normal)).toBeCloseTo(99.68, 1);
    expect(plot.marks.filter((m) => m.type === 'span').map((m) => m.text)).toEqual([
      'budget ±216',
      '95 % drawn: −204 to 206',
    ]);
    expect(plot.figures.rows).toHaveLength(drawn!.points.length);
    expect(plot.claim).toBe('The budget’s ±216\u202fm°C holds 96\u202f% of the readings drawn.');
  });
});

describe('every page text', () => {
  const whole = (session: Session): void => {
    const view = viewOf(session);
    const terminal = terminalText(view);
    expect(`${terminal}${markdownText(view)}${JSON.stringify(view.content)}`).not.toMatch(
      /NaN|undefined|Infinity|\[object/,
    );
    expect(Math.max(...terminal.split('\n').map((line) => [...line].length))).toBeLessThanOrEqual(80);
  };

  it.each([
    ['beehive', {}],
    ['cellar', {}],
    ['workbench', {}],
    ['cellar', { 'conditions.coldest': '-40 degC', 'conditions.warmest': '125 degC' }],
    ['cellar', { 'sampling.sampleCycles': '130' }],
    ['beehive', { 'converter.leakage': '0 A', 'converter.inl': '0 LSB', 'converter.offset': '0 LSB' }],
    ['beehive', { 'calibration.points.0.uncertainty': '0 K' }],
    ['workbench', { 'calibration.points.0.at': '80 degC', 'calibration.points.1.at': '80 degC' }],
    ['beehive', { 'sensor.r25': '1 ohm', 'conditioning.divider.resistor': '1 ohm' }],
    ['beehive', { 'requirement.range.low': '-80 degC', 'requirement.range.high': '200 degC' }],
    ['beehive', { 'converter.noise': '0 LSB' }],
  ] as [string, Record<string, string>][])('of %s, %o is whole', (name, changes) => {
    const session = sessionOn(name);
    expect(session.write(changes)).toBeUndefined();
    whole(session);
  });

  it('stands without what a worksheet need not give', () => {
    for (const name of ['beehive', 'cellar', 'workbench']) {
      whole(
        sessionOn(name, (document) => {
          for (const part of ['watchdog', 'power', 'calibration']) delete document[part];
          for (const want of ['resolution', 'step', 'uncertainty', 'latency', 'batteryLife'])
            delete document.requirement[want];
          for (const part of ['r25', 'beta', 'top', 'bottom']) delete document.sensor[part]?.spread;
          delete document.sensor.class;
        }),
      );
    }
  });
});

import { describe, expect, it } from 'vitest';
import script from '../../notebooks/supply-and-reference.ts';
import { pageView } from '../../src/page/page.ts';
import type { Session } from '../../src/page/session.ts';
import { markdownText } from '../../src/page/text/markdown.ts';
import { terminalText } from '../../src/page/text/terminal.ts';
import { sessionOn } from './demo.ts';

const page = { name: 'supply-and-reference', ...script };
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
  it('is that a ratiometric reference cancels, and that it must not be corrected', () => {
    const text = said('beehive');
    expect(text).toContain('✓ The reference cancels');
    // 1.007 % of 55.5 K: k·|dx/dk| at 20 °C.
    expect(text).toContain('would gain an error of 559 m°C: do not correct a ratiometric chain.');
    expect(text).toContain('✗ Not for this chain:');
  });

  it('is what an internal reference moves, of what is allowed', () => {
    const text = said('cellar');
    expect(text).toContain(
      '✓ The internal reference moves the reading by up to 62.0 mV (±0.97 %), where 100 mV are allowed for everything.',
    );
    expect(said('cellar', { 'converter.internalReference.tolerance': '2 %' })).toContain(
      '✗ The internal reference moves the reading by up to 139 mV',
    );
    expect(said('cellar', { 'sensor.top': '1 Mohm' })).toContain('✗ The reference is too low:');
  });
});

describe('the sections', () => {
  it('set the ways side by side, and line by line', () => {
    const tables = blocks('cellar').filter((b) => b.type === 'table');
    expect(tables.map((b) => b.name)).toEqual(['ways', 'budgets', 'reference-conversions']);
    expect(tables[0]!.rows.map((r) => [r.cells[0], r.cells[1], r.cells[2], r.cells[3]])).toEqual([
      ['internal reference', '2.2\u202fV', '±0.97\u202f%', '62.0'],
      ['supply, corrected by the internal reference', '3\u202fV', '±1.1\u202f%', '72.6'],
      ['supply, taken as it should be', '3\u202fV', '±33\u202f%', '2130'],
    ]);
    expect(tables[1]!.columns.map((c) => c.head)).toEqual([
      'contribution',
      'internal reference',
      'corrected supply',
    ]);
    expect(said('beehive')).toContain('✗ the pin goes to 1.65 V');
  });

  it('draw what each way adds, and the battery over temperature', () => {
    const plots = blocks('beehive').filter((b) => b.type === 'plot');
    expect(plots.map((p) => p.name)).toEqual(['leverage', 'sag']);
    expect(plots[1]!.marks.find((m) => m.type === 'limit')).toMatchObject({ y: 1.8, forbidden: 'below' });
    expect(said('beehive')).toContain(
      'Under 3.1 mA the battery gives 2.61 V at −10 °C, 186 mV less than at rest.',
    );
    expect(said('beehive', { 'power.battery.coldResistance': '500 ohm' })).toContain(
      'Under 3.1 mA the battery falls to 1.25 V',
    );
    expect(blocks('cellar').filter((b) => b.type === 'plot')).toHaveLength(1);
    expect(said('cellar')).toMatch(/Under 5\.1\d? mA the battery may have 78\.5 Ω, no more\./);
  });

  it('tell the supply, its conversions and the integers for it', () => {
    const text = said('cellar');
    expect(text).toContain('Measured through the internal reference the supply is known to 14 mV rms.');
    expect(text).toContain('(2 · 2200 · 4096)/(2k + 1)');
    expect(said('beehive')).toContain('1300 · 4096/k');
    const noisy = said('beehive', { 'converter.noise': '30 LSB' });
    expect(noisy).toMatch(/\d+ conversions of it suffice/);
  });

  it('tell ripple in LSB', () => {
    const text = said('cellar', {
      'converter.reference.ripple': '5 mV',
      'converter.reference.rippleFrequency': '100 kHz',
    });
    expect(text).toMatch(/Ripple on the reference moves a conversion by 8\.46 LSB, the mean of 16 by/);
    expect(said('cellar')).toContain('591 µV on the reference move the top code by one LSB.');
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
    ['cellar', { 'power.supply': '2.2 V' }],
    ['cellar', { 'power.supply': '1 V' }],
    ['cellar', { 'sensor.top': '1 Mohm' }],
    ['cellar', { 'power.battery.internalResistance': '40 ohm', 'power.battery.coldResistance': '0 ohm' }],
    ['cellar', { 'converter.reference.source': 'external', 'converter.reference.voltage': '2.5 V ± 0.1 %' }],
    ['cellar', { 'converter.reference.source': 'supply', 'converter.reference.voltage': '3 V' }],
    [
      'beehive',
      { 'converter.internalReference.tolerance': '0 %', 'converter.internalReference.tempco': '0 ppm/K' },
    ],
    ['beehive', { 'converter.noise': '0 LSB', 'converter.offset': '0 LSB', 'converter.inl': '0 LSB' }],
    ['beehive', { 'conditions.coldest': '25 degC', 'conditions.warmest': '25 degC' }],
    ['beehive', { 'converter.reference.ripple': '20 mV' }],
    ['beehive', { 'sensor.r25': '1 ohm', 'conditioning.divider.resistor': '1 ohm' }],
  ] as [string, Record<string, string>][])('of %s, %o is whole', (name, changes) => {
    const session = sessionOn(name);
    expect(session.write(changes)).toBeUndefined();
    whole(session);
  });

  it('stands without what a worksheet need not give', () => {
    for (const name of ['beehive', 'cellar', 'workbench']) {
      whole(
        sessionOn(name, (document) => {
          for (const part of ['watchdog', 'power', 'calibration', 'conditions']) delete document[part];
          for (const want of ['resolution', 'step', 'uncertainty', 'latency', 'batteryLife'])
            delete document.requirement[want];
        }),
      );
    }
  });
});

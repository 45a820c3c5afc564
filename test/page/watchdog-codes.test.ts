import { describe, expect, it } from 'vitest';
import script from '../../notebooks/watchdog-codes.ts';
import { pageView } from '../../src/page/page.ts';
import { markdownText } from '../../src/page/text/markdown.ts';
import { terminalText } from '../../src/page/text/terminal.ts';
import { sessionOn } from './demo.ts';

const page = { name: 'watchdog-codes', ...script };
const shown = (name: string, changes: Record<string, string> = {}) => {
  const session = sessionOn(name);
  expect(session.write(changes)).toBeUndefined();
  return pageView(page, session, { pages: [{ name: page.name, short: page.short }] });
};
const said = (name: string, changes?: Record<string, string>): string =>
  terminalText(shown(name, changes)).replace(/\s+/g, ' ');

describe('the answer', () => {
  it('is the code, the register it goes to, and where it may trip', () => {
    const text = said('beehive');
    expect(text).toContain('Write low = 0x3230: every converter then trips above 37 °C.');
    expect(text).toContain('The curve falls, so the upper limit is kept by the low threshold.');
    // The highest transition of code 1606: (1605.5 + 3.5)·q·1.0012, through divider and thermistor.
    const volts = (1605.5 + 3.5) * (3 / 4096) * 1.0012;
    const ohms = (1e4 * volts) / (3 - volts);
    const celsius = 1 / (1 / 298.15 + Math.log(ohms / 1e4) / 3435) - 273.15;
    expect(text).toContain(`The first may trip from ${celsius.toFixed(3)} °C on`);
    expect(text).toContain(`may trip from ${celsius.toFixed(2)} °C`);
  });

  it('says that the pin is not settled, where that moves every trip point', () => {
    const text = said('cellar');
    expect(text).toContain('Write low = 0x934: every converter then trips below 4 V.');
    expect(text).toContain('The pin is not settled: readings are up to 438 mV low');
    expect(said('cellar', { 'sensor.top': '22 kohm', 'sensor.bottom': '10 kohm' })).not.toContain(
      'not settled',
    );
  });

  it('says why no code serves', () => {
    const text = said('cellar', { 'watchdog.below': '7.2 V' });
    expect(text).toContain('No code does this: below, 7.2 in volts: got 2.25');
    expect(text).toContain('4095 ≤ 4095 always trips');
    expect(text).toMatch(/watchdog < 7.2 V ✗ no code does this/);
  });

  it('stands without a watchdog, and a limit typed there makes one', () => {
    const text = said('workbench');
    expect(text).toContain('No watchdog is set: write a limit below and its codes appear.');
    expect(text).toContain('no safety function');
    expect(said('workbench', { 'watchdog.above': '60 degC' })).toContain('Write high = 0x0D47F');
    const session = sessionOn('workbench');
    const before = session.text;
    expect(session.write({ 'watchdog.above': '60 degC' })).toBeUndefined();
    expect(session.write({ 'watchdog.above': '' })).toBeUndefined();
    expect(session.text).toBe(before);
    expect(sessionOn('beehive').write({ 'watchdog.above': '' })).toMatch(/missing is a limit/);
  });
});

describe('the page', () => {
  it('does not call the window watchdog an analog one after its first mention, the caution apart', () => {
    const body = said('beehive').replace(/Caution\..*/, '');
    expect(body.match(/analog watchdog/g)).toEqual(['analog watchdog']);
    expect(body).toContain('analog watchdog (digital window comparator)');
  });

  it('marks codes that differ from the chosen one, and the chosen one', () => {
    const view = shown('beehive');
    const table = view.content.sections.flatMap((s) => s.body).find((b) => b.type === 'table');
    if (table?.type !== 'table') throw new Error('no table');
    expect(table.rows.length).toBe(28);
    const chosen = table.rows.filter((r) => r.standing === 'chosen');
    expect(chosen.map((r) => r.cells[4])).toEqual(['0x3230']);
    for (const r of table.rows) {
      const words = (r.verdicts ?? []).map((v) => v.text).join();
      expect(words).toBe(r.standing === 'chosen' ? 'chosen' : r.cells[4] === '0x3230' ? '' : 'another code');
    }
  });

  it('draws curves that pass from 0 to 100 %, half at the code', () => {
    const plot = shown('cellar')
      .content.sections.flatMap((s) => s.body)
      .find((b) => b.type === 'plot');
    if (plot?.type !== 'plot') throw new Error('no plot');
    const curve = plot.marks.find((m) => m.type === 'curve' && m.style === 'first');
    if (curve?.type !== 'curve') throw new Error('no curve');
    const [first, last] = [curve.points[0]!, curve.points.at(-1)!];
    // It trips below: from all at the low end to none at the high one.
    expect([first[1], last[1]]).toEqual([100, 0]);
    for (let i = 1; i < curve.points.length; i++)
      expect(curve.points[i]![1]).toBeLessThanOrEqual(curve.points[i - 1]![1]);
    const half = curve.points.find(([, y]) => y === 50)!;
    expect(half[0]).toBeCloseTo(2356 * (2.2 / 4096) * 3.2, 9);
    for (const mark of plot.marks) {
      if (mark.type !== 'curve') continue;
      for (const [x] of mark.points) {
        expect(x).toBeGreaterThanOrEqual(plot.x.from);
        expect(x).toBeLessThanOrEqual(plot.x.to);
      }
    }
  });

  it('the false alarms of the plot are those of the table', () => {
    const text = said('beehive');
    // d = 0.24912 LSB of σ 0.08323 is 2.993 σ: p = 1.380e-3, and 525 600 a year times p²/(1 + p) is one.
    expect(text).toContain(
      '7.16 m°C ahead of the threshold there is one false alarm a year, with 2 in a row.',
    );
    expect(text).toMatch(/2 7\.16 13\.8 2 min/);
  });

  const cases: [string, Record<string, string>][] = [
    ['beehive', {}],
    ['cellar', {}],
    ['workbench', {}],
    ['beehive', { 'watchdog.below': '30 degC' }],
    ['beehive', { 'watchdog.above': '1.9 V' }],
    ['beehive', { 'watchdog.above': '2.99 V', 'watchdog.below': '0.001 V' }],
    ['beehive', { 'watchdog.above': '900 degC' }],
    ['beehive', { 'watchdog.hysteresis': '', 'watchdog.consecutive': '' }],
    ['beehive', { 'watchdog.compare.stage': 'conversion', 'watchdog.compare.drop': '0' }],
    ['beehive', { 'watchdog.compare.bits': '4' }],
    ['beehive', { 'converter.noise': '0.01 LSB', 'watchdog.consecutive': '1000' }],
    [
      'workbench',
      { 'watchdog.above': '60 degC', 'watchdog.below': '20 degC', 'watchdog.intent': 'must-not-trip' },
    ],
    ['cellar', { 'averaging.ratio': '1', 'averaging.shift': '0', 'requirement.period': '0.1 s' }],
  ];
  it.each(cases)(
    '%s %j: stands within 80 columns and in Markdown, without a figure that is none',
    (name, changes) => {
      const view = shown(name, changes);
      const text = terminalText(view);
      expect(Math.max(...text.split('\n').map((line) => [...line].length))).toBeLessThanOrEqual(80);
      for (const whole of [text, markdownText(view), JSON.stringify(view.content)]) {
        expect(whole).not.toMatch(/NaN|undefined|Infinity|\b000\b\s*%/);
      }
    },
  );
});

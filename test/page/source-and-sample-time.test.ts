import { describe, expect, it } from 'vitest';
import script from '../../notebooks/source-and-sample-time.ts';
import type { Table } from '../../src/page/blocks.ts';
import { pageView } from '../../src/page/page.ts';
import type { Session } from '../../src/page/session.ts';
import { markdownText } from '../../src/page/text/markdown.ts';
import { terminalText } from '../../src/page/text/terminal.ts';
import { sessionOn } from './demo.ts';

const page = { name: 'source-and-sample-time', ...script };
const viewOf = (session: Session) =>
  pageView(page, session, { pages: [{ name: page.name, short: page.short }] });
const shown = (name: string, changes: Record<string, string> = {}) => {
  const session = sessionOn(name);
  expect(session.write(changes)).toBeUndefined();
  return viewOf(session);
};
const said = (name: string, changes?: Record<string, string>): string =>
  terminalText(shown(name, changes)).replace(/\s+/g, ' ');

describe('the answer', () => {
  it('is the shortest sample time that settles, with what the chosen one does to the reading', () => {
    const text = said('cellar');
    expect(text).toContain('Sample for 130 cycles, 130 µs: 0.030 LSB are left, where 0.25 LSB are allowed.');
    expect(text).toContain('You have chosen 24 cycles, 24 µs: the mean of 16 reads 438 mV low (255 LSB).');
    expect(text).toContain('✗ Leakage may move the reading by 176 mV, whatever the sample time.');
    expect(said('cellar', { 'sampling.sampleCycles': '130' })).toContain('This is what you have chosen.');
  });

  it('shrinks what is allowed with the code of the result', () => {
    // A quarter of a result code: 2^3/64 and 2^2/256 of a native one.
    expect(said('beehive')).toContain('0.0313 LSB of one conversion, since a result code is worth 0.125 LSB');
    expect(said('workbench')).toContain('It takes 20.6 ns to come within 0.00391 LSB.');
  });

  it('says when no sample time is long enough, and what would serve', () => {
    const text = said('cellar', { 'sensor.top': '22 Mohm', 'sensor.bottom': '10 Mohm' });
    expect(text).toContain(
      'No sample time of this converter serves at this clock: the longest that fits serves a source of 2.03 MΩ, and this one has 6.88 MΩ.',
    );
    expect(text).toContain('What else would serve');
    expect(text).toMatch(/At a clock of \d+ kHz, \d+ cycles leave/);
  });
});

describe('the sections', () => {
  it('bring both windows, the kick, the delay, leakage and the rules', () => {
    const cellar = said('cellar');
    expect(cellar).toContain('As the switch closes the pin jumps by 1.06 V.');
    expect(cellar).toContain('only a large capacitor at the pin serves, from 1.14 µF on');
    expect(cellar).toContain('Read 40 µs after waking; leaving out conversions does not help.');
    expect(cellar).toContain('Leakage moves the pin by up to 55 mV: 176 mV in the reading.');
    expect(cellar).toContain('Nine time constants promise 0.51 LSB; the mean of 16 keeps 17 LSB.');
    expect(said('workbench')).toContain('The pin may have up to 565 pF or from 2.35 nF on, not between.');
    expect(said('beehive', { 'conditioning.capacitor': '10 nF' })).toMatch(
      /The pin needs \d+ µs and is given 20 µs/,
    );
  });

  it('mark the chosen setting, the recommended one and the limit in the plot', () => {
    const { sections } = shown('cellar').content;
    const plots = sections.flatMap((s) => s.body).filter((block) => block.type === 'plot');
    expect(plots.map((p) => p.name)).toEqual(['waveform', 'settling', 'pin']);
    const marks = plots[1]!.marks;
    expect(
      marks.flatMap((m) => (m.type === 'point' && m.standing !== 'plain' ? [[m.x, m.text]] : [])),
    ).toEqual([
      [130, 'recommended: 130 cycles: 0.0296\u202fLSB'],
      [24, 'chosen: 24 cycles: 255\u202fLSB'],
    ]);
    expect(marks.find((m) => m.type === 'limit')!.y).toBe(0.25);
    const table = sections.flatMap((s) => s.body).find((block) => block.type === 'table')!;
    expect(table.rows.map((r) => r.cells[0])).toEqual(['3', '6', '11', '24', '57', '130', '310']);
    expect(table.rows.every((r) => r.choose)).toBe(true);
  });

  it('tell the crosstalk of a scan', () => {
    const session = sessionOn('beehive', (document) => {
      document.scan = {
        channels: [{ name: 'battery', voltage: '0.2 V', sourceResistance: '200 kohm' }],
        discard: 1,
      };
    });
    expect(terminalText(viewOf(session))).toMatch(/In the scan a channel receives up to/);
  });
});

describe('which two resistors', () => {
  const pairTable = (session: Session) => {
    const tables = viewOf(session).content.sections.flatMap((s) => s.body);
    return tables.find((block) => block.type === 'table' && block.name === 'divider-pairs') as Table;
  };

  it('names what bites where no pair keeps what is wanted, and what to change', () => {
    const text = said('cellar');
    expect(text).toContain(
      'No two resistors under 2 µA keep 100 mV: leakage alone may move the nearest by 176 mV.',
    );
    // 80 nA through 2.2 MΩ || 1.1 MΩ = 733 kΩ, and three times that: by hand.
    expect(text).toContain(
      '80 nA of leakage through the 733 kΩ that the pin sees are 58.7 mV there and 176 mV in the reading',
    );
    expect(text).toContain('390 kΩ above and 180 kΩ below draw least of those that keep everything, 11.2 µA');
    expect(text).toContain('below the lower one it would let the pin rise to 6.4 V while it is open');
    // 6.4 V/3.3 MΩ over 8760 h, and of 2 Ah: by hand.
    expect(text).toContain('1.94 µA at 6.4 V: 17.0 mAh a year, 0.85 % of the battery');
    expect(text).toContain('V = k × 1 × 2200 mV/2^12 × 3/1');
    expect(text).toContain('Into firmware has the integers');
  });

  it('says what else is too much where leakage is not all of it', () => {
    const text = said('cellar', { 'requirement.uncertainty': '50 mV' });
    expect(text).toContain('Up to 20 µA no other pair keeps it either.');
    expect(text).toContain('Closer resistors, or a calibration at one point of each board');
    expect(text).toMatch(
      /Without any leakage they would still be off by 91.8 mV: the resistors’ tolerance 85/,
    );
    const dry = said('cellar', { 'requirement.uncertainty': '150 mV', 'converter.leakage': '2 uA' });
    expect(dry).toContain('A pin that leaks less, a buffer ahead of it, or a cooler board is what remains.');
  });

  it('recommends the pair that reads nearest, and tells what it would be off by', () => {
    const text = said('cellar', { 'requirement.uncertainty': '250 mV' });
    expect(text).toContain('Under 2 µA, 2.2 MΩ above and 1.1 MΩ below read nearest: 219 mV in all.');
    expect(text).toContain('recommended: reads nearest');
    expect(text).not.toContain('Either allow more');
  });

  it('a row takes both resistors, and a step back takes both back', () => {
    const session = sessionOn('cellar');
    const before = session.text;
    const { rows } = pairTable(session);
    expect(rows.map((r) => r.standing === 'chosen')).toEqual(rows.map((_, i) => i === 0));
    // What is more than wanted carries the mark where its figure stands.
    expect(rows.map((r) => r.cells[9])).toContainEqual({ text: '219', miss: true });
    expect(session.write(rows[2]!.choose!.changes)).toBeUndefined();
    const { sensor } = session.worksheet.inputs;
    expect(sensor.kind === 'divider' && [sensor.top.value, sensor.bottom.value]).toEqual([3e6, 1.5e6]);
    // The tolerance stays a part of the resistor.
    expect(sensor.kind === 'divider' && sensor.top.spread).toBeCloseTo(3e4, 6);
    expect(
      pairTable(session)
        .rows.find((r) => r.standing === 'chosen')!
        .cells.slice(0, 2),
    ).toEqual(['3\u202fMΩ', '1.5\u202fMΩ']);
    expect(session.address()).toContain('sensor.top=3%20Mohm');
    session.goBack();
    expect(session.text).toBe(before);
  });

  it('has no such section for another sensor, and needs no divider below the reference', () => {
    expect(pairTable(sessionOn('beehive'))).toBeUndefined();
    const low = {
      'requirement.range.low': '1 V',
      'requirement.range.high': '2 V',
      'watchdog.below': '1.5 V',
    };
    expect(said('cellar', low)).toContain('The pin takes 2 V as it is: no divider is needed.');
  });

  it('speaks of the series and the current that are not given', () => {
    const text = said('cellar', { 'sensor.allowedCurrent': '', 'sensor.series': '' });
    expect(text).toContain(
      'What the two may draw at 6.4 V: not given, so the 2 µA of the present pair count.',
    );
    expect(text).toContain('Their series: not given, so E24.');
  });

  it('warns of the cell where the worksheet measures one', () => {
    const session = sessionOn('cellar', (document) => {
      delete document.power;
      delete document.requirement.batteryLife;
    });
    expect(terminalText(viewOf(session))).toContain('Lithium cells: never short');
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
    ['cellar', { 'converter.capacitorStarts': 'own' }],
    ['beehive', { 'converter.capacitorStarts': 'previous' }],
    ['cellar', { 'averaging.ratio': '1', 'averaging.shift': '0' }],
    ['cellar', { 'conditioning.capacitor': '2.2 uF' }],
    ['beehive', { 'converter.previousVoltage': '3 V' }],
    ['cellar', { 'requirement.settling': '1000 LSB' }],
    ['beehive', { 'converter.leakage': '0 A' }],
    ['cellar', { 'sensor.top': '1 Gohm', 'sensor.bottom': '1 Gohm' }],
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
          for (const part of ['watchdog', 'power', 'calibration']) delete document[part];
          for (const want of ['resolution', 'step', 'uncertainty', 'latency'])
            delete document.requirement[want];
        }),
      );
    }
  });
});

import { describe, expect, it } from 'vitest';
import script from '../../notebooks/noise-and-dither.ts';
import { formatNumber } from '../../src/numbers/format.ts';
import type { Point } from '../../src/page/blocks.ts';
import { pageView } from '../../src/page/page.ts';
import type { Session } from '../../src/page/session.ts';
import { markdownText } from '../../src/page/text/markdown.ts';
import { terminalText } from '../../src/page/text/terminal.ts';
import { sessionOn } from './demo.ts';

const page = { name: 'noise-and-dither', ...script };
const viewOf = (session: Session) =>
  pageView(page, session, { pages: [{ name: page.name, short: page.short }] });
const shown = (name: string, changes: Record<string, string> = {}) => {
  const session = sessionOn(name);
  expect(session.write(changes)).toBeUndefined();
  return viewOf(session);
};
const said = (name: string, changes?: Record<string, string>): string =>
  terminalText(shown(name, changes)).replace(/\s+/g, ' ');

/** Three digits, as the page prints them. */
const three = (value: number): string => formatNumber({ value, digits: 3 });

/** The workbench by hand: platinum by its equation and 2.1 Ω of leads, below 4.7 kΩ, 12 bits; 0.6 LSB of 14 bits are 0.15. */
const platinum = (t: number): number => 1000 * (1 + 3.9083e-3 * t - 5.775e-7 * t * t) + 2.1;
const codeAt = (t: number): number => (4096 * platinum(t)) / (platinum(t) + 4700);
const perCode = 0.001 / (codeAt(95) - codeAt(94.999));
// Below 0.15 LSB the mean square of the ripple is 1/12 − σ/√π + σ².
const ripple = Math.sqrt(1 / 12 - 0.15 / Math.sqrt(Math.PI) + 0.15 ** 2);

describe('the answer', () => {
  it('says that there is too little noise, and what stays', () => {
    expect(said('workbench')).toContain(
      `✗ There is too little noise: 0.15 LSB rms leaves steps of ${three(1000 * ripple * perCode)} m°C rms in the mean, at any ratio.`,
    );
  });

  it('says what the mean is worth, the rule beside it, and the dither that is missing', () => {
    const bits = 12 - Math.log2(Math.sqrt(12 * (ripple ** 2 + (0.15 ** 2 + 1 / 12 - ripple ** 2) / 256)));
    const text = said('workbench');
    // The shift by 2 costs less than a hundredth of a bit.
    expect(text).toContain(
      `At 256, shift 2 the mean is worth ${three(bits)} bits, and hardly more at any ratio`,
    );
    expect(text).toContain('the half-bit rule promises 16.');
    // The best total at 256 is 0.3974 LSB.
    expect(text).toContain(
      `Dither of ${three(Math.sqrt(0.3974 ** 2 - 0.15 ** 2))} LSB rms, 270 µV at the pin`,
    );
  });

  it('says that there is enough', () => {
    expect(said('beehive')).toContain('✓ There is noise enough to average 64 conversions');
    expect(said('cellar')).toContain('leaves next to nothing of the steps in the mean');
    expect(said('beehive', { 'converter.noise': '0.25 LSB', 'averaging.ratio': '8' })).toContain(
      '✗ There is hardly enough noise',
    );
  });

  it('says that the noise is of the wrong kind', () => {
    expect(said('beehive', { 'noise.flickerCorner': '2 kHz' })).toContain(
      '✗ There is noise enough, but not of the right kind: past 4 conversions averaging hardly lowers it.',
    );
  });

  it('agrees with the dither that it offers', () => {
    const session = sessionOn('workbench');
    const { also } = viewOf(session).content;
    const screen = also.find((p) => typeof p !== 'string' && p.type === 'screen');
    const offered = screen && typeof screen !== 'string' && screen.type === 'screen' ? screen.text : [];
    const action = offered.find((p) => typeof p !== 'string' && p.type === 'action');
    if (!action || typeof action === 'string' || action.type !== 'action') throw new Error('nothing offered');
    expect(session.write(action.changes)).toBeUndefined();
    const text = terminalText(viewOf(session)).replace(/\s+/g, ' ');
    expect(text).toContain('✓ There is noise enough to average 256 conversions: 0.397 LSB rms');
    expect(session.evaluation.requirements.find((r) => r.name === 'resolution')!.met).toBe(true);
  });
});

describe('the sections', () => {
  it('bring every way to dither, and the resistor of a triangle', () => {
    const text = said('workbench');
    for (const words of ['noise added to the best', 'steps at random, evenly', 'ramp in step with the burst'])
      expect(text).toContain(words);
    // One code of 3 V/4096 through a divider of the source of 2.05 kΩ, in two digits.
    expect(text).toContain('A triangle does it through 8.4 MΩ.');
    expect(text).toContain('swings 3 V peak to peak at 78.1 Hz');
    expect(said('beehive')).toContain('Dither has nothing to add.');
  });

  it('bring the data sheet’s line, filters, INL, the shift’s bias and the clamp', () => {
    const text = said('beehive');
    expect(text).toContain('One reading is good to ±5.45 m°C (2σ).');
    // Seven codes of 3.76 m°C.
    expect(text).toContain('A shift filter over readings can stay 26.3 m°C short for ever.');
    expect(text).toContain('INL of 1.5 LSB stays, 45.1 m°C');
    // 3 LSB of 14 bits.
    expect(said('workbench')).toContain(`INL of 0.75 LSB stays, ${three(750 * perCode)} m°C`);
    // Truncating 3 bits: 7/16 of a result code.
    expect(text).toContain('results read 0.438 of a result code low, 1.64 m°C. Add 4 to the sum');
    // σ = 0.6: Q(0.5/0.6) + Q(1.5/0.6) + … = 0.2023 + 0.0062.
    expect(text).toContain('0.209 LSB, since what noise would put below is lost');
    expect(said('beehive', { 'averaging.shift': '0' })).toContain('The whole sum is kept');
  });

  it('tell the lag of a moving input', () => {
    // 60 m°C a second, 255 intervals of 50 µs, half of them.
    expect(said('workbench', { 'noise.drift': '3.6 K' })).toContain('The mean lags 383 µ°C behind');
    expect(said('workbench')).toContain('A burst lasts 12.8 ms: its mean belongs to the middle of it.');
  });

  it('mark what is there and what is best in the plots', () => {
    const { sections } = shown('workbench').content;
    const plots = sections.flatMap((s) => s.body).filter((block) => block.type === 'plot');
    expect(plots.map((p) => p.name)).toEqual(['staircase', 'dither', 'parts']);
    const points = (name: string) =>
      plots.find((p) => p.name === name)!.marks.filter((m): m is Point => m.type === 'point');
    expect(points('dither').map((p) => p.standing)).toEqual(['recommended', 'chosen']);
    expect(points('parts').map((p) => [p.standing, p.x])).toEqual([
      ['recommended', 8],
      ['chosen', 256],
    ]);
    expect(plots[2]!.marks.some((m) => m.type === 'limit')).toBe(true);
  });
});

describe('inputs that are not given', () => {
  it('say so, are taken when written, and left out again when emptied', () => {
    const session = sessionOn('workbench');
    expect(session.field('noise.flickerCorner').text).toBe('not given');
    expect(session.write({ 'noise.flickerCorner': '100 Hz' })).toBeUndefined();
    expect(session.evaluation.worksheet.inputs.noise?.flickerCorner?.value).toBe(100);
    expect(session.field('noise.flickerCorner').changedFrom).toBe('not given');
    expect(session.write({ 'noise.flickerCorner': '' })).toBeUndefined();
    expect(session.evaluation.worksheet.inputs.noise).toBeUndefined();
    expect(session.changes.size).toBe(0);
  });
});

describe('every page text', () => {
  const everything = {
    'noise.sourceRms': '0.2 mV',
    'noise.sourceTime': '1 ms',
    'noise.flickerCorner': '1 kHz',
    'noise.observation': '1 day',
  };
  it.each([
    ['beehive', {}],
    ['cellar', {}],
    ['workbench', {}],
    ['beehive', { ...everything, 'noise.drift': '60 K' }],
    ['cellar', { ...everything, 'noise.drift': '1 V' }],
    ['workbench', { ...everything, 'noise.drift': '6000 K' }],
    ['workbench', { 'averaging.ratio': '1', 'averaging.shift': '0' }],
    ['workbench', { 'averaging.ratio': '2', 'averaging.shift': '0' }],
    ['beehive', { 'converter.noise': '0 LSB' }],
    ['beehive', { 'converter.noise': '300 LSB' }],
  ] as [string, Record<string, string>][])(
    'of %s with %o is whole: no gap in a figure, no line over 80 columns',
    (name, changes) => {
      const view = shown(name, changes);
      const terminal = terminalText(view);
      expect(`${terminal}${markdownText(view)}${JSON.stringify(view.content)}`).not.toMatch(
        /NaN|undefined|Infinity|\[object/,
      );
      expect(Math.max(...terminal.split('\n').map((line) => [...line].length))).toBeLessThanOrEqual(80);
    },
  );

  it('stands without what a worksheet need not give', () => {
    const session = sessionOn('beehive', (document) => {
      delete document.watchdog;
      delete document.power;
      delete document.calibration;
      delete document.requirement.resolution;
      delete document.requirement.step;
    });
    const text = terminalText(viewOf(session));
    expect(text).toContain('One reading is good to');
    expect(text).not.toMatch(/NaN|undefined/);
  });

  it('is the same for the same inputs', () => {
    expect(terminalText(shown('workbench'))).toBe(terminalText(shown('workbench')));
  });
});

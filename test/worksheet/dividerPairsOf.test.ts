import { describe, expect, it } from 'vitest';
import { dividerPairs } from '../../src/chain/conditioning/dividerPairs.ts';
import { seriesValues } from '../../src/numbers/eseries.ts';
import { asciiQuantity } from '../../src/numbers/format.ts';
import { dividerPairsOf, mostCurrent, type WorksheetPairs } from '../../src/worksheet/dividerPairsOf.ts';
import { evaluate } from '../../src/worksheet/evaluate.ts';
import { readWorksheet } from '../../src/worksheet/read.ts';
import { withValues } from '../../src/worksheet/write.ts';
import { expectNear } from '../close.ts';
import { demo, profiles } from './demos.ts';

const own = demo('cellar');
/** Each board compared with a standard at two voltages. */
const calibrated = readWorksheet({
  text: JSON.stringify({
    ...JSON.parse(own.text),
    calibration: {
      points: [
        { at: '4 V', uncertainty: '2 mV' },
        { at: '6 V', uncertainty: '2 mV' },
      ],
    },
  }),
  profiles,
});

/** The cellar's worksheet, with a sample time that leaves next to nothing, and changes. */
const cellar = (changes: Record<string, string> = {}, worksheet = own) =>
  evaluate({ worksheet: withValues(worksheet, { 'sampling.sampleCycles': '310', ...changes }) });
const pairsOf = (changes?: Record<string, string>, worksheet = own): WorksheetPairs => {
  const pairs = dividerPairsOf(cellar(changes, worksheet));
  if (typeof pairs !== 'object') throw new Error(`got ${pairs}`);
  return pairs;
};
const resistors = ({ upper, lower }: { upper: number; lower: number }) => ({
  'sensor.top': asciiQuantity({ value: upper, unit: 'ohm' }),
  'sensor.bottom': asciiQuantity({ value: lower, unit: 'ohm' }),
});

describe('a pair is judged as the worksheet would be with it', () => {
  it.each([
    ['as it is', {}, own],
    ['a series of 1 %', { 'sensor.series': 'E96' }, own],
    ['behind a resistor at the pin', { 'conditioning.seriesResistor': '100 kohm' }, own],
    ['calibrated', {}, calibrated],
  ])('%s: every row gives what the worksheet written with it evaluates to', (_, changes, worksheet) => {
    for (const row of pairsOf(changes, worksheet).rows) {
      const e = cellar({ ...changes, ...resistors(row) }, worksheet);
      expect(row.codes).toEqual([3.6, 6.4].map((v) => e.reading.codeAt(v)));
      expectNear(row.perCode, e.reading.step, 1e-9);
      expect(row.sampleCycles).toBe(e.sampling.minSampleCycles);
      const multiplier = row.upper / row.lower + 1;
      expectNear(row.leakage.measurand, 80e-9 * row.leakage.sourceResistance * multiplier, 1e-9);
      // What has not settled counts there, but not in a row.
      if (e.sampling.minSampleCycles === 'none') continue;
      const left = 2 * Math.abs(e.sampling.settlingErrorMeasurand);
      expectNear(row.budget!.expanded, e.uncertainty.present.expanded, 1e-4, '', left);
      expect(row.missed.map((m) => m.name)).toEqual(
        e.requirements
          .filter((r) => !r.met && ['uncertainty', 'step', 'resolution'].includes(r.name))
          .map((r) => r.name),
      );
    }
  });

  it('the capacitor named settles the pair at the present sample time, and the next smaller one does not', () => {
    const changes = { 'sampling.sampleCycles': '24' };
    const { nearest } = pairsOf(changes);
    const met = (capacitor: number): boolean =>
      cellar({
        ...changes,
        ...resistors(nearest!),
        'conditioning.capacitor': asciiQuantity({ value: capacitor, unit: 'F' }),
      }).requirements.find((r) => r.name === 'settling')!.met;
    expect(nearest!.capacitor).toBe(1.5e-6);
    expect(met(1.5e-6)).toBe(true);
    expect(met(1e-6)).toBe(false);
  });
});

describe('what serves', () => {
  it('the pair that draws least of those that keep everything: no other pair of the series that draws less does', () => {
    const p = pairsOf({ 'sensor.series': 'E12' });
    expect(p.serves).toBe(false);
    const least = p.least!;
    const kept = (pair: { upper: number; lower: number }): boolean => {
      const e = cellar(resistors(pair));
      const atPin = (6.4 * pair.lower * 1.01) / (pair.upper * 0.99 + pair.lower * 1.01);
      return atPin <= p.largestAtPin && e.uncertainty.present.expanded <= 0.1 && e.reading.step <= 0.005;
    };
    expect(kept(least)).toBe(true);
    const values = [1e4, 1e5, 1e6, 1e7].flatMap((d) =>
      seriesValues({ series: 'E12' }).map((v) => Number((v * d).toPrecision(3))),
    );
    let tried = 0;
    for (const upper of values) {
      for (const lower of values) {
        const current = 6.4 / (upper + lower);
        if (current >= least.current * (1 - 1e-9) || upper > 10e6 || lower > upper) continue;
        tried++;
        expect(kept({ upper, lower }), `${upper} and ${lower}`).toBe(false);
      }
    }
    expect(tried).toBeGreaterThan(200);
    expect(least.current).toBeLessThanOrEqual(mostCurrent * p.allowedCurrent);
    // Switched for 10 ms of an hour at most, it draws next to nothing.
    expect(least.switched.switched).toBeLessThan(least.current * 3e-6);
  });

  it('steps too wide: the pair uses enough of the range, and every one that draws less is coarser or further off', () => {
    const changes = { 'requirement.step': '1.62 mV', 'requirement.uncertainty': '0.15 V' };
    const { least, nearest } = pairsOf(changes);
    expect(nearest!.missed.map((m) => m.name)).toEqual(['uncertainty']);
    const e = cellar({ ...changes, ...resistors(least!) });
    expect(e.reading.step).toBeLessThanOrEqual(1.62e-3);
    expect(e.uncertainty.present.expanded).toBeLessThanOrEqual(0.15);
    const { pairs } = dividerPairs({
      highest: 6.4,
      largestAtPin: 2.178,
      largestCurrent: 2e-5,
      tolerance: 0.01,
    });
    for (const pair of pairs.filter((p) => p.current < least!.current)) {
      const other = cellar({ ...changes, ...resistors(pair) });
      expect(other.reading.step <= 1.62e-3 && other.uncertainty.present.expanded <= 0.15).toBe(false);
    }
    // No pair of the series has codes so fine.
    expect(pairsOf({ 'requirement.step': '1.5 mV' }).least).toBeUndefined();
  });

  it('within what is allowed: the nearest is marked by having missed nothing, and reads nearest of the rows', () => {
    const p = pairsOf({ 'requirement.uncertainty': '0.25 V' });
    expect(p.serves).toBe(true);
    expect(p.least).toBeUndefined();
    const others = p.rows.filter((r) => r.current <= 2e-6).map((r) => r.budget!.expanded);
    expect(p.nearest!.budget!.expanded).toBe(Math.min(...others));
  });

  it('without leakage: what is left is what a pin that does not leak would leave', () => {
    const p = pairsOf();
    const dry = cellar({ ...resistors(p.nearest!), 'converter.leakage': '0 A' });
    expectNear(p.withoutLeakage!, dry.uncertainty.present.expanded, 1e-3);
  });
});

describe('its ends', () => {
  it('what the present pair draws counts where nothing is said, and E24', () => {
    const worksheet = withValues(own, {
      'sensor.allowedCurrent': undefined,
      'sensor.series': undefined,
    });
    const p = dividerPairsOf(evaluate({ worksheet })) as WorksheetPairs;
    expect([p.stated, p.allowedCurrent, p.series]).toEqual([false, 6.4 / 3.2e6, 'E24']);
  });

  it('a present pair that draws too much, or takes the pin too high, misses that', () => {
    const missed = (changes: Record<string, string>) => pairsOf(changes).present.missed.map((m) => m.name);
    expect(missed({ 'sensor.allowedCurrent': '1 uA' })).toContain('current');
    expect(missed({ 'sensor.bottom': '1.2 Mohm' })).toContain('pin');
    expect(pairsOf({ 'sensor.bottom': '1.2 Mohm' }).present.budget).toBeUndefined();
  });

  it('no pair up to 10 MΩ draws so little', () => {
    const p = pairsOf({ 'sensor.allowedCurrent': '0.2 uA' });
    expect(p.nearest).toBeUndefined();
    expect(p.rows.map((r) => r.present)).toEqual([true]);
  });

  it('nothing for another sensor; needless where the pin takes the whole voltage', () => {
    expect(dividerPairsOf(evaluate({ worksheet: demo('beehive') }))).toBeUndefined();
    const low = {
      'requirement.range.low': '1 V',
      'requirement.range.high': '2 V',
      'watchdog.below': '1.5 V',
    };
    expect(dividerPairsOf(cellar(low))).toBe('needless');
  });
});

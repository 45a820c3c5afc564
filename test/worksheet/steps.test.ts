import { describe, expect, it } from 'vitest';
import { allowedTexts, stepped } from '../../src/worksheet/steps.ts';
import { withValue } from '../../src/worksheet/write.ts';
import { demo } from './demos.ts';

const beehive = demo('beehive');

describe('arrow keys', () => {
  const cases: readonly [path: string, down: string, up: string][] = [
    // The profile's own ladders.
    ['averaging.ratio', '32', '128'],
    ['averaging.shift', '2', '4'],
    ['sampling.sampleCycles', '5', '14'],
    ['sampling.bits', '10', 'none'],
    // 4 and 3 would be faster than the converter may be clocked, so 6 → 4 is the least.
    ['sampling.clockDivider', '4', '8'],
    // E24, as [IEC60063] has it: 9.1, 10, 11.
    ['conditioning.divider.resistor', '9.1 kohm', '11 kohm'],
    // Round numbers.
    ['requirement.range.low', '19 degC', '21 degC'],
    ['requirement.step', '2 mK', '10 mK'],
    ['requirement.resolution', '10 mK', '50 mK'],
    ['requirement.period', '30 s', '2 min'],
    ['converter.noise', '0.5 LSB', '0.7 LSB'],
    ['watchdog.above', '36.5 degC', '37.5 degC'],
    ['watchdog.consecutive', '1', '3'],
    ['conditioning.divider.side', 'none', 'high'],
    ['conditioning.excitation.switched', 'false', 'none'],
    // A figure that the worksheet leaves to the profile.
    ['converter.inl', '1.4 LSB', '1.6 LSB'],
    // No steps.
    ['sensor.beta', 'none', 'none'],
    ['title', 'none', 'none'],
    ['requirement.latency', 'none', 'none'],
    ['nothing.there', 'none', 'none'],
  ];
  it.each(cases)('%s', (path, down, up) => {
    expect([stepped(beehive, path, 'down'), stepped(beehive, path, 'up')]).toEqual([down, up]);
  });

  it('go from a value between two steps to its neighbours', () => {
    const odd = withValue(
      withValue(beehive, 'conditioning.divider.resistor', '5.84 kohm'),
      'converter.noise',
      '0.64 LSB',
    );
    expect(stepped(odd, 'conditioning.divider.resistor', 'up')).toBe('6.2 kohm');
    expect(stepped(odd, 'conditioning.divider.resistor', 'down')).toBe('5.6 kohm');
    expect(stepped(odd, 'converter.noise', 'up')).toBe('0.7 LSB');
    expect(stepped(odd, 'converter.noise', 'down')).toBe('0.6 LSB');
  });

  it('are not misled by the rounding of decimals', () => {
    // In doubles 0.7/0.1 is below 7.
    const at = (text: string) => withValue(beehive, 'converter.noise', text);
    expect(stepped(at('0.7 LSB'), 'converter.noise', 'up')).toBe('0.8 LSB');
    expect(stepped(at('1.10000000001 LSB'), 'converter.noise', 'down')).toBe('1 LSB');
  });

  it('stop at the ends', () => {
    const one = withValue(beehive, 'averaging.ratio', '1');
    expect(stepped(one, 'averaging.ratio', 'down')).toBe('none');
    const still = withValue(beehive, 'converter.noise', '0 LSB');
    expect(stepped(still, 'converter.noise', 'down')).toBe('none');
  });

  it('always reach a value that the worksheet takes', () => {
    for (const [path] of cases) {
      for (const direction of ['up', 'down'] as const) {
        const text = stepped(beehive, path, direction);
        if (text !== 'none') expect(withValue(beehive, path, text).hash, path).not.toBe(beehive.hash);
      }
    }
  });
});

describe('lists', () => {
  it('are those of the profile, or choices', () => {
    expect(allowedTexts(beehive, 'sampling.sampleCycles')).toEqual([
      '2',
      '5',
      '8',
      '14',
      '25',
      '46',
      '88',
      '170',
    ]);
    expect(allowedTexts(beehive, 'averaging.ratio')?.slice(0, 3)).toEqual(['1', '2', '4']);
    expect(allowedTexts(beehive, 'sampling.clockDivider')).toEqual([
      '4',
      '6',
      '8',
      '12',
      '16',
      '24',
      '48',
      '96',
      '192',
    ]);
    expect(allowedTexts(beehive, 'averaging.rounding')).toEqual(['truncate']);
    expect(allowedTexts(beehive, 'watchdog.intent')).toEqual(['must-trip', 'must-not-trip']);
    expect(allowedTexts(beehive, 'requirement.step')).toBeUndefined();
    // Software averages any ratio; the arrow keys go through powers of two.
    expect(allowedTexts(demo('cellar'), 'averaging.ratio')?.at(-1)).toBe('4096');
  });
});

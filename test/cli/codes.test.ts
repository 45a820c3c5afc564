import { describe, expect, it } from 'vitest';
import { halfbit } from './halfbit.ts';

const codes = (...args: string[]) => halfbit(['codes', ...args]);

describe('codes', () => {
  it('those of the worksheet, within 80 columns', () => {
    const { code, out, err } = codes();
    expect([code, err]).toEqual([0, '']);
    expect(out).toMatch(/^low +12848 +0x3230 +36\.657 °C +36\.798 °C +36\.968 °C$/m);
    expect(out).toMatch(/^ +12 +64 +3 +12848 +0x3230 +chosen$/m);
    expect(out.split('\n').every((line) => [...line].length <= 80)).toBe(true);
  });

  it('limits given in ohms, volts or degrees, and their guarantee', () => {
    const ohms = JSON.parse(codes('--json', '--above', '4k7').out);
    // Above 4.7 kΩ the pin is above 3·4.7/14.7 V; a must-trip: every transition highest, no code below u(V).
    const highest = Math.floor((((3 * 4.7) / 14.7) * 4096) / (3 * 1.0012) - 3.5 + 0.5);
    expect(ohms.high.code).toBe(((((64 * highest) >> 3) >> 4) - 1) << 4);
    expect(ohms.limits[0]).toMatchObject({ side: 'above', value: 4700, unit: 'ohm', in: 'resistance' });
    const volts = JSON.parse(codes('--json', '--above', '1.2 V', '--intent', 'must-not-trip').out);
    const most = Math.floor((1.2 * 4096) / (3 * 0.9988) + 3.5 + 0.5);
    expect(volts.high.code).toBe((((64 * most) >> 3) >> 4) << 4);
    expect(volts).toMatchObject({ swapped: false, intent: 'must-not-trip' });
    expect(JSON.parse(codes('--json', '--below', '-5 degC').out).high.limit.value).toBe(-5);
  });

  it('a missed requirement is told and is exit code 1', () => {
    const { code, out } = codes('data/worksheets/cellar.json');
    expect(code).toBe(1);
    expect(out).toContain('settling 255 LSB, 0.25 LSB wanted');
    expect(out).toMatch(/^low +2356 +0x934 /m);
  });

  it.each([
    [['data/worksheets/workbench.json'], 'the worksheet has no watchdog; give a limit by --above or --below'],
    [['--above', '3'], '--above: "3" has no unit'],
    [['--above', '3 s'], 'is a time'],
    [['--above', '37 degC', '--below', '1 V'], 'the two limits are in different units'],
    [['--above', '4 V', '--intent', 'must-not-trip'], '2048 > 2047 never trips'],
    [['--intent', 'maybe'], '--intent: got "maybe"; allowed must-trip, must-not-trip'],
  ])('bad input ends with 2 and one sentence: %j', (args, message) => {
    const { code, out, err } = codes(...args);
    expect([code, out]).toEqual([2, '']);
    expect(err).toContain(message);
    expect(err).not.toMatch(/\bat .*:\d+:\d+/);
  });
});

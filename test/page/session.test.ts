import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { sessionOn } from './demo.ts';

describe('a session', () => {
  it('keeps the last good worksheet and says why a change is refused', () => {
    const session = sessionOn('beehive');
    const { text } = session;
    expect(session.write({ 'requirement.period': '1' })).toBe(
      'Reading period: "1" has no unit; write 1 s, 1 min or 1 h. The figures still use the last good value, 1\u202fmin.',
    );
    expect(session.text).toBe(text);
    expect(() => session.write({ nothing: '1' })).toThrow('the worksheet has no input "nothing"');
  });

  it('goes back and forward over its steps, byte for byte', () => {
    const session = sessionOn('beehive');
    const texts = [session.text];
    for (const noise of ['0.3 LSB', '0.4 LSB', '1 LSB']) {
      expect(session.write({ 'converter.noise': noise })).toBeUndefined();
      texts.push(session.text);
    }
    expect(session.undo).toBe('conversion noise 1\u202fLSB to 0.4\u202fLSB');
    for (const text of texts.slice(0, -1).reverse()) {
      session.goBack();
      expect(session.text).toBe(text);
    }
    expect(session.undo).toBe('');
    for (const text of texts.slice(1)) {
      session.goForward();
      expect(session.text).toBe(text);
    }
  });

  it('makes one step of what is typed in one field', () => {
    const session = sessionOn('beehive');
    const entered = session.changes;
    for (const text of ['1 mK', '12 mK', '12.5 mK'])
      session.write({ 'requirement.resolution': text }, entered);
    expect(session.undo).toBe('resolution 12.5\u202fm°C to 20\u202fm°C');
    session.goBack();
    expect(session.undo).toBe('');
  });

  it('takes the state of an address, and gives the same address', () => {
    const session = sessionOn('beehive');
    session.write({ 'converter.noise': '0.3 LSB' });
    session.write({ 'averaging.ratio': '16', 'averaging.shift': '1' });
    const other = sessionOn('beehive');
    expect(other.goTo(session.address())).toEqual([]);
    expect(other.text).toBe(session.text);
    expect(other.address()).toBe(session.address());
  });

  it('is the file again, to the byte, when a change is taken back by hand', () => {
    const session = sessionOn('beehive');
    const { text } = session;
    session.write({ 'averaging.ratio': '16' });
    session.write({ 'averaging.ratio': '64' });
    expect(session.text).toBe(text);
    // Also where the same value is written in other characters than the file has.
    session.write({ 'converter.noise': '0.3 LSB' });
    session.write({ 'converter.noise': '0.60 LSB' });
    expect(session.text).toBe(text);
    expect(session.changes.size).toBe(0);
  });

  it('takes changes together that are good only together', () => {
    const session = sessionOn('beehive');
    const both = { 'requirement.range.low': '50 degC', 'requirement.range.high': '60 degC' };
    expect(session.write({ 'requirement.range.low': '50 degC' })).toContain('not above the low end');
    expect(session.write(both)).toBeUndefined();
    const other = sessionOn('beehive');
    expect(other.goTo(session.address())).toEqual([]);
    expect(other.text).toBe(session.text);
    // One that is bad leaves the others good.
    expect(other.goTo('averaging.ratio=48&converter.noise=0.3%20LSB')).toHaveLength(1);
    expect(other.field('converter.noise').text).toBe('0.3\u202fLSB');
  });

  it('lets no address break it', () => {
    fc.assert(
      fc.property(fc.string({ maxLength: 200 }), (address) => {
        const session = sessionOn('beehive');
        const refused = session.goTo(address);
        expect(Array.isArray(refused)).toBe(true);
        expect(session.evaluation.requirements.length).toBeGreaterThan(0);
      }),
      { numRuns: 60, seed: 7 },
    );
    expect(({} as Record<string, unknown>).polluted).toBeUndefined();
  });

  it.each([
    ['sampling.bits', '10 bits', '10\u202fbits'],
    ['sampling.sampleCycles', '14 cycles', '14\u202fcycles'],
    ['sensor.r25', '4k7', '4.7\u202fkΩ'],
    ['requirement.resolution', '0.01 °C', '10\u202fm°C'],
    ['requirement.period', '90 s', '90\u202fs'],
    ['sensor.beta', '3977 K', '3977\u202fK'],
  ])('shows %s as it is read: %s', (path, typed, shown) => {
    const session = sessionOn('beehive');
    expect(session.write({ [path]: typed })).toBeUndefined();
    expect(session.field(path).text).toBe(shown);
    expect(session.field(path).changedFrom).toBeDefined();
  });

  it.each([
    ['averaging.ratio', 1, '128'],
    ['averaging.ratio', -1, '32'],
    ['sensor.r25', 1, '11 kohm'],
    ['sampling.bits', -1, '10'],
    ['sampling.bits', 1, undefined],
  ] as const)('steps %s by %i to %s', (path, direction, next) => {
    expect(sessionOn('beehive').stepped(path, direction)).toBe(next);
  });
});

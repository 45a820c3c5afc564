import { describe, expect, it } from 'vitest';
import { halfbit } from './halfbit.ts';

const convert = (...args: string[]) => halfbit(['convert', ...args]);
const cellar = 'data/worksheets/cellar.json';

describe('convert', () => {
  it('one value: a code to the measurand, all else to a code, or to what is asked for', () => {
    // Beehive: 64 conversions of 12 bits at 3 V shifted by 3: C stands for (8C + 3.5)/64 codes of 3/4096 V.
    const volts = (c: number) => ((8 * c + 3.5) / 64) * (3 / 4096);
    const ohms = (v: number) => (1e4 * v) / (3 - v);
    const celsius = (r: number) => 1 / (1 / 298.15 + Math.log(r / 1e4) / 3435) - 273.15;
    expect(convert('12791').out).toBe(`${celsius(ohms(volts(12791))).toFixed(4)} degC\n`);
    expect(convert('12791', '--to', 'V').out).toBe(`${volts(12791).toFixed(6)} V\n`);
    expect(convert('12791', '--to', 'kohm').out).toMatch(
      new RegExp(`^${(ohms(volts(12791)) / 1000).toFixed(3)}\\d* kohm\n$`),
    );
    expect(convert('37 degC').out).toBe('12791\n');
    expect(convert('37', 'degC').out).toBe('12791\n');
    expect(convert('-5', 'degC', '--to', 'V').out).toMatch(/^2\.3519\d* V\n$/);
    expect(convert('0x31F7', '--to', 'code')).toEqual({ code: 0, out: '12791\n', err: '' });
  });

  it('native codes, other worksheets, what-ifs', () => {
    expect(convert('1.5 V', '--native').out).toBe('2048\n');
    expect(convert('4 V', cellar).out).toBe('2327\n');
    expect(convert('1.25 V', '--pin', cellar).out).toBe('2327\n');
    expect(convert('4 V', cellar, '--set', 'averaging.shift=0').out).toBe(
      `${Math.round(16 * ((1.25 / 2.2) * 4096 - 0.5))}\n`,
    );
  });

  it('a column: a line out for each line in, bad ones left empty and complained about', () => {
    const { code, out, err } = halfbit(['convert'], '12791\r\n37 degC\n\nfoo\n99999\n0x31F7');
    expect(code).toBe(2);
    expect(out).toMatch(/^37\.000\d degC\n12791\n\n\n\n37\.000\d degC\n$/);
    expect(err.split('\n')).toEqual([
      'halfbit convert: line 4: "foo" has no number at its start; write 1 degC',
      'halfbit convert: line 5: code: got 99999; allowed 0 … 32760',
      '',
    ]);
  });

  it('a long column comes line for line, and complaints are cut short', () => {
    const codes = Array.from({ length: 100_000 }, (_, i) => 5000 + (i % 20_000));
    const { code, out } = halfbit(['convert', '--to', 'V'], codes.join('\n'));
    expect(code).toBe(0);
    const lines = out.trimEnd().split('\n');
    expect(lines.length).toBe(codes.length);
    for (let i = 0; i < lines.length; i += 997) {
      expect(lines[i]).toBe(`${(((8 * codes[i]! + 3.5) / 64) * (3 / 4096)).toFixed(6)} V`);
    }
    const bad = halfbit(['convert'], 'x\n'.repeat(1000));
    expect(bad.out).toBe('\n'.repeat(1000));
    expect(bad.err.trimEnd().split('\n').length).toBe(21);
    expect(bad.err).toContain('980 more lines could not be converted');
  });

  it('what comes out goes in again', () => {
    const codes = Array.from({ length: 900 }, (_, i) => 4000 + 30 * i).join('\n');
    for (const to of ['degC', 'uA', 'K']) {
      const there = halfbit(['convert', '--to', to], codes);
      expect(there.err, to).toBe('');
      expect(halfbit(['convert'], there.out).out, to).toBe(`${codes}\n`);
    }
  });

  it('JSON, an object a line', () => {
    const { out, code } = halfbit(['convert', '--json'], '0\n1.5 V\nfoo\n');
    expect(code).toBe(2);
    const [zero, half, foo] = out
      .trimEnd()
      .split('\n')
      .map((line) => JSON.parse(line));
    expect(zero.error).toMatch(/^nothing from -80 degC to 200 degC gives/);
    expect(half).toMatchObject({ input: '1.5 V', value: 16384, unit: 'code', code: 16384, volts: 1.5 });
    expect(half.measurand).toBeCloseTo(25, 9);
    expect(foo).toEqual({ input: 'foo', error: '"foo" has no number at its start; write 1 degC' });
    expect(JSON.parse(halfbit(['convert', '--json', '--to', 'V', '0']).out)).toMatchObject({
      unit: 'V',
      measurand: 'none',
    });
  });

  it('beyond the reference the code is that of the end, with a word', () => {
    expect(convert('3 V')).toEqual({ code: 0, out: '32760\n', err: '' });
    expect(convert('3.2 V')).toMatchObject({ code: 0, out: '32760\n' });
    expect(convert('3.2 V').err).toContain('the value lies beyond what the converter takes, 0 V … 3 V');
  });

  it.each([
    [['3 s'], 'is a time'],
    [['5', '--to', 's'], '--to: got "s"'],
    [['5', 'nothing.json'], 'nothing.json: there is no such file'],
    [['5', 'a.json', 'b.json'], 'one worksheet too many'],
  ])('bad input ends with 2: %j', (args, message) => {
    const { code, err } = convert(...args);
    expect(code).toBe(2);
    expect(err).toContain(message);
    expect(err).not.toMatch(/\bat .*:\d+:\d+/);
  });
});

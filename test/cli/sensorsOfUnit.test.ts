import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { worksheetTexts } from '../worksheet/demos.ts';
import { type ChannelName, channelNames, channels } from '../worksheet/measurands.ts';
import { halfbit } from './halfbit.ts';

const folder = mkdtempSync(join(tmpdir(), 'halfbit-sensors-'));
afterAll(() => rmSync(folder, { recursive: true }));

/** The file of a channel. */
function file(name: ChannelName): string {
  const document = JSON.parse(worksheetTexts.beehive!);
  channels[name].change(document);
  const path = join(folder, `${name.replaceAll(' ', '-')}.json`);
  writeFileSync(path, JSON.stringify(document));
  return path;
}

describe('commands on the sensors that the demos have none of', () => {
  it.each(channelNames)('%s: check, codes, convert and header', { timeout: 60_000 }, (name) => {
    const path = file(name);
    const { unit } = channels[name];
    const ascii = unit === '°C' ? 'degC' : unit;
    for (const args of [['check', '--json'], ['codes'], ['header']]) {
      const { code, out, err } = halfbit([...args, path]);
      expect(err, args.join(' ')).toBe('');
      expect(code === 0 || code === 1, args.join(' ')).toBe(true);
      expect(out, args.join(' ')).not.toMatch(/NaN|undefined|Infinity|\{[A-Za-z%°]+\}/);
    }
    const { out } = halfbit(['convert', '10000', path]);
    expect(out).toMatch(new RegExp(`^-?[\\d.]+ ${ascii}\n$`));
    // And back.
    expect(halfbit(['convert', out.trim(), path]).out).toBe('10000\n');
  });

  it('convert takes bar, volts at the pin and the current in the loop', { timeout: 60_000 }, () => {
    const path = file('current loop');
    // 12 mA is the middle of 0 … 10 bar and 1.2 V at 100 ohm.
    expect(halfbit(['convert', '--to', 'bar', path], '12 mA\n1.2 V\n').out).toMatch(
      /^5\.0+ bar\n5\.0+ bar\n$/,
    );
    expect(halfbit(['convert', '5 bar', '--to', 'mA', path]).out).toMatch(/^12\.0+ mA\n$/);
    expect(halfbit(['convert', '5 psi', path]).err).toBe(
      'halfbit convert: "5 psi" is not in bar; write it in bar\n',
    );
    expect(halfbit(['codes', '--above', '8 bar', path]).out).toMatch(/above 8 bar/);
  });
});

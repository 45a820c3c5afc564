import { expect, it } from 'vitest';
import { vectorsC } from '../../src/firmware/vectors.ts';
import { channelNames, channels } from '../worksheet/measurands.ts';
import { describeCompiled, type Language, languages, Workshop } from './compiler.ts';
import { made } from './worksheets.ts';

/** What the value is called and counted in, by hand: unit of the C string, and in names of values and of differences. */
const named = {
  'current loop': ['bar', 'BAR', 'BAR'],
  bridge: ['kg', 'KG', 'KG'],
  thermocouple: ['degC', 'DEGC', 'K'],
  shunt: ['A', 'A', 'A'],
  potentiometer: ['deg', 'DEG', 'DEG'],
  'table of ohms': ['lx', 'LX', 'LX'],
  'table of volts': ['%RH', 'PERCENTRH', 'PERCENTRH'],
} as const;

describeCompiled('the header of each sensor, compiled', () => {
  const workshop = new Workshop();

  it.each(channelNames)('%s: every code gives what TypeScript gives, in every language', (name) => {
    const { evaluation, conversion, header } = made('beehive', channels[name].change);
    workshop.write('x.h', header);
    workshop.write('v.h', vectorsC(evaluation, conversion, 'x'));
    workshop.write(
      'all.c',
      `#include "x.h"
#include "v.h"
#include <stdio.h>
int main(void)
{
    uint32_t code;
    for (code = 0; code <= 65535ul; code++) {
        const int32_t value = x_from_code((uint16_t)code);
        if (fwrite(&value, sizeof value, 1, stdout) != 1) return 1;
    }
    return x_failed_vectors();
}
`,
    );
    const bytes = workshop.run('all.c');
    const values = new Int32Array(bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.length));
    expect(values.length).toBe(65_536);
    let differing = 0;
    for (let code = 0; code < 65_536; code++) if (values[code] !== conversion.fromCode(code)) differing++;
    expect(differing).toBe(0);
    workshop.write('alone.c', '#include "x.h"\nint main(void) { return 0; }\n');
    for (const language of Object.keys(languages) as Language[])
      expect(workshop.complaints('alone.c', language), language).toBe('');
    // The value itself against the channel, at both ends and in the middle of the range.
    const { low, high } = evaluation.channel.range;
    for (const m of [low, (low + high) / 2, high]) {
      const code = evaluation.reading.codeAt(m);
      const error = values[code]! / conversion.scale - evaluation.reading.measurandAt(code);
      expect(Math.abs(error)).toBeLessThanOrEqual(conversion.largestError * (1 + 1e-9));
    }
  });

  it.each(channelNames)('%s: the header is ASCII, and names its unit', (name) => {
    const { header, conversion } = made('beehive', channels[name].change);
    expect(header).toMatch(/^[\n -~]*$/);
    const [unit, inNames, difference] = named[name];
    expect(header).toContain(`#define X_UNIT "${unit}"`);
    expect(header).toContain(`#define X_SCALE ${conversion.scale}`);
    expect(header).toContain(`X_LARGEST_ERROR_U${difference} `);
    expect(header).toMatch(new RegExp(`X_LIMIT_ABOVE_1?0?0?(M|U)?${inNames} `));
    expect(header).not.toMatch(/[{][A-Za-z%]+[}]/);
  });

  it('goes half the range beyond its ends, of temperatures 10 K at most', () => {
    const beyond = (name: (typeof channelNames)[number]): number => {
      const { evaluation, conversion } = made('beehive', channels[name].change);
      const { reading } = evaluation;
      return Math.max(...[conversion.lowestCode, conversion.highestCode].map((c) => reading.measurandAt(c)));
    };
    // 500 lx and half of 495 lx, 1000 °C and 10 K, each to the width of a code.
    expect(Math.abs(beyond('table of ohms') - 747.5)).toBeLessThan(0.5);
    expect(Math.abs(beyond('thermocouple') - 1010)).toBeLessThan(0.05);
  });

  it('tells the cold junction that it holds for', () => {
    expect(made('beehive', channels.thermocouple.change).header).toContain('for a cold junction at 25 degC');
  });
});

it.each([
  ['‰', 'permille', 'PERMILLE'],
  ['m³/h', 'm3/h', 'M3_PER_H'],
  ['a//b', 'a/ /b', 'A_PER_PER_B'],
  ['lm/', 'lm/', 'LM_PER'],
])('unit %s is %s in ASCII, and %s in names, which have no __', (unit, text, name) => {
  const { header } = made('beehive', (d) => {
    channels['current loop'].change(d);
    Object.assign(d, JSON.parse(JSON.stringify(d).replaceAll(' bar"', ` ${unit}"`)));
    d.sensor.unit = unit;
  });
  expect(header).toContain(`#define X_UNIT "${text}" `);
  expect(header).toContain(`#define X_LARGEST_ERROR_U${name} `);
  expect(header.match(/\b\w*__\w*/g)).toBeNull();
});

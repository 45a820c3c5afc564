import { describe, expect, it } from 'vitest';
import { largestResult } from '../../src/chain/averaging/result.ts';
import { commented } from '../../src/firmware/names.ts';
import { vectorsC, vectorsCsv } from '../../src/firmware/vectors.ts';
import { describeCompiled, type Language, languages, Workshop } from './compiler.ts';
import { againstSupply, made } from './worksheets.ts';

const stated = (error: string, intermediates = 64) => ({ firmware: { error, intermediates } });

/** Every way of the arithmetic that a worksheet can lead to, with what it should lead to. */
const worksheets = {
  beehive: { of: () => made('beehive'), leads: ['polynomial', 32] },
  cellar: { of: () => made('cellar'), leads: ['multiplier', 32] },
  workbench: { of: () => made('workbench'), leads: ['polynomial', 32] },
  'narrow table': {
    of: () => made('beehive', (d) => Object.assign(d, stated('1 mK', 16))),
    leads: ['table', 16],
  },
  'wide table': {
    of: () => made('workbench', (d) => Object.assign(d, stated('60 uK', 32))),
    leads: ['table', 32],
  },
  'narrow straight line': {
    of: () =>
      made('beehive', (d) => {
        Object.assign(d, stated('0.5 K', 16));
        d.requirement.range.high.value = '25 degC';
      }),
    leads: ['multiplier', 16],
  },
  'wide polynomial': {
    of: () => made('workbench', (d) => Object.assign(d, stated('2 uK'))),
    leads: ['polynomial', 64],
  },
  'sensor on the high side': {
    of: () =>
      made('beehive', (d) => {
        d.conditioning.divider.side = 'high';
      }),
    leads: ['polynomial', 32],
  },
  'below zero': {
    of: () =>
      made('workbench', (d) => {
        d.requirement.range.low.value = '-60 degC';
        d.requirement.range.high.value = '-20 degC';
      }),
    leads: ['polynomial', 32],
  },
  'against the supply': { of: () => made('cellar', againstSupply), leads: ['multiplier', 32] },
  'one conversion': {
    of: () =>
      made('beehive', (d) => {
        d.averaging = { ratio: 1, shift: 0, rounding: 'truncate' };
      }),
    leads: ['polynomial', 32],
  },
  overflowing: {
    of: () =>
      made('beehive', (d) => {
        d.averaging = { ratio: 256, shift: 3, rounding: 'truncate' };
      }),
    leads: ['polynomial', 32],
  },
} as const;
const names = Object.keys(worksheets) as (keyof typeof worksheets)[];

/** A program that writes the value of every code to `last`, 32 bits each. */
const driver = (last: number, type: string): string => `#include "x.h"
#include <stdio.h>
int main(void)
{
    uint32_t code;
    for (code = 0; code <= ${last}ul; code++) {
        const int32_t value = x_from_code((${type})code);
        if (fwrite(&value, sizeof value, 1, stdout) != 1) return 1;
    }
    return 0;
}
`;

/** A program that writes macros as text. */
const printer = (macros: readonly string[]): string => `#include "x.h"
#include <stdio.h>
int main(void)
{
${macros.map((m) => `    printf("%lld\\n", (long long)X_${m});`).join('\n')}
    printf("%s\\n", X_UNIT);
    return 0;
}
`;

describeCompiled('the header, compiled', () => {
  const workshop = new Workshop();

  it.each(names)('%s: every code gives what TypeScript gives', (name) => {
    const { evaluation, conversion, header } = worksheets[name].of();
    expect([conversion.method, conversion.intermediates]).toEqual(worksheets[name].leads);
    const wide = evaluation.averaging.resultBits > 16;
    const last = wide ? evaluation.averaging.largestCode + 1000 : 65535;
    workshop.write('x.h', header);
    workshop.write('drive.c', driver(last, wide ? 'uint32_t' : 'uint16_t'));
    const bytes = workshop.run('drive.c');
    const values = new Int32Array(bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.length));
    expect(values.length).toBe(last + 1);
    let differing = 0;
    for (let code = 0; code <= last; code++) if (values[code] !== conversion.fromCode(code)) differing++;
    expect(differing).toBe(0);
  });

  it.each(names)('%s: C99, C11 and C++ take it without a word', (name) => {
    const { header } = worksheets[name].of();
    workshop.write('x.h', header);
    workshop.write('alone.c', '#include "x.h"\n#include "x.h"\nint main(void) { return 0; }\n');
    for (const language of Object.keys(languages) as Language[])
      expect(workshop.complaints('alone.c', language), language).toBe('');
  });

  it('gives the settings that the worksheet has, as numbers of C', () => {
    workshop.write('x.h', made('beehive').header);
    workshop.write(
      'print.c',
      printer([
        'RATIO',
        'RATIO_LOG2',
        'RATIO_MINUS_1',
        'SHIFT',
        'BITS',
        'DIVISOR',
        'LARGEST_CODE',
        'RESULT_LARGEST_CODE',
        'SAMPLE_CYCLES',
        'CLOCK_HZ',
        'REFERENCE_UV',
        'EXCITATION_SETTLE_US',
        'EXCITATION_SETTLE_TICKS',
        'BURST_US',
        'TRIGGER_COUNTS',
        'TRIGGER_PRESCALER',
        'CONSECUTIVE',
        'LIMIT_ABOVE_MDEGC',
        'SCALE',
      ]),
    );
    // From the demo's file and its profile by hand: 12 MHz/6, 64 of (8 + 14) cycles, 32.768 kHz for a minute, 4095·64/8.
    expect(workshop.run('print.c').toString().trim().split('\n')).toEqual(
      [64, 6, 63, 3, 12, 4096, 4095, 32760, 8, 2e6, 3e6, 20, 1, 704, 61440, 32, 2, 37000, 1000]
        .map(String)
        .concat('degC'),
    );
  });

  it.each([
    ['RATIO_MINUS_1', 'x_assert_ratio_minus_1'],
    ['RATIO_LOG2', 'x_assert_ratio_log2'],
    ['DIVISOR', 'x_assert_divisor_is_2_to_the_bits'],
    ['LARGEST_CODE', 'x_assert_largest_code_is_one_less'],
    ['RESULT_LARGEST_CODE', 'x_assert_largest_result'],
    ['THRESHOLD_BITS', 'x_assert_threshold_low_fits'],
  ])('a changed %s does not compile in any of the languages', (macro, assertion) => {
    const changed = made('beehive').header.replace(
      new RegExp(`#define X_${macro} \\d+`),
      `#define X_${macro} 1`,
    );
    workshop.write('x.h', changed);
    workshop.write('alone.c', '#include "x.h"\nint main(void) { return 0; }\n');
    for (const language of ['c99', 'c11', 'c++11'] as const)
      expect(workshop.complaints('alone.c', language), language).toContain(assertion);
  });

  it('its vectors pass, and fail where a coefficient was changed', () => {
    const { evaluation, conversion, header } = made('beehive');
    workshop.write('v.h', vectorsC(evaluation, conversion, 'x'));
    workshop.write(
      'vectors.c',
      '#include "x.h"\n#include "v.h"\nint main(void) { return x_failed_vectors(); }\n',
    );
    workshop.write('x.h', header);
    for (const language of Object.keys(languages) as Language[])
      expect(workshop.complaints('vectors.c', language), language).toBe('');
    expect(() => workshop.run('vectors.c')).not.toThrow();
    const changed = header.replace(/(int32_t a = )\(?-?\d+l?\)?/, '$10');
    expect(changed).not.toBe(header);
    workshop.write('x.h', changed);
    expect(() => workshop.run('vectors.c')).toThrow(/status \d/);
  });

  it('the supply correction gives what TypeScript gives', async () => {
    const { evaluation, header } = made('cellar', againstSupply);
    const { supplyOf } = await import('../../src/firmware/supplyText.ts');
    const correction = supplyOf(evaluation);
    if (typeof correction === 'string') throw new Error(correction);
    workshop.write('x.h', header);
    workshop.write(
      'supply.c',
      `#include "x.h"
#include <stdio.h>
int main(void)
{
    uint32_t code, reference;
    for (reference = 0; reference < 4096; reference += 61) {
        const int32_t supply = x_supply_mv((uint16_t)reference);
        if (fwrite(&supply, sizeof supply, 1, stdout) != 1) return 1;
        for (code = 0; code < 4200; code += 7) {
            const int32_t corrected = x_corrected_code((uint16_t)code, (uint16_t)reference);
            if (fwrite(&corrected, sizeof corrected, 1, stdout) != 1) return 1;
        }
    }
    return 0;
}
`,
    );
    const bytes = workshop.run('supply.c');
    const values = new Int32Array(bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.length));
    const wanted: number[] = [];
    for (let reference = 0; reference < 4096; reference += 61) {
      wanted.push(correction.supplyMillivolts(reference));
      for (let code = 0; code < 4200; code += 7) wanted.push(correction.correctedCode(code, reference));
    }
    expect([...values]).toEqual(wanted);
  });

  it('a title cannot break out of its comment', () => {
    const { header } = made('beehive', (d) => {
      d.title = '*/ #error out /* ??/ \\ // x°';
      d.sensor.r25.note = '*/';
    });
    workshop.write('x.h', header);
    workshop.write('alone.c', '#include "x.h"\nint main(void) { return 0; }\n');
    for (const language of Object.keys(languages) as Language[])
      expect(workshop.complaints('alone.c', language), language).toBe('');
    expect(header).toMatch(/^[\n -~]*$/);
    expect(commented('a\u202e \u2028 漢\n#error')).toBe('a? ? #error');
  });
});

describe('the header', () => {
  it('is the same to the byte however often it is made, and ASCII', () => {
    for (const name of ['beehive', 'cellar', 'workbench']) {
      const { header } = made(name);
      expect(made(name).header).toBe(header);
      expect(header).toMatch(/^[\n -~]*$/);
    }
  });

  it('names its worksheet by title, version and hash, and says what is missed', () => {
    const { header, evaluation } = made('cellar');
    expect(header).toContain(evaluation.worksheet.inputs.title);
    expect(header).toContain(`Inputs ${evaluation.worksheet.hash}, worksheet format 1, profile plain.`);
    const missed = evaluation.requirements.filter((r) => !r.met).map((r) => r.name);
    expect(missed).toContain('settling');
    expect(header).toContain(`THIS WORKSHEET MISSES ITS REQUIREMENTS: ${missed.join(', ')}.`);
    expect(made('beehive').header).not.toContain('MISSES');
  });

  it('says that ticks of a timer that runs already need one more', () => {
    // Two reads of a counter that differ by n are between n − 1 and n + 1 ticks apart.
    expect(made('beehive').header).toMatch(/_READING_TICKS .*\n\/\*\n \* A timer .* wait one tick more/);
  });

  it('has a type wide enough for the result and no wider', () => {
    expect(made('beehive').header).toContain('x_from_code(uint16_t code)');
    expect(made('workbench').header).toContain('x_from_code(uint32_t code)');
  });

  it('the exact fraction of the reference is that of the centre of the sums', () => {
    // C = 0, truncating 64 by 3: sums 0 … 7, mean 3.5, over 64·4096; one code is 8 of the sum.
    const { header } = made('beehive');
    const of = (name: string): number => Number(new RegExp(`X_FRACTION_${name} (\\d+)`).exec(header)![1]);
    expect(of('ADDEND') / of('DIVISOR')).toBe(3.5 / (64 * 4096));
    expect(of('MULTIPLIER') / of('DIVISOR')).toBe(8 / (64 * 4096));
  });

  it('tells an overflowing result, and keeps to the register', () => {
    const { header } = made('beehive', (d) => {
      d.averaging = { ratio: 256, shift: 3, rounding: 'truncate' };
    });
    expect(largestResult(12, 256, 3, 'truncate')).toBeGreaterThan(65535);
    expect(header).toContain('X_RESULT_LARGEST_CODE 65535u');
    expect(header).toContain('THE RESULT OVERFLOWS');
  });

  it('corrects the supply only where the chain is absolute and the supply its reference', () => {
    expect(made('beehive').header).toContain('No supply correction: the chain is ratiometric');
    expect(made('cellar').header).toContain('No supply correction: the chain is absolute, but its reference');
    expect(made('cellar', againstSupply).header).toContain('x_corrected_code');
  });
});

describe('test vectors', () => {
  it('as CSV have each code once, in order, with the value and the measurand it is rounded from', () => {
    const { evaluation, conversion } = made('beehive');
    const [head, ...rows] = vectorsCsv(evaluation, conversion)
      .trim()
      .split('\n')
      .filter((line) => !line.startsWith('#'));
    expect(head).toBe('code,value,measurand_degC');
    const codes = rows.map((row) => Number(row.split(',')[0]));
    expect(codes).toEqual([...new Set(codes)].sort((a, b) => a - b));
    for (const code of [
      0,
      conversion.lowestCode - 1,
      conversion.lowestCode,
      conversion.highestCode,
      32760,
      65535,
    ])
      expect(codes).toContain(code);
    for (const row of rows) {
      const [code, value, measurand] = row.split(',');
      expect(Number(value)).toBe(conversion.fromCode(Number(code)));
      if (measurand !== '')
        expect(Math.abs(Number(value) / conversion.scale - Number(measurand))).toBeLessThanOrEqual(
          conversion.largestError * (1 + 1e-9),
        );
    }
  });
});

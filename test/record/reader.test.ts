import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { seededRandom } from '../../src/numbers/random.ts';
import { type RecordReport, recordReader } from '../../src/record/reader.ts';
import { expectNear } from '../close.ts';

type Options = Parameters<typeof recordReader>[0];

/** Bytes of a text, one a character, unless it needs more. */
const bytesOf = (text: string): Uint8Array => new TextEncoder().encode(text);

/** What a reader makes of a text that comes in pieces. */
function read(
  text: string,
  options: Partial<Options> = {},
  pieces: readonly number[] = [],
): { channels: number[][]; report: RecordReport } {
  const reader = recordReader({ bits: 12, ...options });
  const bytes = bytesOf(text);
  const channels: number[][] = [];
  const take = (codes: readonly Float64Array[]): void => {
    codes.forEach((list, i) => {
      channels[i] ??= [];
      channels[i].push(...list);
    });
  };
  let at = 0;
  for (const piece of pieces) {
    take(reader.push(bytes.slice(at, at + piece)));
    at += piece;
  }
  take(reader.push(bytes.slice(at)));
  take(reader.end());
  return { channels, report: reader.report() };
}

const kindsOf = (report: RecordReport): [number, string][] =>
  report.listed.map(({ line, kind }) => [line, kind]);

describe('one code a line', () => {
  it.each([
    ['line feeds', '1\n22\n4095\n'],
    ['carriage returns and line feeds', '1\r\n22\r\n4095\r\n'],
    ['carriage returns', '1\r22\r4095\r'],
    ['mixed', '1\r22\r\n4095\n'],
    ['without a last line end', '1\n22\n4095'],
    ['spaces about', ' 1\n22  \n\t4095 \n'],
    ['a mark of byte order', '\ufeff1\n22\n4095\n'],
    ['leading zeros', '0001\n0022\n4095\n'],
    ['with decimals that are none', '1.0\n22.\n4.095e3\n'],
    ['a plus', '+1\n22\n+4095\n'],
    ['hexadecimal with a prefix', '0x1\n0X16\n0xFfF\n'],
    ['quotes', '"1"\n"22"\n"4095"\n'],
    ['a header', 'code\n1\n22\n4095\n'],
    ['a header of several lines', '# made by hand\nboard three\ncode\n1\n22\n4095\n'],
    ['comments', '# one\n1\n// two\n22 # three\n% four\n4095\n'],
    ['blank lines', '\n\n1\n\n22\n   \n4095\n\n'],
  ])('%s', (_, text) => {
    const { channels, report } = read(text);
    expect(channels).toEqual([[1, 22, 4095]]);
    expect([report.rows, report.channels, report.listed]).toEqual([3, 1, []]);
    expect(report.openEnd).toBe(!/[\r\n]$/.test(text));
  });

  it('lines, comments, blank lines and header are counted', () => {
    const { report } = read('# c\nboard\ncode\n\n1\n# d\n2\n\n3\n');
    expect([report.lines, report.comments, report.blank, report.headerLines, report.header]).toEqual([
      9,
      2,
      2,
      2,
      ['code'],
    ]);
  });

  it('hexadecimal without a prefix, when told', () => {
    expect(read('1\n16\nfff\n', { base: 16 }).channels).toEqual([[1, 22, 4095]]);
    expect(read('1\n16h\nFFFh\n', { base: 16 }).channels).toEqual([[1, 22, 4095]]);
  });

  it('two’s complement, decimal and as it stands in the register', () => {
    expect(read('-2048\n-1\n0\n2047\n', { signed: true }).channels).toEqual([[-2048, -1, 0, 2047]]);
    expect(read('0x800\n0xfff\n0x0\n0x7ff\n', { signed: true }).channels).toEqual([[-2048, -1, 0, 2047]]);
    expect(read('800\nfff\n0\n7ff\n', { signed: true, base: 16 }).channels).toEqual([[-2048, -1, 0, 2047]]);
  });

  it('32 bits', () => {
    expect(read('4294967295\n0\n', { bits: 32 }).channels).toEqual([[4294967295, 0]]);
  });

  it('nothing at all', () => {
    const { channels, report } = read('');
    expect(channels).toEqual([[]]);
    expect([report.lines, report.rows, report.channels, report.rate]).toEqual([0, 0, 0, 'none']);
  });
});

describe('columns', () => {
  const time = [0, 0.5, 1, 1.5];
  const codes = [10, 20, 30, 40];
  it.each([
    ['commas', 'time,code\n0,10\n0.5,20\n1,30\n1.5,40\n'],
    ['commas and spaces', 't, code\n0, 10\n0.5 , 20 \n1, 30\n1.5, 40\n'],
    ['semicolons and decimal commas', 'Zeit [s]; time\n0,0;10\n0,5;20\n1,0;30\n1,5;40\n'],
    ['tabs', 'time\tcode\n0\t10\n0.5\t20\n1\t30\n1.5\t40\n'],
    ['spaces', '0 10\n0.5   20\n1 30 \n 1.5 40\n'],
    ['exponents', '0e0,10\n5e-1,20\n1e0,30\n15e-1,40\n'],
    ['quotes', '"time","code"\n"0","10"\n"0.5","20"\n"1","30"\n"1.5","40"\n'],
    ['hexadecimal', 'time,code\n0,0xa\n0.5,0x14\n1,0x1e\n1.5,0x28\n'],
    ['names in another order, when told', 'code,volts,time\n10,0.1,0\n20,0.2,0.5\n30,0.3,1\n40,0.4,1.5\n'],
    ['a last column that says nothing', 'time,code,note\n0,10,a\n0.5,20,\n1,30,b\n1.5,40,c\n'],
  ])('%s', (name, text) => {
    const told = name.startsWith('names')
      ? { codeColumns: [1], timeColumn: 3 }
      : name.startsWith('a last') || name.startsWith('semicolons')
        ? { codeColumns: [2], timeColumn: 1 }
        : {};
    const { channels, report } = read(text, told);
    expect(channels).toEqual([codes]);
    expectNear(report.rate as number, 2, 1e-12);
    expect(report.listed).toEqual([]);
    expect(time).toHaveLength(report.rows);
  });

  it('a time that is named, but not first', () => {
    const { channels, report } = read('code,time (s)\n10,0\n20,0.5\n30,1\n40,1.5\n');
    expect(channels).toEqual([codes]);
    expectNear(report.rate as number, 2, 1e-12);
    expect(read('code,tare\n10,1\n20,2\n').channels).toHaveLength(2);
    // Told to be codes, it is no time.
    const named = read('code,t\n10,1\n20,2\n', { codeColumns: [2] });
    expect([named.channels, named.report.rate]).toEqual([[[1, 2]], 'none']);
  });

  it('several channels, with and without time', () => {
    expect(read('t,a,b\n0,1,2\n1,3,4\n').channels).toEqual([
      [1, 3],
      [2, 4],
    ]);
    const { channels, report } = read('a,b\n1,2\n3,4\n');
    expect(channels).toEqual([
      [1, 3],
      [2, 4],
    ]);
    expect(report.rate).toBe('none');
  });

  it('a line refused in one channel gives none, so that channels stay in step', () => {
    const { channels, report } = read('t,a,b\n0,1,2\n1,1,2\n2,3,\n3,5,9999\n4,7,8\n5,7,8\n');
    expect(channels).toEqual([
      [1, 1, 7, 7],
      [2, 2, 8, 8],
    ]);
    expect(kindsOf(report)).toEqual([
      [4, 'missing'],
      [5, 'out of range'],
      [6, 'time jump'],
    ]);
  });

  it('times of a clock, with a date or without, tell the rate', () => {
    const day = read('2026-11-24 23:59:59.5,100\n2026-11-25 00:00:00.0,101\n2026-11-25 00:00:00.5,102\n');
    expect(day.channels).toEqual([[100, 101, 102]]);
    expect(day.report.rate).toBe(2);
    const iso = read('stamp;a;b\n2026-11-24T12:00:00,25Z;1;2\n2026-11-24T12:00:00,50Z;3;4\n');
    expect(iso.channels).toEqual([
      [1, 3],
      [2, 4],
    ]);
    expect(iso.report.rate).toBe(4);
    // A date and a time of day in two columns, set apart by spaces.
    const apart = read(
      ['00', '10', '20', '50'].map((second, i) => `2026-11-24 12:00:${second} ${i}\n`).join(''),
    );
    expect(apart.channels).toEqual([[0, 1, 2, 3]]);
    expect(kindsOf(apart.report)).toEqual([[4, 'time jump']]);
    expectNear(apart.report.rate as number, 0.1, 1e-12);
    expect(read('12:00:00,7\n12:00:01,8\n').report.rate).toBe(1);
  });

  it('days follow one another over months, leap days and years', () => {
    const day = 86_400_000;
    const start = Date.UTC(1999, 11, 1);
    const rows = Array.from({ length: 3000 }, (_, i) => `${new Date(start + i * day).toISOString()},${i}\n`);
    const { report } = read(rows.join(''));
    expectNear(report.rate as number, 1 / 86_400, 1e-15);
    expect(kindsOf(report)).toEqual([]);
  });

  it('a date alone is passed over', () => {
    const { channels, report } = read('2026-11-24,100\n2026-11-24,101\n');
    expect(channels).toEqual([[100, 101]]);
    expect(report.rate).toBe('none');
  });

  it('numbers that are no whole ones are no codes: volts beside the codes', () => {
    expect(read('t,volts,code\n0,1.466,2002\n1,1.465,2001\n').channels).toEqual([[2002, 2001]]);
    expect(read('Volt;Zahl\r\n1,466;2002\r\n1,465;2001\r\n').channels).toEqual([[2002, 2001]]);
    // A field that is no number at all is no other quantity, and is not passed over.
    expect(read('0,x7,2002\n1,5,2001\n', { timeColumn: 1 }).channels).toEqual([[5], [2001]]);
  });

  it('a column of codes when told; a count in the first column is no channel', () => {
    expect(read('1,100\n2,101\n').channels).toEqual([[100, 101]]);
    expect(read('7,100\n8,101\n', { codeColumns: [2], timeColumn: 'none' }).channels).toEqual([[100, 101]]);
  });
});

describe('what gives no code is reported', () => {
  it('by line and kind', () => {
    const { channels, report } = read(
      '100\nabc\n-5\n5000\n12 34\n1.5\nnan\n-\n1e99\n99999999999999999999\n0x\n200\n',
    );
    expect(channels).toEqual([[100, 200]]);
    expect(kindsOf(report)).toEqual([
      [2, 'unparsable'],
      [3, 'out of range'],
      [4, 'out of range'],
      [5, 'unparsable'],
      [6, 'unparsable'],
      [7, 'missing'],
      [8, 'missing'],
      [9, 'out of range'],
      [10, 'out of range'],
      [11, 'unparsable'],
    ]);
    expect(report.problems).toEqual({
      missing: 2,
      'out of range': 4,
      unparsable: 4,
      'too long': 0,
      'cut short': 0,
      'time jump': 0,
    });
    expect(report.listed[0]).toEqual({ line: 2, kind: 'unparsable', text: 'abc' });
    expect(report.lines).toBe(12);
  });

  it('all are counted, the first kept', () => {
    const { report } = read(`1\n${'x\n'.repeat(1000)}2\n`, { keep: 3 });
    expect([report.problems.unparsable, report.listed.length, report.rows, report.lines]).toEqual([
      1000, 3, 2, 1002,
    ]);
  });

  it('a last line cut in its number is left out, and said so', () => {
    const { channels, report } = read('2047\n2048\n20');
    expect(channels).toEqual([[2047, 2048]]);
    expect([report.openEnd, kindsOf(report)]).toEqual([true, [[3, 'cut short']]]);
    expect(read('t,c\n0,2047\n1,20').channels).toEqual([[2047]]);
    expect(read('t,c\n0,2047\n1,').report.problems.missing).toBe(1);
  });

  it('one that is no shorter than others before it is taken, and the open end said', () => {
    const { channels, report } = read('2047\n2048\n98\n2048\n20');
    expect(channels).toEqual([[2047, 2048, 98, 2048, 20]]);
    expect([report.openEnd, report.listed]).toEqual([true, []]);
  });

  it('a line without end is not kept', () => {
    const long = '1'.repeat(5000);
    const { channels, report } = read(`7\n${long}\n8\n${long}`);
    expect(channels).toEqual([[7, 8]]);
    expect(kindsOf(report)).toEqual([
      [2, 'too long'],
      [4, 'too long'],
    ]);
    expect(report.listed[0]!.text).toHaveLength(80);
    const reader = recordReader({ bits: 12 });
    for (let i = 0; i < 100; i++) reader.push(bytesOf(long));
    reader.push(bytesOf('\n9\n'));
    expect(reader.report().problems['too long']).toBe(1);
    expect(reader.report().rows).toBe(1);
  });

  it('bytes of no text', () => {
    const reader = recordReader({ bits: 12 });
    reader.push(Uint8Array.from({ length: 10000 }, (_, i) => (i * 7919) & 255));
    reader.end();
    const { lines, rows, headerLines, blank, comments, problems } = reader.report();
    const refused = problems.missing + problems.unparsable + problems['out of range'] + problems['too long'];
    expect(rows + headerLines + blank + comments + refused + problems['cut short']).toBe(lines);
  });
});

describe('time', () => {
  const rows = (times: readonly number[]): string => times.map((t) => `${t},1\n`).join('');

  it('gaps and steps back are named, and the rate is that of the rest', () => {
    const times = Array.from({ length: 200 }, (_, i) => (i < 50 ? i / 100 : (i + 30) / 100));
    times[120] = times[119]!;
    const { report } = read(`time,code\n${rows(times)}`);
    expectNear(report.rate as number, 100, 1e-9);
    expect(kindsOf(report)).toEqual([
      [52, 'time jump'],
      [122, 'time jump'],
      [123, 'time jump'],
    ]);
  });

  it('jitter is no gap', () => {
    const random = seededRandom(1);
    const times = Array.from({ length: 500 }, (_, i) => i + 0.2 * random.uniform());
    const { report } = read(`time,code\n${rows(times)}`);
    expect(report.problems['time jump']).toBe(0);
    expectNear(report.rate as number, 1, 1e-3);
  });

  it('a clock that stands still', () => {
    const { report } = read(`time,code\n${'5,1\n'.repeat(300)}`);
    expect([report.rate, report.problems['time jump'], report.rows]).toEqual(['none', 299, 300]);
  });
});

describe('pieces', () => {
  /** A text of all that may stand in a file. */
  const line = fc.oneof(
    { weight: 8, arbitrary: fc.integer({ min: 0, max: 4095 }).map(String) },
    fc.integer({ min: 0, max: 4095 }).map((n) => `0x${n.toString(16)}`),
    fc.constantFrom(
      '',
      ' ',
      '# c',
      'x',
      '-1',
      '5000',
      '12.0',
      ' 7 ',
      '1 2',
      '3#',
      '// d',
      'nan',
      '0x',
      '1e3',
      '9'.repeat(30),
    ),
  );
  const text = fc
    .array(fc.tuple(line, fc.constantFrom('\n', '\r\n', '\r')), { maxLength: 40 })
    .map((lines) => lines.map(([a, b]) => a + b).join(''));
  const rowOf = fc.tuple(fc.integer({ min: 0, max: 99999 }), fc.integer({ min: 0, max: 4200 }), line);
  const columns = fc
    .array(fc.tuple(rowOf, fc.constantFrom('\n', '\r\n', '\r')), { minLength: 1, maxLength: 30 })
    .map(
      (list) => `time,a,b\n0,1,2\n${list.map(([[t, a, b], end]) => `${t / 100},${a},${b}${end}`).join('')}`,
    );

  it('wherever they are cut, codes and report are the same', () => {
    fc.assert(
      fc.property(
        fc.oneof(text, columns),
        fc.array(fc.integer({ min: 0, max: 9 }), { maxLength: 60 }),
        (all, cuts) => {
          expect(read(all, {}, cuts)).toEqual(read(all));
        },
      ),
      { seed: 20, numRuns: 500 },
    );
  });

  it('one code a line, against splitting the text and a plain conversion', () => {
    fc.assert(
      fc.property(text, (all) => {
        const lines = all.split(/\r\n|\r|\n/).slice(0, -1);
        const values = lines.map((l) => l.replace(/#.*|\/\/.*/, '').trim());
        const isCode = (v: string): boolean =>
          /^(0x[0-9a-f]+|[+-]?\d+(\.\d*)?(e\d+)?)$/.test(v) &&
          Number.isInteger(Number(v)) &&
          Number(v) >= 0 &&
          Number(v) <= 4095;
        // A first line of two numbers makes the file one of columns: another matter.
        const first = values.findIndex((v) => /^[-+]?\d/.test(v) && v !== '0x');
        fc.pre(first < 0 || !/\s/.test(values[first]!));
        const expected = values.filter(isCode).map(Number);
        const { channels, report } = read(all);
        expect(channels.flat()).toEqual(expected);
        expect([report.lines, report.rows]).toEqual([lines.length, expected.length]);
        const { headerLines, comments, blank, problems } = report;
        const refused = Object.values(problems).reduce((a, n) => a + n, 0);
        // Nothing is dropped in silence.
        expect(report.rows + headerLines + comments + blank + refused).toBe(report.lines);
      }),
      { seed: 21, numRuns: 500 },
    );
  });

  it('a long file through pieces of 4 KiB: sums agree, and the codes handed out are never more than a piece holds', () => {
    const random = seededRandom(3);
    const reader = recordReader({ bits: 12 });
    let due = 0;
    let sum = 0;
    let rows = 0;
    let most = 0;
    for (let i = 0; i < 200; i++) {
      const codes = Array.from({ length: 800 }, () => Math.floor(random.uniform() * 4096));
      due += codes.reduce((a, x) => a + x, 0);
      const bytes = bytesOf(`${codes.join('\n')}\n`);
      for (let at = 0; at < bytes.length; at += 4096) {
        const [taken] = reader.push(bytes.subarray(at, at + 4096));
        for (const code of taken!) sum += code;
        rows += taken!.length;
        most = Math.max(most, taken!.buffer.byteLength);
      }
    }
    expect([sum, rows]).toEqual([due, 160000]);
    expect(most).toBeLessThanOrEqual(8 * (2048 + 2));
  });
});

describe('errors', () => {
  it('arguments', () => {
    expect(() => recordReader({ bits: 0 })).toThrow('recordReader.bits: got 0; allowed whole numbers 1 … 32');
    expect(() => recordReader({ bits: 12, codeColumns: [] })).toThrow('recordReader.codeColumns');
    expect(() => recordReader({ bits: 12, timeColumn: 0 })).toThrow('recordReader.timeColumn: got 0');
    expect(() => recordReader({ bits: 12, base: 8 as 10 })).toThrow(
      'recordReader.base: got 8; allowed 10 or 16',
    );
    expect(() => recordReader({ bits: 12, colum: 1 } as never)).toThrow(TypeError);
  });
});

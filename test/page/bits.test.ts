import * as fc from 'fast-check';
import { parseHTML } from 'linkedom';
import { render } from 'preact-render-to-string';
import { describe, expect, it } from 'vitest';
import { type BitField, bitField } from '../../src/page/blocks.ts';
import { BitFieldBlock } from '../../src/page/html/bits.tsx';
import { bitLines } from '../../src/page/text/bits.ts';

const register = fc
  .record({ width: fc.integer({ min: 1, max: 40 }), from: fc.nat(39), bits: fc.integer({ min: 1, max: 40 }) })
  .filter(({ width, from, bits }) => from + bits <= width)
  .chain((r) =>
    fc.record({
      name: fc.constant('a register'),
      figures: fc.constant('some'),
      width: fc.constant(r.width),
      from: fc.constant(r.from),
      bits: fc.constant(r.bits),
      value: fc.integer({ min: 0, max: 2 ** r.bits - 1 }).map((v) => v * 2 ** r.from),
    }),
  );

/** The value that a row of digits shows; what is not in use counts as 0. */
const read = (digits: string): number => Number.parseInt(digits.replace(/ /g, '').replace(/-/g, '0'), 2);

describe('a register in characters', () => {
  it('reads back as its value, every bit in its column', () => {
    fc.assert(
      fc.property(fc.array(register, { minLength: 1, maxLength: 4 }), (registers) => {
        const lines = bitLines(bitField({ name: 'r', registers }), 80);
        expect(lines).toHaveLength(1 + 2 * registers.length);
        registers.forEach((r, i) => {
          const row = lines[2 + 2 * i]!;
          expect(read(row)).toBe(r.value);
          expect(row.replace(/ /g, '')).toHaveLength(r.width);
          expect([...row].filter((c) => c === '-')).toHaveLength(r.width - r.bits);
        });
        // Lowest bit under lowest bit.
        expect(new Set(registers.map((_, i) => lines[2 + 2 * i]!.length)).size).toBe(1);
      }),
    );
  });

  it('numbers each group by its highest bit, and marks what a shift drops', () => {
    const field: BitField = {
      type: 'bitField',
      name: 'r',
      registers: [
        { name: 'sum', figures: '9', value: 0x1cf80, width: 18, from: 0, bits: 18, dropped: 3 },
        { name: 'left', figures: '1', value: 0x73e0, width: 16, from: 1, bits: 15, wrong: true },
      ],
    };
    expect(bitLines(field, 80)).toEqual([
      '     15   11   7    3',
      'sum: 9',
      '  01 1100 1111 1000 0000',
      '                     ^^^ dropped',
      '✗ left: 1',
      '     0111 0011 1110 000-',
    ]);
    const twelve = { name: 'right', figures: '1', value: 0xb5d, width: 16, from: 0, bits: 12 };
    expect(bitLines(bitField({ name: 'r', registers: [twelve] }), 80)).toEqual([
      '  15   11   7    3',
      'right: 1',
      '  ---- 1011 0101 1101',
    ]);
  });
});

describe('a register drawn', () => {
  const drawn = (registers: BitField['registers']) => {
    const { document } = parseHTML('<!doctype html><html><body></body></html>');
    document.body.innerHTML = render(BitFieldBlock({ block: bitField({ name: 'r', registers }) }));
    return document;
  };

  it('stands bit under bit, the lowest at the right', () => {
    const document = drawn([
      { name: 'wide', figures: '1', value: 5, width: 18, from: 0, bits: 18 },
      { name: 'narrow', figures: '1', value: 5, width: 12, from: 0, bits: 12 },
    ]);
    const [wide, narrow] = [...document.querySelectorAll('svg')].map((svg) =>
      [...svg.querySelectorAll('rect')].map((rect) => Number(rect.getAttribute('x'))),
    );
    expect(wide).toEqual([...wide!].sort((a, b) => a - b));
    expect(narrow).toEqual(wide!.slice(-12));
  });

  it('has a cell for each bit in use, filled where it is set, and strikes out the others', () => {
    fc.assert(
      fc.property(register, (r) => {
        const document = drawn([r]);
        const cells = [...document.querySelectorAll('svg g')];
        expect(cells).toHaveLength(r.bits);
        expect(document.querySelectorAll('svg > path')).toHaveLength(r.width - r.bits);
        const digits = cells.map((g) => g.querySelector('text')!.textContent).join('');
        expect(Number.parseInt(digits, 2) * 2 ** r.from).toBe(r.value);
        expect([...digits].filter((d) => d === '1')).toHaveLength(
          document.querySelectorAll('rect.one').length,
        );
        expect(document.querySelector('svg')!.getAttribute('aria-label')).toContain(digits);
      }),
      { numRuns: 60 },
    );
  });
});

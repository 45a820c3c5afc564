import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { entry, prose, strong } from '../../src/page/blocks.ts';
import type { Field } from '../../src/page/desk.ts';
import { columns, plain, proseWords, wrap } from '../../src/page/text/lines.ts';

const field = (path: string): Field => ({
  path,
  label: path,
  text: '10\u202fkΩ',
  assumed: false,
  from: '',
  steps: false,
  hint: '',
});

describe('prose', () => {
  it('is joined from its pieces, and line breaks of the script are spaces', () => {
    expect(prose`a
      b ${strong('c')} d`).toEqual(['a b ', { type: 'strong', words: 'c' }, ' d']);
    expect(proseWords(prose`R is ${entry('x')}.`, field)).toBe('R is 10\u202fkΩ.');
  });
});

describe('wrapping', () => {
  it('keeps to the width, keeps every word, and keeps a number with its unit', () => {
    fc.assert(
      fc.property(
        fc.array(fc.stringMatching(/^[a-z]{1,12}$/), { minLength: 1, maxLength: 60 }),
        fc.integer({ min: 20, max: 80 }),
        (list, width) => {
          const lines = wrap(list.join(' '), width);
          expect(lines.every((line) => line.length <= width)).toBe(true);
          expect(lines.join(' ')).toBe(list.join(' '));
        },
      ),
    );
    expect(wrap('to 10\u202fkΩ', 7)).toEqual(['to', '10 kΩ']);
  });
});

describe('columns', () => {
  it('set figures right and words left, and wrap the last', () => {
    expect(
      columns(
        [
          ['a', '1', 'one'],
          ['bb', '22', 'two words more than fit'],
        ],
        [false, true, false],
        22,
      ),
    ).toEqual(['a    1  one', 'bb  22  two words more', '        than fit']);
  });
});

describe('plain text', () => {
  it('holds nothing that steers a terminal', () => {
    expect(plain('a\u001b[31mred\u0007\u202eb\u202fc')).toBe('a[31mredb c');
  });
});

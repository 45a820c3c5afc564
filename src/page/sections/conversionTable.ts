/** Ways to convert in integers: each method at each width, with what it costs and how far it is off. */
import type { IntegerConversion } from '../../firmware/integerConversion.ts';
import { formatDeciding, formatNumber } from '../../numbers/format.ts';
import * as b from '../blocks.ts';
import { entry, prose, type Row, type Section, symbol } from '../blocks.ts';
import { formWords, isChosen, methodWords } from './conversionWords.ts';
import type { Told } from './told.ts';

const whole = (value: number): string => formatNumber({ value, digits: 16 });

/** What the reader may ask of the conversion; `unless` is the error that it keeps where none is given. */
export const conversionAsked = (unless?: string): Section => ({
  claim: 'What is asked of the conversion',
  body: [
    b.inputs([
      {
        what: 'largest error, rounding included',
        value: prose`${entry('firmware.error')}`,
        ...(unless && { from: `${unless} is kept` }),
      },
      {
        what: 'widest product, bits',
        value: prose`${entry('firmware.intermediates')}`,
        from: '16, 32 or 64; 64 unless given',
      },
    ]),
  ],
});

/** The methods and widths, the smallest that keeps the error chosen. */
export function conversionTable({ e, difference }: Told, c: IntegerConversion): Section {
  const rows = c.candidates.map((one, i): Row => {
    const group = i > 0 && c.candidates[i - 1]!.intermediates !== one.intermediates;
    const figures =
      one.error === 'none'
        ? 'does not fit'
        : formatDeciding({ value: one.error, limit: c.wanted, unit: e.units.difference }).value;
    return {
      cells: [
        `${isChosen(c, one) ? '✓ ' : ''}${methodWords[one.method]}`,
        String(one.intermediates),
        one.error === 'none' ? '–' : whole(one.bytes),
        one.error === 'none' ? '–' : whole(one.size),
        one.keeps ? figures : { text: figures, miss: true },
      ],
      ...(isChosen(c, one) && { standing: 'recommended' as const }),
      ...(!one.keeps && { standing: 'fails' as const }),
      ...(group && { group }),
    };
  });
  return {
    body: [
      b.table({
        name: 'conversion',
        claim: `${formWords(c)} in ${c.intermediates} bits keeps ${difference(c.wanted)} with ${whole(c.bytes)} bytes of constants.`,
        text: prose`Every code from ${whole(c.lowestCode)} to ${whole(c.highestCode)} was walked through: the errors are proved, not estimated. ✓ is the smallest that keeps what is asked. Size counts constants, and by estimate the program: half the square of its bytes for each product, 16 for reading a table.`,
        columns: [
          { head: 'method', words: true },
          { head: 'products', unit: 'bits' },
          { head: 'constants', unit: 'bytes', minor: true },
          { head: 'size', unit: 'bytes' },
          { head: 'largest error' },
        ],
        rows,
      }),
    ],
    margin: [
      b.working({
        result: `largest product ${whole(c.largestIntermediate)}`,
        steps: [
          prose`of ${whole(c.form.signed ? 2 ** (c.intermediates - 1) - 1 : 2 ** c.intermediates - 1)} that ${String(c.intermediates)} bits ${c.form.signed ? 'with a sign' : 'without a sign'} hold, over every code.`,
          c.form.signed
            ? prose`Divisions by powers of two, towards zero as the language has it: a shift of something below zero is not its division. The last dividend is never below zero, and half a step is added ahead of it.`
            : prose`Everything that is shifted is without a sign, so a shift is a division rounded down; half a step is added ahead of it.`,
          ...(c.falling ? [prose`The curve falls: what is computed is taken from ${symbol('base')}.`] : []),
        ],
        source: 'Exhaustive; the C is compiled and compared with this at every code.',
      }),
    ],
  };
}

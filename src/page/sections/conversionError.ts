/** The error of the integer conversion over the measurand, and what happens beyond its ends. */
import { conversionErrors } from '../../firmware/conversionErrors.ts';
import type { IntegerConversion } from '../../firmware/integerConversion.ts';
import { formatNumber } from '../../numbers/format.ts';
import { faultCodesOf } from '../../worksheet/faultCodesOf.ts';
import { roundSpan, thinned } from '../axes.ts';
import * as b from '../blocks.ts';
import { prose, type Row, type Section, toPage } from '../blocks.ts';
import { number, type Told } from './told.ts';

const whole = (value: number): string => formatNumber({ value, digits: 16 });

/** Stretches that the curve is drawn through. */
const stretches = 120;

/** Least and largest error of each stretch, between the limits. */
export function conversionError(t: Told, c: IntegerConversion): Section {
  const { e, small, inSmall, difference, measurand, unit } = t;
  const errors = conversionErrors(e, c, stretches);
  const points = (of: 'least' | 'most') => errors.map((p) => [p.measurand, inSmall(p[of])] as const);
  const wanted = inSmall(c.wanted);
  const y = roundSpan([-1.25 * wanted, 1.25 * wanted]);
  const x = { from: errors[0]!.measurand, to: errors.at(-1)!.measurand };
  const { low, high } = e.channel.range;
  const worst = e.reading.measurandAt(c.largestErrorCode);
  return {
    body: [
      b.plot({
        name: 'error',
        claim: `No code is off by more than ${difference(c.largestError)}.`,
        text: prose`Between the two lines lies every code’s error, the rounding to ${difference(1 / c.scale)} in it. One result code is worth ${difference(e.channel.best.perCode * e.averaging.resultLsb)} where it is narrowest.`,
        description: `Error of the integer conversion in ${small} against the measurand: at most ${difference(c.largestError)}, at ${measurand(worst)}; ${difference(c.wanted)} are allowed`,
        x: { label: unit, scale: 'linear', ...x },
        y: { label: `${small}, least and most`, scale: 'linear', ...y },
        marks: [
          b.limit({ y: wanted, text: `allowed: ${difference(c.wanted)}`, forbidden: 'above' }),
          b.limit({ y: -wanted, text: `allowed: ${difference(-c.wanted)}`, forbidden: 'below' }),
          b.curve({ name: 'most', points: points('most'), style: 'first' }),
          b.curve({ name: 'least', points: points('least'), style: 'first' }),
          ...(low > x.from || high < x.to
            ? [
                b.span({
                  from: Math.max(low, x.from),
                  to: Math.min(high, x.to),
                  height: 0.03,
                  text: 'range that is wanted',
                }),
              ]
            : []),
        ],
        figures: {
          heads: [unit, `least, ${small}`, `most, ${small}`],
          rows: thinned([...errors.keys()], 12).map((i) => {
            const p = errors[i]!;
            return [number(p.measurand, 4), number(inSmall(p.least)), number(inSmall(p.most))];
          }),
        },
      }),
    ],
  };
}

/** What the function returns at both ends and beyond, and which codes a broken sensor gives. */
export function conversionEnds({ e, measurand }: Told, c: IntegerConversion): Section {
  const row = (codes: string, returned: string, means: string): Row => ({ cells: [codes, returned, means] });
  const [under, over] = c.falling ? (['above', 'below'] as const) : (['below', 'above'] as const);
  const value = (code: number): string => `${whole(c.fromCode(code))}`;
  const at = (code: number): string => measurand(e.reading.measurandAt(code));
  const faults = faultCodesOf(e).ends.filter((f) => f.margin > 0);
  const tests = faults.map((f) => `${f.fault} ${f.end === 'low' ? 'up to' : 'from'} ${whole(f.limitCode)}`);
  return {
    body: [
      b.table({
        name: 'ends',
        claim:
          c.lowestCode === 0
            ? 'Every code has a value; what cannot be is marked.'
            : 'Beyond its ends the conversion says so, and makes up nothing.',
        text: prose`What is returned there is the smallest or the largest number of 32 bits, so comparisons with a limit still hold. ${tests.length > 0 ? prose`Test the code for a broken sensor first: ${tests.join(', ')} (see ${toPage('watchdog-codes', 'Watchdog codes')}).` : ''}`,
        columns: [{ head: 'codes' }, { head: 'returned' }, { head: 'means', words: true }],
        rows: [
          ...(c.lowestCode > 0 ? [row(`<\u202f${whole(c.lowestCode)}`, whole(c[under]), under)] : []),
          row(whole(c.lowestCode), value(c.lowestCode), at(c.lowestCode)),
          row(whole(c.highestCode), value(c.highestCode), at(c.highestCode)),
          row(`>\u202f${whole(c.highestCode)}`, whole(c[over]), over),
        ],
      }),
    ],
  };
}

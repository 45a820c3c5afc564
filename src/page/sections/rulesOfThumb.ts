/** The rules of thumb, 8, 9 and 10 time constants, beside what the network really leaves. */
import { formatQuantity } from '../../numbers/format.ts';
import type { SampleTimes } from '../../worksheet/sampleTimesOf.ts';
import * as b from '../blocks.ts';
import { prose, type Section, symbol } from '../blocks.ts';
import { lsb } from './settling.ts';
import { number, type Told } from './told.ts';

/** The rules of thumb beside what the network does. @see [SETTLING-TABLE] */
export function rulesOfThumb(
  { e: { quantizing, averaging, sampling, worksheet }, time }: Told,
  { rules, ruleConstant }: SampleTimes,
): Section[] {
  const nine = rules[1]!;
  const real = nine.errors ? lsb(nine.errors.mean, 2) : 'more than the trigger allows';
  const sampleCapacitance = worksheet.profile.sampleCapacitance.value;
  const more = sampling.pinCapacitance > 0.1 * sampleCapacitance;
  return [
    {
      body: [
        b.table({
          name: 'rules',
          claim: `Nine time constants promise ${lsb(nine.promised, 2)}; ${averaging.ratio === 1 ? 'a conversion' : `the mean of ${averaging.ratio}`} keeps ${real}.`,
          text: prose`The rules of 8, 9 and 10 time constants differ by the error that they leave unsaid: at ${String(quantizing.bits)} bits it is what the third column says.`,
          columns: [
            { head: 'τ' },
            { head: 'time', unit: 'after the rule' },
            { head: 'promised', unit: 'LSB' },
            { head: 'first', unit: 'LSB', minor: true },
            { head: 'mean', unit: 'LSB' },
          ],
          rows: rules.map((r) => ({
            cells: [
              number(r.constants),
              time(r.sampleTime),
              number(r.promised, 2),
              r.errors ? lsb(r.errors.first).replace('\u202fLSB', '') : '–',
              r.errors ? lsb(r.errors.mean).replace('\u202fLSB', '') : '–',
            ],
          })),
        }),
      ],
    },
    {
      body: [
        b.paragraph(
          prose`What is allowed here asks for ${number(rules[3]!.constants)} of them. The rules count the sampling capacitor alone${more ? `; the pin’s ${formatQuantity({ value: sampling.pinCapacitance, unit: 'F' })} either gives it its charge or has to be charged along with it` : ''}. Nor do they know where the capacitor starts, what the pin still owes from the conversions before, and that the mean counts.`,
        ),
      ],
      margin: [
        b.working({
          result: `${number(rules[3]!.constants)} time constants`,
          steps: [
            { formula: 'n = ln(2^N/e)' },
            {
              formula: 'n = ln(2^N/e)',
              with: { N: String(quantizing.bits), e: number(sampling.allowedErrorLsb) },
            },
            prose`each ${symbol('τ')} = (${symbol('R')}s + ${symbol('R')}sw) ${symbol('C')}s = ${time(ruleConstant)}.`,
          ],
          source:
            'The rule as handbooks print it, 9.01 for half an LSB at 12 bits; the last two columns from the network.',
        }),
      ],
    },
  ];
}

/** The rules of thumb, 8, 9 and 10 time constants, beside what the network really leaves. */
import type { SampleTimes } from '../../worksheet/sampleTimesOf.ts';
import * as b from '../blocks.ts';
import { prose, type Section, symbol } from '../blocks.ts';
import { lsb } from './settling.ts';
import { number, type Told } from './told.ts';

/** The rules of thumb beside what the network does. @see [SETTLING-TABLE] */
export function rulesOfThumb(
  { e: { quantizing, averaging, sampling }, time }: Told,
  { rules, ruleConstant }: SampleTimes,
): Section {
  const worst = rules[1]!;
  const real = worst.errors ? lsb(worst.errors.mean, 2) : 'more than the trigger allows';
  return {
    body: [
      b.table({
        name: 'rules',
        claim: `Nine time constants promise ${lsb(worst.promised, 2)}; they leave ${real}.`,
        text: prose`The rules of 8, 9 and 10 time constants differ by the error that they leave unsaid, at ${String(quantizing.bits)} bits. What is allowed here asks for ${number(rules[3]!.constants)}. None of them knows the pin’s capacitance, nor that the mean of ${String(averaging.ratio)} counts.`,
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
  };
}

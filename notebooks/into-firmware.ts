/**
 * What goes into the firmware?
 *
 * The conversion from result code to measurand in integers, the smallest that keeps an error over every code; the settings, thresholds
 * and delays as constants with their formulas; and what proves that the firmware does what is said here.
 */
import { fractionOfReference } from '../src/firmware/constants.ts';
import { conversionOrRefusal } from '../src/firmware/conversionOf.ts';
import type { IntegerConversion } from '../src/firmware/integerConversion.ts';
import { supplyOf } from '../src/firmware/supplyText.ts';
import { formatNumber } from '../src/numbers/format.ts';
import * as b from '../src/page/blocks.ts';
import {
  entry,
  met,
  missed,
  type Prose,
  paragraph,
  prose,
  type Section,
  strong,
  symbol,
} from '../src/page/blocks.ts';
import { page } from '../src/page/page.ts';
import { conversionEnds, conversionError } from '../src/page/sections/conversionError.ts';
import { conversionAsked, conversionTable } from '../src/page/sections/conversionTable.ts';
import { formWords } from '../src/page/sections/conversionWords.ts';
import { filesToSave, settingsCard, vectorsTable } from '../src/page/sections/handedOn.ts';
import { cautionSentences, missedSentence } from '../src/page/sections/sentences.ts';
import { type Told, told } from '../src/page/sections/told.ts';
import { throughWords } from '../src/page/sections/watchdogWords.ts';

const whole = (value: number): string => formatNumber({ value, digits: 16 });

function answer({ difference }: Told, c: IntegerConversion | string): Prose {
  if (typeof c === 'string') return prose`${missed('')}${strong('No integer conversion keeps this:')} ${c}.`;
  return prose`${met('')}${strong(`${formWords(c)} in ${c.intermediates}-bit integers:`)} off by ${difference(c.largestError)} at most, proved over every code.`;
}

function also({ e, unit }: Told, c: IntegerConversion | string): Prose {
  if (typeof c === 'string') return missedSentence(e);
  return prose`It returns ${unit} times ${whole(c.scale)} for the codes ${whole(c.lowestCode)} to ${whole(c.highestCode)}. It is saved below as C, with its test vectors. ${missedSentence(e)}`;
}

/** Which voltage a code stands for, without the bias of the shift. */
function rule({ e, unit }: Told): Section {
  const { multiplier, addend, divisor } = fractionOfReference(e);
  const { ratio, shift, rounding, largestCode, resultBits, overflows } = e.averaging;
  const { bits, firstTransition } = e.quantizing;
  const plus = addend < 0 ? `− ${whole(-addend)}` : `+ ${whole(addend)}`;
  const supply = supplyOf(e);
  return {
    claim: `A code C stands for (${whole(multiplier)} C ${plus})/${whole(divisor)} of the reference, exactly.`,
    body: [
      paragraph(
        prose`That is the middle of the sums that give it: ${entry('averaging.ratio')} conversions, shifted by ${entry('averaging.shift')}, which ${rounding === 'round' ? 'rounds' : 'truncates'}. Code times 2${superscript(shift)}/${String(ratio)} would forget ${rounding === 'round' ? 'the rounding' : 'what the shift drops'}. The divisor of one conversion is ${whole(2 ** bits)}, its largest code ${whole(2 ** bits - 1)}; the largest result is ${whole(largestCode)}, ${String(resultBits)}\u202fbits${overflows ? prose`, ${missed('more than the register holds')}` : ''}.`,
      ),
      paragraph(
        typeof supply === 'string'
          ? prose`${supply}`
          : prose`The chain is absolute and its reference is the supply: a result of the internal reference, taken with the same settings, corrects each code, within one code of the exact figure, in ${String(supply.intermediates)}\u202fbits. A ratiometric chain must not be corrected so.`,
      ),
    ],
    margin: [
      b.working({
        result: `${whole(multiplier)} C ${plus} over ${whole(divisor)}`,
        steps: [
          { formula: 'V/V_ref = ((C 2^s − r + (2^s − 1)/2)/R + f − 1/2)/2^N' },
          prose`with ${symbol('R')} = ${String(ratio)}, ${symbol('s')} = ${String(shift)}, ${symbol('N')} = ${String(bits)}, first transition ${symbol('f')} = ${String(firstTransition)}, ${symbol('r')} what is added ahead of the shift; in lowest terms. Then back through ${throughWords(e)} to ${unit}.`,
        ],
        source: 'Own derivation; by simulation too.',
      }),
    ],
  };
}

const superscript = (power: number): string =>
  [...String(power)].map((digit) => '⁰¹²³⁴⁵⁶⁷⁸⁹'[Number(digit)]).join('');

function misleads({ e }: Told): Section {
  return {
    body: [
      b.notes('When this misleads', [
        prose`The error here is that of the arithmetic alone. Sensor, converter and noise come on top, and are mostly far larger.`,
        ...(e.worksheet.inputs.sensor.kind === 'thermocouple'
          ? [
              prose`It holds for a cold junction at ${entry('sensor.coldJunction')}. Where that moves, measure it, add its voltage, and convert the sum by the thermocouple’s own table.`,
            ]
          : []),
        prose`The code is taken as the hardware delivers it, at the lower end of its register. A result that stands at the upper end is to be shifted down first.`,
        prose`A value with ${symbol('SCALE')} steps to a unit is no value in that unit: carry the scale in the names of your variables too.`,
        prose`A calibration of the board belongs behind the conversion, on its value.`,
        ...(e.worksheet.inputs.watchdog
          ? [
              prose`Thresholds hold for these settings: another ratio, shift or resolution asks for other codes.`,
            ]
          : []),
      ]),
    ],
  };
}

export default page({
  place: 12,
  short: 'Into firmware',
  question: 'What goes into the firmware?',
  content(e, { name }) {
    const t = told(e);
    const c = conversionOrRefusal(e);
    const converts = typeof c !== 'string';
    return {
      answer: answer(t, c),
      also: also(t, c),
      sections: [
        ...(converts
          ? [conversionAsked(t.difference(c.wanted)), conversionTable(t, c), conversionError(t, c)]
          : [conversionAsked()]),
        rule(t),
        ...(converts
          ? [conversionEnds(t, c), filesToSave(t, c, name), ...settingsCard(t, c), vectorsTable(t, c)]
          : []),
        misleads(t),
        { body: [b.caution(cautionSentences(e))] },
      ],
    };
  },
});

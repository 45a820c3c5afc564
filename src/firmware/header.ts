/**
 * Header: a worksheet as one C header that C99, C11 and C++ take without a warning. The same worksheet gives the same bytes.
 */

import { asciiQuantity } from '../numbers/format.ts';
import { unitText } from '../numbers/units.ts';
import type { Evaluation } from '../worksheet/evaluate.ts';
import { formatVersion } from '../worksheet/schema/worksheet.ts';
import { type Constant, constantsOf, fractionOfReference } from './constants.ts';
import { largestCodeOf } from './conversionOf.ts';
import { codeType, conversionText, formulaLines, type Names, tableText } from './conversionText.ts';
import type { IntegerConversion } from './integerConversion.ts';
import { commented, signed, unsigned } from './names.ts';
import { supplyText } from './supplyText.ts';
import { programVersion } from './version.ts';

/** Longest line of a comment of its own. */
const longest = 110;

/** A comment over as many lines as it takes. */
export function comment(lines: readonly string[]): string[] {
  const wrapped = lines.flatMap((line) => {
    const out: string[] = [];
    let row = '';
    for (const word of commented(line).split(' ')) {
      if (row !== '' && row.length + 1 + word.length > longest) {
        out.push(row);
        row = '';
      }
      row = row === '' ? word : `${row} ${word}`;
    }
    return [...out, row];
  });
  return ['/*', ...wrapped.map((line) => ` * ${line}`.trimEnd()), ' */'];
}

/** Where it all comes from: the lines that stand at the head of everything handed on. */
export const provenance = ({ worksheet }: Evaluation): string[] => [
  worksheet.inputs.title,
  `Inputs ${worksheet.hash}, worksheet format ${formatVersion}, profile ${worksheet.inputs.converter.profile}.`,
  `Made by Halfbit ${programVersion} from its worksheet; change that, not this.`,
];

const definition = ({ upper }: Names, c: Constant): string =>
  `#define ${upper}_${c.name} ${c.hex ? `${c.hex}${/[a-z]*$/.exec(unsigned(c.value))![0]}` : c.signed ? signed(c.value) : unsigned(c.value)} /* ${commented(c.formula)} */`;

/** A condition that the compiler refuses to pass, as a type of a name of its own: C99, C11 and C++ all take it. */
const assertion = ({ lower }: Names, name: string, condition: string): string =>
  `typedef char ${lower}_assert_${name}[(${condition}) ? 1 : -1];`;

function assertions(
  e: Evaluation,
  c: IntegerConversion,
  names: Names,
  thresholds: readonly Constant[],
): string[] {
  const { upper, lower } = names;
  const { ratio, shift } = e.averaging;
  const one = `((uint64_t)${upper}_DIVISOR - 1u)`;
  return [
    '/* What this header takes for granted. */',
    assertion(names, 'bytes_have_8_bits', 'CHAR_BIT == 8'),
    assertion(names, 'division_cuts_towards_zero', '-7 / 2 == -3'),
    assertion(names, 'divisor_is_2_to_the_bits', `${upper}_DIVISOR == 1ull << ${upper}_BITS`),
    assertion(names, 'largest_code_is_one_less', `${upper}_LARGEST_CODE == ${one}`),
    assertion(names, 'ratio_minus_1', `${upper}_RATIO_MINUS_1 + 1u == ${upper}_RATIO`),
    ...(Number.isInteger(Math.log2(ratio))
      ? [assertion(names, 'ratio_log2', `${upper}_RATIO == 1ul << ${upper}_RATIO_LOG2`)]
      : []),
    ...(e.averaging.overflows
      ? []
      : [
          assertion(
            names,
            'largest_result',
            `(${one} * ${upper}_RATIO + ${upper}_ADDED_BEFORE_SHIFT) >> ${upper}_SHIFT == ${upper}_RESULT_LARGEST_CODE`,
          ),
        ]),
    ...(shift > 0
      ? [
          assertion(
            names,
            'rounding',
            `${upper}_ADDED_BEFORE_SHIFT == 0u || ${upper}_ADDED_BEFORE_SHIFT == 1ul << (${upper}_SHIFT - 1u)`,
          ),
        ]
      : []),
    assertion(
      names,
      'result_fits_its_type',
      `${upper}_RESULT_LARGEST_CODE <= (${codeType(e.averaging.resultBits)})-1`,
    ),
    assertion(
      names,
      'codes_converted_exist',
      `${upper}_LOWEST_CODE <= ${upper}_HIGHEST_CODE && ${upper}_HIGHEST_CODE <= ${upper}_RESULT_LARGEST_CODE`,
    ),
    ...thresholds
      .filter(({ name }) => /^THRESHOLD_(HIGH|LOW)$/.test(name))
      .map(({ name }) =>
        assertion(
          names,
          `${name.toLowerCase()}_fits`,
          `(uint64_t)${upper}_${name} >> ${upper}_THRESHOLD_BITS == 0u`,
        ),
      ),
    ...(c.form.method === 'table'
      ? [
          assertion(
            names,
            'table_is_whole',
            `sizeof ${lower}_table / sizeof ${lower}_table[0] == ${upper}_TABLE_ENTRIES`,
          ),
        ]
      : []),
  ];
}

/** What was proved of the conversion, for a comment. */
function proofLines(e: Evaluation, c: IntegerConversion): string[] {
  const { sensor } = e.worksheet.inputs;
  const unit = e.units.difference;
  const text = (value: number): string => asciiQuantity({ value: Number(value.toPrecision(3)), unit });
  const signs = c.form.signed ? 'signed' : 'unsigned';
  const { multiplier, addend, divisor } = fractionOfReference(e);
  const plus = addend < 0 ? `- ${-addend}` : `+ ${addend}`;
  return [
    `Result code to ${unitText(e.units.measurand)} * ${c.scale}, rounded: the measurand at pin voltage / reference = (${multiplier} * code ${plus})/${divisor}.`,
    ...(sensor.kind === 'thermocouple'
      ? [`It holds for a cold junction at ${sensor.coldJunction.text}.`]
      : []),
    ...formulaLines(c),
    `Proved over every code from ${c.lowestCode} to ${c.highestCode}: off by ${text(c.largestError)} at most (code ${c.largestErrorCode}), rounding included;`,
    `largest intermediate ${c.largestIntermediate}, in ${c.intermediates} bits ${signs}.`,
    ...(c.lowestCode === 0 && c.highestCode === largestCodeOf(e)
      ? [
          'At code 0 the pin may be lower still, at the largest code higher still; a broken sensor gives a value all the same, so compare the code first. Codes that cannot be return ABOVE.',
        ]
      : [
          `Codes below and above those, as of an open or shorted sensor, return ${c.falling ? 'ABOVE and BELOW' : 'BELOW and ABOVE'}; comparisons with them hold.`,
        ]),
  ];
}

/**
 * A worksheet as a C header.
 *
 * @param evaluation - of the worksheet
 * @param conversion - its integer conversion
 * @param prefix - what every name starts with: a letter, then letters, digits or _
 * @returns the header's text, ASCII, a line end at its end
 */
export function headerText({
  evaluation: e,
  conversion: c,
  prefix,
}: {
  readonly evaluation: Evaluation;
  readonly conversion: IntegerConversion;
  readonly prefix: string;
}): string {
  const names: Names = { upper: prefix.toUpperCase(), lower: prefix };
  const groups = constantsOf(e, c);
  const missed = e.requirements.filter((r) => !r.met).map((r) => r.name);
  const lines = [
    ...comment([
      ...provenance(e),
      ...(missed.length > 0 ? [`THIS WORKSHEET MISSES ITS REQUIREMENTS: ${missed.join(', ')}.`] : []),
    ]),
    `#ifndef ${names.upper}_H`,
    `#define ${names.upper}_H`,
    '',
    '#include <limits.h>',
    '#include <stdint.h>',
    '',
    ...groups.flatMap((g) => [
      `/* ${commented(g.title)} */`,
      ...g.constants.map((constant) => definition(names, constant)),
      ...(g.title.startsWith('The value')
        ? [
            `#define ${names.upper}_UNIT "${commented(unitText(e.units.measurand))}" /* value / SCALE is in this unit */`,
          ]
        : []),
      ...(g.remarks.length > 0 ? comment(g.remarks) : []),
      '',
    ]),
    ...comment(proofLines(e, c)),
    ...tableText(c, names),
    ...conversionText(c, e, names),
    '',
    ...supplyText(e, names, comment),
    '',
    ...assertions(
      e,
      c,
      names,
      groups.flatMap((g) => g.constants),
    ),
    '',
    '#endif',
    '',
  ];
  return lines.join('\n');
}

/** The line that names the program's version: it alone may differ without a header being out of date. */
const madeBy = /Made by Halfbit \S+ from/;

/** Where a committed text first differs from the one wanted. */
export interface Mismatch {
  /** From 1. */
  readonly line: number;
  readonly present: string;
  readonly wanted: string;
}

/**
 * Whether a committed header, or its test vectors, are what the worksheet gives. The program's version and the way lines end do not
 * count.
 *
 * @param present - text that was committed
 * @param wanted - text that the worksheet gives
 * @returns 'matches', or the first line that differs
 *
 * @example
 * matches('a\r\nb\r\n', 'a\nb\n') // => 'matches'
 * matches('a\nb\n', 'a\nc\n') // => { line: 2, present: 'b', wanted: 'c' }
 */
export function matches(present: string, wanted: string): 'matches' | Mismatch {
  const linesOf = (text: string): string[] =>
    text.split(/\r?\n/).map((line) => line.replace(madeBy, 'Made by Halfbit from'));
  const [a, b] = [linesOf(present), linesOf(wanted)];
  for (let i = 0; i < Math.max(a.length, b.length); i++) {
    if (a[i] !== b[i]) return { line: i + 1, present: a[i] ?? '(the end)', wanted: b[i] ?? '(the end)' };
  }
  return 'matches';
}

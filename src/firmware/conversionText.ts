/**
 * The integer conversion as C: table and function, in the order of the arithmetic that was proved.
 */
import type { Evaluation } from '../worksheet/evaluate.ts';
import type { IntegerConversion } from './integerConversion.ts';
import type { Multiplier } from './multiplier.ts';
import { signed, signedType, unsigned, unsignedType } from './names.ts';
import type { Polynomial } from './polynomial.ts';
import type { Table } from './table.ts';

/** Entries in one line of a table. */
const across = 10;

/** What the parts of a conversion are called in C. */
export interface Names {
  /** Of macros. */
  readonly upper: string;
  /** Of functions and tables. */
  readonly lower: string;
}

/** Type of a result code. */
export const codeType = (resultBits: number): string => unsignedType(resultBits);

/** The code without the low bits that are dropped. */
const blockOf = ({ drop }: IntegerConversion): string => (drop === 0 ? 'code' : `(code >> ${drop})`);

/** The sum of base and what was computed, turned back: `±(base + z)` in 32 bits. */
const turned = ({ falling }: IntegerConversion, base: number, z: string): string =>
  falling ? `return ${signed(0 - base)} - (int32_t)(${z});` : `return ${signed(base)} + (int32_t)(${z});`;

/** The type in which `/` and `>>` of unsigned values are formed; narrow ones are widened to int by the language. */
function multiplierLines(c: IntegerConversion, f: Multiplier): string[] {
  const type = unsignedType(c.intermediates);
  const first = Math.floor(c.lowestCode / 2 ** c.drop);
  const u = first === 0 ? blockOf(c) : `${blockOf(c)} - ${unsigned(first)}`;
  return [
    `const ${type} u = (${type})(${u});`,
    `const ${type} sum = (${type})(u * ${unsigned(f.multiplier)} + ${unsigned(f.offset)});`,
    turned(c, f.base, f.shift === 0 ? 'sum' : `sum >> ${f.shift}`),
  ];
}

function polynomialLines(c: IntegerConversion, f: Polynomial): string[] {
  const type = signedType(c.intermediates);
  const by = (shift: number): string => (shift === 0 ? '' : ` / ${signed(2 ** shift)}`);
  const { coefficients, shifts } = f;
  const lines = [
    `const ${type} t = (${type})((${type})${blockOf(c)} - ${signed(f.centre)});`,
    `${type} a = ${signed(coefficients.at(-1)!)};`,
  ];
  for (let k = coefficients.length - 1; k >= 1; k--) {
    lines.push(`a = (${type})(${signed(coefficients[k - 1]!)} + a * t${by(shifts[k]!)});`);
  }
  return [...lines, turned(c, f.base, `(a * t + ${signed(f.offset)})${by(shifts[0]!)}`)];
}

function tableLines(c: IntegerConversion, f: Table, { lower }: Names): string[] {
  const type = unsignedType(c.intermediates);
  const length = 2 ** f.segmentBits;
  const first = f.firstIndex === 0 ? '' : ` - ${unsigned(f.firstIndex)}`;
  const rounded = f.entryBits === 0 ? 'z' : `(z + ${unsigned(2 ** (f.entryBits - 1))}) >> ${f.entryBits}`;
  return [
    `const uint16_t i = (uint16_t)((code >> ${f.segmentBits + c.drop})${first});`,
    `const ${type} f = (${type})(${blockOf(c)} & ${unsigned(length - 1)});`,
    `const ${type} low = ${lower}_table[i];`,
    `const ${type} rise = (${type})(${lower}_table[i + 1] - low);`,
    `const ${type} z = (${type})(low + ((${type})(rise * f + ${unsigned(length / 2)}) >> ${f.segmentBits}));`,
    turned(c, f.base, rounded),
  ];
}

/** What the arithmetic is, in words and a formula, for a comment. */
export function formulaLines(c: IntegerConversion): string[] {
  const block = blockOf(c);
  const turn = c.falling ? '-' : '';
  switch (c.form.method) {
    case 'multiplier':
      return [
        `Multiplier and shift: value = ${turn}(base + ((u * multiplier + offset) >> shift)), u = ${block} - first.`,
        'Everything shifted is unsigned; half a step is in the offset.',
      ];
    case 'polynomial':
      return [
        `Polynomial of degree ${c.form.coefficients.length} about code ${c.form.centre * 2 ** c.drop}, by Horner's scheme in fixed point.`,
        'Divisions are by powers of two and cut towards zero (C99 6.5.5); the last dividend is never below zero,',
        'and half a step is in the offset. Coefficients: through the curve at the Chebyshev nodes, scaled to the width.',
      ];
    case 'table':
      return [
        `Table with interpolation: ${c.form.entries.length} entries, one every ${2 ** (c.form.segmentBits + c.drop)} codes, indexed by the high bits of the code,`,
        `in ${2 ** c.form.entryBits === 1 ? 'steps' : `1/${2 ** c.form.entryBits} steps`} from ${c.falling ? 'the value of the first entry down' : 'the value of the first entry up'}.`,
        'They lie off the curve by half of what the chords lie off it. Everything is unsigned; both shifts round.',
      ];
  }
}

/** The table of a conversion, where it has one. */
export function tableText({ form }: IntegerConversion, { lower, upper }: Names): string[] {
  if (form.method !== 'table') return [];
  const rows: string[] = [];
  for (let i = 0; i < form.entries.length; i += across) {
    rows.push(
      `    ${form.entries
        .slice(i, i + across)
        .map(unsigned)
        .join(', ')},`,
    );
  }
  return [
    `#define ${upper}_TABLE_ENTRIES ${unsigned(form.entries.length)}`,
    `static const ${unsignedType(form.narrow ? 16 : 32)} ${lower}_table[${upper}_TABLE_ENTRIES] = {`,
    ...rows,
    '};',
    '',
  ];
}

/** The conversion as a function. */
export function conversionText(c: IntegerConversion, e: Evaluation, names: Names): string[] {
  const { upper, lower } = names;
  const type = codeType(e.averaging.resultBits);
  const largest = 2 ** (type === 'uint16_t' ? 16 : 32) - 1;
  const [under, over] = c.falling ? ['ABOVE', 'BELOW'] : ['BELOW', 'ABOVE'];
  const lines =
    c.form.method === 'multiplier'
      ? multiplierLines(c, c.form)
      : c.form.method === 'polynomial'
        ? polynomialLines(c, c.form)
        : tableLines(c, c.form, names);
  return [
    `static inline int32_t ${lower}_from_code(${type} code)`,
    '{',
    ...(c.lowestCode > 0 ? [`    if (code < ${upper}_LOWEST_CODE) return ${upper}_${under};`] : []),
    ...(c.highestCode < largest ? [`    if (code > ${upper}_HIGHEST_CODE) return ${upper}_${over};`] : []),
    ...lines.map((line) => `    ${line}`),
    '}',
  ];
}

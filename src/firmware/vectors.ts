/**
 * Test vectors: codes and the values that the conversion must give, as CSV and as C.
 */
import { unitText } from '../numbers/units.ts';
import type { Evaluation } from '../worksheet/evaluate.ts';
import { largestCodeOf } from './conversionOf.ts';
import { codeType } from './conversionText.ts';
import { comment, provenance } from './header.ts';
import type { IntegerConversion } from './integerConversion.ts';
import { commented, signed, unsigned } from './names.ts';

/** One code, the value that the firmware must give, and the measurand without rounding; 'none' where the code is not converted. */
export interface TestVector {
  readonly code: number;
  readonly value: number;
  readonly measurand: number | 'none';
}

/** Codes over the converted ones, beside those that are singled out. */
const spread = 64;

/** Vectors in one line of C. */
const across = 6;

/**
 * The test vectors of a worksheet: both ends and their neighbours, the ends of the type, the code of the largest error, the seams of a
 * table, powers of two, and codes spread evenly.
 */
export function testVectors(e: Evaluation, c: IntegerConversion): TestVector[] {
  const { lowestCode, highestCode } = c;
  const top = largestCodeOf(e);
  const end = 2 ** (codeType(e.averaging.resultBits) === 'uint16_t' ? 16 : 32) - 1;
  const about = (code: number): number[] => [code - 1, code, code + 1];
  const seams =
    c.form.method === 'table'
      ? c.form.entries.map((_, i) =>
          c.form.method === 'table' ? (c.form.firstIndex + i) * 2 ** (c.form.segmentBits + c.drop) : 0,
        )
      : [];
  const codes = [
    0,
    ...about(lowestCode),
    ...about(highestCode),
    ...about(c.largestErrorCode),
    ...about(top),
    end,
    ...seams.flatMap((code) => [code - 1, code]),
    ...Array.from({ length: 32 }, (_, i) => 2 ** i),
    ...Array.from({ length: spread + 1 }, (_, i) =>
      Math.round(lowestCode + ((highestCode - lowestCode) * i) / spread),
    ),
  ];
  return [...new Set(codes)]
    .filter((code) => code >= 0 && code <= end)
    .sort((a, b) => a - b)
    .map((code) => ({
      code,
      value: c.fromCode(code),
      measurand: code < lowestCode || code > highestCode ? 'none' : e.reading.measurandAt(code),
    }));
}

/** Test vectors as CSV: code, value, and the measurand that it is rounded from. */
export function vectorsCsv(e: Evaluation, c: IntegerConversion): string {
  const rows = testVectors(e, c).map(
    ({ code, value, measurand }) =>
      `${code},${value},${measurand === 'none' ? '' : Number(measurand.toPrecision(12))}`,
  );
  const head = provenance(e).map((line) => `# ${commented(line)}`);
  return [...head, `code,value,measurand_${unitText(e.units.measurand)}`, ...rows, ''].join('\n');
}

/** Test vectors as C, with a function that counts those that fail; to be included after the header. */
export function vectorsC(e: Evaluation, c: IntegerConversion, prefix: string): string {
  const upper = prefix.toUpperCase();
  const vectors = testVectors(e, c).map(({ code, value }) => `{${unsigned(code)}, ${signed(value)}}`);
  const rows: string[] = [];
  for (let i = 0; i < vectors.length; i += across)
    rows.push(`    ${vectors.slice(i, i + across).join(', ')},`);
  return [
    ...comment([...provenance(e), 'Test vectors; include the header first.']),
    `#ifndef ${upper}_VECTORS_H`,
    `#define ${upper}_VECTORS_H`,
    '',
    '#include <stdint.h>',
    '',
    `#define ${upper}_VECTORS ${unsigned(vectors.length)}`,
    'static const struct {',
    `    ${codeType(e.averaging.resultBits)} code;`,
    '    int32_t value;',
    `} ${prefix}_vectors[${upper}_VECTORS] = {`,
    ...rows,
    '};',
    '',
    '/* How many vectors fail; 0 where the conversion is what was proved. */',
    `static inline uint16_t ${prefix}_failed_vectors(void)`,
    '{',
    '    uint16_t failed = 0;',
    '    uint16_t i;',
    `    for (i = 0; i < ${upper}_VECTORS; i++) {`,
    `        if (${prefix}_from_code(${prefix}_vectors[i].code) != ${prefix}_vectors[i].value) failed++;`,
    '    }',
    '    return failed;',
    '}',
    '',
    '#endif',
    '',
  ].join('\n');
}

/**
 * The supply correction as C, for a chain that needs one; for the others the reason why there is none.
 */
import type { Evaluation } from '../worksheet/evaluate.ts';
import { codeType, type Names } from './conversionText.ts';
import { unsigned, unsignedType } from './names.ts';
import { type SupplyCorrection, supplyCorrection } from './supplyCorrection.ts';

/** The supply correction of a worksheet, or why there is none. */
export function supplyOf({ worksheet, quantizing, averaging }: Evaluation): SupplyCorrection | string {
  const { inputs, profile } = worksheet;
  const { source } = inputs.converter.reference;
  if (inputs.conditioning.wiring === 'ratiometric')
    return 'No supply correction: the chain is ratiometric, the reference cancels, and correcting it would add an error.';
  if (source !== 'supply')
    return `No supply correction: the chain is absolute, but its reference, ${source}, does not follow the supply.`;
  if (averaging.overflows) return 'No supply correction: the result overflows.';
  const { bits, firstTransition, reference } = quantizing;
  const { ratio, shift, rounding } = averaging;
  try {
    return supplyCorrection({
      bits,
      firstTransition,
      ratio,
      shift,
      rounding,
      nominalSupply: reference,
      internalReference: profile.internalReference.voltage.value,
    });
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    return `No supply correction: ${error.message}`;
  }
}

/** The correction's constants and functions. */
export function supplyText(
  e: Evaluation,
  { upper, lower }: Names,
  comment: (lines: readonly string[]) => string[],
): string[] {
  const c = supplyOf(e);
  if (typeof c === 'string') return comment([c]);
  const type = unsignedType(c.intermediates);
  const code = codeType(e.averaging.resultBits);
  const parts = 2 ** c.fractionBits;
  const partsOf = (name: string): string =>
    c.addend === 0
      ? `(${type})((${type})${name} * ${unsigned(parts)})`
      : c.addend > 0
        ? `(${type})((${type})${name} * ${unsigned(parts)} + ${unsigned(c.addend)})`
        : `(${type})(${name} == 0u ? 0u : (${type})${name} * ${unsigned(parts)} - ${unsigned(-c.addend)})`;
  const half = unsigned(parts / 2);
  const back =
    c.addend > 0
      ? [
          `    if (quotient + ${half} < ${unsigned(c.addend)}) return 0u;`,
          `    quotient = (quotient + ${half} - ${unsigned(c.addend)}) / ${unsigned(parts)};`,
        ]
      : [`    quotient = (quotient + ${unsigned(parts / 2 - c.addend)}) / ${unsigned(parts)};`];
  const { internalReference } = e.worksheet.profile;
  return [
    ...comment([
      `Supply correction: the chain is absolute and its reference is the supply. Take a result of the internal reference, ${internalReference.voltage.text}, with the same ratio, shift and rounding:`,
      `corrected + d = (code + d) * (expected + d)/(reference code + d), d = ${c.addend}/${parts}; at the nominal supply the reference gives ${(c.expected - c.addend) / parts}.`,
      `Within one code of the exact figure; largest intermediate ${c.largestIntermediate}, in ${c.intermediates} bits unsigned. A reference code below ${c.lowestReferenceCode} (more than twice the nominal supply) returns the largest code, and 0 mV.`,
    ]),
    `#define ${upper}_LOWEST_REFERENCE_CODE ${unsigned(c.lowestReferenceCode)}`,
    `static inline ${code} ${lower}_corrected_code(${code} code, ${code} reference_code)`,
    '{',
    `    const ${type} by = ${partsOf('reference_code')};`,
    `    ${type} quotient;`,
    `    if (reference_code < ${upper}_LOWEST_REFERENCE_CODE || code > ${upper}_RESULT_LARGEST_CODE) return ${upper}_RESULT_LARGEST_CODE;`,
    `    quotient = (${type})((${partsOf('code')} * ${unsigned(c.expected)} + by / 2u) / by);`,
    ...back,
    `    return (${code})(quotient > ${upper}_RESULT_LARGEST_CODE ? ${upper}_RESULT_LARGEST_CODE : quotient);`,
    '}',
    `static inline uint16_t ${lower}_supply_mv(${code} reference_code)`,
    '{',
    `    const ${type} by = ${partsOf('reference_code')};`,
    `    if (reference_code < ${upper}_LOWEST_REFERENCE_CODE) return 0u;`,
    `    return (uint16_t)((${unsigned(c.millivolts)} + by / 2u) / by);`,
    '}',
  ];
}

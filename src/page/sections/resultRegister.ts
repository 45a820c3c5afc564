/** The result register bit by bit: sum, shift, alignment, misreadings; and the constant that a truncating shift wants. */
import { formatFixed, formatNumber } from '../../numbers/format.ts';
import type { RateRow, WorksheetRates } from '../../worksheet/ratesOf.ts';
import {
  codeFraction,
  type Misreading,
  registerOf,
  type WorksheetRegister,
} from '../../worksheet/registerOf.ts';
import * as b from '../blocks.ts';
import { paragraph, prose, type Register, type Section, symbol } from '../blocks.ts';
import { number, type Told } from './told.ts';

const whole = (value: number): string => formatNumber({ value, digits: 16 });
const hex = (value: number): string => `0x${value.toString(16).toUpperCase()}`;
const both = (value: number): string => `${whole(value)} = ${hex(value)}`;

/** How many times too large or small, in words. */
const times = (factor: number): string =>
  factor >= 1 ? `${whole(factor)} times too large` : `${whole(1 / factor)} times too small`;

/** The registers as they are drawn: the sum and what the shift leaves of it, right and left in the register. */
function registers({ averaging, quantizing }: Told['e'], r: WorksheetRegister): Register[] {
  const { ratio, shift } = averaging;
  const { aligned } = r;
  const summed: Register = {
    name: `${ratio === 1 ? 'one conversion' : `sum of ${ratio}`}, ${r.sumBits} bits${shift > 0 ? `; the shift drops ${shift}` : ''}`,
    figures: both(r.sum),
    value: r.sum,
    width: r.sumBits,
    from: 0,
    bits: r.sumBits,
    ...(shift > 0 && { dropped: shift }),
  };
  const of = aligned.of === 'result' ? 'the result' : `a conversion of ${quantizing.bits} bits`;
  const within = { width: aligned.width, bits: Math.min(aligned.bits, aligned.width) };
  const right: Register = {
    name: `${of} right-aligned in ${aligned.width} bits`,
    figures: both(aligned.code),
    value: aligned.code,
    from: 0,
    ...within,
  };
  const left: Register = {
    name: `left-aligned; read as it stands it is ${times(2 ** aligned.spare)}`,
    figures: both(aligned.leftAligned),
    value: aligned.leftAligned,
    from: aligned.spare,
    ...within,
    wrong: true,
  };
  return [...(ratio > 1 || shift > 0 ? [summed] : []), right, ...(aligned.spare > 0 ? [left] : [])];
}

const misreadingNames: Readonly<Record<Misreading['is'], string>> = {
  'left as right': 'left-aligned, taken for right-aligned',
  'right as left': 'right-aligned, taken for left-aligned',
  'masked to one conversion': 'masked to the width of one conversion',
  'taken for one conversion': 'converted as one conversion’s code',
};

/** Where the bits stand, and by what one knows that they were misread. */
export function resultRegister({ e, measurand, name }: Told): Section[] {
  const r = registerOf(e);
  const { aligned } = r;
  const mask = 2 ** Math.min(aligned.bits, aligned.width) - 1;
  const claim =
    aligned.spare === 0
      ? `The ${aligned.of} fills its ${aligned.width} bits: left and right are the same.`
      : `Read at the wrong end, the ${aligned.of} is ${times(2 ** aligned.spare)}.`;
  const way =
    aligned.spare === 0
      ? prose`No mask and no shift are due.`
      : prose`Right-aligned: mask with ${hex(mask)}. Left-aligned: shift right by ${String(aligned.spare)}.`;
  const alone = 2 ** (aligned.width - e.quantizing.bits);
  const unaveraged =
    aligned.of === 'result' && e.averaging.ratio > 1 && alone > 1
      ? prose` Without averaging, ${String(e.quantizing.bits)} bits in ${String(aligned.width)}, it would be ${times(alone)}.`
      : '';
  const drawn: Section = {
    claim,
    body: [
      paragraph(
        prose`What stands in the register at ${measurand(r.measurand)}, the middle of the range. ${way}${unaveraged}`,
      ),
      b.bitField({ name: 'register', registers: registers(e, r) }),
    ],
    margin: [
      paragraph(
        prose`Struck-out bits are not in use${e.averaging.shift > 0 ? '; dashed ones are dropped by the shift' : ''}.`,
      ),
      ...(aligned.of === 'conversion'
        ? [
            paragraph(
              prose`Software adds the codes, so alignment is a matter of each conversion; a register of ${String(aligned.width)} bits is assumed.`,
            ),
          ]
        : []),
    ],
  };
  const seeming = r.misreadings.flatMap((m) => (m.measurand === 'none' ? [] : [measurand(m.measurand)]));
  const signature = b.table({
    name: 'misreadings',
    claim:
      seeming.length === 0
        ? `Misread, the register gives no ${name} at all.`
        : `Misread, ${measurand(r.measurand)} seems to be ${seeming.join(' or ')}.`,
    columns: [
      { head: 'reading', words: true },
      { head: 'code' },
      { head: 'stands for', unit: 'so many times', minor: true },
      { head: name, unit: 'then seems' },
    ],
    rows: [
      { cells: ['as it should be', whole(r.code), '1', measurand(r.measurand)], standing: 'recommended' },
      ...r.misreadings.map((m) => ({
        cells: [
          misreadingNames[m.is],
          whole(m.code),
          m.factor === 'wraps' ? 'wraps' : m.factor < 1 ? `1/${whole(1 / m.factor)}` : whole(m.factor),
          m.measurand === 'none' ? `no such ${name}` : measurand(m.measurand),
        ],
      })),
    ],
  });
  return [drawn, ...(r.misreadings.length > 0 ? [{ body: [signature] }] : [])];
}

/** C type that holds a whole number of so many bits. */
const typeFor = (bits: number): string => `uint${[8, 16, 32].find((width) => bits <= width) ?? 64}_t`;

/** Ratio as registers want it, full scale after the shift, and the divisor. */
export function ratioForms({ e }: Told, { rows }: WorksheetRates): Section {
  const { quantizing, averaging } = e;
  const own = rows.filter((r) => r.bits === quantizing.bits);
  const row = (r: RateRow): b.Row => {
    const { over, under } = codeFraction(r.bits, r.ratio, r.shift);
    const log = Math.log2(r.ratio);
    const code = whole(r.largestCode);
    return {
      cells: [
        whole(r.ratio),
        Number.isInteger(log) ? String(log) : '–',
        whole(r.ratio - 1),
        String(r.shift),
        r.overflows ? { text: code, miss: true } : code,
        String(r.resultBits),
        over === 1 ? whole(under) : `${whole(under)}/${whole(over)}`,
        typeFor(r.resultBits),
      ],
      ...(r.chosen ? { standing: 'chosen' as const } : r.overflows && { standing: 'fails' as const }),
    };
  };
  const { over, under } = codeFraction(quantizing.bits, averaging.ratio, averaging.shift);
  return {
    body: [
      b.table({
        name: 'forms',
        claim: `Divide by ${over === 1 ? whole(under) : `${whole(under)}/${whole(over)}`}, never by the largest code, ${whole(averaging.largestCode)}.`,
        text: prose`One result code is the reference over the divisor, exactly. Registers take the ratio itself, its logarithm, or the ratio less one: the data sheet says which.`,
        columns: [
          { head: 'ratio' },
          { head: 'log2' },
          { head: 'ratio', unit: '− 1' },
          { head: 'shift' },
          { head: 'largest', unit: 'code' },
          { head: 'result', unit: 'bits', minor: true },
          { head: 'divisor', minor: true },
          { head: 'C type', words: true, minor: true },
        ],
        rows: own.map(row),
      }),
    ],
  };
}

/** What a truncating shift takes off, and the constant that gives it back. */
export function roundingConstants({ e, difference }: Told): Section {
  const { averaging, channel } = e;
  const { roundings } = registerOf(e);
  const codes = (value: number): string => formatFixed({ value, decimals: 5 });
  const mine = roundings.find((r) => r.shift === averaging.shift);
  const rounds = averaging.rounding === 'round';
  const bias = mine && (rounds ? mine.rounded : mine.truncated);
  return {
    body: [
      b.table({
        name: 'rounding',
        claim:
          mine === undefined || bias === undefined
            ? 'A truncating shift would take off up to half a result code.'
            : `The shift by ${mine.shift} ${rounds ? 'rounds and adds' : 'truncates and takes off'} ${number(Math.abs(bias), 4)} of a result code.`,
        text:
          mine && !rounds
            ? averaging.by === 'software'
              ? prose`Add ${whole(mine.constant)} to the sum ahead of the shift, or count the bias in when the code is converted.`
              : prose`Hardware that truncates leaves no place ahead of the shift: count the bias in when the code is converted. Where software sums, add ${whole(mine.constant)} first.`
            : prose`Where a shift truncates, this constant goes to the sum ahead of it.`,
        columns: [
          { head: 'shift' },
          { head: 'constant', unit: 'added first' },
          { head: 'truncated', unit: 'result codes' },
          { head: 'with constant', unit: 'result codes' },
          { head: 'truncated', unit: 'native LSB', minor: true },
          { head: 'truncated', unit: 'in the reading', minor: true },
        ],
        rows: roundings.map((r) => ({
          cells: [
            String(r.shift),
            whole(r.constant),
            codes(r.truncated),
            codes(r.rounded),
            number(r.truncatedLsb),
            difference(r.truncatedLsb * channel.worst.perCode * (channel.falling ? -1 : 1)),
          ],
          ...(r.shift === averaging.shift && { standing: 'chosen' as const }),
        })),
      }),
      b.working({
        result: mine ? number(mine.truncated, 4) : 'bias of a truncating shift',
        steps: [
          prose`Where the sum runs over many result codes, by a shift of ${symbol('s')}:`,
          { formula: '−(2^s − 1)/2^(s+1)' },
          prose`0.25, 0.375, 0.4375 and 0.469 of a result code for 1 to 4. With 2^(s − 1) added first +1/2^(s+1) stays, which at a shift of 1 is as much the other way. The table is exact for this noise and ratio.`,
        ],
        source: 'Own derivation; see Which ratio?',
      }),
    ],
  };
}

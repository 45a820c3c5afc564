/**
 * The result register of a worksheet: where the bits of the code stand in it, what a misreading makes of them, what the shift drops
 * and which constant makes up for it.
 */
import { oversampleTable } from '../chain/averaging/oversample.ts';
import { addedBeforeShift, binaryDigits } from '../chain/averaging/result.ts';
import type { Evaluation } from './evaluation.ts';

/** A way to misread the register. */
export interface Misreading {
  readonly is: 'left as right' | 'right as left' | 'masked to one conversion' | 'taken for one conversion';
  /** The code that firmware then has. */
  readonly code: number;
  /** How many times the true one it stands for; 'wraps' where the high bits are lost. */
  readonly factor: number | 'wraps';
  /** What the measurand then seems to be; 'none' where the sensor has no such value. */
  readonly measurand: number | 'none';
}

/** A code in the register that the hardware gives it in: the result, or each conversion where software averages. */
export interface Aligned {
  readonly of: 'result' | 'conversion';
  readonly width: number;
  readonly bits: number;
  /** Bits that stay empty; 0 where the code fills the register. */
  readonly spare: number;
  /** The code at the middle of the range, right-aligned. */
  readonly code: number;
  /** The same at the upper end of the register. */
  readonly leftAligned: number;
}

/** What truncating by a shift costs, and the constant to add before it. */
export interface RoundingRow {
  readonly shift: number;
  /** 2^(s − 1), to be added to the sum ahead of the shift. */
  readonly constant: number;
  /** Bias without it and with it, in codes of the result. */
  readonly truncated: number;
  readonly rounded: number;
  /** Bias without it, native LSB. */
  readonly truncatedLsb: number;
}

export interface WorksheetRegister {
  /** The measurand that stands as the example: the middle of the range. */
  readonly measurand: number;
  /** Sum of the burst there, ahead of the shift, and the bits that the largest sum takes. */
  readonly sum: number;
  readonly sumBits: number;
  /** What is added ahead of the shift. */
  readonly added: number;
  /** The averaged result there. */
  readonly code: number;
  readonly aligned: Aligned;
  readonly misreadings: readonly Misreading[];
  readonly roundings: readonly RoundingRow[];
}

/** Largest whole number that divides both. */
const common = (a: number, b: number): number => (b === 0 ? a : common(b, a % b));

/** What one result code is of the reference, in lowest terms: 2^s/(R·2^N). */
export function codeFraction(bits: number, ratio: number, shift: number): { over: number; under: number } {
  const [over, under] = [2 ** shift, ratio * 2 ** bits];
  const divisor = common(over, under);
  return { over: over / divisor, under: under / divisor };
}

/** Shifts that a table of constants shows: 1 to 4, and on to the chosen one. */
const shownShifts = (shift: number, largest: number): number[] =>
  Array.from({ length: Math.min(largest, Math.max(4, shift)) }, (_, i) => i + 1);

/** Bias of each shift at the worksheet's ratio, without and with the constant. */
function roundingsOf({ worksheet, quantizing, averaging }: Evaluation): RoundingRow[] {
  const shifts = shownShifts(averaging.shift, worksheet.profile.averaging.largestShift);
  const args = { bits: quantizing.bits, noiseLsb: quantizing.noiseLsb, ratios: [averaging.ratio], shifts };
  const truncated = oversampleTable({ ...args, rounding: 'truncate' });
  const rounded = oversampleTable({ ...args, rounding: 'round' });
  return shifts.map((shift, i) => ({
    shift,
    constant: addedBeforeShift(shift, 'round'),
    truncated: truncated[i]!.biasLsb / truncated[i]!.resultLsb,
    rounded: rounded[i]!.biasLsb / rounded[i]!.resultLsb,
    truncatedLsb: truncated[i]!.biasLsb,
  }));
}

/** The register that the hardware puts a code into. Where software averages, that of a conversion, taken as 16 bits or 32. */
function alignedOf({ averaging, quantizing, channel }: Evaluation, measurand: number, code: number): Aligned {
  const { bits } = quantizing;
  const hardware = averaging.by === 'hardware';
  const alone = Math.min(Math.max(Math.round(channel.codeOf(measurand)), 0), 2 ** bits - 1);
  const of = hardware
    ? ({ of: 'result', width: averaging.registerBits, bits: averaging.resultBits, code } as const)
    : ({ of: 'conversion', width: bits > 16 ? 32 : 16, bits, code: alone } as const);
  const spare = Math.max(0, of.width - of.bits);
  return { ...of, spare, leftAligned: of.code * 2 ** spare };
}

/** What firmware makes of the code where it takes the register for something else. */
function misreadingsOf({ averaging, quantizing, reading }: Evaluation, code: number, aligned: Aligned) {
  const { ratio, shift, by } = averaging;
  const seems = (result: number): number | 'none' => {
    try {
      return reading.measurandAt(result);
    } catch (error) {
      if (error instanceof RangeError) return 'none';
      throw error;
    }
  };
  const out: Misreading[] = [];
  const factor = 2 ** aligned.spare;
  if (aligned.spare > 0) {
    out.push({ is: 'left as right', code: aligned.leftAligned, factor, measurand: seems(code * factor) });
    const low = Math.floor(aligned.code / factor);
    out.push({ is: 'right as left', code: low, factor: 1 / factor, measurand: seems(code / factor) });
  }
  const one = 2 ** quantizing.bits;
  if (by === 'hardware' && aligned.bits > quantizing.bits) {
    const low = code % one;
    out.push({ is: 'masked to one conversion', code: low, factor: 'wraps', measurand: seems(low) });
  }
  // Converted as though each code were one of a single conversion.
  const finer = ratio / 2 ** shift;
  if (finer !== 1) {
    out.push({ is: 'taken for one conversion', code, factor: finer, measurand: seems(code * finer) });
  }
  return out;
}

/**
 * The result register of a worksheet, with the code that stands in it at the middle of the range.
 *
 * @param evaluation - of the worksheet
 * @returns where the bits stand, misreadings, and constants for the shift
 */
export function registerOf(evaluation: Evaluation): WorksheetRegister {
  const { averaging, quantizing, channel, reading } = evaluation;
  const { ratio, shift, rounding } = averaging;
  const measurand = (channel.range.low + channel.range.high) / 2;
  const code = reading.codeAt(measurand);
  const added = addedBeforeShift(shift, rounding);
  // Of the sums that give this code, the one nearest to what the input gives.
  const lowest = Math.max(code * 2 ** shift - added, 0);
  const highest = code * 2 ** shift - added + 2 ** shift - 1;
  const sum = Math.min(Math.max(Math.round(channel.codeOf(measurand) * ratio), lowest), highest);
  const aligned = alignedOf(evaluation, measurand, code);
  return {
    measurand,
    sum,
    sumBits: binaryDigits((2 ** quantizing.bits - 1) * ratio),
    added,
    code,
    aligned,
    misreadings: misreadingsOf(evaluation, code, aligned),
    roundings: roundingsOf(evaluation),
  };
}

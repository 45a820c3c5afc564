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
  /** Code over the true one, as the whole power of two that it is on average; 'wraps' where the high bits are lost. */
  readonly factor: number | 'wraps';
  /** What the measurand then seems to be; 'none' where the sensor has no such value. */
  readonly measurand: number | 'none';
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
  /** Bits of the register. */
  readonly width: number;
  /** The measurand that stands as the example: the middle of the range. */
  readonly measurand: number;
  /** Sum of the burst there, ahead of the shift, with the bits that the largest sum takes. */
  readonly sum: number;
  readonly sumBits: number;
  /** What the hardware adds ahead of the shift. */
  readonly added: number;
  /** The averaged result there. */
  readonly code: number;
  readonly resultBits: number;
  /** Bits above a right-aligned result that stay empty; 0 where it fills the register. */
  readonly spare: number;
  /** The result at the upper end of the register. */
  readonly leftAligned: number;
  /** Bits above one conversion's code that stay empty when averaging is off. */
  readonly spareAlone: number;
  /** Bits that select the right-aligned result. */
  readonly mask: number;
  readonly misreadings: readonly Misreading[];
  readonly roundings: readonly RoundingRow[];
  /** What one result code is of the reference, as a fraction in lowest terms: the reference times `over/under`. */
  readonly scale: { readonly over: number; readonly under: number };
}

/** Largest whole number that divides both. */
const common = (a: number, b: number): number => (b === 0 ? a : common(b, a % b));

/** What one result code is of the reference, in lowest terms: 2^s/(R·2^N). */
export function scaleOf(bits: number, ratio: number, shift: number): { over: number; under: number } {
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

/**
 * The result register of a worksheet, with the code that stands in it at the middle of the range.
 *
 * @param evaluation - of the worksheet
 * @returns where the bits stand, misreadings, and constants for the shift
 */
export function registerOf(evaluation: Evaluation): WorksheetRegister {
  const { averaging, quantizing, channel, reading } = evaluation;
  const { ratio, shift, rounding, registerBits, resultBits } = averaging;
  const { bits } = quantizing;
  const measurand = (channel.range.low + channel.range.high) / 2;
  const code = reading.codeAt(measurand);
  const added = addedBeforeShift(shift, rounding);
  // The sum nearest to what the input gives that this code keeps.
  const lowest = Math.max(code * 2 ** shift - added, 0);
  const sum = Math.min(
    Math.max(Math.round(channel.codeOf(measurand) * ratio), lowest),
    code * 2 ** shift - added + 2 ** shift - 1,
  );
  const spare = Math.max(0, registerBits - resultBits);
  const seems = (other: number): number | 'none' => {
    try {
      return reading.measurandAt(other);
    } catch (error) {
      if (error instanceof RangeError) return 'none';
      throw error;
    }
  };
  const misreading = (is: Misreading['is'], other: number, factor: Misreading['factor'], as = other) =>
    ({ is, code: other, factor, measurand: seems(as) }) as const;
  const step = ratio / 2 ** shift;
  return {
    width: registerBits,
    measurand,
    sum,
    sumBits: binaryDigits((2 ** bits - 1) * ratio),
    added,
    code,
    resultBits,
    spare,
    leftAligned: code * 2 ** spare,
    spareAlone: registerBits - bits,
    mask: 2 ** Math.min(resultBits, registerBits) - 1,
    misreadings: [
      ...(spare > 0
        ? [
            misreading('left as right', code * 2 ** spare, 2 ** spare),
            misreading('right as left', Math.floor(code / 2 ** spare), 2 ** -spare),
          ]
        : []),
      ...(resultBits > bits ? [misreading('masked to one conversion', code % 2 ** bits, 'wraps')] : []),
      // The right code, converted as though it were that of one conversion: each stands for `step` of its own.
      ...(step === 1 ? [] : [misreading('taken for one conversion', code, step, code * step)]),
    ],
    roundings: roundingsOf(evaluation),
    scale: scaleOf(bits, ratio, shift),
  };
}

/**
 * The integer conversion of a worksheet: which codes are converted, in which steps, to which error.
 */
import { formatQuantity } from '../numbers/format.ts';
import type { Evaluation } from '../worksheet/evaluate.ts';
import { type Width, widths } from './form.ts';
import { type IntegerConversion, integerConversion } from './integerConversion.ts';

/** Sensors whose code is a straight line of the measurand: every code may be converted. */
const straight: readonly string[] = [
  'linear',
  'die',
  'divider',
  'shunt',
  'currentLoop',
  'potentiometer',
  'bridge',
];

/** How far a bent curve is converted beyond each end of the range: a share of its span, and of temperatures K at most. */
const beyond = { share: 0.5, most: 10 } as const;

/** Share of the narrowest result code, and of the resolution, that the conversion may be off where the worksheet does not say. */
const shares = { code: 1 / 4, resolution: 1 / 20 } as const;

/** Largest result code that the register gives. */
export const largestCodeOf = ({ averaging }: Evaluation): number =>
  Math.min(averaging.largestCode, 2 ** averaging.registerBits - 1);

/**
 * The lowest and the highest code that are converted: every code of a straight line; of a bent curve those of the range, widened
 * by half its span or 10 K at either end, as far as the sensor's curve goes, without the codes at which the converter is at its end.
 *
 * @throws RangeError where no code of the range can be converted
 */
export function convertedCodes(e: Evaluation): { readonly lowest: number; readonly highest: number } {
  const { channel, sensor, reading, units } = e;
  const line = straight.includes(e.worksheet.inputs.sensor.kind);
  const { low, high } = channel.range;
  const more = line
    ? Number.POSITIVE_INFINITY
    : Math.min(
        beyond.share * (high - low),
        units.difference === 'K' ? beyond.most : Number.POSITIVE_INFINITY,
      );
  const ends = [
    Math.max(low - more, sensor.validRange.low),
    Math.min(high + more, sensor.validRange.high),
  ].map((m) => reading.codeAt(m));
  const top = largestCodeOf(e);
  let lowest = Math.max(Math.min(...ends), line ? 0 : 1);
  let highest = Math.min(Math.max(...ends), line ? top : top - 1);
  const gives = (code: number): boolean => {
    try {
      reading.measurandAt(code);
      return true;
    } catch (error) {
      if (!(error instanceof RangeError)) throw error;
      return false;
    }
  };
  // The code nearest to an end of the sensor's curve may lie a little beyond it.
  while (lowest < highest && !gives(lowest)) lowest++;
  while (lowest < highest && !gives(highest)) highest--;
  if (lowest < highest) return { lowest, highest };
  const [from, to] = [low, high].map((value) => formatQuantity({ value, unit: units.measurand }));
  throw new RangeError(`firmware: no result code lies within ${from} … ${to}; nothing can be converted`);
}

/** Error that the conversion may have, in the measurand's unit, and whether the worksheet says so. */
function wantedError({ worksheet, channel, averaging, reading }: Evaluation) {
  const { firmware, requirement } = worksheet.inputs;
  if (firmware?.error) return { error: firmware.error.value, stated: true };
  const code = channel.best.perCode * averaging.resultLsb * shares.code;
  return {
    error: Math.max(code, (requirement.resolution?.value ?? reading.rms) * shares.resolution),
    stated: false,
  };
}

/** Finest scale that is tried: the next power of ten from one step per error, and one more. */
const scaleFor = (error: number): number => Math.max(1, 10 ** Math.ceil(-Math.log10(error) - 1e-9));

/** Times that an error which the worksheet does not state may be doubled until some arithmetic keeps it. */
const doublings = 6;

/**
 * The integer conversion of a worksheet.
 *
 * The value counts in a power of ten of steps per unit, one step no more than the error wanted. An error that the worksheet states is
 * kept or refused; its default is doubled until some arithmetic keeps it.
 *
 * @param e - evaluation of the worksheet
 * @returns the conversion, proved
 * @throws RangeError where no code of the range can be converted, or nothing keeps an error that was stated
 */
export function conversionOf(e: Evaluation): IntegerConversion {
  const { lowest, highest } = convertedCodes(e);
  const { error: wanted, stated } = wantedError(e);
  const widest = e.worksheet.inputs.firmware?.intermediates?.value ?? 64;
  const intermediates: Width = widths.findLast((w) => w <= widest) ?? 16;
  let refused: unknown;
  for (let error = wanted, i = 0; i <= (stated ? 0 : doublings); error *= 2, i++) {
    for (const scale of [scaleFor(error), 10 * scaleFor(error)]) {
      try {
        return integerConversion({
          measurandOf: e.reading.measurandAt,
          lowestCode: lowest,
          highestCode: highest,
          scale,
          error,
          intermediates,
        });
      } catch (problem) {
        if (!(problem instanceof RangeError)) throw problem;
        refused ??= problem;
      }
    }
  }
  throw new RangeError(
    (refused as RangeError).message.replace(/^integerConversion\.error/, 'firmware.error'),
  );
}

/** The integer conversion of a worksheet, or why there is none. */
export function conversionOrRefusal(e: Evaluation): IntegerConversion | string {
  try {
    return conversionOf(e);
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    return error.message;
  }
}

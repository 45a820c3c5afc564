/**
 * Forms: the ways to say where a channel's input stands, each with the way to the mean code of conversions and back.
 *
 * The result's code, the voltage at the pin, the measurand; where the sensor is a resistance, its ohms and the current through it;
 * where it is a current loop, the current in that.
 */
import { voltageFromCode } from '../chain/quantizing.ts';
import { asciiQuantity } from '../numbers/format.ts';
import { refusal } from '../numbers/guard.ts';
import { rootBetween } from '../numbers/roots.ts';
import type { Evaluation } from './evaluation.ts';
import { nearestCode } from './readingOf.ts';

/** One way to say where the input stands. */
export interface Form {
  readonly is: 'code' | 'pin' | 'measurand' | 'resistance' | 'current';
  /** As `quantity` names it: V, degC, ohm, A, a unit of the sensor's own; '' for codes. */
  readonly unit: string;
  /** Mean code of the conversions, not clamped; RangeError where the value has none. */
  meanOf(value: number): number;
  /** The value for a mean code; a whole code, clamped to the converter's range; RangeError where there is none. */
  valueOf(mean: number): number;
}

/** The forms of a channel. */
export interface Forms {
  /** The result's code, or that of one conversion. */
  readonly code: Form;
  readonly pin: Form;
  readonly measurand: Form;
  /** Of the sensor, where it is one. */
  readonly resistance?: Form;
  /** Through the divider that the sensor stands in, or in the loop. */
  readonly current?: Form;
  readonly largestCode: number;
  /** Mean codes of 0 V and of the reference, and the reference, V: beyond them the code stays at its end. */
  readonly ends: { readonly low: number; readonly high: number; readonly reference: number };
}

/**
 * The forms of a worksheet's channel.
 *
 *     mean = (C·2^s − r + (2^s − 1)/2)/R,   V = (mean + firstTransition − ½)·V_ref/2^N
 *
 * @param e - evaluation of the worksheet
 * @param native - codes of one conversion in place of the averaged result's
 */
export function formsOf(e: Evaluation, native = false): Forms {
  const { channel, quantizing, sensor, reading, averaging, units } = e;
  const { bits, reference, firstTransition } = quantizing;
  const highest = 2 ** bits - 1;
  const largestCode = native ? highest : Math.min(averaging.largestCode, 2 ** averaging.registerBits - 1);
  const meanOfCode = (code: number): number => {
    if (code >= 0 && code <= largestCode) return native ? code : reading.meanOfCode(code);
    throw new RangeError(refusal('code', code, `0 … ${largestCode}`));
  };
  const measurandOf = (mean: number): number => {
    try {
      return channel.measurandOf(mean);
    } catch (error) {
      if (!(error instanceof RangeError)) throw error;
      const { low, high } = sensor.validRange;
      const [volts, from, to] = [
        { value: voltageFromCode({ code: mean, bits, reference, firstTransition }), unit: 'V' },
        { value: low, unit: units.measurand },
        { value: high, unit: units.measurand },
      ].map(({ value, unit }) => asciiQuantity({ value: Number(value.toPrecision(6)), unit }));
      throw new RangeError(`nothing from ${from} to ${to} gives ${volts} at the pin`);
    }
  };
  const pinMean = (volts: number): number => (volts * 2 ** bits) / reference + 0.5 - firstTransition;
  const resistive = sensor.electrical === 'resistance';
  return {
    code: {
      is: 'code',
      unit: '',
      meanOf: meanOfCode,
      valueOf: (mean) => (native ? nearestCode(mean, highest) : reading.codeOfMean(mean)),
    },
    pin: {
      is: 'pin',
      unit: 'V',
      meanOf: pinMean,
      valueOf: (mean) => ((mean + firstTransition - 0.5) * reference) / 2 ** bits,
    },
    measurand: { is: 'measurand', unit: units.measurand, meanOf: channel.codeOf, valueOf: measurandOf },
    ...(resistive && {
      resistance: {
        is: 'resistance',
        unit: 'ohm',
        meanOf: (ohms) => channel.codeOf(sensor.toMeasurand(ohms)),
        valueOf: (mean) => sensor.toElectrical(measurandOf(mean)),
      },
      current: {
        is: 'current',
        unit: 'A',
        meanOf: (amperes) => channel.codeOf(measurandOfCurrent(e, amperes)),
        valueOf: (mean) => channel.excitationCurrent(measurandOf(mean)),
      },
    }),
    ...loopForm(e),
    largestCode,
    ends: { low: pinMean(0), high: pinMean(reference), reference },
  };
}

/** The current in a loop, beyond the ends of the measurand too. */
function loopForm({ worksheet: { inputs }, channel }: Evaluation): Pick<Forms, 'current'> {
  const { sensor } = inputs;
  if (sensor.kind !== 'currentLoop') return {};
  // Both codes and measurand are straight lines of the current.
  const { low, high } = channel.range;
  const perUnit =
    ((sensor.currentAtHigh?.value ?? 0.02) - (sensor.currentAtLow?.value ?? 0.004)) /
    (sensor.high.value - sensor.low.value);
  const currentAt = (m: number): number =>
    (sensor.currentAtLow?.value ?? 0.004) + (m - sensor.low.value) * perUnit;
  const codes = channel.codeOf(high) - channel.codeOf(low);
  const perAmpere = codes / (currentAt(high) - currentAt(low));
  const at = channel.codeOf(low);
  return {
    current: {
      is: 'current',
      unit: 'A',
      meanOf: (amperes) => at + (amperes - currentAt(low)) * perAmpere,
      valueOf: (mean) => currentAt(low) + (mean - at) / perAmpere,
    },
  };
}

/** The measurand at which the divider takes a current: it only rises or only falls with the sensor's resistance. */
function measurandOfCurrent({ channel, sensor }: Evaluation, amperes: number): number {
  const { low, high } = sensor.validRange;
  const over = (m: number): number => channel.excitationCurrent(m) - amperes;
  if (over(low) === 0) return low;
  if (over(high) === 0) return high;
  if (over(low) > 0 === over(high) > 0) {
    const [from, to] = [low, high]
      .map(channel.excitationCurrent)
      .sort((a, b) => a - b)
      .map((value) => asciiQuantity({ value: Number(value.toPrecision(6)), unit: 'A' }));
    throw new RangeError(
      refusal(
        'current',
        asciiQuantity({ value: amperes, unit: 'A' }),
        `${from} … ${to} through this divider`,
      ),
    );
  }
  return rootBetween(over, low, high);
}

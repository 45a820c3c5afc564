/**
 * Constants: every figure that goes into the firmware besides the conversion itself, free of register names, each with the formula or
 * the input that it comes from.
 */

import { addedBeforeShift } from '../chain/averaging/result.ts';
import { asciiQuantity } from '../numbers/format.ts';
import { unitText } from '../numbers/units.ts';
import type { Evaluation } from '../worksheet/evaluate.ts';
import { faultCodesOf } from '../worksheet/faultCodesOf.ts';
import { triggerOf } from '../worksheet/triggerOf.ts';
import { watchdogOf } from '../worksheet/watchdogOf.ts';
import { largestCodeOf } from './conversionOf.ts';
import type { IntegerConversion } from './integerConversion.ts';
import { unitName } from './names.ts';

/** A figure that goes into the firmware. */
export interface Constant {
  /** Its name behind the prefix, with its unit where it has one. */
  readonly name: string;
  readonly value: number;
  /** How it came about, in plain ASCII. */
  readonly formula: string;
  /** Whether it may be below zero, so that its type is signed. */
  readonly signed?: boolean;
  /** The same as hexadecimal, where that is how it is written. */
  readonly hex?: string;
}

/** Constants that belong together. */
export interface ConstantGroup {
  readonly title: string;
  readonly constants: readonly Constant[];
  /** What else must be said. */
  readonly remarks: readonly string[];
}

const text = (value: number, unit: string, digits = 9): string =>
  asciiQuantity({ value: Number(value.toPrecision(digits)), unit });

/** Results in a row that make a fault, at least: a wire that is coming off crackles. Common practice, no source. */
const leastInRow = 3;

/** A whole number up from a real one, decimals of doubles let pass. */
const up = (value: number): number => Math.ceil(value * (1 - 1e-12));

function settings(e: Evaluation): ConstantGroup {
  const { sampling, averaging, worksheet, quantizing } = e;
  const { ratio, shift, rounding } = averaging;
  const log2 = Math.log2(ratio);
  const { source } = worksheet.profile.clock;
  return {
    title: 'Settings of the converter',
    constants: [
      {
        name: 'CLOCK_HZ',
        value: Math.round(sampling.clock),
        formula: `${source.text} / ${sampling.clockDivider}`,
      },
      { name: 'CLOCK_DIVIDER', value: sampling.clockDivider, formula: 'sampling.clockDivider' },
      ...(Number.isInteger(sampling.sampleCycles)
        ? [
            {
              name: 'SAMPLE_CYCLES',
              value: sampling.sampleCycles,
              formula: `${text(sampling.sampleTime, 's')}: sampling.sampleCycles`,
            },
          ]
        : []),
      {
        name: 'SAMPLE_HALF_CYCLES',
        value: 2 * sampling.sampleCycles,
        formula: `2 * ${sampling.sampleCycles}`,
      },
      { name: 'BITS', value: quantizing.bits, formula: 'of one conversion: sampling.bits' },
      { name: 'RATIO', value: ratio, formula: 'conversions summed into a result: averaging.ratio' },
      ...(Number.isInteger(log2) ? [{ name: 'RATIO_LOG2', value: log2, formula: `log2 of ${ratio}` }] : []),
      { name: 'RATIO_MINUS_1', value: ratio - 1, formula: `${ratio} - 1` },
      { name: 'SHIFT', value: shift, formula: 'right shift of the sum: averaging.shift' },
      {
        name: 'ADDED_BEFORE_SHIFT',
        value: addedBeforeShift(shift, rounding),
        formula: rounding === 'round' ? 'the shift rounds' : 'the shift truncates',
      },
      ...trigger(e),
    ],
    remarks: Number.isInteger(log2) ? [] : ['The ratio is no power of two, so it has no log2.'],
  };
}

function trigger(e: Evaluation): Constant[] {
  const { starts, clock, wanted, every, nearest } = triggerOf(e);
  const counts = nearest.count + 1;
  const hertz = `${text(clock, 'Hz')} / (${nearest.prescaler} * ${counts})`;
  const given = text((every * nearest.prescaler * counts) / clock, 's');
  const which = every > 1 ? `, each ${every} overflows` : '';
  return [
    {
      name: 'TRIGGER_PRESCALER',
      value: nearest.prescaler,
      formula: `a timer starts a ${starts}: ${hertz}${which}: every ${given}, wanted ${text(1 / wanted, 's')}`,
    },
    { name: 'TRIGGER_COUNTS', value: counts, formula: 'counts of the timer from start to start' },
    { name: 'TRIGGER_COUNTS_MINUS_1', value: nearest.count, formula: `${counts} - 1` },
    ...(every > 1
      ? [{ name: 'TRIGGER_EVERY', value: every, formula: `overflows of the timer per ${starts}` }]
      : []),
  ];
}

/** Pin voltage over reference = (multiplier·code + addend)/divisor, without truncation bias, in lowest terms. */
export function fractionOfReference({ averaging, quantizing }: Evaluation) {
  const { ratio, shift, rounding } = averaging;
  const width = 2 ** shift;
  const multiplier = 2 * width;
  const addend =
    width - 1 - 2 * addedBeforeShift(shift, rounding) + ratio * (2 * quantizing.firstTransition - 1);
  const divisor = 2 * ratio * 2 ** quantizing.bits;
  const common = (a: number, b: number): number => (b === 0 ? a : common(b, a % b));
  const by = common(common(multiplier, divisor), Math.abs(addend));
  return { multiplier: multiplier / by, addend: addend / by, divisor: divisor / by };
}

function codes(e: Evaluation): ConstantGroup {
  const { averaging, quantizing, worksheet } = e;
  const { bits, reference, firstTransition } = quantizing;
  const { multiplier, addend, divisor } = fractionOfReference(e);
  const { ratio, shift, resultBits, largestCode, registerBits } = averaging;
  const { source } = worksheet.inputs.converter.reference;
  return {
    title: 'Codes: the divisor is 2^N, the largest code 2^N - 1',
    constants: [
      { name: 'DIVISOR', value: 2 ** bits, formula: `2^${bits}, of one conversion` },
      { name: 'LARGEST_CODE', value: 2 ** bits - 1, formula: `2^${bits} - 1, of one conversion` },
      { name: 'RESULT_BITS', value: resultBits, formula: 'binary digits of the largest result' },
      {
        name: 'RESULT_LARGEST_CODE',
        value: largestCodeOf(e),
        formula: averaging.overflows
          ? `the register's ${registerBits} bits; the sum would reach ${largestCode}`
          : `(${2 ** bits - 1} * ${ratio} + ${addedBeforeShift(shift, averaging.rounding)}) >> ${shift}`,
      },
      {
        name: 'REFERENCE_UV',
        value: Math.round(reference * 1e6),
        formula: `${text(reference, 'V')}, ${source}`,
      },
      { name: 'FRACTION_MULTIPLIER', value: multiplier, formula: 'pin voltage / reference =' },
      {
        name: 'FRACTION_ADDEND',
        value: addend,
        signed: true,
        formula: `(MULTIPLIER * code + ADDEND) / DIVISOR, exactly; first transition at ${firstTransition} LSB, no truncation bias`,
      },
      {
        name: 'FRACTION_DIVISOR',
        value: divisor,
        formula: `from 2^${bits}, ratio ${ratio} and shift ${shift}`,
      },
    ],
    remarks: averaging.overflows
      ? [
          averaging.onOverflow === 'wrap'
            ? 'THE RESULT OVERFLOWS: the register keeps its low bits only, and codes are ambiguous.'
            : 'THE RESULT OVERFLOWS: it stays at the largest code of the register.',
        ]
      : [],
  };
}

function delays(e: Evaluation): ConstantGroup {
  const { worksheet, averaging, sampling } = e;
  const { inputs, profile } = worksheet;
  const ticks = (profile.timer?.clock ?? profile.clock.source).value;
  const { excitation } = inputs.conditioning;
  const delay = (name: string, seconds: number, formula: string): Constant[] => [
    { name: `${name}_US`, value: up(seconds * 1e6), formula: `${text(seconds, 's')}: ${formula}` },
    {
      name: `${name}_TICKS`,
      value: up(seconds * ticks),
      formula: `${text(seconds, 's')} * ${text(ticks, 'Hz')}`,
    },
  ];
  return {
    title: 'Delays, rounded up, in microseconds and in ticks of the timer',
    constants: [
      {
        name: 'TICK_HZ',
        value: Math.round(ticks),
        formula: profile.timer?.clock ? 'clock of the timer' : 'clock source of the converter',
      },
      ...delay('CONVERTER_START', profile.times.converterStart.value, 'from switching the converter on'),
      ...(inputs.converter.reference.source === 'internal'
        ? delay('REFERENCE_START', profile.internalReference.startup.value, 'from switching the reference on')
        : []),
      ...(excitation?.switched
        ? delay('EXCITATION_SETTLE', excitation.settle?.value ?? 0, 'from switching the sensor on')
        : []),
      ...delay('FIRST_CONVERSION', averaging.startTime, 'all switched on at once; the longest of the above'),
      ...delay('CONVERSION', sampling.conversionTime, 'sample time and conversion'),
      ...delay('BURST', averaging.burstTime, 'from the first conversion to the result'),
      ...delay('READING', averaging.latency, 'from switching on to the result'),
    ],
    remarks: ['A timer that runs already may tick at once: wait one tick more than is given.'],
  };
}

function thresholds(e: Evaluation, scale: number): ConstantGroup | undefined {
  const watchdog = watchdogOf(e);
  if (watchdog === undefined) return undefined;
  const { compare, limits, refused } = watchdog;
  const { consecutive, hysteresis } = e.worksheet.inputs.watchdog!;
  const unit = unitName(-Math.log10(scale), e.units.measurand);
  const difference = unitName(-Math.log10(scale), e.units.difference);
  const limit = limits.flatMap(({ side, measurand }): Constant[] => {
    if (measurand === 'none') return [];
    const back = side === 'above' ? -1 : 1;
    const name = side.toUpperCase();
    return [
      {
        name: `LIMIT_${name}_${unit}`,
        value: Math.round(measurand * scale),
        signed: true,
        formula: `watchdog.${side}`,
      },
      ...(hysteresis
        ? [
            {
              name: `CLEAR_${name}_${unit}`,
              value: Math.round((measurand + back * hysteresis.value) * scale),
              signed: true,
              formula: `cleared only beyond this, ${hysteresis.text} back`,
            },
          ]
        : []),
    ];
  });
  return {
    title: 'Thresholds of the analog watchdog (digital window comparator)',
    constants: [
      ...watchdog.thresholds.map((t) => ({
        name: `THRESHOLD_${t.register.toUpperCase()}`,
        value: t.code,
        hex: t.hex,
        formula: `${t.register === 'high' ? 'trips above' : 'trips below'}: ${t.limit.side} ${text(t.limit.value, t.limit.form.unit)}, ${watchdog.intent}`,
      })),
      { name: 'THRESHOLD_BITS', value: compare.registerBits, formula: 'width of the threshold register' },
      {
        name: 'COMPARED_BITS',
        value: compare.bits,
        formula: `of each ${compare.stage}, ${compare.drop} low bits dropped`,
      },
      ...(consecutive
        ? [{ name: 'CONSECUTIVE', value: consecutive.value, formula: 'trips in a row that make an alarm' }]
        : []),
      ...(hysteresis
        ? [
            {
              name: `HYSTERESIS_${difference}`,
              value: Math.round(hysteresis.value * scale),
              formula: hysteresis.text,
            },
          ]
        : []),
      ...limit,
    ],
    remarks: [
      ...(refused === undefined ? [] : [`NO THRESHOLDS: ${refused}`]),
      ...(watchdog.swapped && watchdog.thresholds.length > 0
        ? ['The code falls as the measurand rises: the upper limit is served by the low threshold.']
        : []),
      'The watchdog is no safety function.',
    ],
  };
}

function faults(e: Evaluation): ConstantGroup | undefined {
  const { ends } = faultCodesOf(e);
  if (ends.length === 0) return undefined;
  const told = ends.filter(({ margin }) => margin > 0);
  const counts = told.flatMap(({ consecutive }) => (consecutive === 'none' ? [] : [consecutive]));
  return {
    title: 'Broken and shorted sensor: result codes',
    constants: [
      ...told.map(({ fault, end, limitCode, worstCode }) => ({
        name: `CODE_${fault.toUpperCase().replace(/ /g, '_')}_${end === 'low' ? 'UP_TO' : 'FROM'}`,
        value: limitCode,
        formula: `the fault reads ${worstCode} at worst, the converter's errors and noise within; ${end === 'low' ? 'at or below' : 'at or above'} this it is broken`,
      })),
      ...(counts.length > 0
        ? [
            {
              name: 'FAULT_CONSECUTIVE',
              value: Math.max(leastInRow, ...counts),
              formula: 'results in a row that make a fault; common practice, and enough for the noise',
            },
          ]
        : []),
    ],
    remarks: ends
      .filter(({ margin }) => margin <= 0)
      .map(({ fault }) => `Cannot be told from a reading of the range: ${fault}.`),
  };
}

/** What the converted value is and how far it goes. */
function value(e: Evaluation, c: IntegerConversion): ConstantGroup {
  const { units } = e;
  const step = unitName(-6, units.difference);
  return {
    title: `The value: ${unitText(units.measurand)} * ${c.scale}, rounded`,
    constants: [
      {
        name: 'SCALE',
        value: c.scale,
        formula: `steps per ${unitText(units.measurand)}: one step is no more than the error wanted`,
      },
      { name: 'LOWEST_CODE', value: c.lowestCode, formula: 'lowest code that is converted' },
      { name: 'HIGHEST_CODE', value: c.highestCode, formula: 'highest code that is converted' },
      {
        name: `LARGEST_ERROR_${step}`,
        value: up(c.largestError * 1e6),
        formula: `${text(c.largestError, units.difference, 3)} at code ${c.largestErrorCode}: over every code converted, rounding included; wanted ${text(c.wanted, units.difference, 3)}`,
      },
      {
        name: 'BELOW',
        value: c.below,
        signed: true,
        formula: 'returned where the measurand lies below what is converted',
      },
      {
        name: 'ABOVE',
        value: c.above,
        signed: true,
        formula: 'returned where it lies above',
      },
    ],
    remarks: [],
  };
}

/** All constants of a worksheet, in the order of the header. */
export function constantsOf(e: Evaluation, conversion: IntegerConversion): ConstantGroup[] {
  const groups = [
    settings(e),
    codes(e),
    delays(e),
    thresholds(e, conversion.scale),
    faults(e),
    value(e, conversion),
  ];
  return groups.filter((g) => g !== undefined);
}

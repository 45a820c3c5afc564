/** Converter, sampling and averaging of a worksheet. */

import { overrides } from './converter.ts';
import { choice, count, object, optional, quantity, text } from './field.ts';
import { duration } from './quantities.ts';

export const converter = object('converter', 'Which converter, and what of its profile is overridden.', {
  profile: text('converter profile', 64, 'Name of a profile in data/converters/, without .json.'),
  reference: object('reference', 'What the converter compares with.', {
    source: choice('reference source', ['supply', 'external', 'internal'], 'Where the reference comes from.'),
    voltage: optional(
      quantity({
        label: 'reference voltage',
        doc: 'Its voltage; for the internal reference that of the profile.',
        unit: 'V',
        low: 0.1,
        high: 50,
        example: '3.0 V',
      }),
    ),
    ripple: optional(
      quantity({
        label: 'reference ripple',
        doc: 'Amplitude (half of peak to peak) of what rides on the reference: a regulator’s ripple, the dip of a radio.',
        unit: 'V',
        low: 0,
        high: 10,
        example: '10 mV',
      }),
    ),
    rippleFrequency: optional(
      quantity({
        label: 'frequency of the ripple',
        doc: 'Its frequency; averaging is not counted on unless given.',
        unit: 'Hz',
        low: 1e-3,
        high: 1e10,
        example: '300 kHz',
      }),
    ),
  }),
  ...overrides,
});

export const sampling = object('sampling', 'How one conversion is taken.', {
  clockDivider: count({
    label: 'clock divider',
    doc: 'Divider from the clock source to the converter clock.',
    low: 1,
    high: 65536,
    steps: { profile: 'dividers' },
  }),
  sampleCycles: count({
    label: 'sample time',
    doc: 'Clock cycles for which the sampling capacitor is connected.',
    halves: true,
    low: 0.5,
    high: 100_000,
    steps: { profile: 'sampleCycles' },
  }),
  bits: count({
    label: 'native resolution',
    doc: 'Bits of the code of one conversion.',
    low: 1,
    high: 24,
    steps: { profile: 'bits' },
  }),
  trigger: choice(
    'trigger',
    ['burst', 'conversion'],
    'What starts: a burst, whose conversions follow back to back, or each conversion by a timer.',
  ),
  interval: optional(
    duration(
      'conversion interval',
      'With a timer that starts each conversion: from one to the next.',
      '1 ms',
    ),
  ),
  core: optional(
    choice(
      'core while converting',
      ['asleep', 'running'],
      'What the core does meanwhile; unless given, asleep where hardware averages and running where software does.',
    ),
  ),
});

export const averaging = object('averaging', 'How conversions become a result.', {
  ratio: count({
    label: 'oversampling ratio',
    doc: 'Conversions summed into one result; 1 is no averaging.',
    low: 1,
    high: 65536,
    steps: { profile: 'ratios' },
  }),
  shift: count({
    label: 'shift',
    doc: 'Right shift of the sum, in bits.',
    low: 0,
    high: 20,
    steps: { profile: 'shifts' },
  }),
  rounding: optional(
    choice(
      'rounding',
      ['truncate', 'round'],
      'What the shift does with the bits it drops; the profile’s first unless given.',
    ),
  ),
});

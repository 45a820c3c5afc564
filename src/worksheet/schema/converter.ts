/**
 * The converter profile: what a data sheet says about a converter, as far as the computation asks. A profile is one JSON file in
 * `data/converters/`; a worksheet names one and may override any figure of it.
 */
import {
  choice,
  type FieldValues,
  flag,
  list,
  number,
  object,
  optional,
  partial,
  quantity,
  text,
} from './field.ts';

const cycles = (label: string, doc: string) => number({ label, doc, low: 0.5, high: 100_000, halves: true });

const current = (label: string, doc: string, example: string) =>
  quantity({ label, doc, unit: 'A', low: 0, high: 1, example });

const time = (label: string, doc: string, example: string) =>
  quantity({ label, doc, unit: 's', low: 0, high: 10, example });

const tolerance = (label: string, doc: string) =>
  quantity({ label, doc, unit: '1', low: 0, high: 0.5, example: '1 %' });

const lsb = (label: string, doc: string, example: string) =>
  quantity({ label, doc, unit: 'LSB', low: 0, high: 1000, example, steps: { by: 0.1 } });

/** What the hardware compares. A worksheet overrides it under `watchdog.compare`. */
const comparator = {
  stage: choice(
    'stage compared',
    ['conversion', 'result'],
    'Whether each conversion’s code is compared or the averaged result.',
  ),
  bits: number({
    label: 'width compared',
    doc: 'Bits of the comparator; the compared value must fit.',
    low: 1,
    high: 31,
  }),
  drop: number({
    label: 'bits dropped',
    doc: 'Low bits that are cut off before the comparison.',
    low: 0,
    high: 20,
  }),
  inclusive: flag('trip on equality', 'Whether a value equal to the threshold trips.'),
  registerBits: number({
    label: 'threshold register',
    doc: 'Width of the threshold register; the threshold stands at its upper end.',
    low: 1,
    high: 32,
  }),
};

/** The figures that a worksheet may override under `converter`. */
const figures = {
  clock: object('converter clock', 'Where the clock of the converter comes from.', {
    source: quantity({
      label: 'clock source',
      doc: 'Frequency ahead of the clock divider.',
      unit: 'Hz',
      low: 1e3,
      high: 1e9,
      example: '16 MHz',
    }),
    dividers: list({
      label: 'clock dividers',
      doc: 'Dividers between the source and the converter, in rising order.',
      of: number({
        label: 'clock divider',
        doc: 'Divider of the clock source.',
        low: 1,
        high: 65536,
      }),
      shortest: 1,
      longest: 64,
    }),
    highest: quantity({
      label: 'highest converter clock',
      doc: 'Highest clock at which the converter keeps its figures, at the supply in use.',
      unit: 'Hz',
      low: 1e3,
      high: 1e9,
      example: '4 MHz',
    }),
    tolerance: optional(
      tolerance('clock tolerance', 'Relative half-width of the clock source, over temperature and supply.'),
    ),
  }),
  resolutions: list({
    label: 'resolutions',
    doc: 'The resolutions that can be set, finest first, and how many clock cycles each takes after sampling.',
    of: object('resolution', 'One resolution.', {
      bits: number({
        label: 'resolution',
        doc: 'Bits of the code of one conversion.',
        low: 1,
        high: 24,
      }),
      conversionCycles: cycles('conversion cycles', 'Clock cycles from the end of sampling to the code.'),
    }),
    shortest: 1,
    longest: 16,
  }),
  sampleCycles: list({
    label: 'sample cycles',
    doc: 'The sample times that can be set, in clock cycles, in rising order.',
    of: cycles('sample cycles', 'Clock cycles for which the sampling capacitor is connected.'),
    shortest: 1,
    longest: 256,
  }),
  averaging: object('averaging', 'How conversions are averaged.', {
    by: choice(
      'averaged by',
      ['hardware', 'software'],
      'Hardware forms the shifted sum itself; in software the core adds the codes.',
    ),
    ratios: optional(
      list({
        label: 'ratios',
        doc: 'Oversampling ratios that can be set, in rising order, without 1 (averaging off).',
        of: number({
          label: 'ratio',
          doc: 'Conversions summed into one result.',
          low: 2,
          high: 65536,
        }),
        shortest: 1,
        longest: 64,
      }),
    ),
    ratioUpTo: optional(
      number({
        label: 'largest ratio',
        doc: 'Where any whole ratio can be set: the largest.',
        low: 1,
        high: 65536,
      }),
    ),
    largestShift: number({
      label: 'largest shift',
      doc: 'Largest right shift of the sum.',
      low: 0,
      high: 20,
    }),
    rounding: list({
      label: 'roundings',
      doc: 'What the shift can do with the bits it drops; the first is what it does unless told.',
      of: choice('rounding', ['truncate', 'round'], 'Drop the low bits, or round to the nearest code.'),
      shortest: 1,
      longest: 2,
    }),
    registerBits: number({
      label: 'result register',
      doc: 'Bits of the register that receives the result.',
      low: 1,
      high: 31,
    }),
    onOverflow: choice(
      'on overflow',
      ['saturate', 'wrap'],
      'A sum too large for the register stays at its largest code, or keeps its low bits only.',
    ),
  }),
  firstTransition: choice(
    'first transition',
    [0.5, 1],
    'Voltage of the first code transition in LSB: at 0.5 a code is centred on its multiple of an LSB, at 1 it starts there.',
  ),
  capacitorStarts: choice(
    'sampling capacitor starts',
    ['previous', 'own'],
    'Whether the sampling capacitor is put to the previous voltage before every conversion, or only before the first and then keeps what it sampled.',
  ),
  previousVoltage: quantity({
    label: 'previous voltage',
    doc: 'Voltage of the sampling capacitor when sampling starts: that of the previous channel, or of the reset.',
    unit: 'V',
    low: 0,
    high: 50,
    example: '0 V',
  }),
  sampleCapacitance: quantity({
    label: 'sampling capacitor',
    doc: 'Capacitance that must be charged within the sample time.',
    unit: 'F',
    low: 1e-14,
    high: 1e-6,
    example: '5 pF',
  }),
  switchResistance: quantity({
    label: 'switch resistance',
    doc: 'Resistance of multiplexer and sampling switch, the largest at the supply in use.',
    unit: 'ohm',
    low: 0,
    high: 1e6,
    example: '1.2 kohm',
  }),
  pinCapacitance: quantity({
    label: 'pin capacitance',
    doc: 'Capacitance of pin and pad, without what the board adds.',
    unit: 'F',
    low: 0,
    high: 1e-9,
    example: '6 pF',
  }),
  leakage: quantity({
    label: 'pin leakage',
    doc: 'Largest current into or out of the pin.',
    unit: 'A',
    low: 0,
    high: 1e-3,
    example: '50 nA',
  }),
  noise: lsb(
    'conversion noise',
    'Transition noise of one conversion, rms, in LSB of the finest resolution, without quantization; the same voltage at the coarser ones.',
    '0.6 LSB',
  ),
  offset: lsb('offset error', 'Half-width of the offset error in LSB of the finest resolution.', '2 LSB'),
  gain: quantity({
    label: 'gain error',
    doc: 'Half-width of the relative gain error.',
    unit: '1',
    low: 0,
    high: 0.5,
    example: '0.1 %',
  }),
  inl: lsb(
    'integral nonlinearity',
    'Half-width of the integral nonlinearity in LSB of the finest resolution.',
    '1.5 LSB',
  ),
  dnl: lsb(
    'differential nonlinearity',
    'Half-width of the differential nonlinearity in LSB of the finest resolution.',
    '1 LSB',
  ),
  internalReference: object('internal reference', 'The reference on the chip.', {
    voltage: quantity({
      label: 'internal reference voltage',
      doc: 'Its nominal voltage.',
      unit: 'V',
      low: 0.1,
      high: 20,
      example: '1.2 V',
    }),
    tolerance: quantity({
      label: 'internal reference tolerance',
      doc: 'Relative half-width at 25 °C, after the factory’s correction.',
      unit: '1',
      low: 0,
      high: 0.5,
      example: '0.5 %',
    }),
    tempco: quantity({
      label: 'internal reference temperature coefficient',
      doc: 'Largest relative change per kelvin.',
      unit: '1/K',
      low: 0,
      high: 0.01,
      example: '50 ppm/K',
    }),
    startup: time('internal reference start-up', 'Time from switching it on until it may be used.', '20 us'),
  }),
  referenceRange: object('reference range', 'What an external reference or the supply may be.', {
    lowest: quantity({
      label: 'lowest reference',
      doc: 'Lowest reference voltage with full accuracy.',
      unit: 'V',
      low: 0.1,
      high: 50,
      example: '1.8 V',
    }),
    highest: quantity({
      label: 'highest reference',
      doc: 'Highest reference voltage.',
      unit: 'V',
      low: 0.1,
      high: 50,
      example: '3.6 V',
    }),
  }),
  currents: object('currents', 'What the chip draws, typical at the supply in use.', {
    converter: current('converter current', 'Drawn by the converter while it converts.', '0.42 mA'),
    coreRunning: current('core current, running', 'Drawn by the core while it runs.', '3 mA'),
    coreAsleep: current(
      'core current, asleep',
      'Drawn by the rest of the chip while conversions run without the core.',
      '0.2 mA',
    ),
    internalReference: current(
      'internal reference current',
      'Drawn by the internal reference while it is on.',
      '20 uA',
    ),
    sleep: current('sleep current', 'Drawn between readings, with memory and a clock kept.', '1.2 uA'),
  }),
  times: object('times', 'What passes before the first conversion.', {
    wake: time('wake-up time', 'From the wake-up event until the core runs.', '5 us'),
    converterStart: time(
      'converter start-up',
      'From switching the converter on until it may convert.',
      '10 us',
    ),
    calibration: optional(
      time('self-calibration time', 'How long the converter takes to calibrate itself once.', '100 us'),
    ),
  }),
  drift: optional(
    object('drift', 'By how much offset and gain move after the converter has calibrated itself.', {
      offsetPerKelvin: quantity({
        label: 'offset drift',
        doc: 'Largest change of the offset for each kelvin, in LSB of the finest resolution.',
        unit: 'LSB/K',
        low: 0,
        high: 1000,
        example: '0.02 LSB/K',
      }),
      gainPerKelvin: quantity({
        label: 'gain drift',
        doc: 'Largest relative change of the gain for each kelvin.',
        unit: '1/K',
        low: 0,
        high: 0.01,
        example: '5 ppm/K',
      }),
      offsetPerVolt: lsb(
        'offset change with the supply',
        'Largest change of the offset for 1 V of the supply, in LSB of the finest resolution.',
        '1 LSB',
      ),
      gainPerVolt: quantity({
        label: 'gain change with the supply',
        doc: 'Largest relative change of the gain for 1 V of the supply.',
        unit: '1',
        low: 0,
        high: 0.5,
        example: '0.02 %',
      }),
    }),
  ),
  timer: optional(
    object('timer', 'The timer that starts conversions or readings.', {
      clock: optional(
        quantity({
          label: 'timer clock',
          doc: 'Clock ahead of the timer’s prescaler; that of the converter’s clock source unless given.',
          unit: 'Hz',
          low: 1,
          high: 1e9,
          example: '32.768 kHz',
        }),
      ),
      prescalers: optional(
        list({
          label: 'timer prescalers',
          doc: 'Dividers ahead of the counter, in rising order; 1 alone unless given.',
          of: number({
            label: 'timer prescaler',
            doc: 'Divider ahead of the counter.',
            low: 1,
            high: 2 ** 24,
          }),
          shortest: 1,
          longest: 64,
        }),
      ),
      counterBits: optional(
        number({
          label: 'timer width',
          doc: 'Bits of the counter; 16 unless given.',
          low: 1,
          high: 32,
        }),
      ),
      tolerance: optional(
        tolerance(
          'timer tolerance',
          'Relative half-width of the timer’s clock; that of the converter’s clock unless given.',
        ),
      ),
    }),
  ),
  channels: number({
    label: 'channels',
    doc: 'Number of external inputs of the multiplexer.',
    low: 1,
    high: 256,
  }),
};

export const profileSchema = object(
  'converter profile',
  'What a data sheet says about a converter. The profiles that come with Halfbit are invented; copy one and put your part’s figures in.',
  {
    $schema: optional(text('schema', 200, 'Where an editor finds the JSON Schema of this file.')),
    halfbitConverter: choice('format version', [1], 'Version of the format of this file.'),
    title: text('title', 120, 'One line that tells this profile from others.'),
    note: optional(text('note', 2000, 'Where the figures come from, and for which conditions.')),
    ...figures,
    comparator: object('comparator', 'What the analog watchdog of this converter compares.', comparator),
  },
);

/** A profile as read from its file. */
export type Profile = FieldValues<typeof profileSchema.fields>;

/** Profiles by the name a worksheet gives. */
export type Profiles = Readonly<Record<string, Profile>>;

/** Any figure of the profile, for a worksheet to override. */
export const overrides = partial(figures);

/** Any figure of the comparator, for a worksheet to override. */
export const comparatorOverrides = partial(comparator);

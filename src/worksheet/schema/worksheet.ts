/**
 * The worksheet: one channel, from what is wanted through the sensor to the result, as a document that people read, diff and
 * review. It holds inputs only; everything else is computed from them.
 */
import { comparatorOverrides, overrides } from './converter.ts';
import {
  choice,
  count,
  type FieldValues,
  flag,
  list,
  number,
  object,
  optional,
  quantity,
  real,
  text,
  variant,
} from './field.ts';

/** Version of the worksheet format that this program reads and writes. */
export const formatVersion = 1;

const resistance = (label: string, doc: string, example: string) =>
  quantity({ label, doc, unit: 'ohm', low: 1e-3, high: 1e10, example, steps: { series: 'E24' } });

const duration = (label: string, doc: string, example: string) =>
  quantity({ label, doc, unit: 's', low: 1e-9, high: 1e9, example });

/** 1, 2 and 5 of each decade, 10 µ to 100, for limits that have no series of parts. */
const decades = {
  values: [-5, -4, -3, -2, -1, 0, 1].flatMap((e) => [1, 2, 5].map((d) => Number(`${d}e${e}`))),
};

/** Reading periods that people choose, 100 ms to a day. */
const periods = {
  values: [
    0.1, 0.2, 0.5, 1, 2, 5, 10, 15, 20, 30, 60, 120, 300, 600, 900, 1200, 1800, 3600, 7200, 10_800, 21_600,
    43_200, 86_400,
  ],
};

const requirement = object('requirement', 'What the reading must keep.', {
  measurand: optional(text('measurand', 80, 'What is measured, in a few words.')),
  range: object('range', 'Between which values the requirements hold.', {
    low: quantity({
      label: 'low end of the range',
      doc: 'Least value of the measurand at which the requirements hold.',
      unit: 'measurand',
      low: -1e6,
      high: 1e6,
      example: '20 degC',
      steps: { by: 1 },
    }),
    high: quantity({
      label: 'high end of the range',
      doc: 'Largest value of the measurand at which the requirements hold.',
      unit: 'measurand',
      low: -1e6,
      high: 1e6,
      example: '40 degC',
      steps: { by: 1 },
    }),
  }),
  resolution: optional(
    quantity({
      label: 'resolution',
      doc: 'Largest rms error of one reading from noise and quantization, at the worst point of the range.',
      unit: 'difference',
      low: 1e-12,
      high: 1e6,
      example: '0.02 K',
      steps: decades,
    }),
  ),
  step: optional(
    quantity({
      label: 'widest step',
      doc: 'Widest step from one result code to the next, at the worst point of the range.',
      unit: 'difference',
      low: 1e-12,
      high: 1e6,
      example: '5 mK',
      steps: decades,
    }),
  ),
  uncertainty: optional(
    quantity({
      label: 'uncertainty',
      doc: 'Largest expanded uncertainty (coverage 95 %) of a reading over the range.',
      unit: 'difference',
      low: 1e-12,
      high: 1e6,
      example: '0.5 K',
      steps: decades,
    }),
  ),
  settling: optional(
    quantity({
      label: 'settling error',
      doc: 'Largest error of a reading from incomplete settling, in LSB of the result; 0.25 LSB unless given.',
      unit: 'LSB',
      low: 1e-6,
      high: 1e4,
      example: '0.25 LSB',
    }),
  ),
  period: { ...duration('reading period', 'Time from one reading to the next.', '1 min'), steps: periods },
  latency: optional(duration('latency', 'Longest time from the start of a reading to its result.', '10 ms')),
  batteryLife: optional(duration('battery life', 'How long one battery must last.', '2 year')),
});

const sensor = variant('sensor', 'What turns the measurand into a resistance or a voltage.', {
  thermistor: object(
    'thermistor',
    'Resistance falling with temperature: by r25 and beta, by a, b and c of the Steinhart–Hart equation, or by three points.',
    {
      r25: optional(
        resistance(
          'thermistor resistance at 25 °C',
          'Resistance at 25 °C; its spread is the tolerance.',
          '10 kohm',
        ),
      ),
      beta: optional(
        quantity({
          label: 'beta',
          doc: 'Slope of ln R against 1/T, between the two temperatures that the data sheet names.',
          unit: 'K',
          low: 100,
          high: 10_000,
          example: '3435 K',
        }),
      ),
      a: optional(real({ label: 'coefficient a', doc: 'Steinhart–Hart a, in 1/K.', low: -1, high: 1 })),
      b: optional(real({ label: 'coefficient b', doc: 'Steinhart–Hart b, in 1/K.', low: -1, high: 1 })),
      c: optional(real({ label: 'coefficient c', doc: 'Steinhart–Hart c, in 1/K.', low: -1, high: 1 })),
      points: optional(
        list({
          label: 'points',
          doc: 'Three points of the resistance table, in rising temperature.',
          of: object('point', 'One line of the table.', {
            temperature: quantity({
              label: 'temperature of the point',
              doc: 'Temperature of this line.',
              unit: 'degC',
              low: -100,
              high: 500,
              example: '25 degC',
            }),
            resistance: resistance('resistance of the point', 'Resistance at that temperature.', '10 kohm'),
          }),
          shortest: 3,
          longest: 3,
        }),
      ),
      dissipation: optional(
        quantity({
          label: 'dissipation constant',
          doc: 'Power that warms the sensor by one kelvin where it is mounted.',
          unit: 'W/K',
          low: 1e-6,
          high: 10,
          example: '2 mW/K',
        }),
      ),
    },
  ),
  platinum: object('platinum sensor', 'Platinum resistance thermometer.', {
    r0: quantity({
      label: 'resistance at 0 °C',
      doc: 'Nominal resistance at 0 °C.',
      unit: 'ohm',
      low: 1,
      high: 1e5,
      example: '1000 ohm',
    }),
    class: optional(choice('tolerance class', ['AA', 'A', 'B', 'C'], 'Tolerance class of the sensor.')),
    dissipation: optional(
      quantity({
        label: 'dissipation constant',
        doc: 'Power that warms the sensor by one kelvin where it is mounted.',
        unit: 'W/K',
        low: 1e-6,
        high: 10,
        example: '4 mW/K',
      }),
    ),
  }),
  linear: object('linear sensor', 'Voltage that is a straight line of temperature.', {
    voltsPerDegree: quantity({
      label: 'slope',
      doc: 'Change of the voltage per kelvin.',
      unit: 'V/K',
      low: -1,
      high: 1,
      example: '10 mV/K',
    }),
    voltsAtZero: quantity({
      label: 'voltage at 0 °C',
      doc: 'Output at 0 °C.',
      unit: 'V',
      low: -50,
      high: 50,
      example: '0.5 V',
    }),
    outputResistance: quantity({
      label: 'output resistance',
      doc: 'Resistance behind the output.',
      unit: 'ohm',
      low: 0,
      high: 1e9,
      example: '1 kohm',
    }),
  }),
  die: object('sensor on the chip', 'Voltage on the chip, known by two codes that the factory stored.', {
    low: object('low factory point', 'The colder of the two points.', {
      temperature: quantity({
        label: 'temperature of the low factory point',
        doc: 'Temperature at which the low code was taken.',
        unit: 'degC',
        low: -60,
        high: 200,
        example: '30 degC',
      }),
      code: number({
        label: 'low factory code',
        doc: 'Code stored for it.',
        low: 0,
        high: 2 ** 24,
      }),
    }),
    high: object('high factory point', 'The warmer of the two points.', {
      temperature: quantity({
        label: 'temperature of the high factory point',
        doc: 'Temperature at which the high code was taken.',
        unit: 'degC',
        low: -60,
        high: 200,
        example: '110 degC',
      }),
      code: number({
        label: 'high factory code',
        doc: 'Code stored for it.',
        low: 0,
        high: 2 ** 24,
      }),
    }),
    bits: number({ label: 'factory bits', doc: 'Resolution of the stored codes.', low: 1, high: 24 }),
    reference: quantity({
      label: 'factory reference',
      doc: 'Reference voltage at which they were taken.',
      unit: 'V',
      low: 0.1,
      high: 50,
      example: '3.0 V',
    }),
    outputResistance: quantity({
      label: 'output resistance',
      doc: 'Resistance that stands for its drive; choose it so that the data sheet’s sample time results.',
      unit: 'ohm',
      low: 0,
      high: 1e9,
      example: '100 kohm',
    }),
  }),
  divider: object('voltage divider', 'The measurand is a voltage, brought down by two resistors.', {
    top: resistance('upper resistor', 'Between the voltage and the pin.', '10 Mohm'),
    bottom: resistance('lower resistor', 'Between the pin and ground.', '3.3 Mohm'),
  }),
});

const conditioning = object('conditioning', 'What stands between the sensor and the pin.', {
  wiring: choice(
    'wiring',
    ['ratiometric', 'absolute'],
    'Ratiometric where the sensor is fed from the reference of the converter, which then cancels; else absolute.',
  ),
  divider: optional(
    object('divider', 'The resistor that makes a voltage of a resistive sensor.', {
      resistor: resistance('divider resistor', 'The fixed resistor; its spread is the tolerance.', '10 kohm'),
      side: choice(
        'side of the sensor',
        ['low', 'high'],
        'Whether the sensor sits at ground or at the excitation.',
      ),
    }),
  ),
  leadResistance: optional(
    quantity({
      label: 'lead resistance',
      doc: 'Resistance of both wires to the sensor together.',
      unit: 'ohm',
      low: 0,
      high: 1e6,
      example: '0.8 ohm',
    }),
  ),
  excitation: optional(
    object('excitation', 'What feeds the divider.', {
      voltage: optional(
        quantity({
          label: 'excitation voltage',
          doc: 'Where the wiring is absolute: the voltage that feeds the divider.',
          unit: 'V',
          low: 0.01,
          high: 50,
          example: '3.0 V',
        }),
      ),
      switched: flag('switched excitation', 'Whether the excitation is on only while a reading is taken.'),
      settle: optional(
        duration('excitation settling', 'From switching it on until the first conversion.', '100 us'),
      ),
    }),
  ),
  amplifier: optional(
    object(
      'amplifier',
      'Amplifier or buffer ahead of the pin; it then drives the pin in place of the sensor.',
      {
        gain: real({
          label: 'amplifier gain',
          doc: 'Voltage gain; 1 for a buffer.',
          low: 0.001,
          high: 1e5,
        }),
        zero: quantity({
          label: 'amplifier zero',
          doc: 'Input voltage at which its output is 0 V.',
          unit: 'V',
          low: -50,
          high: 50,
          example: '0 V',
        }),
        outputResistance: quantity({
          label: 'amplifier output resistance',
          doc: 'Resistance that drives the pin.',
          unit: 'ohm',
          low: 0,
          high: 1e6,
          example: '100 ohm',
        }),
      },
    ),
  ),
  seriesResistor: optional(
    resistance('series resistor', 'Between divider or amplifier and the pin.', '1 kohm'),
  ),
  capacitor: optional(
    quantity({
      label: 'pin capacitor',
      doc: 'Capacitor from the pin to ground, on the board.',
      unit: 'F',
      low: 1e-13,
      high: 1e-3,
      example: '10 nF',
      steps: { series: 'E6' },
    }),
  ),
  interference: optional(
    list({
      label: 'interference',
      doc: 'Known disturbances at the pin, as mains hum.',
      of: object('disturbance', 'One sine.', {
        frequency: quantity({
          label: 'interference frequency',
          doc: 'Its frequency.',
          unit: 'Hz',
          low: 1e-3,
          high: 1e10,
          example: '50 Hz',
        }),
        amplitude: quantity({
          label: 'interference amplitude',
          doc: 'Its amplitude (half of peak to peak) at the pin.',
          unit: 'V',
          low: 0,
          high: 50,
          example: '1 mV',
        }),
      }),
      shortest: 1,
      longest: 20,
    }),
  ),
});

const converter = object('converter', 'Which converter, and what of its profile is overridden.', {
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
  }),
  ...overrides,
});

const sampling = object('sampling', 'How one conversion is taken.', {
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
    label: 'resolution',
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

const averaging = object('averaging', 'How conversions become a result.', {
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

const limit = (label: string, doc: string) =>
  quantity({ label, doc, unit: 'limit', low: -1e6, high: 1e6, example: '37 degC', steps: { by: 0.5 } });

const watchdog = object('watchdog', 'When the analog watchdog (digital window comparator) must trip.', {
  above: optional(limit('upper limit', 'Trips above this, in the measurand or in volts at the pin.')),
  below: optional(limit('lower limit', 'Trips below this, in the measurand or in volts at the pin.')),
  intent: choice(
    'intent',
    ['must-trip', 'must-not-trip'],
    'Whether it must trip everywhere beyond the limit, or nowhere within it.',
  ),
  consecutive: optional(
    count({
      label: 'consecutive trips',
      doc: 'Results beyond the limit, one after the other, that make an alarm; 1 unless given.',
      low: 1,
      high: 1000,
    }),
  ),
  hysteresis: optional(
    quantity({
      label: 'hysteresis',
      doc: 'How far back the measurand must go before the alarm is cleared.',
      unit: 'difference',
      low: 0,
      high: 1e6,
      example: '0.5 K',
    }),
  ),
  compare: optional(
    object(
      'what is compared',
      'Overrides of what the profile says the hardware compares.',
      comparatorOverrides,
    ),
  ),
});

const scan = object('scan', 'The other channels that the same converter takes in turn.', {
  channels: list({
    label: 'other channels',
    doc: 'In the order of the scan; this worksheet’s channel comes first.',
    of: object('channel', 'One other channel.', {
      name: text('name', 60, 'What it measures.'),
      voltage: quantity({
        label: 'voltage',
        doc: 'Its voltage at the pin.',
        unit: 'V',
        low: -50,
        high: 50,
        example: '1.2 V',
      }),
      sourceResistance: quantity({
        label: 'source resistance',
        doc: 'Thévenin resistance behind the pin.',
        unit: 'ohm',
        low: 0,
        high: 1e10,
        example: '10 kohm',
      }),
      capacitance: optional(
        quantity({
          label: 'pin capacitor',
          doc: 'Capacitor at its pin, on the board.',
          unit: 'F',
          low: 0,
          high: 1e-3,
          example: '10 nF',
        }),
      ),
      sampleCycles: optional(
        number({
          label: 'sample cycles',
          doc: 'Its own sample time, where the hardware allows one.',
          low: 0.5,
          high: 100_000,
          halves: true,
        }),
      ),
    }),
    shortest: 1,
    longest: 64,
  }),
  discard: optional(
    number({
      label: 'discarded conversions',
      doc: 'Conversions thrown away after each change of channel.',
      low: 0,
      high: 16,
    }),
  ),
});

const power = object('power', 'What feeds the board, and what it does around the conversions.', {
  supply: optional(
    quantity({
      label: 'supply voltage',
      doc: 'Voltage of the supply, for energy; the reference may be another.',
      unit: 'V',
      low: 0.5,
      high: 50,
      example: '3.0 V',
    }),
  ),
  phases: optional(
    list({
      label: 'other phases',
      doc: 'What else a reading makes the board do.',
      of: object('phase', 'One phase.', {
        name: text('name', 60, 'What happens.'),
        current: quantity({
          label: 'phase current',
          doc: 'Drawn meanwhile.',
          unit: 'A',
          low: 0,
          high: 10,
          example: '3 mA',
        }),
        time: duration('phase time', 'How long it takes.', '200 us'),
      }),
      shortest: 1,
      longest: 64,
    }),
  ),
  battery: optional(
    object('battery', 'The battery.', {
      capacity: quantity({
        label: 'battery capacity',
        doc: 'Nominal charge.',
        unit: 'C',
        low: 0.01,
        high: 1e9,
        example: '220 mAh',
      }),
      usable: quantity({
        label: 'usable part',
        doc: 'Part of the capacity that can be drawn at these currents and temperatures.',
        unit: '1',
        low: 0.01,
        high: 1,
        example: '80 %',
      }),
      selfDischarge: quantity({
        label: 'self-discharge',
        doc: 'Part of the capacity lost in a year.',
        unit: '1',
        low: 0,
        high: 1,
        example: '1 %',
      }),
    }),
  ),
});

const calibration = object(
  'calibration',
  'At which points the finished board was compared with a standard.',
  {
    points: list({
      label: 'calibration points',
      doc: 'One, two or more.',
      of: object('calibration point', 'One comparison.', {
        at: quantity({
          label: 'calibration value',
          doc: 'Value of the standard.',
          unit: 'measurand',
          low: -1e6,
          high: 1e6,
          example: '25 degC',
        }),
        uncertainty: quantity({
          label: 'standard uncertainty of the point',
          doc: 'Standard uncertainty of the comparison.',
          unit: 'difference',
          low: 0,
          high: 1e6,
          example: '0.05 K',
        }),
      }),
      shortest: 1,
      longest: 20,
    }),
  },
);

const record = object('record', 'Codes recorded on the board.', {
  file: text('file', 200, 'File of codes, relative to the worksheet.'),
  rate: quantity({
    label: 'rate of the record',
    doc: 'Codes per second.',
    unit: 'Hz',
    low: 1e-6,
    high: 1e9,
    example: '100 Hz',
  }),
  averaged: flag(
    'averaged codes',
    'Whether the record holds averaged results; else codes of single conversions.',
  ),
});

export const worksheetSchema = object('worksheet', 'One channel of a converter: inputs only.', {
  $schema: optional(text('schema', 200, 'Where an editor finds the JSON Schema of this file.')),
  halfbit: choice('format version', [formatVersion], 'Version of the format of this file.'),
  title: text('title', 120, 'One line that tells this channel from others.'),
  about: optional(text('about', 2000, 'What a reviewer should know.')),
  requirement,
  sensor,
  conditioning,
  converter,
  sampling,
  averaging,
  watchdog: optional(watchdog),
  scan: optional(scan),
  power: optional(power),
  calibration: optional(calibration),
  record: optional(record),
});

/** The inputs of a worksheet, checked and in SI units. */
export type Inputs = FieldValues<typeof worksheetSchema.fields>;

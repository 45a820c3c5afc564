/** What surrounds the channel: watchdog, other channels, power, calibration, record. */

import { comparatorOverrides } from './converter.ts';
import { choice, count, flag, list, number, object, optional, quantity, text } from './field.ts';
import { duration } from './quantities.ts';

const limit = (label: string, doc: string) =>
  quantity({ label, doc, unit: 'limit', low: -1e6, high: 1e6, example: '37 degC', steps: { by: 0.5 } });

export const watchdog = object(
  'watchdog',
  'When the analog watchdog (digital window comparator) must trip.',
  {
    above: optional(limit('upper limit', 'Trips above this, in the measurand or in volts at the pin.')),
    below: optional(limit('lower limit', 'Trips below this, in the measurand or in volts at the pin.')),
    intent: optional(
      choice(
        'intent',
        ['must-trip', 'must-not-trip'],
        'Whether it must trip everywhere beyond the limit, or nowhere within it; the former unless given.',
      ),
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
  },
);

export const scan = object(
  'scan',
  'The other channels that the same converter takes in turn, and what takes their results.',
  {
    channels: optional(
      list({
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
          leastSampleTime: optional(
            duration(
              'least sample time',
              'Shortest sample time that its data sheet asks for, as for sensors on the chip.',
              '5 us',
            ),
          ),
          input: optional(
            choice(
              'input',
              ['external', 'internal'],
              'At a pin, or on the chip, where the profile’s number of channels does not count; external unless given.',
            ),
          ),
        }),
        shortest: 1,
        longest: 63,
      }),
    ),
    discard: optional(
      number({
        label: 'discarded conversions',
        doc: 'Conversions thrown away after each change of channel.',
        low: 0,
        high: 16,
      }),
    ),
    period: optional(
      duration('scan period', 'From one scan to the next; the reading’s period unless given.', '100 ms'),
    ),
    buffer: optional(
      object('buffer', 'Memory that the hardware fills with results by itself (DMA), in two halves.', {
        scans: optional(
          count({
            label: 'scans in half the buffer',
            doc: 'Scans that each half of the buffer holds; 1 unless given.',
            low: 1,
            high: 65_536,
            steps: { values: Array.from({ length: 17 }, (_, i) => 2 ** i) },
          }),
        ),
        interruptTime: optional(
          quantity({
            label: 'time of an interrupt',
            doc: 'What an interrupt costs the core without the results: entry, exit and what they bring.',
            unit: 's',
            low: 0,
            high: 1,
            example: '2 us',
          }),
        ),
        resultTime: optional(
          quantity({
            label: 'time of a result',
            doc: 'What the core spends on each result.',
            unit: 's',
            low: 0,
            high: 1,
            example: '0.5 us',
          }),
        ),
      }),
    ),
  },
);

export const power = object('power', 'What feeds the board, and what it does around the conversions.', {
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
      openVoltage: optional(
        quantity({
          label: 'battery voltage at rest',
          doc: 'Without load, near the end of its life; the supply voltage unless given.',
          unit: 'V',
          low: 0.5,
          high: 50,
          example: '2.9 V',
        }),
      ),
      internalResistance: optional(
        quantity({
          label: 'internal resistance',
          doc: 'Of the battery at 25 °C, near the end of its life, for a load as short as a reading.',
          unit: 'ohm',
          low: 0,
          high: 1e5,
          example: '20 ohm',
        }),
      ),
      coldResistance: optional(
        quantity({
          label: 'internal resistance in the cold',
          doc: 'The same where the board is coldest; as at 25 °C unless given.',
          unit: 'ohm',
          low: 0,
          high: 1e5,
          example: '60 ohm',
        }),
      ),
    }),
  ),
});

export const calibration = object(
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
    standard: optional(
      quantity({
        label: 'standard uncertainty of the standard',
        doc: 'Standard uncertainty that all points share: that of the standard itself.',
        unit: 'difference',
        low: 0,
        high: 1e6,
        example: '0.02 K',
      }),
    ),
    drift: optional(
      quantity({
        label: 'drift since calibration',
        doc: 'How far the reading may have drifted since the points were taken, either way.',
        unit: 'difference',
        low: 0,
        high: 1e6,
        example: '0.1 K',
      }),
    ),
  },
);

const boardTemperature = (label: string, doc: string, example: string) =>
  quantity({ label, doc, unit: 'degC', low: -100, high: 300, example, steps: { by: 5 } });

export const conditions = object('conditions', 'What the board is exposed to; 25 °C unless given.', {
  coldest: optional(boardTemperature('coldest board', 'Lowest temperature of the board in use.', '-10 degC')),
  warmest: optional(boardTemperature('warmest board', 'Highest temperature of the board in use.', '50 degC')),
});

export const record = object('record', 'Codes recorded on the board.', {
  file: optional(text('file', 200, 'File of codes, relative to the worksheet.')),
  rate: optional(
    quantity({
      label: 'rate of the record',
      doc: 'Codes per second; by the file’s column of time, or the conversions back to back, unless given.',
      unit: 'Hz',
      low: 1e-6,
      high: 1e9,
      example: '100 Hz',
    }),
  ),
  averaged: optional(
    flag(
      'averaged codes',
      'Whether the record holds averaged results; else, and unless given, codes of single conversions.',
    ),
  ),
  column: optional(
    number({
      label: 'column of the codes',
      doc: 'Counted from 1; the first that holds codes unless given.',
      low: 1,
      high: 256,
    }),
  ),
});

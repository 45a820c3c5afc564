/** The sensors that a worksheet may have, told apart by their kind. Those of a quantity with a unit of its own are in sensorsOfUnit.ts. */
import { choice, list, number, object, optional, quantity, real, variant } from './field.ts';
import { resistance } from './quantities.ts';
import { bridge, currentLoop, potentiometer, table } from './sensorsOfUnit.ts';

export const sensor = variant('sensor', 'What turns the measurand into a resistance or a voltage.', {
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
    allowedCurrent: optional(
      quantity({
        label: 'allowed divider current',
        doc: 'What both resistors may draw while they are connected, at the high end of the range.',
        unit: 'A',
        low: 1e-10,
        high: 0.1,
        example: '2 uA',
        steps: { values: [-8, -7, -6, -5, -4].flatMap((e) => [1, 2, 5].map((d) => Number(`${d}e${e}`))) },
      }),
    ),
    series: optional(
      choice(
        'resistor series',
        ['E6', 'E12', 'E24', 'E48', 'E96', 'E192'],
        'E series that the resistors are chosen from; E24 unless given.',
      ),
    ),
  }),
  thermocouple: object(
    'thermocouple',
    'Voltage between a hot junction and a cold one; the reading holds for the cold junction’s temperature as given.',
    {
      type: choice('type', ['B', 'E', 'J', 'K', 'N', 'R', 'S', 'T'], 'Letter of the pair of wires.'),
      coldJunction: quantity({
        label: 'cold junction',
        doc: 'Temperature of the cold junction that the firmware takes; its spread is how far the true one may be off.',
        unit: 'degC',
        low: -50,
        high: 150,
        example: '25 degC',
        steps: { by: 1 },
      }),
      tolerance: optional(
        quantity({
          label: 'tolerance of the thermocouple',
          doc: 'Half-width of its error; where a share is given too, the larger of both counts.',
          unit: 'K',
          low: 0,
          high: 100,
          example: '1.5 K',
        }),
      ),
      relativeTolerance: optional(
        quantity({
          label: 'relative tolerance of the thermocouple',
          doc: 'The same as a share of the temperature in °C.',
          unit: '1',
          low: 0,
          high: 0.1,
          example: '0.4 %',
        }),
      ),
      outputResistance: quantity({
        label: 'thermocouple resistance',
        doc: 'Of both wires together, and of what filters them ahead of the pin or the amplifier.',
        unit: 'ohm',
        low: 0,
        high: 1e9,
        example: '10 ohm',
      }),
    },
  ),
  shunt: object('shunt', 'Small resistor in the path of a current; the measurand is the current.', {
    resistance: resistance('shunt resistance', 'Of the resistor; its spread is the tolerance.', '0.1 ohm'),
    largest: quantity({
      label: 'largest current',
      doc: 'Largest current, either way, that the shunt is used for.',
      unit: 'A',
      low: 1e-9,
      high: 1e4,
      example: '1 A',
    }),
  }),
  currentLoop,
  potentiometer,
  bridge,
  table,
});

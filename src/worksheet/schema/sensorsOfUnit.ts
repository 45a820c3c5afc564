/** Sensors of a quantity that the worksheet names the unit of: bar, kg, %, lx and the like. */
import { ownUnitPattern } from '../../numbers/units.ts';
import { choice, list, object, optional, quantity, text } from './field.ts';
import { resistance } from './quantities.ts';

const unit = text(
  'unit of the measurand',
  12,
  'Unit of what is measured. Every amount of the measurand is then written with exactly this text and no prefix, as 6 bar; degC, V and A also take prefixes, and degC takes K for differences.',
  {
    source: ownUnitPattern,
    words: 'a unit of up to 12 characters that starts with a letter, %, ° or ‰, as bar, %RH, mg/m3',
  },
);

const ofMeasurand = (label: string, doc: string, example: string) =>
  quantity({ label, doc, unit: 'measurand', low: -1e6, high: 1e6, example });

const tolerance = (label: string, doc: string, example: string) =>
  optional(quantity({ label, doc, unit: 'difference', low: 0, high: 1e6, example }));

export const currentLoop = object(
  'current loop',
  'A transmitter that sends its measurand as a current, as 4 … 20 mA, and the resistor that makes a voltage of it.',
  {
    unit,
    low: ofMeasurand('measurand at the low current', 'What the low current stands for.', '0 bar'),
    high: ofMeasurand('measurand at the high current', 'What the high current stands for.', '10 bar'),
    resistance: resistance(
      'loop resistor',
      'Turns the current into a voltage; its spread is the tolerance.',
      '150 ohm',
    ),
    currentAtLow: optional(
      quantity({
        label: 'low current',
        doc: 'Current of the low end; 4 mA unless given.',
        unit: 'A',
        low: 0,
        high: 1,
        example: '4 mA',
      }),
    ),
    currentAtHigh: optional(
      quantity({
        label: 'high current',
        doc: 'Current of the high end; 20 mA unless given.',
        unit: 'A',
        low: 0,
        high: 1,
        example: '20 mA',
      }),
    ),
    tolerance: tolerance('transmitter tolerance', 'Half-width of the transmitter’s error.', '0.05 bar'),
  },
);

export const potentiometer = object(
  'potentiometer',
  'Wiper on a resistive track across the excitation; the measurand is the position.',
  {
    unit,
    low: ofMeasurand('position at the low end', 'Where the wiper is at ground.', '0 %'),
    high: ofMeasurand('position at the high end', 'Where the wiper is at the excitation.', '100 %'),
    resistance: resistance(
      'track resistance',
      'Of the whole track. Its spread moves no reading, since the wiper divides it.',
      '10 kohm',
    ),
    linearity: optional(
      quantity({
        label: 'linearity',
        doc: 'Half-width of the error of the position, ends included, as a share of the travel.',
        unit: '1',
        low: 0,
        high: 0.5,
        example: '1 %',
      }),
    ),
  },
);

/** Output over the excitation. */
const perExcitation = { unit: 'V/V', low: -1, high: 1 } as const;

export const bridge = object(
  'bridge',
  'Four resistors of which the measurand unbalances some, as in a load cell; an amplifier takes the difference.',
  {
    unit,
    sensitivity: quantity({
      label: 'bridge sensitivity',
      doc: 'Output at full scale over the excitation; its spread is the tolerance.',
      ...perExcitation,
      low: 1e-9,
      example: '2 mV/V',
    }),
    fullScale: { ...ofMeasurand('full scale', 'What that output stands for.', '50 kg'), low: 1e-9 },
    zero: optional(
      quantity({
        label: 'bridge zero',
        doc: 'Output without load over the excitation, 0 mV/V unless given; its spread is the tolerance.',
        ...perExcitation,
        example: '0 mV/V',
      }),
    ),
    resistance: resistance('bridge resistance', 'Across the excitation.', '350 ohm'),
    tolerance: tolerance(
      'bridge tolerance',
      'Half-width of what remains beside sensitivity and zero: linearity, hysteresis, creep.',
      '0.02 kg',
    ),
  },
);

export const table = object(
  'table',
  'A sensor known by points of its curve, a resistance or a voltage; a smooth monotone curve is laid through them.',
  {
    unit,
    points: list({
      label: 'points',
      doc: 'Points of the curve, two or more: all in ohm or all in V, always rising or always falling with the measurand.',
      of: object('point', 'One line of the table.', {
        at: ofMeasurand('measurand of the point', 'Measurand of this line.', '100 lx'),
        gives: quantity({
          label: 'what the point gives',
          doc: 'Resistance or voltage there.',
          unit: 'electrical',
          low: -1e10,
          high: 1e10,
          example: '10 kohm',
        }),
      }),
      shortest: 2,
      longest: 100,
    }),
    scale: optional(
      choice(
        'scale of the curve',
        ['linear', 'logarithmic'],
        'Scale of the electrical side between the points; linear unless given. Logarithmic suits what falls by decades, as a photoresistor.',
      ),
    ),
    tolerance: tolerance('tolerance of the table', 'Half-width of the sensor’s error.', '5 lx'),
    outputResistance: optional(
      quantity({
        label: 'output resistance',
        doc: 'Where the sensor gives a voltage: resistance behind it, 0 ohm unless given.',
        unit: 'ohm',
        low: 0,
        high: 1e9,
        example: '1 kohm',
      }),
    ),
  },
);

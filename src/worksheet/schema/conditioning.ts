/** What stands between the sensor and the pin. */
import { choice, flag, list, object, optional, quantity, real, text } from './field.ts';
import { duration, resistance } from './quantities.ts';

export const conditioning = object('conditioning', 'What stands between the sensor and the pin.', {
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
    object('excitation', 'What feeds the divider, a potentiometer or a bridge.', {
      voltage: optional(
        quantity({
          label: 'excitation voltage',
          doc: 'Where the wiring is absolute: the voltage that feeds the divider or the sensor.',
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
          doc: 'Input voltage at which its output is 0 V; taken to follow the reference where the wiring is ratiometric.',
          unit: 'V',
          low: -50,
          high: 50,
          example: '0 V',
        }),
        gainError: optional(
          quantity({
            label: 'amplifier gain error',
            doc: 'Half-width of the relative error of its gain.',
            unit: '1',
            low: 0,
            high: 0.5,
            example: '0.1 %',
          }),
        ),
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
        name: optional(text('name of the interference', 60, 'What makes it.')),
        tolerance: optional(
          quantity({
            label: 'interference tolerance',
            doc: 'Relative half-width of its frequency.',
            unit: '1',
            low: 0,
            high: 0.5,
            example: '1 %',
          }),
        ),
      }),
      shortest: 1,
      longest: 20,
    }),
  ),
});

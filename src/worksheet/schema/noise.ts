/** What moves the readings of a worksheet besides the converter's own white noise. */
import { object, optional, quantity } from './field.ts';
import { duration } from './quantities.ts';

export const noise = object('noise', 'What moves the readings besides the converter’s own white noise.', {
  flickerCorner: optional(
    quantity({
      label: '1/f corner',
      doc: 'Frequency at which 1/f noise is as dense as the white noise of the converter.',
      unit: 'Hz',
      low: 0,
      high: 1e9,
      example: '50 Hz',
    }),
  ),
  drift: optional(
    quantity({
      label: 'change in a minute',
      doc: 'By how much the measurand moves, or the reading of a still one drifts, steadily, in one minute.',
      unit: 'difference',
      low: 0,
      high: 1e6,
      example: '0.1 K',
    }),
  ),
  sourceRms: optional(
    quantity({
      label: 'noise from the source',
      doc: 'Noise that comes with the signal, or is added to it as dither: rms at the pin.',
      unit: 'V',
      low: 0,
      high: 50,
      example: '20 uV',
    }),
  ),
  sourceTime: optional(
    quantity({
      label: 'time constant of the source’s noise',
      doc: 'Of the low-pass that it comes through; source resistance times pin capacitance unless given.',
      unit: 's',
      low: 0,
      high: 1e6,
      example: '20 us',
    }),
  ),
  observation: optional(
    duration(
      'observation time',
      'Time over which readings are compared, which tells how slow 1/f noise may be; an hour unless given.',
      '1 day',
    ),
  ),
});

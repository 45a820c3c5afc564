/** What the firmware's arithmetic must keep. */
import { count, object, optional, quantity } from './field.ts';

export const firmware = object('firmware', 'What the integer conversion from code to measurand must keep.', {
  error: optional(
    quantity({
      label: 'error of the integer conversion',
      doc: 'Largest error of the conversion from code to measurand, rounding included; unless given the larger of a quarter of the narrowest result code and a twentieth of the resolution.',
      unit: 'difference',
      low: 1e-9,
      high: 1e6,
      example: '2 mK',
    }),
  ),
  intermediates: optional(
    count({
      label: 'widest intermediate',
      doc: 'Bits of the widest product that the core should have to form: 16, 32 or 64; 64 unless given.',
      low: 16,
      high: 64,
      steps: { values: [16, 32, 64] },
    }),
  ),
});

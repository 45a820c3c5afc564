/** What a reading must keep. */
import { object, optional, quantity, text } from './field.ts';
import { duration } from './quantities.ts';

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

export const requirement = object('requirement', 'What the reading must keep.', {
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
      doc: 'Largest error of a reading from incomplete settling, in LSB of the result, or of one conversion where a shift makes the result coarser; 0.25 LSB unless given.',
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

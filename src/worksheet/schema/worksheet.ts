/**
 * The worksheet: one channel, from what is wanted through the sensor to the result, as a document that people read, diff and
 * review. It holds inputs only; everything else is computed from them.
 */
import { conditioning } from './conditioning.ts';
import { averaging, converter, sampling } from './conversion.ts';
import { choice, type FieldValues, object, optional, text } from './field.ts';
import { firmware } from './firmware.ts';
import { noise } from './noise.ts';
import { requirement } from './requirement.ts';
import { review } from './review.ts';
import { sensor } from './sensor.ts';
import { calibration, conditions, power, record, scan, watchdog } from './surroundings.ts';

/** Version of the worksheet format that this program reads and writes. */
export const formatVersion = 1;

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
  noise: optional(noise),
  conditions: optional(conditions),
  watchdog: optional(watchdog),
  scan: optional(scan),
  power: optional(power),
  calibration: optional(calibration),
  record: optional(record),
  firmware: optional(firmware),
  review: optional(review),
});

/** The inputs of a worksheet, checked and in SI units. */
export type Inputs = FieldValues<typeof worksheetSchema.fields>;

/** Results for machines: a unit of a worksheet's own is written as its text. */
import { unitText } from '../numbers/units.ts';

/** Keys that hold units. */
const ofUnits: readonly string[] = ['unit', 'measurand', 'difference'];

/** A value as JSON with two spaces and a line end. */
export const jsonText = (value: unknown): string =>
  `${JSON.stringify(value, (key, v) => (typeof v === 'string' && ofUnits.includes(key) ? unitText(v) : v), 2)}\n`;

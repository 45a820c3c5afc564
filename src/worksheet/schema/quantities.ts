/** Quantities that many fields are of. */
import { quantity } from './field.ts';

export const resistance = (label: string, doc: string, example: string) =>
  quantity({ label, doc, unit: 'ohm', low: 1e-3, high: 1e10, example, steps: { series: 'E24' } });

export const duration = (label: string, doc: string, example: string) =>
  quantity({ label, doc, unit: 's', low: 1e-9, high: 1e9, example });

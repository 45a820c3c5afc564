/** The scale of a worksheet's page: in which unit differences of the measurand are told, and how its figures are written. */
import { formatQuantity } from '../numbers/format.ts';
import type { Evaluation } from '../worksheet/evaluate.ts';

/** How the figures of one worksheet are written. */
export interface Scale {
  /** Name of the measurand: temperature or voltage. */
  readonly name: string;
  /** Its unit in print, and that of small differences. */
  readonly unit: string;
  readonly small: string;
  /** A difference of the measurand as a number in the small unit. */
  readonly inSmall: (value: number) => number;
  /** A value, or a difference, of the measurand with its unit. */
  readonly measurand: (value: number) => string;
  readonly difference: (value: number) => string;
  readonly charge: (value: number) => string;
  readonly time: (value: number) => string;
}

/** The scale that suits a worksheet. */
export function scaleOf({ units }: Evaluation): Scale {
  const temperature = units.measurand === 'degC';
  const unit = temperature ? '°C' : 'V';
  const write =
    (in_: string, digits = 3) =>
    (value: number): string =>
      formatQuantity({ value, unit: in_, digits });
  return {
    name: temperature ? 'temperature' : 'voltage',
    unit,
    small: `m${unit}`,
    inSmall: (value) => value * 1000,
    measurand: write(units.measurand, 4),
    difference: write(units.difference),
    charge: write('C'),
    time: write('s'),
  };
}

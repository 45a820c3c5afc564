/** The scale of a worksheet's page: in which unit differences of the measurand are told, and how its figures are written. */
import { formatQuantity } from '../numbers/format.ts';
import { ownUnit } from '../numbers/units.ts';
import { measurandUnitsOf } from '../worksheet/amount.ts';
import type { Evaluation } from '../worksheet/evaluate.ts';
import type { Worksheet } from '../worksheet/read.ts';

/** How the figures of one worksheet are written. */
export interface Scale {
  /** Name of the measurand: temperature, voltage, current or position; measurand where the worksheet has its own unit. */
  readonly name: string;
  /** Its unit in print, and that of small differences; a unit of the worksheet's own takes no prefix. */
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

/** What a sensor measures, in a word. */
export function measurandName(sensor: Worksheet['inputs']['sensor']): string {
  if (sensor.kind === 'potentiometer') return 'position';
  const { measurand } = measurandUnitsOf(sensor);
  return { degC: 'temperature', V: 'voltage', A: 'current' }[measurand] ?? 'measurand';
}

/** The scale that suits a worksheet. */
export function scaleOf({ units, worksheet }: Evaluation): Scale {
  const own = ownUnit(units.measurand);
  const unit = own ?? (units.measurand === 'degC' ? '°C' : units.measurand);
  const write =
    (in_: string, digits = 3) =>
    (value: number): string =>
      formatQuantity({ value, unit: in_, digits });
  return {
    name: measurandName(worksheet.inputs.sensor),
    unit,
    small: own ?? `m${unit}`,
    inSmall: own === undefined ? (value) => value * 1000 : (value) => value,
    measurand: write(units.measurand, 4),
    difference: write(units.difference),
    charge: write('C'),
    time: write('s'),
  };
}

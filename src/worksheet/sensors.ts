/**
 * From the worksheet's sensor to the sensor that computes: its parameters handed to the function that makes it.
 */
import { dieSensor } from '../chain/source/dieSensor.ts';
import { divider } from '../chain/source/divider.ts';
import { linearSensor } from '../chain/source/linearSensor.ts';
import { platinum } from '../chain/source/platinum.ts';
import type { Sensor } from '../chain/source/sensor.ts';
import { thermistor } from '../chain/source/thermistor.ts';
import type { MeasurandUnits } from './amount.ts';
import type { Quantity } from './schema/field.ts';
import type { Inputs } from './schema/worksheet.ts';

/** The units of what each kind of sensor measures. */
export const measurandUnits: Readonly<Record<Inputs['sensor']['kind'], MeasurandUnits>> = {
  thermistor: { measurand: 'degC', difference: 'K' },
  platinum: { measurand: 'degC', difference: 'K' },
  linear: { measurand: 'degC', difference: 'K' },
  die: { measurand: 'degC', difference: 'K' },
  divider: { measurand: 'V', difference: 'V' },
};

/** The half-width of a quantity relative to it; 0 where none is given. */
export const relativeSpread = ({ value, spread }: Quantity): number =>
  spread === undefined || value === 0 ? 0 : spread / Math.abs(value);

/**
 * The sensor that a worksheet describes.
 *
 * @throws RangeError where its parameters give no sensor, with the reason
 */
export function sensorFrom(input: Inputs['sensor'], firstTransition: 0.5 | 1): Sensor {
  switch (input.kind) {
    case 'thermistor': {
      const { r25, beta, a, b, c, points } = input;
      // The function itself tells which forms are whole.
      const form = {
        ...(r25 && { r25: r25.value, tolerance: relativeSpread(r25) }),
        ...(beta && { beta: beta.value, betaTolerance: relativeSpread(beta) }),
        ...(a !== undefined && { a }),
        ...(b !== undefined && { b }),
        ...(c !== undefined && { c }),
        ...(points && { points: points.map((p) => [p.temperature.value, p.resistance.value] as const) }),
      };
      return thermistor(form as unknown as Parameters<typeof thermistor>[0]);
    }
    case 'platinum':
      return platinum({ r0: input.r0.value, ...(input.class && { class: input.class }) });
    case 'linear':
      return linearSensor({
        voltsPerDegree: input.voltsPerDegree.value,
        voltsAtZero: input.voltsAtZero.value,
      });
    case 'die': {
      const { low, high, bits, reference } = input;
      return dieSensor({
        low: { celsius: low.temperature.value, code: low.code },
        high: { celsius: high.temperature.value, code: high.code },
        bits,
        reference: reference.value,
        firstTransition,
        tolerance: Math.max(low.temperature.spread ?? 0, high.temperature.spread ?? 0),
      });
    }
    case 'divider': {
      const { top, bottom } = input;
      const resistorTolerance = Math.max(relativeSpread(top), relativeSpread(bottom));
      return divider({ upper: top.value, lower: bottom.value, resistorTolerance });
    }
  }
}

type DividerInput = Extract<Inputs['sensor'], { kind: 'divider' }>;

/** A voltage divider's input with other resistors of the same tolerance. */
export function withResistors(input: DividerInput, upper: number, lower: number): DividerInput {
  // A spread is kept in ohms; what it is relative to has changed.
  const part = (of: Quantity, value: number): Quantity =>
    of.spread === undefined ? { ...of, value } : { ...of, value, spread: (of.spread * value) / of.value };
  return { ...input, top: part(input.top, upper), bottom: part(input.bottom, lower) };
}

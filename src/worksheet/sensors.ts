/**
 * From the worksheet's sensor to the sensor that computes: its parameters handed to the function that makes it.
 */
import { bridge } from '../chain/source/bridge.ts';
import { currentLoop } from '../chain/source/currentLoop.ts';
import { dieSensor } from '../chain/source/dieSensor.ts';
import { divider } from '../chain/source/divider.ts';
import { linearSensor } from '../chain/source/linearSensor.ts';
import { platinum } from '../chain/source/platinum.ts';
import { type Potentiometer, potentiometer } from '../chain/source/potentiometer.ts';
import type { Interval, Sensor } from '../chain/source/sensor.ts';
import { shunt } from '../chain/source/shunt.ts';
import { table } from '../chain/source/table.ts';
import { thermistor } from '../chain/source/thermistor.ts';
import { type Thermocouple, thermocouple } from '../chain/source/thermocouple.ts';
import { namedUnits } from './amount.ts';
import type { Quantity } from './schema/field.ts';
import type { Inputs } from './schema/worksheet.ts';

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
    case 'thermocouple':
      return thermocoupleFrom(input);
    case 'shunt': {
      const { resistance, largest } = input;
      return shunt({
        resistance: resistance.value,
        validRange: widened({ low: -largest.value, high: largest.value }),
        resistorTolerance: relativeSpread(resistance),
      });
    }
    case 'currentLoop':
      return currentLoopFrom(input);
    case 'potentiometer':
      return potentiometerFrom(input);
    case 'bridge': {
      const { unit, sensitivity, fullScale, zero, tolerance } = input;
      const sensor = bridge({
        unit,
        sensitivity: sensitivity.value,
        fullScale: fullScale.value,
        zero: zero?.value ?? 0,
        validRange: widened({ low: -fullScale.value, high: fullScale.value }),
      });
      const constant = ((zero?.spread ?? 0) * fullScale.value) / sensitivity.value + (tolerance?.value ?? 0);
      return { ...sensor, tolerance: (m) => relativeSpread(sensitivity) * Math.abs(m) + constant };
    }
    case 'table': {
      const { unit, points, scale, tolerance } = input;
      const sensor = table({
        points: points.map(({ at, gives }) => [at.value, gives.value] as const),
        electrical: isResistive(input) ? 'resistance' : 'voltage',
        ...measurandOf(unit),
        ...(scale && { scale }),
      });
      return tolerance ? { ...sensor, tolerance: () => tolerance.value } : sensor;
    }
  }
}

type Input<K extends Inputs['sensor']['kind']> = Extract<Inputs['sensor'], { kind: K }>;

/** Share of its span by which a straight line may be read beyond each of its ends, where errors carry it. */
const beyond = 0.1;

const widened = ({ low, high }: Interval): Interval => {
  const more = beyond * (high - low);
  return { low: low - more, high: high + more };
};

/** What a sensor may be asked for: what its worksheet states, or what its curve allows. */
export function statedRange(input: Inputs['sensor'], { validRange }: Sensor): Interval {
  switch (input.kind) {
    case 'currentLoop':
    case 'potentiometer':
      return { low: input.low.value, high: input.high.value };
    case 'bridge':
      return { low: -input.fullScale.value, high: input.fullScale.value };
    case 'shunt':
      return { low: -input.largest.value, high: input.largest.value };
    default:
      return validRange;
  }
}

/** What a measurand of a named unit is to the functions that make sensors. */
function measurandOf(unit: string): Pick<Sensor, 'measurand' | 'unit'> {
  const { measurand } = namedUnits(unit);
  if (measurand === 'degC') return { measurand: 'temperature' };
  if (measurand === 'V') return { measurand: 'voltage' };
  return measurand === 'A' ? { measurand: 'current' } : { measurand: 'quantity', unit };
}

/** The thermocouple of a worksheet. */
export const thermocoupleFrom = (input: Input<'thermocouple'>): Thermocouple => {
  const { type, coldJunction, tolerance, relativeTolerance } = input;
  return thermocouple({
    type,
    coldJunction: coldJunction.value,
    ...((tolerance || relativeTolerance) && {
      tolerance: { kelvin: tolerance?.value ?? 0, relative: relativeTolerance?.value ?? 0 },
    }),
  });
};

/** The potentiometer of a worksheet. */
export const potentiometerFrom = (input: Input<'potentiometer'>): Potentiometer => {
  const { unit, low, high, resistance, linearity } = input;
  return potentiometer({
    resistance: resistance.value,
    travel: { low: low.value, high: high.value, unit },
    ...(linearity && { linearity: linearity.value }),
    validRange: widened({ low: low.value, high: high.value }),
  });
};

/** The current loop of a worksheet. */
const currentLoopFrom = ({ unit, low, high, resistance, ...input }: Input<'currentLoop'>): Sensor => {
  const loop = currentLoop({
    unit,
    low: low.value,
    high: high.value,
    resistance: resistance.value,
    ...(input.currentAtLow && { currentAtLow: input.currentAtLow.value }),
    ...(input.currentAtHigh && { currentAtHigh: input.currentAtHigh.value }),
    resistorTolerance: relativeSpread(resistance),
    validRange: widened({ low: low.value, high: high.value }),
  });
  return { ...loop, tolerance: (m) => loop.tolerance!(m) + (input.tolerance?.value ?? 0) };
};

/** Whether a worksheet's sensor is a resistance, for a divider to make a voltage of. */
export const isResistive = (sensor: Inputs['sensor']): boolean =>
  sensor.kind === 'thermistor' ||
  sensor.kind === 'platinum' ||
  (sensor.kind === 'table' && sensor.points[0]?.gives.unit === 'ohm');

/** A voltage divider's input with other resistors of the same tolerance. */
export function withResistors(input: Input<'divider'>, upper: number, lower: number): Input<'divider'> {
  // A spread is kept in ohms; what it is relative to has changed.
  const part = (of: Quantity, value: number): Quantity =>
    of.spread === undefined ? { ...of, value } : { ...of, value, spread: (of.spread * value) / of.value };
  return { ...input, top: part(input.top, upper), bottom: part(input.bottom, lower) };
}

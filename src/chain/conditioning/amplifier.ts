/**
 * Amplifier: gain and offset between a sensor and the converter.
 *
 * In goes a sensor whose electrical side is a voltage (or a ratio to the excitation, for a bridge), out comes the same sensor seen
 * behind the amplifier, narrowed to what the amplifier's output can reach.
 */
import { between, maybe, named, notNegative, or, type Rule, real } from '../../numbers/guard.ts';
import { type Interval, interval, type Sensor, sensorOf } from '../source/sensor.ts';

const amplifiable: Rule<Sensor> = {
  allowed: "a sensor whose electrical side is 'voltage' or 'ratio'",
  keeps: (v): v is Sensor =>
    typeof v === 'object' && v !== null && ['voltage', 'ratio'].includes((v as Sensor).electrical),
};

const shape = {
  sensor: amplifiable,
  gain: {
    allowed: 'finite numbers other than 0',
    keeps: (v): v is number => Number.isFinite(v) && v !== 0,
  } as Rule<number>,
  offset: or(real(''), 0),
  output: maybe(interval(-1e3, 1e3, '')),
  gainTolerance: or(between(0, 0.5, ''), 0),
  inputOffset: or(notNegative(''), 0),
};

/**
 * A sensor behind an amplifier.
 *
 *     out = gain·in + offset
 *
 * @param sensor - the sensor, electrical side in V or as a ratio to the excitation
 * @param gain - not 0; negative for an inverting amplifier
 * @param offset - output for no input (a bias that lifts negative inputs, say), in V or as a ratio; default 0
 * @param output - what the output can reach, {low, high}, in V or as a ratio; default: anything
 * @param gainTolerance - half-width of the gain, relative, 0 … 0.5; default 0
 * @param inputOffset - half-width of the input offset error, in V or as a ratio, ≥ 0; default 0
 * @returns the sensor behind the amplifier, its valid range narrowed to `output`; `tolerance`, first order, is the sensor's own plus both of the amplifier's
 * @throws RangeError if an argument is outside its range, or if no part of the sensor's range fits `output`
 *
 * @example
 * amplifier({ sensor: { electrical: 'voltage', validRange: { low: 0, high: 9 }, toElectrical: (m) => 0.01 * m }, gain: 50, offset: 0.2 }).toElectrical(2) // => 1.2
 */
export function amplifier(given: {
  readonly sensor: Sensor;
  readonly gain: number;
  readonly offset?: number;
  readonly output?: Interval;
  readonly gainTolerance?: number;
  readonly inputOffset?: number;
}): Sensor {
  const { sensor, gain, offset, output, gainTolerance, inputOffset } = named('amplifier', shape, given);
  const validRange = output ? reach(sensor, output, gain, offset) : sensor.validRange;
  const ends = [sensor.toElectrical(validRange.low), sensor.toElectrical(validRange.high)];
  const [least, most] = [Math.min(...ends), Math.max(...ends)];
  const own = (m: number) =>
    (Math.abs(sensor.toElectrical(m)) * gainTolerance + inputOffset) / Math.abs(sensor.slope(m));
  return sensorOf('amplifier', {
    kind: sensor.kind,
    measurand: sensor.measurand,
    ...(sensor.unit !== undefined && { unit: sensor.unit }),
    electrical: sensor.electrical,
    validRange,
    forward: (m) => gain * sensor.toElectrical(m) + offset,
    inverse: (e) => sensor.toMeasurand(Math.min(Math.max((e - offset) / gain, least), most)),
    slope: (m) => gain * sensor.slope(m),
    ...((gainTolerance > 0 || inputOffset > 0 || sensor.tolerance) && {
      tolerance: (m: number) => (sensor.tolerance?.(m) ?? 0) + own(m),
    }),
  });
}

/** The part of the sensor's valid range that the output reaches. */
function reach(sensor: Sensor, output: Interval, gain: number, offset: number): Interval {
  const { low, high } = sensor.validRange;
  const outputs = [low, high].map((m) => gain * sensor.toElectrical(m) + offset) as [number, number];
  const [bottom, top] = [Math.min(...outputs), Math.max(...outputs)];
  if (!(output.low < top && output.high > bottom)) {
    throw new RangeError(
      `amplifier.output: got ${output.low} … ${output.high}; allowed a range that meets the sensor's, ${bottom} … ${top}`,
    );
  }
  const at = (limit: number) => sensor.toMeasurand((limit - offset) / gain);
  const [first, last] = outputs[0] < outputs[1] ? [output.low, output.high] : [output.high, output.low];
  const inside = (limit: number) => limit > bottom && limit < top;
  return { low: inside(first) ? at(first) : low, high: inside(last) ? at(last) : high };
}

/**
 * Potentiometer: a wiper on a resistive track across the excitation. Position in, ratio of the wiper's voltage to the excitation out.
 */
import { between, maybe, named, positive, type Rule } from '../../numbers/guard.ts';
import { type Interval, interval, type Sensor, sensorOf, unitText } from './sensor.ts';

/** Travel of a potentiometer between the track's ends. */
export interface Travel extends Interval {
  /** Unit of the position, as text. */
  readonly unit: string;
}

/** A potentiometer, with the source resistance that changes along its track. */
export interface Potentiometer extends Sensor {
  readonly kind: 'potentiometer';
  /** Source resistance that the converter sees, Ω: a quarter of the track's at the middle, 0 at both ends. */
  theveninResistance(measurand: number): number;
}

const anyInterval = interval(-1e9, 1e9, '');
const travelRule: Rule<Travel> = {
  allowed: `{low, high, unit}: ${anyInterval.allowed}, unit as text`,
  keeps: (v): v is Travel => anyInterval.keeps(v) && unitText.keeps((v as Travel).unit),
};

const shape = {
  resistance: positive('Ω'),
  travel: maybe(travelRule),
  linearity: maybe(between(0, 0.5, '')),
  validRange: maybe(anyInterval),
};

/**
 * A potentiometer, unloaded.
 *
 *     x = (m − low)/(high − low)          R_source = R·x·(1 − x)
 *
 * @param resistance - resistance of the track R, Ω, > 0
 * @param travel - positions of the track's ends and their unit, {low, high, unit}; default 0 … 1, a ratio
 * @param linearity - half-width of the linearity error relative to the travel, 0 … 0.5
 * @param validRange - positions that may be asked for, as errors carry readings beyond the ends; default the travel
 * @returns the sensor, ratio to the excitation; `tolerance` is present if `linearity` is stated
 * @throws RangeError if an argument is outside its range
 *
 * @example
 * potentiometer({ resistance: 10000, travel: { low: 0, high: 270, unit: '°' } }).toElectrical(67.5) // => 0.25
 */
export function potentiometer(given: {
  readonly resistance: number;
  readonly travel?: Travel;
  readonly linearity?: number;
  readonly validRange?: Interval;
}): Potentiometer {
  const { resistance, travel, linearity, validRange } = named('potentiometer', shape, given);
  const { low, high } = travel ?? { low: 0, high: 1 };
  const span = high - low;
  const sensor = sensorOf('potentiometer', {
    kind: 'potentiometer',
    ...(travel ? { measurand: 'quantity', unit: travel.unit } : { measurand: 'ratio' }),
    electrical: 'ratio',
    validRange: validRange ?? { low, high },
    forward: (m) => (m - low) / span,
    inverse: (x) => low + x * span,
    slope: () => 1 / span,
    ...(linearity !== undefined && { tolerance: () => linearity * span }),
  });
  return {
    ...sensor,
    kind: 'potentiometer',
    theveninResistance: (m) => {
      const x = sensor.toElectrical(m);
      return Math.max(0, resistance * x * (1 - x));
    },
  };
}

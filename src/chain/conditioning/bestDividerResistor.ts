/**
 * The fixed resistor of a sensor's divider that gives the finest worst step over a range.
 *
 * In go the sensor and the range of the measurand; out come the resistor and what it is worth.
 */
import { between, choice, named, notNegative, or, real } from '../../numbers/guard.ts';
import type { Sensor } from '../source/sensor.ts';
import { resistiveSensor, sensorDivider } from './sensorDivider.ts';

/** The best fixed resistor of a divider. */
export interface BestDividerResistor {
  /** The resistor, Ω. */
  readonly resistor: number;
  /** The coarsest measurand per unit of ratio within the range, in the measurand's unit: times 2^−N, the coarsest code. */
  readonly worst: number;
  /** Where it is coarsest, in the measurand's unit; where both ends are, the low one. */
  readonly worstAt: number;
  /** The ratio at the low end of the range. */
  readonly ratioAtLow: number;
  /** The ratio at the high end. */
  readonly ratioAtHigh: number;
}

const shape = {
  sensor: resistiveSensor,
  low: real(''),
  high: real(''),
  side: or(choice(['low', 'high']), 'low'),
  seriesResistor: or(notNegative('Ω'), 0),
};

/** Steps of the range in which a point coarser than those known is looked for. */
const steps = 256;

/** A point of the range: the leg's resistance S and |dS/dm|. */
interface Point {
  readonly at: number;
  readonly s: number;
  readonly gradient: number;
}

/** |dm/dx| of a divider with resistor r, at a point. */
const coarseness = ({ s, gradient }: Point, r: number): number => (s + r) ** 2 / (r * gradient);

/** The point of `points` that is coarsest with resistor r; the first of equals. */
const coarsest = (points: readonly Point[], r: number): Point =>
  points.reduce((worst, p) => (coarseness(p, r) > coarseness(worst, r) * (1 + 1e-12) ? p : worst));

/**
 * The fixed resistor that makes the coarsest step of a sensor's divider, over a range, as fine as it can be.
 *
 * With leg resistance S(m) the measurand per unit of ratio is g = (S + R)²/(R·|S′|), on either side. In R it is convex, least at R = S.
 * The larger of two such curves is least at the lowest point of one of them or where they cross,
 *
 *     R = (k·S₂ − S₁)/(1 − k),   k = √(|S₁′|/|S₂′|)
 *
 * which for the two ends of the range is the resistor that gives both the same step. That is the answer for a thermistor over some tens
 * of degrees or more (for one that fell as exp(−m) it would be √(S₁·S₂)). Over a few degrees, and for a platinum thermometer, one end
 * is coarser whatever R is, and the answer is R = S there: the warm end. The points that count are the two ends, and any of 255 between
 * that is coarser still, which is added until there is none.
 *
 * @param sensor - the sensor, resistance in Ω
 * @param low - low end of the range, in the measurand's unit, within the sensor's valid range
 * @param high - high end, above `low`
 * @param side - where the sensor is, 'low' (default) or 'high': turns the two ratios round, and leaves the resistor as it is
 * @param seriesResistor - resistor in series with the sensor, Ω, ≥ 0; default 0
 * @returns the resistor, Ω, and its worst step
 * @throws RangeError if an argument is outside its range
 *
 * @example
 * bestDividerResistor({ sensor: { electrical: 'resistance', validRange: { low: 0, high: 9 }, toElectrical: (m) => 1000 * 2 ** -m, slope: (m) => -693 * 2 ** -m }, low: 0, high: 4 }).resistor // => 250.000
 */
export function bestDividerResistor(given: {
  readonly sensor: Sensor;
  readonly low: number;
  readonly high: number;
  readonly side?: 'low' | 'high';
  readonly seriesResistor?: number;
}): BestDividerResistor {
  const { sensor, low, high, side, seriesResistor } = named('bestDividerResistor', shape, given);
  const range = sensor.validRange;
  named(
    'bestDividerResistor',
    { low: between(range.low, range.high, ''), high: between(range.low, range.high, '') },
    { low, high },
  );
  if (!(low < high))
    throw new RangeError(`bestDividerResistor.high: got ${high}; allowed values above low, ${low}`);

  const points = Array.from({ length: steps + 1 }, (_, i): Point => {
    const at = i === steps ? high : low + ((high - low) * i) / steps;
    return { at, s: sensor.toElectrical(at) + seriesResistor, gradient: Math.abs(sensor.slope(at)) };
  });
  const counted = [points[0]!, points[steps]!];
  for (;;) {
    const resistor = bestFor(counted);
    const worst = coarsest([...counted, ...points], resistor);
    if (!counted.includes(worst)) {
      counted.push(worst);
      continue;
    }
    const { toElectrical } = sensorDivider({ sensor, resistor, side, seriesResistor });
    return {
      resistor,
      worst: coarseness(worst, resistor),
      worstAt: worst.at,
      ratioAtLow: toElectrical(low),
      ratioAtHigh: toElectrical(high),
    };
  }
}

/** The resistor that makes the coarsest of these points as fine as can be: the best of the curves' lowest points and crossings. */
function bestFor(points: readonly Point[]): number {
  const candidates = points.map(({ s }) => s);
  for (const p of points) {
    for (const q of points) {
      const k = Math.sqrt(p.gradient / q.gradient);
      const crossing = (k * q.s - p.s) / (1 - k);
      if (crossing > 0 && crossing < Number.POSITIVE_INFINITY) candidates.push(crossing);
    }
  }
  const worst = (r: number) => coarseness(coarsest(points, r), r);
  return candidates.reduce((best, r) => (worst(r) < worst(best) ? r : best));
}

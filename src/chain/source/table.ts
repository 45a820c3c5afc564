/**
 * Table: a sensor known by points, with a smooth monotone curve laid through them. The measurand in, its electrical side out.
 */
import { choice, maybe, named, or, type Rule } from '../../numbers/guard.ts';
import { type Sensor, sensorOf, unitText } from './sensor.ts';

/** Points of a sensor's curve, each [measurand, electrical]. */
export type TablePoints = readonly (readonly [number, number])[];

const monotonePoints: Rule<TablePoints> = {
  allowed:
    'two or more [measurand, electrical], finite, no measurand twice, the electrical side always rising or always falling with it',
  keeps: (v): v is TablePoints => {
    const pair = (p: unknown) => Array.isArray(p) && p.length === 2 && p.every(Number.isFinite);
    if (!(Array.isArray(v) && v.length >= 2 && v.every(pair))) return false;
    const points = (v as [number, number][]).toSorted((a, b) => a[0] - b[0]);
    const steps = points.slice(1).map(([m, e], i) => [m - points[i]![0], e - points[i]![1]] as const);
    return steps.every(([dm, de]) => dm > 0 && de !== 0 && de > 0 === steps[0]![1] > 0);
  },
};

const shape = {
  points: monotonePoints,
  measurand: choice(['temperature', 'voltage', 'current', 'ratio', 'quantity']),
  electrical: choice(['resistance', 'voltage', 'current', 'ratio']),
  unit: maybe(unitText),
  scale: or(choice(['linear', 'logarithmic']), 'linear'),
};

/** A stretch between two points: y = y0 + s·(d0 + s·(c2 + s·c3)), s = x − x0. */
interface Stretch {
  readonly x0: number;
  readonly y0: number;
  readonly y1: number;
  readonly width: number;
  readonly d0: number;
  readonly c2: number;
  readonly c3: number;
}

/** Slopes at the points that keep a cubic through them monotone: harmonic means inside, three-point formula at the ends. */
function slopes(h: readonly number[], secant: readonly number[]): number[] {
  const last = secant.length - 1;
  if (last === 0) return [secant[0]!, secant[0]!];
  const end = (h0: number, h1: number, s0: number, s1: number) => {
    const d = ((2 * h0 + h1) * s0 - h0 * s1) / (h0 + h1);
    // Never flat or turning: at least a quarter of the secant.
    return s0 * Math.max(d / s0, 0.25);
  };
  const inner = secant.slice(1).map((s1, i) => {
    const [h0, h1] = [h[i]!, h[i + 1]!];
    return (3 * (h0 + h1)) / ((2 * h1 + h0) / secant[i]! + (h1 + 2 * h0) / s1);
  });
  return [
    end(h[0]!, h[1]!, secant[0]!, secant[1]!),
    ...inner,
    end(h[last]!, h[last - 1]!, secant[last]!, secant[last - 1]!),
  ];
}

/** The cubic stretches through points with ascending x. */
function stretches(points: TablePoints): Stretch[] {
  const h = points.slice(1).map(([x], i) => x - points[i]![0]);
  const secant = h.map((width, i) => (points[i + 1]![1] - points[i]![1]) / width);
  const d = slopes(h, secant);
  return h.map((width, i) => ({
    x0: points[i]![0],
    y0: points[i]![1],
    y1: points[i + 1]![1],
    width,
    d0: d[i]!,
    c2: (3 * secant[i]! - 2 * d[i]! - d[i + 1]!) / width,
    c3: (d[i]! + d[i + 1]! - 2 * secant[i]!) / width ** 2,
  }));
}

/** The stretch for which `past(stretch)` first is false, by halving; `past` is true, then false, along the stretches. */
function stretchAt(all: readonly Stretch[], past: (stretch: Stretch) => boolean): Stretch {
  let low = 0;
  let high = all.length - 1;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (past(all[middle]!)) low = middle + 1;
    else high = middle;
  }
  return all[low]!;
}

/** The stretch's value; at its end the point itself, without rounding. */
const valueAt = ({ y0, y1, width, d0, c2, c3 }: Stretch, s: number): number =>
  s === width ? y1 : y0 + s * (d0 + s * (c2 + s * c3));
const slopeAt = ({ d0, c2, c3 }: Stretch, s: number): number => d0 + s * (2 * c2 + s * 3 * c3);

/** s at which a stretch has the value y: Newton's method, halving where it would leave the bracket. */
function placeOf(stretch: Stretch, y: number): number {
  const { y0, y1, width } = stretch;
  let low = 0;
  let high = width;
  let s = (width * (y - y0)) / (y1 - y0);
  for (let i = 0; i < 60; i++) {
    const off = valueAt(stretch, s) - y;
    if (off === 0) return s;
    if (off > 0 === y1 > y0) high = s;
    else low = s;
    const newton = s - off / slopeAt(stretch, s);
    const next = newton > low && newton < high ? newton : (low + high) / 2;
    if (Math.abs(next - s) <= 1e-15 * width) return next;
    s = next;
  }
  return s;
}

/**
 * A sensor by its points, with a piecewise cubic through them that is monotone where they are and smooth in slope.
 *
 * Slopes at the inner points are weighted harmonic means of the neighbouring secants, so no point is overshot. How true it is between
 * the points depends on how close they stand: leave points out and see what the curve says there. A thermistor's table is best
 * taken on the logarithmic scale, on which it is nearly straight.
 *
 * @param points - two or more [measurand, electrical], any order, strictly monotone; on the logarithmic scale electrical > 0
 * @param measurand - 'temperature' (°C), 'voltage' (V), 'current' (A), 'ratio', or 'quantity' in `unit`
 * @param electrical - 'resistance' (Ω), 'voltage' (V), 'current' (A) or 'ratio'
 * @param unit - unit of a 'quantity', as text
 * @param scale - scale of the electrical side between the points: 'linear' (default) or 'logarithmic'
 * @returns the sensor; its valid range is that of the points
 * @throws RangeError if an argument is outside its range
 * @see [PCHIP] slopes at the inner points and the ends
 *
 * @example
 * table({ points: [[0, 1], [1, 2], [2, 4]], measurand: 'ratio', electrical: 'voltage' }).toElectrical(1.5) // => 2.85417
 */
export function table(given: {
  readonly points: TablePoints;
  readonly measurand: Sensor['measurand'];
  readonly electrical: Sensor['electrical'];
  readonly unit?: string;
  readonly scale?: 'linear' | 'logarithmic';
}): Sensor {
  const { points, measurand, electrical, unit, scale } = named('table', shape, given);
  const logarithmic = scale === 'logarithmic';
  if (logarithmic && !points.every(([, e]) => e > 0)) {
    throw new RangeError(
      'table.points: got an electrical value of 0 or below; allowed values above 0 on the logarithmic scale',
    );
  }
  const sorted = points
    .toSorted((a, b) => a[0] - b[0])
    .map(([m, e]): [number, number] => [m, logarithmic ? Math.log(e) : e]);
  const all = stretches(sorted);
  const rising = sorted[1]![1] > sorted[0]![1];
  const at = (m: number) => stretchAt(all, ({ x0, width }) => m > x0 + width);
  const forward = (m: number) => {
    const stretch = at(m);
    const y = valueAt(stretch, m - stretch.x0);
    return logarithmic ? Math.exp(y) : y;
  };
  return sensorOf('table', {
    kind: 'table',
    measurand,
    electrical,
    ...(unit !== undefined && { unit }),
    validRange: { low: sorted[0]![0], high: sorted.at(-1)![0] },
    forward,
    inverse: (e) => {
      const y = logarithmic ? Math.log(e) : e;
      const stretch = stretchAt(all, ({ y1 }) => (rising ? y > y1 : y < y1));
      return stretch.x0 + placeOf(stretch, y);
    },
    slope: (m) => {
      const stretch = at(m);
      const d = slopeAt(stretch, m - stretch.x0);
      return logarithmic ? d * forward(m) : d;
    },
  });
}

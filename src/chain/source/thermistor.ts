/**
 * Thermistor: a resistor that falls steeply with temperature. Temperature in °C in, resistance in Ω out.
 *
 * All three ways to state one lead to the same curve, 1/T = a + b·L + c·L³ with L = ln R and T in K; the β equation is its case c = 0.
 */
import { between, maybe, named, or, positive, type Rule, real } from '../../numbers/guard.ts';
import { absoluteZero, type Interval, type Sensor, sensorOf, temperatureRange } from './sensor.ts';

/** Coefficients of 1/T = a + b·ln(R/Ω) + c·ln³(R/Ω), in 1/K. */
export interface ThermistorCoefficients {
  readonly a: number;
  readonly b: number;
  readonly c: number;
}

/** A thermistor with the coefficients of its curve. */
export interface Thermistor extends Sensor {
  readonly kind: 'thermistor';
  readonly coefficients: ThermistorCoefficients;
}

/** Three calibrated points, each [°C, Ω]. */
export type ThermistorPoints = readonly [
  readonly [number, number],
  readonly [number, number],
  readonly [number, number],
];

/** What every form of a thermistor may state besides its curve. */
interface Common {
  readonly tolerance?: number;
  readonly betaTolerance?: number;
  readonly validRange?: Interval;
}

const threePoints: Rule<ThermistorPoints> = {
  allowed: 'three [celsius, ohms] above -273.15 °C and 0 Ω, the resistance falling as the temperature rises',
  keeps: (v): v is ThermistorPoints => {
    const whole = (p: unknown) =>
      Array.isArray(p) && p.length === 2 && p.every(Number.isFinite) && p[0] > absoluteZero && p[1] > 0;
    if (!(Array.isArray(v) && v.length === 3 && v.every(whole))) return false;
    const p = (v as [number, number][]).toSorted((x, y) => x[0] - y[0]) as unknown as ThermistorPoints;
    return p[0][0] < p[1][0] && p[1][0] < p[2][0] && p[0][1] > p[1][1] && p[1][1] > p[2][1];
  },
};

const shape = {
  r25: maybe(positive('Ω')),
  beta: maybe(positive('K')),
  a: maybe(real('1/K')),
  b: maybe(positive('1/K')),
  c: maybe(real('1/K')),
  points: maybe(threePoints),
  tolerance: or(between(0, 0.5, ''), 0),
  betaTolerance: or(between(0, 0.5, ''), 0),
  validRange: or(temperatureRange, { low: -80, high: 200 }),
};

/** 25 °C in K: the temperature that R25 and β refer to. */
const room = 298.15;

/**
 * A thermistor, by β, by the three coefficients of Steinhart and Hart, or by three points that such a curve is laid through.
 *
 *     R = R25·exp(β·(1/T − 1/298.15 K))          1/T = a + b·ln R + c·ln³ R
 *
 * Both directions are exact inverses: the cubic has one real root on the falling branch, ln R = −2h·sinh(⅓·asinh(3(a − 1/T)/(2b·h))),
 * h = √(b/(3c)); for c < 0 with sin in place of sinh and |c|. β alone is several per cent off in resistance away from the
 * temperatures it was taken at; the valid range says where the curve may be asked, not where it is true.
 *
 * @param r25 - resistance at 25 °C, Ω, > 0; with `beta`
 * @param beta - β, K, > 0; with `r25`
 * @param a - coefficient for resistances in Ω, 1/K; with `b` and `c`
 * @param b - coefficient, 1/K, > 0
 * @param c - coefficient, 1/K
 * @param points - three points [°C, Ω], any order
 * @param tolerance - half-width of R25, relative, 0 … 0.5; default 0
 * @param betaTolerance - half-width of β (its value at 25 °C where the curve has three coefficients), relative, 0 … 0.5; default 0
 * @param validRange - °C; default −80 … 200 (common practice, no source)
 * @returns the sensor, resistance in Ω; `tolerance` in K is the worst corner of R25 and β, present if one of them is stated
 * @throws RangeError if an argument is outside its range, if the forms are mixed or incomplete, or if the curve turns within `validRange`
 * @see [NTC10K] (equation and coefficients)
 *
 * @example
 * thermistor({ r25: 10000, beta: 3976 }).toElectrical(85) // => 1070.910837
 * thermistor({ a: 1.12924e-3, b: 2.34108e-4, c: 0.87755e-7 }).toMeasurand(5000) // => 41.5724029
 * thermistor({ points: [[0, 32650], [25, 10000], [70, 1751]] }).toElectrical(25) // => 10000.000000
 */
export function thermistor(
  given: Common &
    (
      | { readonly r25: number; readonly beta: number }
      | ThermistorCoefficients
      | { readonly points: ThermistorPoints }
    ),
): Thermistor {
  const { r25, beta, a, b, c, points, tolerance, betaTolerance, validRange } = named(
    'thermistor',
    shape,
    given,
  );
  const stated = [r25, beta, a, b, c, points].map((v) => (v === undefined ? 0 : 1)).join('');
  // `unit` is the resistance whose logarithm is 0: with R25 there, the β equation is exact at 25 °C.
  let curve: ThermistorCoefficients & { readonly unit: number };
  if (stated === '110000') curve = { a: 1 / room, b: 1 / beta!, c: 0, unit: r25! };
  else if (stated === '001110') curve = { a: a!, b: b!, c: c!, unit: 1 };
  else if (stated === '000001') curve = { ...coefficientsThrough(points!), unit: 1 };
  else {
    const got =
      ['r25', 'beta', 'a', 'b', 'c', 'points'].filter((_, i) => stated[i] === '1').join(', ') ||
      'none of them';
    throw new RangeError(`thermistor: got ${got}; allowed r25 and beta, or a, b and c, or points`);
  }
  const { unit } = curve;
  const forward = (celsius: number) => unit * Math.exp(logarithm(curve, 1 / (celsius - absoluteZero)));
  const inverse = (ohms: number) => 1 / reciprocal(curve, Math.log(ohms / unit)) + absoluteZero;
  const roomLog = logarithm(curve, 1 / room);
  const roomBeta = 1 / (curve.b + 3 * curve.c * roomLog ** 2);

  const worstCorner = (celsius: number): number => {
    const inverseT = 1 / (celsius - absoluteZero);
    const log = logarithm(curve, inverseT);
    const spread = roomBeta * betaTolerance * Math.abs(inverseT - 1 / room);
    const warmest = 1 / reciprocal(curve, log + Math.log1p(-tolerance) - spread) + absoluteZero;
    const coldest = 1 / reciprocal(curve, log + Math.log1p(tolerance) + spread) + absoluteZero;
    return Math.max(warmest - celsius, celsius - coldest);
  };
  const sensor = sensorOf('thermistor', {
    kind: 'thermistor',
    measurand: 'temperature',
    electrical: 'resistance',
    validRange,
    forward,
    inverse,
    slope: (celsius) => {
      const kelvin = celsius - absoluteZero;
      const log = logarithm(curve, 1 / kelvin);
      return (-unit * Math.exp(log)) / (kelvin ** 2 * (curve.b + 3 * curve.c * log ** 2));
    },
    ...((tolerance > 0 || betaTolerance > 0) && { tolerance: worstCorner }),
  });
  const coefficients = { a: curve.a - curve.b * Math.log(unit), b: curve.b, c: curve.c };
  return { ...sensor, kind: 'thermistor', coefficients };
}

/** 1/T for ln R. */
const reciprocal = ({ a, b, c }: ThermistorCoefficients, log: number): number => a + log * (b + c * log ** 2);

/** ln R for 1/T: the real root of c·L³ + b·L + a = 1/T on the branch through L = 0; NaN past a turn of the curve. */
function logarithm({ a, b, c }: ThermistorCoefficients, inverseT: number): number {
  const linear = (a - inverseT) / b;
  // Below this the cubic term is nothing to a double, and h would overflow.
  if (Math.abs(c) * linear ** 2 < 1e-18 * b) return -linear;
  const h = Math.sqrt(b / (3 * Math.abs(c)));
  const x = (1.5 * linear) / h;
  return -2 * h * (c > 0 ? Math.sinh(Math.asinh(x) / 3) : Math.sin(Math.asin(x) / 3));
}

/** The coefficients of the curve through three points, by divided differences of 1/T over ln R. */
function coefficientsThrough(points: ThermistorPoints): ThermistorCoefficients {
  const [l1, l2, l3] = points.map(([, ohms]) => Math.log(ohms)) as [number, number, number];
  const [y1, y2, y3] = points.map(([celsius]) => 1 / (celsius - absoluteZero)) as [number, number, number];
  const g2 = (y2 - y1) / (l2 - l1);
  const g3 = (y3 - y1) / (l3 - l1);
  const c = (g3 - g2) / ((l3 - l2) * (l1 + l2 + l3));
  const b = g2 - c * (l1 ** 2 + l1 * l2 + l2 ** 2);
  if (!(b > 0)) {
    throw new RangeError(
      `thermistor.points: got a curve with b = ${b} 1/K; allowed points of one falling curve, b above 0; check for a typing error`,
    );
  }
  return { a: y1 - l1 * (b + c * l1 ** 2), b, c };
}

/** Where a threshold acts: the limit, the zone within the tolerance, and the noise, as the share of values that trip. */
import { formatNumber, formatQuantity } from '../../numbers/format.ts';
import type { FalseTrips } from '../../worksheet/falseTripsOf.ts';
import type { Threshold, Watchdog } from '../../worksheet/watchdogOf.ts';
import { roundSpan, stationsBetween } from '../axes.ts';
import * as b from '../blocks.ts';
import { paragraph, prose, type Section, symbol } from '../blocks.ts';
import { number, type Told } from './told.ts';
import { limitPlaceWords, looseList, looseWords, placeWords } from './watchdogWords.ts';

/** Distances in standard deviations at which the curves are drawn. */
const sigmas = [-6, -3.5, -2.6, -2, -1.5, -1, -0.5, 0, 0.5, 1, 1.5, 2, 2.6, 3.5, 6];

/** The zone in which a threshold may begin to trip. */
export function watchdogZone(t: Told, watchdog: Watchdog, threshold: Threshold, trips: FalseTrips): Section {
  const { e, name, unit, difference } = t;
  const { limit, startsAt, surelyAt, tripsAt, typicalAt, sensorTolerance } = threshold;
  const places = [startsAt, surelyAt, tripsAt, typicalAt].map((p) => p.measurand);
  const where = `${limit.side === 'above' ? 'Above' : 'Below'} ${limitPlaceWords(e, limit)}`;
  const claim =
    watchdog.intent === 'must-trip'
      ? `${where} every converter trips; the first may trip from ${placeWords(e, startsAt)} on.`
      : `Only ${where.toLowerCase()} may a converter trip; every one does from ${placeWords(e, surelyAt)} on.`;
  const margin = [zoneWorking(t, watchdog, threshold)];
  if (limit.measurand === 'none' || places.some((p) => p === 'none')) {
    return {
      claim,
      body: [paragraph(prose`The sensor gives no ${name} for these voltages, so nothing is drawn.`)],
      margin,
    };
  }
  const [first, last, half, typical] = places as [number, number, number, number];
  const at = limit.measurand;
  const sign = limit.side === 'above' ? 1 : -1;
  const shift = half - typical;
  const edges = [first - sign * sensorTolerance, last + sign * sensorTolerance];
  const room =
    0.12 * Math.max(Math.abs(last - first), Math.abs(edges[1]! - edges[0]!), 8 * trips.noise, 1e-9);
  const x = roundSpan([...edges, at, first, last].flatMap((v) => [v - room, v + room]));
  // A board's curve is the same, moved: distances are counted on its quiet side.
  const line = (centre: number): (readonly [number, number])[] => {
    const points = sigmas.map((z): readonly [number, number] => [
      centre + sign * z * trips.noise,
      100 * trips.probability(-z * trips.noiseLsb),
    ]);
    const rising = sign > 0 ? points : [...points].reverse();
    const [left, right] = sign > 0 ? [0, 100] : [100, 0];
    return [[Math.min(x.from, rising[0]![0]), left], ...rising, [Math.max(x.to, rising.at(-1)![0]), right]];
  };
  const clipped = (points: (readonly [number, number])[]) => points.filter(([v]) => v >= x.from && v <= x.to);
  const nominal = clipped(line(half));
  return {
    body: [
      b.plot({
        name: `zone-${limit.side}`,
        claim,
        text: prose`The heavy curve is a converter without error: it trips half of the time at ${placeWords(e, tripsAt)}. The dashed ones are the first and the last within offset, INL, gain${watchdog.tolerance.reference > 0 ? ' and reference' : ''}; noise of ${difference(trips.noise)} rms rounds each of them.${sensorTolerance > 0 ? ` ${looseWords(e)} may move all three by ${difference(sensorTolerance)}.` : ''}`,
        description: `Share of compared values that trip against ${name}: none before ${placeWords(e, startsAt)}, half at ${placeWords(e, tripsAt)}, all beyond ${placeWords(e, surelyAt)}; the limit is ${placeWords(e, limit)}`,
        x: { label: `${name}, ${unit}`, scale: 'linear', ...x },
        y: { label: 'values that trip, %', scale: 'linear', from: 0, to: 125, ticks: [0, 25, 50, 75, 100] },
        marks: [
          b.curve({
            name: 'the limit',
            points: [
              [at, 0],
              [at, 125],
            ],
            style: 'thin',
          }),
          b.curve({ name: 'first converter', points: clipped(line(first + shift)), style: 'second' }),
          b.curve({ name: 'last converter', points: clipped(line(last + shift)), style: 'second' }),
          b.curve({ name: 'without error', points: nominal, style: 'first' }),
          ...(sensorTolerance > 0
            ? [
                b.span({
                  from: Math.min(...edges),
                  to: Math.max(...edges),
                  height: 0.95,
                  text: `with ${looseList(e)}`,
                }),
              ]
            : []),
          b.span({
            from: Math.min(first, last),
            to: Math.max(first, last),
            height: 0.87,
            text: 'may trip',
          }),
          b.point({
            x: half,
            y: 50,
            standing: 'plain',
            text: `${threshold.register} = ${threshold.hex}`,
            place: sign > 0 ? 'right' : 'left',
          }),
          b.point({
            x: at,
            y: 0,
            standing: 'chosen',
            text: `limit: ${limitPlaceWords(e, limit)}`,
            place: sign > 0 ? 'above right' : 'above left',
          }),
        ],
        figures: {
          heads: [unit, 'without error, %', 'first converter, %', 'last converter, %'],
          rows: stationsBetween(x.from, x.to, 10).map((v) => [
            number(v, 5),
            ...[half, first + shift, last + shift].map((c) =>
              number(100 * trips.probability((sign * (c - v)) / trips.perLsb), 3),
            ),
          ]),
        },
      }),
    ],
    margin,
  };
}

/** From the limit to the code, and from the code to the zone. */
function zoneWorking({ e }: Told, watchdog: Watchdog, threshold: Threshold): b.Working {
  const { quantizing } = e;
  const { tolerance, swapped } = watchdog;
  const { limit, startsAt, surelyAt, typicalAt, transition, register, hex } = threshold;
  const volts = (value: number): string => formatQuantity({ value, unit: 'V', digits: 6 });
  const share = (value: number): string => `${number(100 * value)}\u202f%`;
  const moved = tolerance.offsetLsb + tolerance.inlLsb;
  const q = formatQuantity({ value: quantizing.codeBinWidth, unit: 'V', digits: 6 });
  // What lowers a transition or lifts it: the place farther from 0 V has all signs plus.
  const upper = Math.max(startsAt.volts, surelyAt.volts);
  return b.working({
    result: `${register} = ${hex}`,
    open: true,
    steps: [
      prose`${limit.form.is === 'pin' ? 'The limit' : `The limit, ${formatQuantity({ value: limit.value, unit: limit.form.unit, digits: 6 })},`} is ${volts(limit.volts)} at the pin${swapped ? '; the curve falls, so the upper limit is kept by the low threshold, the lower by the high one' : ''}.`,
      prose`Of the codes that keep the guarantee the one nearest to the limit trips at transition ${symbol('k')} = ${formatNumber({ value: transition, digits: 10 })}:`,
      { formula: 'T = (k − 1 + f) q' },
      prose`${formatNumber({ value: transition - 1 + quantizing.firstTransition, digits: 10 })} × ${q} = ${volts(typicalAt.volts)}.`,
      prose`Offset and INL ${symbol('o')} = ${formatQuantity({ value: moved, unit: 'LSB' })}, gain ${symbol('g')} = ${share(tolerance.gain)} and reference ${symbol('r')} = ${share(tolerance.reference)} at their worst:`,
      { formula: 'T_w = (T ± o q)(1 ± g)(1 ± r)' },
      prose`Upwards ${volts(typicalAt.volts + moved * quantizing.codeBinWidth)} × ${number((1 + tolerance.gain) * (1 + tolerance.reference), 6)} = ${volts(upper)}.`,
    ],
    source: 'Own derivation; every code proved by driving the converter across the limit.',
  });
}

/** False alarms against distance and count, hysteresis, and how long an alarm takes. */
import { formatNumber } from '../../numbers/format.ts';
import { type ConsecutiveRow, type FalseTrips, year } from '../../worksheet/falseTripsOf.ts';
import type { Threshold, Watchdog } from '../../worksheet/watchdogOf.ts';
import * as b from '../blocks.ts';
import { paragraph, prose, type Row, type Section, symbol } from '../blocks.ts';
import { scaled } from './scaled.ts';
import { number, type Told } from './told.ts';
import { alarmsWords, limitWords, placeWords } from './watchdogWords.ts';

const inARow = (n: number): string => (n === 1 ? 'one value' : `${n} in a row`);
/** A time to three digits before it is written, so that whole minutes and hours read as such. */
const rounded = (time: Told['time'], seconds: number): string => time(Number(seconds.toPrecision(3)));
const zeroIfAny = (value: number | 'any'): number => (value === 'any' ? 0 : value);

/** The words on a curve, where it has gone far enough down to stand clear of the others. */
function labelOf(count: number, points: readonly (readonly [number, number])[]): Pick<b.Curve, 'label'> {
  const at = points.findIndex(([, y]) => y < 0.05);
  if (at < 1 || at > points.length - 3) return {};
  return { label: { text: inARow(count), at, place: 'along above' } };
}

/** False alarms a year against the distance of a steady input, for several counts. */
function operatingPlot({ e, difference, time }: Told, threshold: Threshold, trips: FalseTrips): b.Plot {
  const { rows, noiseLsb, perLsb, consecutive, rate } = trips;
  const chosen = rows.find((r) => r.chosen)!;
  const counts = [...new Set([1, 2, 3, consecutive])].sort((a, b) => a - b);
  const reach = Math.max(zeroIfAny(rows[0]!.marginLsb) * 1.5, 3 * noiseLsb);
  const small = scaled(reach * perLsb, e.units.difference);
  const x = { from: 0, to: Number(small.of(reach * perLsb).toPrecision(2)) };
  const y = { from: 1e-3, to: 10 ** Math.ceil(Math.log10(rate * year) + 0.1) };
  const line = (count: number) =>
    Array.from({ length: 81 }, (_, i) => {
      const distance = (x.to * i) / 80 / small.of(perLsb);
      return [(x.to * i) / 80, trips.perYear(distance, count)] as const;
    }).filter(([, v]) => v >= y.from);
  const margin = chosen.margin === 'any' ? undefined : small.of(chosen.margin);
  return b.plot({
    name: `false-alarms-${threshold.limit.side}`,
    claim:
      chosen.margin === 'any' || chosen.margin <= 0
        ? `${inARow(consecutive)}: less than one false alarm a year wherever the input stands.`
        : `${difference(chosen.margin)} ahead of the threshold there is one false alarm a year, with ${inARow(consecutive)}.`,
    text: prose`The input stands still on the quiet side; noise alone carries ${inARow(consecutive)} over the threshold. ${trips.valuesPerReading === 1 ? 'One value is' : `${trips.valuesPerReading} values are`} compared in each reading; readings are ${time(e.worksheet.inputs.requirement.period.value)} apart.`,
    description: `False alarms a year against the distance from the threshold: one a year at ${rows
      .slice(0, 3)
      .map((r) => `${difference(zeroIfAny(r.margin))} with ${inARow(r.consecutive)}`)
      .join(', ')}`,
    x: { label: `distance of the input, ${small.unit}`, scale: 'linear', ...x },
    y: { label: 'false alarms a year', scale: 'log', ...y, ticks: [0.01, 1, 100] },
    marks: [
      b.limit({ y: 1, text: 'one a year', forbidden: 'above', place: 'above right' }),
      ...counts.map((count) =>
        b.curve({
          name: inARow(count),
          points: line(count),
          style: count === consecutive ? 'first' : 'thin',
          ...labelOf(count, line(count)),
        }),
      ),
      ...(margin === undefined || margin < x.from || margin > x.to
        ? []
        : [
            b.point({
              x: margin,
              y: 1,
              standing: 'chosen',
              text: `${difference(zeroIfAny(chosen.margin))}`,
              place: 'above right',
            }),
          ]),
    ],
    figures: {
      heads: [small.unit, ...counts.map(inARow)],
      rows: Array.from({ length: 9 }, (_, i) => (x.to * i) / 8).map((v) => [
        number(v),
        ...counts.map((count) => number(trips.perYear(v / small.of(perLsb), count), 2)),
      ]),
    },
  });
}

/** Counts in a row with what each needs and costs. */
function countTable({ time }: Told, threshold: Threshold, trips: FalseTrips, unit: string): b.Table {
  const small = scaled(
    Math.max(...trips.rows.map((r) => Math.max(zeroIfAny(r.margin), r.hysteresis)), 1e-12),
    unit,
  );
  const rest = trips.rows.some((r) => r.atRest !== undefined);
  const row = (r: ConsecutiveRow): Row => ({
    cells: [
      String(r.consecutive),
      r.margin === 'any' ? 'any' : number(small.of(r.margin)),
      number(small.of(r.hysteresis)),
      rounded(time, r.longestDelay),
    ],
    verdicts: [
      {
        ...(r.chosen && { mark: 'met' as const }),
        text: `${r.chosen ? 'chosen; ' : ''}${verdictOf(r, rest)}`,
      },
    ],
    ...(r.chosen && { standing: 'chosen' as const }),
    choose: { label: inARow(r.consecutive), changes: { 'watchdog.consecutive': String(r.consecutive) } },
  });
  return b.table({
    name: `counts-${threshold.limit.side}`,
    claim: `An alarm takes up to ${rounded(time, trips.rows.find((r) => r.chosen)!.longestDelay)}; more in a row are calmer and later.`,
    text: prose`For one false alarm a year: how far ahead a steady input must stay, and how far the release must stand back so that an alarm does not come and go wherever the input rests. The delay is that of a jump far beyond the limit, just after a reading.`,
    columns: [
      { head: 'in a row' },
      { head: 'distance', unit: small.unit },
      { head: 'hysteresis', unit: small.unit },
      { head: 'delay', unit: 'at most' },
    ],
    rows: trips.rows.map(row),
  });
}

/** What a count does for an input that rests at the release point. */
function verdictOf({ atRest, atRestWorst }: ConsecutiveRow, rest: boolean): string {
  if (!rest || atRest === undefined || atRestWorst === undefined) return 'no hysteresis given';
  const [typical, worst] = [alarmsWords(atRest), alarmsWords(atRestWorst)];
  return typical === worst
    ? `at the release: ${typical}`
    : `at the release: ${typical}, worst converter ${worst}`;
}

/** False alarms at one threshold. */
export function falseTrips(t: Told, watchdog: Watchdog, threshold: Threshold, trips: FalseTrips): Section[] {
  const { e, difference, time } = t;
  const { hysteresis, hysteresisCodes, noiseLsb, perLsb, consecutive, slightlyBeyond, rate } = trips;
  const chosen = trips.rows.find((r) => r.chosen)!;
  const stage = watchdog.compare.stage;
  const several = watchdog.thresholds.length > 1 ? ` ${limitWords(threshold.limit)}` : '';
  const release = threshold.limit.measurand;
  const sign = threshold.limit.side === 'above' ? -1 : 1;
  const enough =
    hysteresis === undefined
      ? prose`The worksheet gives no hysteresis: an input that rests at the threshold trips at every other value. ${difference(chosen.hysteresis)} would keep it to one false alarm a year.`
      : hysteresis >= chosen.hysteresis
        ? prose`The hysteresis of ${difference(hysteresis)}, ${String(hysteresisCodes)} steps of what is compared, is ${number(hysteresis / Math.max(chosen.hysteresis, 1e-300), 2)} times what noise asks for (${difference(chosen.hysteresis)}).${release === 'none' ? '' : ` Firmware clears the alarm at ${placeWords(e, { volts: 0, measurand: release + sign * hysteresis })}.`}`
        : prose`The hysteresis of ${difference(hysteresis)} is less than the ${difference(chosen.hysteresis)} that noise asks for: the alarm will come and go.`;
  const beyond =
    slightlyBeyond === 'none'
      ? ''
      : prose` An input that stands only ${difference(trips.noise)} beyond the threshold is noticed after ${rounded(time, slightlyBeyond)} on average.`;
  return [
    {
      body: [operatingPlot(t, threshold, trips)],
      margin: [
        b.working({
          result: `false alarms${several}`,
          steps: [
            { formula: 'p = Q(d/σ)' },
            { formula: 'a = f p^c (1 − p)/(1 − p^c)' },
            prose`${symbol('d')} the distance, ${symbol('σ')} = ${formatNumber({ value: noiseLsb })}\u202fLSB = ${difference(noiseLsb * perLsb)} the noise of ${stage === 'result' ? 'the averaged result' : 'one conversion'}, ${symbol('c')} = ${String(consecutive)}, ${symbol('f')} = ${number(rate * year)} values a year; Q the upper tail of the normal distribution, values independent.`,
          ],
          source: 'Own derivation; tail to 10⁻³⁰⁰.',
        }),
      ],
    },
    {
      claim: `How many in a row${several}, and how much hysteresis`,
      body: [paragraph(prose`${enough}${beyond}`)],
    },
    { body: [countTable(t, threshold, trips, e.units.difference)] },
  ];
}

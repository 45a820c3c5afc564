/** What is left unsettled against the sample time: first conversion, steady state, mean of the burst. */
import { formatQuantity } from '../../numbers/format.ts';
import type { SampleTimeRow, SampleTimes } from '../../worksheet/sampleTimesOf.ts';
import { decadeSpan, thinned } from '../axes.ts';
import * as b from '../blocks.ts';
import { prose, type Section, symbol } from '../blocks.ts';
import { decadeTicks, limitPlace, scaled } from './scaled.ts';
import { number, type Told } from './told.ts';

/** LSB in print, without sign; what is below a millionth as such. */
export const lsb = (value: number, digits = 3): string =>
  Math.abs(value) < 1e-6
    ? '<\u202f10⁻⁶\u202fLSB'
    : formatQuantity({ value: Math.abs(value), unit: 'LSB', digits });

/** Whether the two curves lie within a line's width of each other wherever they matter. */
const alike = (pairs: readonly (readonly [number, number])[]): boolean =>
  pairs.every(([x, y]) => Math.abs(Math.log(x / y)) < 0.08);

/** The errors over the sample times that matter. */
export function settling({ e: { sampling, averaging, worksheet }, time }: Told, times: SampleTimes): Section {
  const { allowedErrorLsb: allowed, sampleTime, minSampleTime } = sampling;
  const { chosen, recommended, rows } = times;
  const { ratio } = averaging;
  const floor = allowed / 100;
  const settledAt = times.curve.find(
    (p) => Math.abs(p.mean) < floor && Math.abs(p.first) < floor,
  )?.sampleTime;
  const marked = [sampleTime, recommended?.sampleTime ?? sampleTime].map((t) => 1.25 * t);
  const end = Math.max(settledAt ?? Number.POSITIVE_INFINITY, ...marked);
  const curve = times.curve.filter((p) => p.sampleTime <= end);
  const seconds = scaled(curve.at(-1)!.sampleTime / 10, 's');
  const of = (pick: (p: (typeof curve)[number]) => number) =>
    curve
      .map((p) => [seconds.of(p.sampleTime), Math.abs(pick(p))] as const)
      .filter(([, y]) => y >= floor / 10);
  const [first, steady, mean] = [of((p) => p.first), of((p) => p.steady), of((p) => p.mean)];
  const together = curve.filter((p) => Math.abs(p.mean) > floor);
  const one = ratio === 1 || alike(together.map((p) => [p.first / p.mean, 1]));
  const level = alike(together.map((p) => [(p.steady || Number.MIN_VALUE) / p.mean, 1]));
  const y = decadeSpan([floor, allowed * 3, ...[...first, ...steady, ...mean].map((p) => p[1])]);
  const x = { from: seconds.of(curve[0]!.sampleTime), to: seconds.of(curve.at(-1)!.sampleTime) };
  const flat = (row: SampleTimeRow): boolean => {
    const near = curve.filter(
      (p) => p.sampleTime >= row.sampleTime / 2 && p.sampleTime <= row.sampleTime * 2,
    );
    return near.length < 2 || Math.abs(near[0]!.mean) < 3 * Math.abs(near.at(-1)!.mean);
  };
  const mark = (row: SampleTimeRow, standing: 'recommended' | 'chosen' | 'plain'): b.Point[] => {
    if (row.worth === undefined || row.sampleTime > end) return [];
    const error = row.worth.errors.mean;
    const off = Math.abs(error) < floor;
    if (standing === 'plain' && off) return [];
    const early = seconds.of(row.sampleTime) < x.from * (x.to / x.from) ** 0.6;
    const side = standing === 'recommended' ? 'left' : 'right';
    return [
      b.point({
        x: seconds.of(row.sampleTime),
        // Off the plot, at its foot; the recommended one a line higher.
        y: off ? y.from * (y.to / y.from) ** (standing === 'chosen' ? 0.03 : 0.14) : Math.abs(error),
        standing,
        text:
          standing === 'plain'
            ? flat(row)
              ? ''
              : String(row.cycles)
            : `${standing}: ${row.cycles} cycles${off || flat(row) ? '' : `: ${lsb(error)}`}`,
        place: off
          ? `above ${early ? 'right' : 'left'}`
          : flat(row) || standing === 'recommended'
            ? `below ${side}`
            : 'above right',
      }),
    ];
  };
  const others = rows.filter((r) => !r.chosen && r !== recommended);
  const name = ratio === 1 ? 'one conversion' : `mean of ${ratio}`;
  const middle = (points: readonly unknown[], share: number): number =>
    Math.floor(share * (points.length - 1));
  const asked =
    typeof minSampleTime === 'number'
      ? `It takes ${time(minSampleTime)} to come within ${lsb(allowed)}.`
      : minSampleTime === 'any'
        ? `Any sample time comes within ${lsb(allowed)}.`
        : `No sample time comes within ${lsb(allowed)}.`;
  const keeps = worksheet.profile.capacitorStarts === 'own';
  return {
    body: [
      b.plot({
        name: 'settling',
        claim: asked,
        text: keeps
          ? prose`The sampling capacitor keeps its charge from one conversion to the next: the first of a burst carries nearly all the error, the mean of ${String(ratio)} its share, and the steady state none.`
          : prose`The sampling capacitor is put back to ${formatQuantity({ value: worksheet.profile.previousVoltage.value, unit: 'V' })} before every conversion, so each one has the whole step to settle: ${one && level ? 'the first, the mean of the burst and the steady state hardly differ here' : 'what the pin has not made good by the next one adds up, from the first to the steady state'}.`,
        description: `Settling error in LSB against sample time: ${lsb(chosen.worth?.errors.mean ?? 0)} with the chosen ${time(sampleTime)}, ${lsb(allowed)} allowed`,
        x: { label: `sample time, ${seconds.unit}`, scale: 'log', ...x },
        y: { label: one ? `LSB, ${name}` : 'LSB', scale: 'log', ...y, ...decadeTicks(y.from, y.to) },
        marks: [
          b.limit({
            y: allowed,
            text: `allowed: ${lsb(allowed)}`,
            forbidden: 'above',
            place: limitPlace(allowed, x, [first, mean]),
          }),
          ...(level || keeps || steady.length < 2
            ? []
            : [
                b.curve({
                  name: 'steady state',
                  points: steady,
                  style: 'thin',
                  label: { text: 'steady state', at: middle(steady, 0.3), place: 'along above' },
                }),
              ]),
          ...(one || first.length < 2
            ? []
            : [
                b.curve({
                  name: 'first conversion',
                  points: first,
                  style: 'second',
                  label: {
                    text: 'first conversion',
                    at: middle(first, 0.35),
                    place: keeps ? 'along above' : 'along below',
                  },
                }),
              ]),
          b.curve({
            name,
            points: mean,
            style: 'first',
            ...(mean.length > 4 &&
              !one &&
              !flat(chosen) && {
                label: { text: name, at: middle(mean, 0.3), place: 'along below' as const },
              }),
          }),
          ...others.flatMap((r) => mark(r, 'plain')),
          ...(recommended && !recommended.chosen ? mark(recommended, 'recommended') : []),
          ...mark(chosen, 'chosen'),
        ],
        figures: {
          heads: [seconds.unit, 'first', 'steady', name],
          rows: thinned([...curve.keys()], 9)
            .map((i) => curve[i]!)
            .map((p) => [
              number(seconds.of(p.sampleTime)),
              ...[p.first, p.steady, p.mean].map((v) => lsb(v).replace('\u202fLSB', '')),
            ]),
        },
      }),
    ],
    margin: [
      b.working({
        result: `${lsb(chosen.worth?.errors.mean ?? 0)} at ${time(sampleTime)}`,
        open: true,
        steps: [
          prose`What is left of the step ${symbol('ΔV')} on the sampling capacitor, first conversion:`,
          { formula: 'e_1 = ΔV (a e^(−t/τ_1) + (1 − a) e^(−t/τ_2))' },
          prose`${symbol('τ')} the two time constants of the network with the switch closed. Of the burst:`,
          ...(keeps
            ? [
                { formula: 'e = 1/R sum(n=1; R; e_n)' },
                prose`${symbol('e')} of one conversion after the other by the map of one period.`,
              ]
            : [
                { formula: 'e = e_∞ + (e_1 − e_∞) (1 − λ^R)/(R (1 − λ))' },
                prose`${symbol('λ')}: what the pin still owes from one conversion to the next.`,
              ]),
          ...(chosen.worth
            ? [
                prose`Here: first ${lsb(chosen.worth.errors.first, 4)}, steady ${keeps ? 'none' : lsb(chosen.worth.errors.steady, 4)}, ${name} ${lsb(chosen.worth.errors.mean, 4)}.`,
              ]
            : []),
        ],
        source: 'Own derivation; agrees with a circuit simulator and with published series.',
      }),
      b.paragraph(
        prose`LSB of one conversion. A result code is ${number(averaging.resultLsb)}\u202fLSB, so what is allowed shrinks with it. Solid: the ${name}${one ? '' : '; dashed: the first conversion'}. Dots: the profile’s settings, in cycles.`,
      ),
    ],
  };
}

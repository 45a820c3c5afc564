/** What a calibration does to the uncertainty: over the range, inside and outside its points, and how many points would pay. */
import { formatNumber } from '../../numbers/format.ts';
import type { CalibrationChoice, CalibrationChoices } from '../../worksheet/calibrationsOf.ts';
import type { UncertaintyPoint } from '../../worksheet/evaluate.ts';
import { roundSpan, stationsBetween } from '../axes.ts';
import * as b from '../blocks.ts';
import { entry, paragraph, prose, type Section, symbol } from '../blocks.ts';
import { percent } from './budgetTable.ts';
import { number, type Told } from './told.ts';

const kinds = {
  none: 'as it is built',
  offset: 'offset added',
  gain: 'gain multiplied',
  line: 'straight line',
  quadratic: 'parabola',
  cubic: 'cubic',
} as const;

const counts: Readonly<Record<CalibrationChoice['is'], string>> = {
  none: 'none',
  one: 'one',
  two: 'two',
  three: 'three',
  five: 'five',
  'as given': 'as given',
};

/** Most points of the worksheet that stand on the page. */
const most = 6;

/** The points of the worksheet, and what they leave over the range. */
export function calibrated(
  t: Told,
  over: { readonly before: readonly UncertaintyPoint[]; readonly present: readonly UncertaintyPoint[] },
): Section[] {
  const { e, name, unit, small, inSmall, difference, measurand } = t;
  const { after } = e.uncertainty;
  if (after === undefined) return [];
  const { kind, points } = after.correction;
  const at = points.map((p) => p.at);
  const [first, last] = [Math.min(...at), Math.max(...at)];
  const line = (of: readonly UncertaintyPoint[]) =>
    of.map((p) => [p.measurand, inSmall(p.expanded)] as const);
  const [before, present] = [line(over.before), line(over.present)];
  const y = roundSpan([0, ...before.map((p) => p[1]), ...present.map((p) => p[1])]);
  const [from, to] = [present[0]![0], present.at(-1)![0]];
  const nearest = (x: number) =>
    over.present.reduce((a, p) => (Math.abs(p.measurand - x) < Math.abs(a.measurand - x) ? p : a));
  const inside = over.present.filter((p) => first <= p.measurand && p.measurand <= last);
  const within = inside.length > 0 ? Math.max(...inside.map((p) => p.expanded)) : nearest(first).expanded;
  const out = over.present.filter((p) => p.measurand < first || p.measurand > last);
  const outside = out.reduce((a, p) => Math.max(a, p.expanded), 0);
  const { expanded } = e.uncertainty.before;
  const gains = after.expanded < expanded;
  // Its words stand where no point is near.
  const gap = (x: number): number => Math.min(...at.map((p) => Math.abs(p - x)));
  const places = [0.2, 0.35, 0.5, 0.65, 0.8].map((share) => Math.round(share * (present.length - 1)));
  const clear = places.reduce((a, i) => (gap(present[i]![0]) > gap(present[a]![0]) ? i : a));
  const rows = points.slice(0, most).map((_, i) => ({
    what: points.length === 1 ? 'the point' : `point ${i + 1}`,
    value: prose`${entry(`calibration.points.${i}.at`)}, known to ${entry(`calibration.points.${i}.uncertainty`)}`,
  }));
  return [
    {
      body: [
        b.plot({
          name: 'calibrated',
          claim: gains
            ? `Calibration takes ±${difference(expanded)} down to ±${difference(after.expanded)} at the worst end.`
            : `Calibration does not help: ±${difference(after.expanded)}, without it ±${difference(expanded)}.`,
          text: prose`The correction is ${points.length === 1 ? 'one ' : ''}${kind === 'line' ? 'a straight line' : kind === 'quadratic' ? 'a parabola' : kind}${points.length > 1 ? ` through ${String(points.length)} points` : ` found at ${measurand(first)}`}. ${points.length > 1 ? `Among its points ±${difference(within)} are left, outside up to ±${difference(outside)}.` : `At the point ±${difference(within)} are left, away from it up to ±${difference(outside)}.`}`,
          description: `Expanded uncertainty in ${small} against ${name}, before and after calibration: ${difference(expanded)} and ${difference(after.expanded)} at worst`,
          x: { label: `${name}, ${unit}`, scale: 'linear', from, to },
          y: { label: `${small}, either way`, scale: 'linear', from: 0, to: y.to },
          marks: [
            ...(to - from > e.channel.range.high - e.channel.range.low
              ? [
                  b.span({
                    from: e.channel.range.low,
                    to: e.channel.range.high,
                    height: 0.06,
                    text: 'wanted',
                  }),
                ]
              : []),
            b.curve({
              name: 'as built',
              points: before,
              style: 'second',
              label: { text: 'as built', at: clear, place: 'along above' },
            }),
            b.curve({
              name: 'calibrated',
              points: present,
              style: 'first',
              label: { text: 'calibrated', at: clear, place: 'along above' },
            }),
            ...at.map((x, i) =>
              b.point({
                x,
                y: inSmall(nearest(x).expanded),
                standing: 'chosen',
                text: at.length === 1 ? 'the point' : `point ${i + 1}`,
                place: x > (from + to) / 2 ? 'below left' : 'below right',
              }),
            ),
          ],
          figures: {
            heads: [unit, 'as built', 'calibrated'],
            rows: stationsBetween(from, to, 6).map((x) => {
              const p = nearest(x);
              const q = over.before[over.present.indexOf(p)]!;
              return [number(p.measurand), number(inSmall(q.expanded)), number(inSmall(p.expanded))];
            }),
          },
        }),
        b.inputs([
          ...rows,
          {
            what: 'the standard itself',
            value: prose`${entry('calibration.standard')}`,
            from: 'standard uncertainty, alike at every point',
          },
          { what: 'drift since then', value: prose`${entry('calibration.drift')}`, from: 'either way' },
        ]),
      ],
      margin: [
        b.working({
          result: `what a calibration leaves`,
          steps: [
            prose`What stays the same on a board, with effect ${symbol('c')}, is taken off with the points’ weights:`,
            { formula: 'c(x) − sum(k=1; n; w_k(x) c(x_k))' },
            prose`INL differs from place to place, so that of the points comes in with them; leakage, self-heating, temperature and noise are counted whole; the points themselves bring`,
            { formula: 'u^2 = sum(k=1; n; (w_k(x) u_k)^2)' },
          ],
          source: 'JCGM 100:2008, 5.1.2 and H.3.4 for the line.',
        }),
        paragraph(prose`Of the corrections that the points allow the one that leaves least is taken.`),
      ],
    },
  ];
}

const list = (at: readonly number[], unit: string): string =>
  at.length === 0 ? '–' : `${at.map((x) => formatNumber({ value: x, digits: 4 })).join(', ')}\u202f${unit}`;

/** One, two, three or five points, and where. */
export function calibrationChoices(
  t: Told,
  { choices, pointUncertainty, stated }: CalibrationChoices,
): Section {
  const { e, unit, small, inSmall, difference } = t;
  const wanted = e.worksheet.inputs.requirement.uncertainty?.value;
  const given = choices.find((c) => c.is === 'as given');
  const proposed = choices.filter((c) => c.is !== 'as given');
  const none = proposed[0]!;
  const best = proposed.reduce((a, c) => (c.worst.expanded < a.worst.expanded * 0.9 ? c : a));
  const serves = (c: CalibrationChoice): boolean => wanted === undefined || c.worst.expanded <= wanted;
  const few = proposed.find(serves);
  const claim =
    wanted !== undefined && few === none
      ? `No calibration is needed for ±${difference(wanted)}; ${counts[best.is] === 'none' ? 'none helps by a tenth' : `${counts[best.is]} ${best.is === 'one' ? 'point' : 'points'} would make it ±${difference(best.worst.expanded)}`}.`
      : wanted !== undefined && few
        ? `${few.is === 'one' ? 'One point is' : `${few.is === 'two' ? 'Two' : few.is === 'three' ? 'Three' : 'Five'} points are`} enough for ±${difference(wanted)}.`
        : wanted !== undefined
          ? `No calibration brings it to ±${difference(wanted)}: ±${difference(best.worst.expanded)} at best.`
          : best.is === 'none'
            ? 'No calibration lowers it by a tenth.'
            : `${best.is === 'one' ? 'One point makes' : `${best.is === 'two' ? 'Two' : best.is === 'three' ? 'Three' : 'Five'} points make`} it ±${difference(best.worst.expanded)}; more points hardly help.`;
  return {
    body: [
      b.table({
        name: 'calibrations',
        claim,
        text: prose`The best places for one and two points, three and five evenly over the range; each point known to ${difference(pointUncertainty)}${stated ? ' as the worksheet’s least exact one' : ', a twentieth of what is there without, since the worksheet gives none'}.`,
        columns: [
          { head: 'points', words: true },
          { head: 'at', words: true },
          { head: 'correction', words: true, minor: true },
          { head: 'expanded', unit: small },
          { head: 'largest left', words: true, minor: true },
        ],
        rows: [...proposed, ...(given ? [given] : [])].map((c) => {
          const [line] = c.worst.lines as [UncertaintyPoint['lines'][number]];
          const figure = number(inSmall(c.worst.expanded));
          return {
            cells: [
              counts[c.is],
              list(c.at, unit),
              kinds[c.kind],
              serves(c) ? figure : { text: figure, miss: true as const },
              `${line.name} ${percent(line.share)}`,
            ],
            ...(c.is === 'as given'
              ? { standing: 'chosen' as const, group: true }
              : !serves(c) && { standing: 'fails' as const }),
          };
        }),
      }),
    ],
  };
}

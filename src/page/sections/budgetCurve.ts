/** The uncertainty over the range: in all, at worst, and what its largest contributions come to. */
import type { UncertaintyPoint } from '../../worksheet/evaluate.ts';
import { roundSpan, stationsBetween } from '../axes.ts';
import type { Section } from '../blocks.ts';
import * as b from '../blocks.ts';
import { budgetWorking } from './budgetTable.ts';
import { number, type Told } from './told.ts';

/** Expanded uncertainty over the range, the worst case, and the three largest contributions. */
export function budgetCurve(t: Told, over: readonly UncertaintyPoint[]): Section {
  const { e, name, unit, small, inSmall, difference, measurand } = t;
  const { low, high } = e.channel.range;
  const inside = over.filter((p) => low <= p.measurand && p.measurand <= high);
  const { present } = e.uncertainty;
  const wanted = e.worksheet.inputs.requirement.uncertainty?.value;
  const line = (of: (p: UncertaintyPoint) => number) =>
    inside.map((p) => [p.measurand, inSmall(of(p))] as const);
  const top = present.lines.slice(0, 3).filter((l) => l.share >= 0.02);
  const part = (key: string) => (p: UncertaintyPoint) =>
    p.coverageFactor * (p.lines.find((l) => l.name === key)?.uncertainty ?? 0);
  const expanded = line((p) => p.expanded);
  const worst = line((p) => p.worstCase);
  const most = Math.max(...worst.map((p) => p[1]), wanted === undefined ? 0 : inSmall(wanted));
  const y = roundSpan([0, most]);
  const at = (share: number): number => Math.round(share * (inside.length - 1));
  const other = present.measurand === high ? inside[0]! : inside.at(-1)!;
  const calibrated = e.uncertainty.after ? 'calibrated as given' : 'not calibrated';
  const level = Math.abs(other.expanded / present.expanded - 1) < 0.02;
  return {
    body: [
      b.plot({
        name: 'uncertainty',
        claim: level
          ? `A reading is within ±${difference(present.expanded)} throughout the range.`
          : `A reading is within ±${difference(present.expanded)} at ${measurand(present.measurand)}, ±${difference(other.expanded)} at ${measurand(other.measurand)}.`,
        text: [
          `The board is ${calibrated}. The thin lines are its largest contributions, each alone and expanded as the whole is; they add as squares. The worst case adds every limit with the same sign.`,
        ],
        description: `Expanded uncertainty in ${small} against ${name}: ${difference(inside[0]!.expanded)} at ${measurand(low)}, ${difference(inside.at(-1)!.expanded)} at ${measurand(high)}, with the worst case and the largest contributions`,
        x: { label: `${name}, ${unit}`, scale: 'linear', from: low, to: high },
        y: { label: `${small}, either way`, scale: 'linear', from: 0, to: y.to },
        marks: [
          ...(wanted === undefined
            ? []
            : [
                b.limit({
                  y: inSmall(wanted),
                  text: `wanted: at most ${difference(wanted)}`,
                  forbidden: 'above',
                  place: inSmall(wanted) < 0.4 * most ? 'below left' : 'above left',
                }),
              ]),
          ...top.map((l, i) =>
            b.curve({
              name: l.name,
              points: line(part(l.name)),
              style: 'thin',
              label: {
                text: l.name,
                at: at([0.25, 0.6, 0.35][i]!),
                place: 'along below',
              },
            }),
          ),
          b.curve({
            name: 'worst case',
            points: worst,
            style: 'second',
            label: { text: 'worst case', at: at(0.8), place: 'along above' },
          }),
          b.curve({
            name: 'expanded uncertainty',
            points: expanded,
            style: 'first',
            label: { text: 'expanded, 95 %', at: at(0.5), place: 'along above' },
          }),
          b.point({
            x: present.measurand,
            y: inSmall(present.expanded),
            standing: 'worst',
            text: `most: ${number(inSmall(present.expanded))}`,
            place: present.measurand === low ? 'above right' : 'above left',
          }),
        ],
        figures: {
          heads: [unit, 'expanded', 'worst case', ...top.map((l) => l.name)],
          rows: stationsBetween(low, high, 6).map((x) => {
            const near = inside.reduce((a, p) =>
              Math.abs(p.measurand - x) < Math.abs(a.measurand - x) ? p : a,
            );
            return [
              near.measurand,
              ...[near.expanded, near.worstCase, ...top.map((l) => part(l.name)(near))].map(inSmall),
            ].map((v) => number(v));
          }),
        },
      }),
    ],
    margin: [budgetWorking(t, present)],
  };
}

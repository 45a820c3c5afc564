/** The uncertainty by random draws of the whole chain, beside that by its sensitivities. */
import { type Validation, validation } from '../../budget/validation.ts';
import { formatNumber } from '../../numbers/format.ts';
import { normalTail } from '../../numbers/normal.ts';
import { fewDraws, manyDraws, type Witness } from '../../worksheet/witnessOf.ts';
import { roundSpan } from '../axes.ts';
import * as b from '../blocks.ts';
import { drawChoice, prose, type Section } from '../blocks.ts';
import { percent } from './budgetTable.ts';
import { number, type Told } from './told.ts';

/** Significant digits of u to which both ways are compared. */
const digits = 2;

const counted = (draws: number): string => formatNumber({ value: draws, digits: 7 });

const signed = (text: string, value: number): string => `${value > 0 ? '+' : ''}${text}`;

/** A difference with its unit, never in one below the page's small unit. */
const written = ({ difference, inSmall, small }: Told, value: number): string =>
  inSmall(value) < 1 ? `${number(inSmall(value))}\u202f${small}` : difference(value);

/** The interval of the draws in words. */
export const drawnInterval = ({ difference }: Told, { low, high }: Witness): string =>
  `${signed(difference(low), low)} to ${signed(difference(high), high)}`;

/** Whether the budget's interval is wider than everything at its limit, which no reading can be off by. */
export const beyondWorst = ({ e: { uncertainty } }: Told): boolean =>
  uncertainty.present.expanded > uncertainty.present.worstCase;

const compared = ({ e }: Told, w: Witness): Validation => {
  const { combined, expanded } = e.uncertainty.present;
  return validation({
    propagated: { low: -expanded, high: expanded },
    drawn: w,
    standardUncertainty: combined,
    digits,
    scatter: w.scatter,
  });
};

/** Why the draws differ from the budget. */
function reasonOf({ e, difference }: Told, w: Witness): string {
  const { expanded, lines } = e.uncertainty.present;
  const half = (w.high - w.low) / 2;
  const aside = (w.high + w.low) / 2;
  if (Math.abs(aside) > Math.abs(half - expanded)) {
    return `the chain bends within its spread, so that the errors lie to one side, by ${signed(difference(aside), aside)}: take the drawn interval`;
  }
  if (half > expanded) {
    return 'the drawn interval is wider: the chain bends within its spread, or a contribution is known to few degrees of freedom. Take the drawn interval';
  }
  const [first] = lines;
  const bounded =
    first!.distribution !== 'normal' && first!.share > 0.3
      ? `${first!.name}, ${percent(first!.share)} of the variance, ends at a limit`
      : 'what carries most ends at limits';
  return `the drawn interval is narrower: ${bounded}, and a normal distribution does not. The budget is on the safe side`;
}

/** What the comparison says, in sentences. */
function verdict(t: Told, w: Witness): string {
  const { tolerance, lowDifference, highDifference, outcome } = compared(t, w);
  const off = `its ends are ${written(t, lowDifference)} and ${written(t, highDifference)} from the drawn ones, with ${written(t, tolerance)} allowed (clause 8)`;
  if (outcome === 'validated') return `To two digits of u the budget is confirmed: ${off}.`;
  if (outcome === 'not validated')
    return `To two digits of u the budget is not confirmed: ${off}, because ${reasonOf(t, w)}.`;
  return `Whether the budget is confirmed to two digits of u, ${counted(w.draws)} draws do not tell: ${off}.${w.draws < manyDraws ? ` ${counted(manyDraws)} would tell more.` : ''}`;
}

/** The sentence about a budget that is wider than the worst case; none where it is not. */
function beyondWords(t: Told, w: Witness): string {
  if (!beyondWorst(t)) return '';
  const { expanded, worstCase } = t.e.uncertainty.present;
  return ` Its ±${t.difference(expanded)} is even more than everything at its limit, ${t.difference(worstCase)}, which hardly a reading is off by: take the drawn interval, ${drawnInterval(t, w)}.`;
}

/** How the drawn errors lie, with the normal distribution that the budget takes them for. */
function histogram(t: Told, w: Witness): Section {
  const { inSmall, small, difference } = t;
  const { combined, expanded } = t.e.uncertainty.present;
  const { reach, counts } = w.histogram;
  const width = (2 * reach) / counts.length;
  const middles = counts.map((_, i) => inSmall(-reach + (i + 0.5) * width));
  const drawn = counts.map((count) => (100 * count) / w.draws);
  const tail = (i: number): number => normalTail((-reach + i * width) / combined);
  const normal = counts.map((_, i) => 100 * (tail(i) - tail(i + 1)));
  const line = (values: readonly number[]) => values.map((y, i) => [middles[i]!, y] as const);
  const most = Math.max(...drawn, ...normal);
  const end = inSmall(reach);
  const figure = (value: number): string => number(value).replace('-', '−');
  const rounded = (value: number): string => figure(Number(value.toPrecision(3)));
  // Room above for both intervals.
  const top = roundSpan([0, most * 1.32]).to;
  return {
    body: [
      b.plot({
        name: 'errors',
        claim: `The budget’s ±${difference(expanded)} holds ${percent(w.within)} of the readings drawn.`,
        text: prose`${counted(w.draws)} times every quantity is drawn from its distribution and the whole chain computed, curve and all. Seed ${String(w.seed)}: the figures come again. ${drawChoice(manyDraws, fewDraws)}`,
        description: `Histogram of ${counted(w.draws)} drawn errors in ${small} with the budget’s normal curve; 95 per cent lie from ${drawnInterval(t, w)}, by the budget within ${difference(expanded)} either way`,
        x: { label: `error, ${small}`, scale: 'linear', from: -end, to: end },
        y: {
          label: `% of readings in ${rounded(inSmall(width))}\u202f${small}`,
          scale: 'linear',
          from: 0,
          to: top,
        },
        marks: [
          b.span({
            from: inSmall(-expanded),
            to: inSmall(expanded),
            height: 0.93,
            text: `budget ±${rounded(inSmall(expanded))}`,
          }),
          b.span({
            from: inSmall(w.low),
            to: inSmall(w.high),
            height: 0.81,
            text: `95 % drawn: ${rounded(inSmall(w.low))} to ${rounded(inSmall(w.high))}`,
          }),
          b.curve({ name: `${counted(w.draws)} draws`, points: line(drawn), style: 'first', dots: true }),
          b.curve({
            name: 'normal, as the budget has it',
            points: line(normal),
            style: 'second',
            label: {
              text: 'normal',
              at: counts.length / 2 + 1,
              place: [0.45 * end, 0.68 * top],
              end: 'left',
            },
          }),
        ],
        figures: {
          heads: [`error, ${small}`, 'drawn, %', 'normal, %'],
          rows: middles.map((x, i) => [figure(x), number(drawn[i]!), number(normal[i]!)]),
        },
      }),
    ],
  };
}

/** Both ways in a table. */
function ways(t: Told, w: Witness): Section {
  const { e, small, inSmall, measurand } = t;
  const { present } = e.uncertainty;
  const figure = (value: number): string => number(inSmall(value)).replace('-', '−');
  const scatter = Math.max(w.scatter.low, w.scatter.high);
  return {
    body: [
      b.table({
        name: 'witness',
        claim: `Drawn at random, 95\u202f% of readings are off by ${drawnInterval(t, w)} at ${measurand(w.measurand)}.`,
        text: prose`By ${counted(w.draws)} draws (JCGM 101:2008, clause 7), which leave either end a standard deviation of ${written(t, scatter)}. ${verdict(t, w)}${beyondWords(t, w)}`,
        columns: [
          { head: 'way', words: true },
          { head: 'u', unit: small },
          { head: 'low', unit: small },
          { head: 'high', unit: small },
          { head: 'ends to', unit: small },
        ],
        rows: [
          {
            cells: [
              'sensitivities',
              figure(present.combined),
              figure(-present.expanded),
              figure(present.expanded),
              '–',
            ],
          },
          {
            cells: [
              `${counted(w.draws)} draws`,
              figure(w.standardUncertainty),
              figure(w.low),
              figure(w.high),
              `±${figure(scatter)}`,
            ],
          },
          { cells: ['worst case', '–', figure(-present.worstCase), figure(present.worstCase), '–'] },
        ],
      }),
    ],
  };
}

/** The draws beside the budget: how they lie, and what both come to. */
export const secondWitness = (t: Told, w: Witness): Section[] => [histogram(t, w), ways(t, w)];

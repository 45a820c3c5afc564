/**
 * Everything on one sheet, for review.
 *
 * What is wanted and whether it is kept, what decides it, what the settings are, and what the review asked and found.
 */
import { formatNumber, formatQuantity } from '../src/numbers/format.ts';
import * as b from '../src/page/blocks.ts';
import {
  entry,
  met,
  missed,
  type Prose,
  paragraph,
  prose,
  type Section,
  strong,
  toPage,
} from '../src/page/blocks.ts';
import { page } from '../src/page/page.ts';
import { openSentence, reviewSection } from '../src/page/sections/review.ts';
import {
  cautionSentences,
  missedSentence,
  requirementFigures,
  sourceSentence,
  wantedSentence,
} from '../src/page/sections/sentences.ts';
import { number, type Told, told } from '../src/page/sections/told.ts';
import { type RequirementName, requirementWords } from '../src/plan/requirements.ts';
import { type Assumptions, assumptionsOf, spreadWhereNoneIsGiven } from '../src/worksheet/assumptionsOf.ts';
import { chargeOf } from '../src/worksheet/chargeOf.ts';
import { evaluate } from '../src/worksheet/evaluate.ts';

function answer({ e }: Told, { passing }: Assumptions): Prose {
  const failed = e.requirements.filter((r) => !r.met);
  const boards = passing
    ? ` ${formatNumber({ value: passing.fraction * 100 })}\u202f% of boards would keep them, as far as the assumptions go.`
    : '';
  if (failed.length === 0)
    return prose`${met('')}${strong(`All ${e.requirements.length} requirements are met.`)}${boards}`;
  return prose`${missed('')}${strong(`${failed.length} of ${e.requirements.length} requirements ${failed.length === 1 ? 'is' : 'are'} missed:`)} ${failed.map((r) => requirementWords[r.name]).join(', ')}.`;
}

/** Every requirement with its figure and its room. */
const requirements = ({ e }: Told): Section => ({
  body: [
    b.table({
      name: 'requirements',
      claim: 'What is wanted, and what is kept',
      columns: [
        { head: 'requirement', words: true },
        { head: 'wanted' },
        { head: 'found' },
        { head: 'margin', minor: true },
      ],
      rows: e.requirements.map((r) => {
        const { value, limit } = requirementFigures(r);
        return {
          cells: [
            requirementWords[r.name],
            limit,
            r.met ? value : { text: value, miss: true as const },
            r.margin === 'any' ? 'any' : r.margin > 1000 ? '> 1000' : `× ${number(r.margin)}`,
          ],
          verdicts: [r.met ? { text: 'met' } : { mark: 'miss' as const, text: 'missed' }],
          ...(r.met ? {} : { standing: 'fails' as const }),
        };
      }),
    }),
  ],
});

/** What each assumption does to the requirement it brings nearest to its limit. */
function decides({ rows, passing }: Assumptions): Section[] {
  const moving = rows.filter((r) => r.decides);
  const first = moving[0];
  if (first === undefined || passing === undefined) {
    return [
      {
        claim: 'No assumption decides a requirement.',
        body: [paragraph(prose`What is still assumed moves none of them.`)],
      },
    ];
  }
  const { interval, failures } = passing;
  const broken = failures
    .filter((f) => f.count > 0)
    .map((f) => `${requirementWords[f.requirement as RequirementName]} ${f.count}`);
  return [
    {
      body: [
        b.table({
          name: 'assumptions',
          claim: first.decides!.kept
            ? 'No single assumption breaks a requirement.'
            : `The ${first.label} decides.`,
          text: prose`Each assumed input at both ends of its spread; where none is given, ${String(100 * spreadWhereNoneIsGiven)}\u202f% each way.`,
          columns: [
            { head: 'assumed', words: true },
            { head: 'from', minor: true },
            { head: 'to', minor: true },
            { head: 'moves', words: true },
            { head: 'worse', unit: 'end' },
            { head: 'other', unit: 'end', minor: true },
          ],
          rows: moving.map(({ label, unit, low, high, given, decides: d }) => {
            const figure = (actual: number) => formatQuantity({ value: actual, unit: d!.unit });
            // The battery's life is wanted long, everything else small.
            const [small, large] = [Math.min(d!.atLow, d!.atHigh), Math.max(d!.atLow, d!.atHigh)];
            const [worse, other] = d!.name === 'batteryLife' ? [small, large] : [large, small];
            const ends = (value: number): string => formatQuantity({ value, unit });
            return {
              cells: [
                given ? label : `${label} *`,
                ends(low),
                ends(high),
                requirementWords[d!.name],
                figure(worse),
                figure(other),
              ],
              verdicts: [d!.kept ? { text: 'kept' } : { mark: 'miss' as const, text: 'missed' }],
              ...(d!.kept ? {} : { standing: 'fails' as const }),
            };
          }),
        }),
        paragraph(
          prose`* no spread given. Of ${String(passing.draws)} boards drawn, ${String(passing.passed)} keep everything: ${formatNumber({ value: 100 * interval.low })} to ${formatNumber({ value: 100 * interval.high })}\u202f% with 95\u202f% confidence${broken.length > 0 ? `; misses: ${broken.join(', ')}` : ''}.`,
        ),
      ],
    },
  ];
}

/** The largest parts of the uncertainty, and what a reading costs. */
function budgets({ e, difference, measurand, charge, time }: Told): Section {
  const { present } = e.uncertainty;
  const top = present.lines.slice(0, 3).map((l) => `${l.name} ${number(l.share * 100, 2)}\u202f%`);
  const cost = chargeOf(e);
  const life = typeof cost.life === 'number' ? ` The battery lasts ${time(cost.life)}.` : '';
  return {
    claim: `A reading is good to ±${difference(present.expanded)} and costs ${charge(cost.charge)}.`,
    body: [
      paragraph(
        prose`At ${measurand(present.measurand)}, where it is worst, with 95\u202f% coverage; ${difference(present.worstCase)} in the worst case. Of the variance: ${top.join(', ')}. See ${toPage('reading-uncertainty', 'the uncertainty')}.`,
      ),
      paragraph(
        prose`Of that charge, ${charge(e.averaging.charge)} are the conversions; on average the board draws ${formatQuantity({ value: cost.averageCurrent, unit: 'A' })}.${life} See ${toPage('charge-and-battery', 'the charge')}.`,
      ),
    ],
  };
}

/** The settings, free of register names. */
const settings = ({ e, time, measurand }: Told): Section => ({
  claim: 'What is set',
  body: [
    b.inputs([
      { what: 'clock divider', value: prose`${entry('sampling.clockDivider')}` },
      { what: 'sample time', value: prose`${entry('sampling.sampleCycles')}` },
      { what: 'bits of a conversion', value: prose`${entry('sampling.bits')}` },
      {
        what: 'oversampling ratio',
        value: prose`${entry('averaging.ratio')}`,
        from: `log2 ${number(Math.log2(e.averaging.ratio))}, less one ${String(e.averaging.ratio - 1)}`,
      },
      { what: 'shift', value: prose`${entry('averaging.shift')}` },
      {
        what: 'largest result code',
        value: prose`${formatNumber({ value: e.averaging.largestCode, digits: 12 })}`,
        from: `${e.averaging.resultBits} bits; divisor ${formatNumber({ value: (2 ** e.quantizing.bits * e.averaging.ratio) / 2 ** e.averaging.shift, digits: 12 })}`,
      },
      {
        what: 'code in mid-range',
        value: prose`${formatNumber({ value: e.reading.codeAt((e.channel.range.low + e.channel.range.high) / 2), digits: 12 })}`,
        from: `at ${measurand((e.channel.range.low + e.channel.range.high) / 2)}`,
      },
      { what: 'result after', value: prose`${time(e.averaging.latency)}`, from: 'start-up and burst' },
    ]),
  ],
});

/** What no figure here says, and the reviewer has to ask. */
const notInFigures = ({ e }: Told): b.Notes =>
  b.notes('Not in the figures', [
    ...(e.assumed.length === 0 ? [prose`Every input has a source.`] : []),
    ...(e.uncertainty.uncounted.length > 0
      ? [
          prose`Counted as exact, because no spread is given: ${e.uncertainty.uncounted.map((u) => u.label).join(', ')}.`,
        ]
      : []),
    ...(e.unjudged.length > 0
      ? [prose`Wanted but not judged: ${e.unjudged.map((name) => requirementWords[name]).join(', ')}.`]
      : []),
    prose`How many boards and codes were measured, and what changed since the last review?`,
  ]);

/** What was asked and answered, what nobody has looked at, and what is left to ask. */
function review(t: Told): Section {
  const section = reviewSection(t.e);
  return { ...section, body: [...section.body, notInFigures(t)] };
}

export default page({
  place: 14,
  short: 'Whole chain',
  question: 'Everything on one sheet, for review',
  content(e) {
    const t = told(e);
    const assumptions = assumptionsOf(e, evaluate);
    return {
      answer: answer(t, assumptions),
      also: prose`${missedSentence(e)} ${openSentence(e)}`,
      sections: [
        {
          claim: 'What is measured, and how finely',
          body: [paragraph(sourceSentence(e)), paragraph(wantedSentence(e))],
        },
        requirements(t),
        budgets(t),
        ...decides(assumptions),
        settings(t),
        review(t),
        { body: [b.caution(cautionSentences(e))] },
      ],
    };
  },
});

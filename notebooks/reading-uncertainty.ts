/**
 * How far off can a reading be?
 *
 * Every tolerance, error and noise of the chain is carried to the reading by the chain's own slope, combined by the GUM and set
 * beside the worst case, over the whole range; before and after calibration; and checked by drawing the whole chain at random.
 */
import { formatDeciding } from '../src/numbers/format.ts';
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
import { budgetCurve } from '../src/page/sections/budgetCurve.ts';
import { budgetTable, percent } from '../src/page/sections/budgetTable.ts';
import { calibrated, calibrationChoices } from '../src/page/sections/calibrations.ts';
import { beyondWorst, drawnInterval, secondWitness } from '../src/page/sections/secondWitness.ts';
import { assumedWords, cautionSentences, sourceSentence } from '../src/page/sections/sentences.ts';
import { type Told, told } from '../src/page/sections/told.ts';
import { calibrationsOf } from '../src/worksheet/calibrationsOf.ts';
import { uncertaintyOver } from '../src/worksheet/uncertaintyOf.ts';
import { type Witness, witnessOf } from '../src/worksheet/witnessOf.ts';

function answer({ e, difference }: Told): Prose {
  const { expanded } = e.uncertainty.present;
  const wanted = e.requirements.find((r) => r.name === 'uncertainty');
  if (wanted === undefined)
    return prose`${strong('A reading is within')} ±${difference(expanded)} (95\u202f%).`;
  const { value, limit } = formatDeciding({ value: expanded, limit: wanted.required, unit: wanted.unit });
  return wanted.met
    ? prose`${met('')}${strong(`A reading is within ±${value}`)} (95\u202f%), where ${limit} are allowed.`
    : prose`${missed('')}${strong(`A reading may be off by ${value}`)} (95\u202f%), where ${limit} are allowed.`;
}

function also(t: Told, w: Witness): Prose {
  const { e, difference, measurand } = t;
  const { present, before, after } = e.uncertainty;
  const top = present.lines.slice(0, 3).filter((l) => l.share >= 0.01);
  const named = top.map((l) => `${l.name} ${percent(l.share)}`).join(', ');
  const other = after
    ? `without calibration ±${difference(before.expanded)}`
    : 'the worksheet states no calibration';
  const limit = beyondWorst(t)
    ? `That is more than everything at its limit, ${difference(present.worstCase)}, because the budget takes the sum for normal; drawn at random, 95\u202f% are off by ${drawnInterval(t, w)}. ${other.charAt(0).toUpperCase()}${other.slice(1)}.`
    : `With everything at its limit ${difference(present.worstCase)}; ${other}.`;
  return prose`That is at ${measurand(present.measurand)}, where it is worst. Most of it: ${named}. ${limit}`;
}

/** What may be off, as far as the reader may change it here. */
function inputs({ e }: Told): Section {
  const { worksheet, uncertainty } = e;
  const { sensor, conditioning, converter, requirement } = worksheet.inputs;
  const absolute = conditioning.wiring === 'absolute';
  const internal = absolute && converter.reference.source === 'internal';
  const row = (what: string, path: string, from?: string) => ({
    what,
    value: prose`${entry(path)}`,
    ...(from !== undefined && { from }),
  });
  const exact = uncertainty.uncounted.map((u) => u.label);
  const cold = worksheet.inputs.conditions === undefined;
  return {
    claim: 'What may be off',
    body: [
      paragraph(sourceSentence(e)),
      paragraph(
        prose`${requirement.uncertainty ? prose`A reading may be off by ${entry('requirement.uncertainty')}. ` : ''}Tolerances of parts stand beside their values in the worksheet, as its spreads.${exact.length > 0 ? ` No spread is given for ${exact.join(', ')}: taken as exact.` : ''}${cold ? ' The board is taken to stay at 25\u202f°C unless its temperatures are given: leakage doubles every 10\u202fK, and an internal reference drifts.' : ''}`,
      ),
      b.inputs([
        row('offset error', 'converter.offset'),
        row('gain error', 'converter.gain'),
        row('integral nonlinearity (INL)', 'converter.inl', 'averaging leaves it'),
        row('pin leakage', 'converter.leakage', 'at 25 °C'),
        ...(internal
          ? [
              row('internal reference', 'converter.internalReference.tolerance'),
              row('its temperature coefficient', 'converter.internalReference.tempco'),
            ]
          : absolute
            ? [row('reference', 'converter.reference.voltage')]
            : [{ what: 'reference', value: prose`cancels`, from: 'the wiring is ratiometric' }]),
        ...('dissipation' in sensor && sensor.dissipation
          ? [row('dissipation constant', 'sensor.dissipation', 'self-heating is not taken off')]
          : []),
        ...(['coldest', 'warmest'] as const).map((end) =>
          row(`${end} board`, `conditions.${end}`, worksheet.inputs.conditions?.[end] ? undefined : '25 °C'),
        ),
      ]),
    ],
  };
}

function misleads({ e }: Told): Section {
  const settles = e.uncertainty.present.lines.some((l) => l.name === 'settling' && l.share > 0.1);
  return {
    body: [
      b.notes('When this misleads', [
        prose`A figure that nobody wrote down counts as exact. The budget is only as whole as the list: mounting, lag of the sensor and a wet connector are not on it.`,
        prose`Limits of a data sheet count as rectangular: every value between them as likely. Typical values are no limits.`,
        ...(settles
          ? [
              prose`Incomplete settling is a known error, always to one side; it is counted as limits to both. Better make it small: ${toPage('source-and-sample-time', 'source and sample time')}.`,
            ]
          : []),
        prose`Calibration holds near its conditions: at another temperature of the board, after a year, with another supply it is worth less. Right at a point INL is counted twice, though there it cancels.`,
        prose`Averaging lowers one line of the table, noise and quantization; more bits do not make a reading truer.`,
      ]),
    ],
    margin: e.assumed.length > 0 ? [paragraph(prose`Still assumed: ${assumedWords(e)}.`)] : [],
  };
}

export default page({
  place: 6,
  short: 'Uncertainty',
  question: 'How far off can a reading be?',
  takesDraws: true,
  content(e, { drawn }) {
    const t = told(e);
    const witness = drawn ?? witnessOf(e);
    const over = uncertaintyOver(e);
    return {
      answer: answer(t),
      also: also(t, witness),
      sections: [
        inputs(t),
        budgetCurve(t, over.present),
        budgetTable(t, e.uncertainty.present),
        ...calibrated(t, over),
        calibrationChoices(t, calibrationsOf(e)),
        ...secondWitness(t, witness),
        misleads(t),
        { body: [b.caution(cautionSentences(e))] },
      ],
    };
  },
});

/**
 * What does each further bit cost in rate?
 *
 * Every resolution of the converter with every ratio: how often it gives a result, and how many bits that is really worth. None
 * beats those on the edge. Then how the converter is run, what the timer makes of the rate, and where the bits stand in the register.
 */
import { formatQuantity } from '../src/numbers/format.ts';
import * as b from '../src/page/blocks.ts';
import {
  action,
  entry,
  missed,
  onScreen,
  type Prose,
  paragraph,
  prose,
  type Section,
  strong,
  toPage,
} from '../src/page/blocks.ts';
import { page } from '../src/page/page.ts';
import { front } from '../src/page/sections/front.ts';
import { operation, trigger } from '../src/page/sections/operation.ts';
import { bitsText, perSecond, rateEdge, rateWords } from '../src/page/sections/rateEdge.ts';
import { rateChanges, ratesTable } from '../src/page/sections/ratesTable.ts';
import { ratioForms, resultRegister, roundingConstants } from '../src/page/sections/resultRegister.ts';
import { cautionSentences, missedSentence, wantedSentence } from '../src/page/sections/sentences.ts';
import { number, type Told, told } from '../src/page/sections/told.ts';
import { ratesOf, type WorksheetRates } from '../src/worksheet/ratesOf.ts';
import { searchOf } from '../src/worksheet/searchOf.ts';

/** The cost of one further bit, from where the worksheet stands. */
function answer({ chosen, further, edge }: WorksheetRates): Prose {
  const now = `${bitsText(chosen.effectiveBits)} bits, ${perSecond(chosen.outputRate)}`;
  if (further === 'none') {
    const most = edge.at(-1)!;
    const more = most.effectiveBits - chosen.effectiveBits;
    const rest =
      more < 0.05
        ? 'no setting gives more'
        : `the most is ${bitsText(most.effectiveBits)} bits, ${perSecond(most.outputRate)}, by ${rateWords(most)}`;
    return prose`${strong('This converter has no further bit to give:')} you have ${now}; ${rest}.`;
  }
  const { row, rateFactor } = further;
  const cost =
    rateFactor > 1.005
      ? `One further bit costs ${number(rateFactor, 2)} times the rate:`
      : rateFactor > 0.995
        ? 'One further bit costs no rate:'
        : `One further bit comes with ${number(1 / rateFactor, 2)} times the rate:`;
  return prose`${strong(cost)} ${rateWords(row)} gives ${bitsText(row.effectiveBits)} bits, ${perSecond(row.outputRate)}; you have ${now}.`;
}

/** Where the requirements leave the worksheet. */
function also({ e }: Told, { chosen, recommended }: WorksheetRates): Prose {
  const missedWords = missedSentence(e);
  if (recommended === undefined)
    return prose`${missed('No setting meets everything.')} You have chosen ${rateWords(chosen)}. ${missedWords}`;
  if (recommended.chosen)
    return prose`You have chosen the fastest that meets everything, ${rateWords(chosen)}. ${missedWords}`;
  const take = onScreen(prose` (${action('take it', rateChanges(recommended))})`);
  return prose`The fastest that meets everything is ${rateWords(recommended)}: ${bitsText(recommended.effectiveBits)} bits, ${perSecond(recommended.outputRate)}${take}. You have chosen ${rateWords(chosen)}. ${missedWords}`;
}

/** What makes up the time of a result, with its inputs. */
function madeUp({ e, time }: Told): Section {
  const { sampling, averaging, worksheet } = e;
  const { source } = worksheet.profile.clock;
  const spaced = worksheet.inputs.sampling.interval
    ? prose` A timer starts each, ${entry('sampling.interval')} after the last.`
    : '';
  return {
    claim: `One conversion takes ${time(sampling.conversionTime)}, a burst ${time(averaging.burstTime)}.`,
    body: [
      paragraph(
        prose`The clock of ${formatQuantity({ value: source.value, unit: 'Hz' })} is divided by ${entry('sampling.clockDivider')}. A conversion samples for ${entry('sampling.sampleCycles')} and takes ${number(sampling.conversionCycles)} more to give ${entry('sampling.bits')}.${spaced} A result is the sum of ${entry('averaging.ratio')}, shifted right by ${entry('averaging.shift')}; the codes jitter by ${entry('converter.noise')} rms.`,
      ),
      paragraph(wantedSentence(e)),
    ],
  };
}

function misleads({ e }: Told): Section {
  const { biasLsb, ruleOfThumbBits, effectiveBits } = e.averaging;
  return {
    body: [
      b.notes('When this misleads', [
        prose`Effective bits are resolution: they say nothing of INL, offset or reference, which no rate buys back.`,
        prose`The half-bit rule would promise ${bitsText(ruleOfThumbBits)} bits where there are ${bitsText(effectiveBits)}; it leaves the converter’s noise out.`,
        prose`Without enough noise the further bits do not come: see ${toPage('temperature-ratio', 'Which ratio?')}`,
        prose`Rates count conversions alone. Code that reads each result, or sums it, must keep up.`,
        ...(biasLsb === 0
          ? []
          : [
              prose`Bits count the scatter about the mean; the shift’s bias is apart, and firmware takes it out.`,
            ]),
      ]),
    ],
  };
}

export default page({
  place: 2,
  short: 'Bits and rate',
  question: 'What does each further bit cost in rate?',
  content(e) {
    const t = told(e);
    const rates = ratesOf(e);
    return {
      answer: answer(rates),
      also: also(t, rates),
      sections: [
        madeUp(t),
        rateEdge(t, rates),
        { body: [ratesTable(t, rates)] },
        ...operation(t),
        ...trigger(t),
        ...resultRegister(t),
        ratioForms(t, rates),
        roundingConstants(t),
        ...front(t, searchOf(e)),
        misleads(t),
        { body: [b.caution(cautionSentences(e))] },
      ],
    };
  },
});

/**
 * Which reference, and how far does it move the reading?
 *
 * A ratiometric chain does not know its reference; an absolute one is off by as much of itself as the reference is. Both stand side
 * by side, with the supply found through the internal reference, what rides on it, and the battery under load.
 */
import { formatQuantity } from '../src/numbers/format.ts';
import * as b from '../src/page/blocks.ts';
import {
  emphasis,
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
import { leverageCurve, wayNames, waysBudgets, waysTable } from '../src/page/sections/referenceWays.ts';
import { assumedWords, cautionSentences, sourceSentence } from '../src/page/sections/sentences.ts';
import { rippleSection, sagSection, supplyMeasured } from '../src/page/sections/supplyMeasured.ts';
import { type Told, told } from '../src/page/sections/told.ts';
import { sourceLoad } from '../src/worksheet/phasesOf.ts';
import { referenceOf, type WorksheetReference } from '../src/worksheet/referenceOf.ts';

const volts = (value: number): string => formatQuantity({ value, unit: 'V' });

function answer({ e, difference }: Told, { ways }: WorksheetReference): Prose {
  const present = ways.find((w) => w.present)!;
  const wanted = e.worksheet.inputs.requirement.uncertainty?.value;
  if (present.is === 'ratiometric') {
    return prose`${met('')}${strong('The reference cancels:')} the ${sourceLoad(e.worksheet.inputs).name} and the converter share it, and the reading does not move with it.`;
  }
  if (present.beyond !== undefined) {
    return prose`${missed('')}${strong('The reference is too low:')} the pin goes to ${volts(present.beyond)}, full scale is ${volts(present.reference)}.`;
  }
  if (present.adds === 0) {
    return prose`${missed('')}${strong('Nothing is known of the reference’s tolerance:')} it counts as exact, and the reading is off by as much of itself as it is.`;
  }
  const share = formatQuantity({ value: present.halfWidth, unit: '%', digits: 2 });
  const head = `The ${wayNames[present.is]} moves the reading by up to ${difference(present.adds)}`;
  const of = wanted === undefined ? '' : `, where ${difference(wanted)} are allowed for everything`;
  const mark = wanted === undefined ? '' : present.adds <= wanted ? met('') : missed('');
  return prose`${mark}${strong(head)} (±${share})${of}.`;
}

function also({ difference, measurand }: Told, { ways, supply }: WorksheetReference): Prose {
  const present = ways.find((w) => w.present)!;
  const corrected = ways.find((w) => w.is === 'corrected supply' && !w.present);
  const plain = ways.find((w) => w.is === 'supply' && !w.present);
  const where = present.worst ? ` at ${measurand(present.worst.measurand)}` : '';
  if (present.is === 'ratiometric') {
    const wrong = corrected
      ? ` A reading corrected by the measured supply would gain an error of ${difference(corrected.adds)}: do not correct a ratiometric chain.`
      : '';
    const fall = plain
      ? ` Read as volts against a supply taken for ${volts(supply.supply)} it would be off by up to ${difference(plain.adds)}.`
      : '';
    return prose`The supply may move as far as the converter works.${wrong}${fall}`;
  }
  const other =
    corrected === undefined || corrected.beyond !== undefined
      ? ''
      : ` On the supply, corrected by the internal reference, it would be ${difference(corrected.adds)}, but the converter’s gain error cancels.`;
  const fall = plain
    ? ` On a supply taken for ${volts(supply.supply)}, up to ${difference(plain.adds)}.`
    : '';
  return prose`That is${where}.${other}${fall}`;
}

function measuredAgainst({ e }: Told): Section {
  const { conditioning, converter } = e.worksheet.inputs;
  const { reference, bits } = e.quantizing;
  const { source, voltage } = converter.reference;
  const full = prose`${voltage ? entry('converter.reference.voltage') : volts(reference)}`;
  const from = {
    supply: 'the supply',
    external: 'an external reference',
    internal: 'the internal reference',
  }[source];
  const unknown =
    source !== 'internal' && conditioning.wiring === 'absolute' && voltage?.spread === undefined;
  const spread = unknown ? ' The worksheet gives no spread for it: it counts as exact.' : '';
  return {
    claim: 'What it is measured against',
    body: [
      paragraph(sourceSentence(e)),
      paragraph(
        prose`The converter compares with ${from} of ${full}, ${formatQuantity({ value: e.quantizing.codeBinWidth, unit: 'V' })} a code of ${String(bits)} bits. The wiring is ${emphasis(conditioning.wiring)}${conditioning.wiring === 'ratiometric' ? `: the same voltage feeds the ${sourceLoad(e.worksheet.inputs).name}` : ''}.${spread} What may be off besides is on ${toPage('reading-uncertainty', 'uncertainty')}.`,
      ),
    ],
  };
}

function misleads({ e }: Told): Section {
  return {
    body: [
      b.notes('When this misleads', [
        prose`Ratiometric holds only where sensor and reference pin truly see the same voltage: drop along a track, or a filter on one of them, and it does not.`,
        prose`A data sheet’s tolerance of the internal reference may hold at one temperature and supply, with the factory’s code; ageing and soldering shift it by a tenth of a per cent and more.`,
        prose`A battery’s internal resistance grows as it empties and in the cold, and depends on how long the load lasts.`,
        prose`The supply as reference moves with the load: a conversion while the radio sends is measured against another full scale.`,
      ]),
    ],
    margin: e.assumed.length > 0 ? [paragraph(prose`Still assumed: ${assumedWords(e)}.`)] : [],
  };
}

export default page({
  place: 10,
  short: 'Reference',
  question: 'Which reference, and how far does it move the reading?',
  content(e) {
    const t = told(e);
    const found = referenceOf(e);
    return {
      answer: answer(t, found),
      also: also(t, found),
      sections: [
        measuredAgainst(t),
        waysTable(t, found),
        ...waysBudgets(t, found),
        ...leverageCurve(t, found),
        ...supplyMeasured(t, found.supply),
        rippleSection(t, found.ripple),
        ...(found.sag ? [sagSection(t, found.sag)] : []),
        misleads(t),
        { body: [b.caution(cautionSentences(e))] },
      ],
    };
  },
});

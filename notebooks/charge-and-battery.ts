/**
 * What does a reading cost the battery?
 *
 * The phases of a reading, each with its current and time, add up to its charge; with what is drawn between readings that makes an
 * average current, and with the battery a life. Then what changes it: period, ratio, what is left on, a divider that is switched.
 */
import { formatDeciding, formatQuantity } from '../src/numbers/format.ts';
import * as b from '../src/page/blocks.ts';
import { met, missed, type Prose, prose, type Section, strong, toPage } from '../src/page/blocks.ts';
import { page } from '../src/page/page.ts';
import { leftOnTable, recalibration, switching } from '../src/page/sections/asleep.ts';
import { batteryLifeSections, lifeText } from '../src/page/sections/batteryLife.ts';
import { chargePhases, percent } from '../src/page/sections/chargePhases.ts';
import { assumedWords, cautionSentences, missedSentence } from '../src/page/sections/sentences.ts';
import { type Told, told } from '../src/page/sections/told.ts';
import { chargeOf, type WorksheetCharge } from '../src/worksheet/chargeOf.ts';

function answer({ e, charge }: Told, c: WorksheetCharge): Prose {
  const energy = c.energy ? ` and ${formatQuantity({ value: c.energy.energy, unit: 'J' })}` : '';
  const reading = `a reading takes ${charge(c.charge)}${energy}`;
  const wanted = e.requirements.find((r) => r.name === 'batteryLife');
  if (wanted) {
    const { value, limit } = formatDeciding({ value: wanted.actual, limit: wanted.required, unit: 's' });
    const verdict = strong(`The battery lasts ${value}:`);
    return prose`${wanted.met ? met('') : missed('')}${verdict} ${reading}; ${limit} is wanted.`;
  }
  if (c.life === 'none')
    return prose`${strong(`A reading takes ${charge(c.charge)}${energy}`)}, ${percent(c.readingsShare)} of what the board draws on average.`;
  return prose`${strong(`The battery lasts ${lifeText(c.life)}:`)} ${reading}.`;
}

/** Which of readings and sleep decides, and by how much. */
function also({ e, time, charge }: Told, c: WorksheetCharge): Prose {
  const average = formatQuantity({ value: c.averageCurrent, unit: 'A' });
  const between = charge(c.idleCurrent * c.period);
  const decides =
    c.readingsShare < 0.5
      ? `In the ${time(c.period)} between readings the board takes ${between}: what is drawn asleep decides, not the averaging.`
      : `In the ${time(c.period)} between readings the board takes no more than ${between}: the readings decide.`;
  return prose`${average} on average, ${percent(c.readingsShare)} of it for readings. ${decides} ${missedSentence(e)}`;
}

function misleads({ e }: Told, c: WorksheetCharge): Section {
  const long = typeof c.life === 'number' && c.life > 10 * 8760 * 3600;
  return {
    body: [
      b.notes('When this misleads', [
        prose`Currents are typical ones, and grow with temperature and clock. Measure one reading with a shunt and a differential probe, and the sleep with a meter that stays on its range while the board wakes.`,
        prose`The usable part is what the cell gives at its coldest, down to the voltage that the board needs; a resting voltage tells little of it, or of the sag while something draws.`,
        ...(long
          ? [
              prose`A computed life beyond ten years is that of the cell on a shelf, its seals and the board’s leakage, not of this sum.`,
            ]
          : []),
        prose`Behind a switching regulator the battery’s current is not the board’s: give the currents at the battery. Behind a linear one it is, whatever the battery’s voltage.`,
        prose`What the phases leave out, a radio above all, mostly takes more than all of them. See ${toPage('temperature-ratio', 'Which ratio?')} for what the conversions bring.`,
      ]),
    ],
    margin: e.assumed.length > 0 ? [b.paragraph(prose`Still assumed: ${assumedWords(e)}.`)] : [],
  };
}

export default page({
  place: 7,
  short: 'Charge and battery',
  question: 'What does a reading cost the battery?',
  content(e) {
    const t = told(e);
    const c = chargeOf(e);
    return {
      answer: answer(t, c),
      also: also(t, c),
      sections: [
        ...chargePhases(t, c),
        ...batteryLifeSections(t, c),
        leftOnTable(t, c),
        ...switching(t, c),
        recalibration(t, c),
        misleads(t, c),
        { body: [b.caution(cautionSentences(e))] },
      ],
    };
  },
});

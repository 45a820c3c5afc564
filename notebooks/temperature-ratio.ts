/**
 * Which oversampling ratio does this temperature reading need?
 *
 * The slope of sensor and divider turns a code into the measurand; the exact error of the averaged result then tells which ratio and
 * shift meet what is wanted, and which of them costs least. The half-bit rule stands beside it.
 */
import { formatDeciding, formatQuantity } from '../src/numbers/format.ts';
import * as b from '../src/page/blocks.ts';
import {
  action,
  entry,
  met,
  missed,
  onScreen,
  type Prose,
  paragraph,
  prose,
  type Section,
  strong,
  symbol,
} from '../src/page/blocks.ts';
import { page } from '../src/page/page.ts';
import { codeWidth } from '../src/page/sections/codeWidth.ts';
import { gain } from '../src/page/sections/gain.ts';
import {
  assumedWords,
  cautionSentences,
  missedSentence,
  sourceSentence,
  wantedSentence,
} from '../src/page/sections/sentences.ts';
import { settingChanges, settingsTable, settingWords } from '../src/page/sections/settingsTable.ts';
import { staircase } from '../src/page/sections/staircase.ts';
import { number, type Told, told } from '../src/page/sections/told.ts';
import { sourceLoad } from '../src/worksheet/phasesOf.ts';
import { settingsOf, type WorksheetSettings } from '../src/worksheet/settingsOf.ts';

function answer({ e, difference }: Told, settings: WorksheetSettings): Prose {
  const wanted = e.worksheet.inputs.requirement.resolution?.value;
  const best = settings.recommended;
  if (best) {
    const { ratio, shift } = best;
    const how =
      ratio === 1
        ? 'One conversion is enough'
        : `Average ${ratio} and ${shift === 0 ? 'keep the whole sum' : `shift by ${shift}`}`;
    return prose`${met('')}${strong(`${how}:`)} ${difference(best.rms)} rms at worst${wanted === undefined ? '' : `, where ${difference(wanted)} are allowed`}.`;
  }
  const least = settings.rows.reduce((a, b) => (b.rms < a.rms ? b : a));
  if (wanted !== undefined && least.rms > wanted) {
    const { value, limit } = formatDeciding({ value: least.rms, limit: wanted, unit: e.units.difference });
    return prose`${missed('')}${strong('No ratio of this converter serves:')} ${value} rms at best, where ${limit} are allowed.`;
  }
  const why = [
    ...new Set(
      settings.rows.filter((r) => r.failures.length > 0).flatMap((r) => r.failures.map((f) => f.text)),
    ),
  ];
  return prose`${missed('')}${strong('No setting of this converter meets everything:')} ${why.slice(0, 3).join(', ')}.`;
}

function also(
  { e, difference, charge }: Told,
  { chosen, recommended, wouldServe }: WorksheetSettings,
): Prose {
  const figures = `${difference(chosen.rms)} rms in steps of ${difference(chosen.step)} for ${charge(chosen.charge)}`;
  if (chosen.recommended)
    return prose`This is what you have chosen: steps of ${difference(chosen.step)} for ${charge(chosen.charge)}. ${missedSentence(e)}`;
  const instead = recommended
    ? prose`, ${number(chosen.charge / recommended.charge, 2)} times the charge${onScreen(prose` (${action(`take ${settingWords(recommended)} instead`, settingChanges(recommended))})`)}`
    : '';
  const other = wouldServe.find((w) => w.serves);
  const would = other ? prose` ${other.text} ${action('Try it', { [other.path]: other.value })}` : '';
  return prose`You have chosen ${settingWords(chosen)}: ${figures}${instead}. ${missedSentence(e)}${would}`;
}

/** What the conversions cost, and what may be changed about it. */
function cost({ e, charge, time }: Told, { rows, chosen, recommended }: WorksheetSettings): Section {
  const { profile, inputs } = e.worksheet;
  const period = inputs.requirement.period.value;
  const asleep = profile.currents.sleep.value * period;
  const [one, most, best] = [rows[0]!, rows.at(-1)!, recommended ?? chosen];
  const running =
    inputs.sampling.core === 'running' ||
    (inputs.sampling.core === undefined && e.averaging.by === 'software');
  const drawn = e.channel.largestExcitationCurrent;
  const core = running ? 'converter.currents.coreRunning' : 'converter.currents.coreAsleep';
  return {
    claim: `One conversion takes ${time(one.time)} and ${charge(one.charge)}: the battery ${best.charge < asleep / 20 ? 'hardly notices' : 'notices'}.`,
    body: [
      paragraph(
        prose`In the ${time(period)} between readings the sleeping board takes ${charge(asleep)}; ${settingWords(best)} takes ${charge(best.charge)}, and ${settingWords(most)} ${charge(most.charge)}.`,
      ),
      b.inputs([
        { what: 'clock divider', value: prose`${entry('sampling.clockDivider')}` },
        { what: 'sample time', value: prose`${entry('sampling.sampleCycles')}` },
        {
          what: 'conversion',
          value: prose`${number(e.sampling.conversionCycles)}\u202fcycles`,
          from: `the profile; fixed by ${e.quantizing.bits} bits`,
        },
        { what: 'converter, while converting', value: prose`${entry('converter.currents.converter')}` },
        {
          what: running ? 'core, running meanwhile' : 'core, asleep meanwhile',
          value: prose`${entry(core)}`,
        },
        { what: 'sleeping board', value: prose`${entry('converter.currents.sleep')}` },
      ]),
    ],
    margin: [
      b.working({
        result: charge(one.charge),
        steps: [
          { formula: 'Q = I_conv R t + (I_core + I_div) t_burst' },
          prose`with ${symbol('t')} = ${time(one.time)}${drawn > 0 ? `; the ${sourceLoad(e.worksheet.inputs).name} counts where it is switched on for the burst, ${formatQuantity({ value: drawn, unit: 'A' })} at most` : ''}.`,
        ],
      }),
      paragraph(prose`Counts the conversions alone; wake-up, start-up and arithmetic come on top.`),
    ],
  };
}

/** Every ratio and shift; and where none serves, what would. */
function everySetting({ e, ...scale }: Told, settings: WorksheetSettings): Section[] {
  const { resolution, step } = e.worksheet.inputs.requirement;
  const would = settings.wouldServe.map(
    (w) => prose`${w.serves ? met('') : missed('')}${w.text} ${action('Try it', { [w.path]: w.value })}`,
  );
  return [
    { body: [settingsTable(settings, scale, Number(!!resolution) + Number(!!step))] },
    ...(would.length > 0 ? [{ body: [b.notes('What would serve', would)] }] : []),
  ];
}

function misleads({ e, difference, measurand }: Told): Section {
  const { biasMeasurand } = e.reading;
  const tolerance = e.sensor.tolerance?.(e.channel.worst.measurand);
  return {
    body: [
      b.notes('When this misleads', [
        prose`A still, noiseless input gains nothing: measure the noise on the finished board, not on the bench supply.`,
        prose`Noise that is not white (hum, drift, flicker) does not fall by half a bit a doubling; what the worksheet names as interference is counted apart.`,
        prose`Averaging raises resolution, never accuracy: INL stays, and so does the sensor’s tolerance${tolerance ? `, ${difference(tolerance)} at ${measurand(e.channel.worst.measurand)}` : ''}.`,
        ...(biasMeasurand === 0
          ? []
          : [
              prose`The shift ${e.averaging.rounding === 'round' ? 'rounds' : 'truncates'}: firmware that forgets it reads ${difference(Math.abs(biasMeasurand))} ${biasMeasurand < 0 ? 'low' : 'high'} throughout.`,
            ]),
      ]),
    ],
    margin: e.assumed.length > 0 ? [paragraph(prose`Still assumed: ${assumedWords(e)}.`)] : [],
  };
}

export default page({
  place: 1,
  short: 'Which ratio?',
  question: 'Which oversampling ratio does this temperature reading need?',
  content(e) {
    const t = told(e);
    const settings = settingsOf(e);
    const measured: Section = {
      claim: 'What is measured, and how finely',
      body: [paragraph(sourceSentence(e)), paragraph(wantedSentence(e))],
    };
    return {
      question: `Which oversampling ratio does this ${t.name === 'measurand' ? '' : `${t.name} `}reading need?`,
      answer: answer(t, settings),
      also: also(t, settings),
      sections: [
        measured,
        codeWidth(t, settings),
        gain(t, settings),
        cost(t, settings),
        ...everySetting(t, settings),
        staircase(t),
        misleads(t),
        { body: [b.caution(cautionSentences(e))] },
      ],
    };
  },
});

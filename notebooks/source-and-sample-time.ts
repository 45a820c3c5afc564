/**
 * How long must the converter sample this source?
 *
 * The sampling capacitor takes its charge through the switch from a pin that takes it through the source. What is missing when
 * the switch opens is worked out for the first conversion, the steady state and the mean of the burst, over every sample time of
 * the profile and over the capacitance at the pin; the rules of thumb stand beside it.
 */
import { formatQuantity } from '../src/numbers/format.ts';
import * as b from '../src/page/blocks.ts';
import {
  action,
  met,
  missed,
  onScreen,
  type Prose,
  paragraph,
  prose,
  type Section,
  strong,
} from '../src/page/blocks.ts';
import { page } from '../src/page/page.ts';
import { dividerPairSections } from '../src/page/sections/dividerPairs.ts';
import { pinCapacitor } from '../src/page/sections/pinCapacitor.ts';
import { firstConversion, pinDraws } from '../src/page/sections/pinDraws.ts';
import { rulesOfThumb } from '../src/page/sections/rulesOfThumb.ts';
import { sampleTable, sourceWords } from '../src/page/sections/sampleTable.ts';
import { samplingNetwork } from '../src/page/sections/samplingNetwork.ts';
import { scanCrosstalk } from '../src/page/sections/scanCrosstalk.ts';
import { cautionSentences, missedSentence } from '../src/page/sections/sentences.ts';
import { lsb, settling } from '../src/page/sections/settling.ts';
import { type Told, told } from '../src/page/sections/told.ts';
import { waveform } from '../src/page/sections/waveform.ts';
import { type PinResult, pinOf } from '../src/worksheet/pinOf.ts';
import { sampleChangesOf } from '../src/worksheet/sampleChangesOf.ts';
import { type SampleTimeRow, type SampleTimes, sampleTimesOf } from '../src/worksheet/sampleTimesOf.ts';
import { scanOf } from '../src/worksheet/scanOf.ts';

const ohms = (value: number): string => formatQuantity({ value, unit: 'ohm' });

/** How far a reading is off for lack of settling: `438 mV low (255 LSB)`, or that it is settled. */
function offWords({ difference }: Told, { worth }: SampleTimeRow): string {
  if (worth === undefined) return 'does not fit the trigger';
  const { meanMeasurand, errors } = worth;
  if (Math.abs(errors.mean) < 1e-3) return 'settles to less than 0.001\u202fLSB';
  return `reads ${difference(Math.abs(meanMeasurand))} ${meanMeasurand < 0 ? 'low' : 'high'} (${lsb(errors.mean)})`;
}

function answer({ e: { sampling }, time }: Told, { recommended, rows }: SampleTimes): Prose {
  const allowed = lsb(sampling.allowedErrorLsb);
  if (recommended) {
    const left = lsb(recommended.worth!.errors.mean, 2);
    return prose`${met('')}${strong(`Sample for ${recommended.cycles} cycles, ${time(recommended.sampleTime)}:`)} ${left} are left, where ${allowed} are allowed.`;
  }
  const served = rows.findLast((r) => r.worth)?.worth?.maxSourceResistance ?? 'none';
  return prose`${missed('')}${strong('No sample time of this converter serves at this clock:')} the longest that fits serves a source of ${sourceWords(served)}, and this one has ${ohms(sampling.sourceResistance)}.`;
}

/** Leakage, where it alone takes more than is wanted for everything together. */
function leaks({ e, difference }: Told, { leakage }: PinResult): Prose {
  const wanted = e.worksheet.inputs.requirement.uncertainty?.value;
  return wanted !== undefined && leakage.measurand > wanted
    ? prose` ${missed('Leakage')} may move the reading by ${difference(leakage.measurand)}, whatever the sample time.`
    : [];
}

function also(t: Told, { chosen, recommended }: SampleTimes, pin: PinResult): Prose {
  const { e, time } = t;
  const rest = prose`${missedSentence(e)}${leaks(t, pin)}`;
  if (chosen.recommended) return prose`This is what you have chosen. ${rest}`;
  const change = { 'sampling.sampleCycles': String(recommended?.cycles) };
  const take = recommended ? onScreen(prose` (${action(`take ${recommended.cycles} instead`, change)})`) : '';
  const mean = e.averaging.ratio === 1 ? 'a conversion' : `the mean of ${e.averaging.ratio}`;
  return prose`You have chosen ${String(chosen.cycles)} cycles, ${time(chosen.sampleTime)}: ${mean} ${offWords(t, chosen)}${take}. ${rest}`;
}

const misleads = (e: Told['e']): Section => ({
  body: [
    b.notes('When this misleads', [
      prose`The sampling capacitor and the switch are typical or largest figures; both grow with temperature and as the supply falls. Look again with the sheet’s worst.`,
      prose`The source is taken as a resistor. A buffer or an amplifier rings and slews after the kick; its own sheet tells how soon it settles.`,
      prose`A settling error that is the same in every reading looks like gain error, and hides in a calibration until the temperature moves.`,
    ]),
  ],
  margin:
    e.assumed.length > 0
      ? [paragraph(prose`Still assumed: ${e.assumed.map((a) => a.label).join(', ')}.`)]
      : [],
});

export default page({
  place: 3,
  short: 'Source and sample time',
  question: 'How long must the converter sample this source?',
  content(e) {
    const t = told(e);
    const times = sampleTimesOf(e);
    const pin = pinOf(e);
    const scan = scanOf(e);
    const changes = sampleChangesOf(e, times, pin).map(
      ({ serves, text, changes }) =>
        prose`${serves ? met('') : missed('')}${text}${Object.keys(changes).length > 0 ? onScreen(prose` ${action('Try it', changes)}`) : ''}`,
    );
    return {
      answer: answer(t, times),
      also: also(t, times, pin),
      sections: [
        samplingNetwork(t),
        waveform(t, pin),
        settling(t, times),
        { body: [sampleTable(t, times)] },
        ...(changes.length > 0 ? [{ body: [b.notes('What else would serve', changes)] }] : []),
        pinCapacitor(t, pin),
        firstConversion(t, times, pin),
        pinDraws(t, pin),
        ...dividerPairSections(t),
        ...rulesOfThumb(t, times),
        ...(scan ? [scanCrosstalk(scan)] : []),
        misleads(e),
        { body: [b.caution(cautionSentences(e))] },
      ],
    };
  },
});

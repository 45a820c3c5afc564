/**
 * Which codes make the watchdog trip where I mean it to?
 *
 * A limit goes through sensor and divider to volts, and through the converter at its worst to the code that keeps the guarantee.
 * Where it then begins to trip, how often noise alone makes it, and what to write at every other setting follow from that code.
 */
import { asciiQuantity, formatQuantity } from '../src/numbers/format.ts';
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
import { falseTrips } from '../src/page/sections/falseTrips.ts';
import { faultCodes } from '../src/page/sections/faultCodes.ts';
import { cautionSentences, missedSentence, watchdogCaution } from '../src/page/sections/sentences.ts';
import { type Told, told } from '../src/page/sections/told.ts';
import { watchdogLimits, watchdogRegisters } from '../src/page/sections/watchdogLimits.ts';
import { watchdogTable } from '../src/page/sections/watchdogTable.ts';
import { limitWords, looseWords, placeWords } from '../src/page/sections/watchdogWords.ts';
import { watchdogZone } from '../src/page/sections/watchdogZone.ts';
import { falseTripsOf } from '../src/worksheet/falseTripsOf.ts';
import { faultCodesOf } from '../src/worksheet/faultCodesOf.ts';
import { type Watchdog, watchdogOf } from '../src/worksheet/watchdogOf.ts';
import { watchdogSettingsOf } from '../src/worksheet/watchdogSettingsOf.ts';

function answer({ e, measurand }: Told, watchdog: Watchdog | undefined): Prose {
  if (watchdog === undefined) {
    const at = asciiQuantity({ value: e.channel.range.high, unit: e.units.measurand });
    return prose`${strong('No watchdog is set:')} write a limit below and its codes appear.${onScreen(prose` ${action(`Try above ${measurand(e.channel.range.high)}`, { 'watchdog.above': at })}`)}`;
  }
  if (watchdog.refused !== undefined) {
    return prose`${missed('')}${strong('No code does this:')} ${watchdog.refused}.`;
  }
  const codes = watchdog.thresholds.map((t) => `${t.register} = ${t.hex}`).join(' and ');
  const limits = watchdog.limits.map(limitWords).join(' and ');
  return watchdog.intent === 'must-trip'
    ? prose`${met('')}${strong(`Write ${codes}:`)} every converter then trips ${limits}.`
    : prose`${met('')}${strong(`Write ${codes}:`)} no converter then trips but ${limits}.`;
}

/** What sensor, divider, amplifier and leakage add, and the limit that makes the guarantee hold with them. */
function sensorWords({ e, difference }: Told, { thresholds, intent }: Watchdog): Prose {
  const loose = thresholds.filter((t) => t.sensorTolerance > 0);
  if (loose.length === 0) return [];
  const most = Math.max(...loose.map((t) => t.sensorTolerance));
  const outwards = intent === 'must-trip' ? -1 : 1;
  const changes = loose.flatMap(({ limit, sensorTolerance }): [string, string][] => {
    if (limit.form.is !== 'measurand') return [];
    const direction = outwards * (limit.side === 'above' ? 1 : -1);
    // To four digits, and never less than what is needed.
    const unit = 10 ** (Math.floor(Math.log10(Math.abs(limit.value) + sensorTolerance)) - 3);
    const moved = limit.value + direction * Math.ceil(sensorTolerance / unit) * unit;
    return [
      [
        `watchdog.${limit.side}`,
        asciiQuantity({ value: Number(moved.toPrecision(6)), unit: limit.form.unit }),
      ],
    ];
  });
  const take =
    changes.length > 0
      ? onScreen(
          prose` ${action('Move the limit further by that, in the worksheet', Object.fromEntries(changes))}`,
        )
      : '';
  return prose` ${looseWords(e)} may move this by up to ${difference(most)} either way; the codes do not count them.${take}`;
}

function also(t: Told, watchdog: Watchdog | undefined): Prose {
  const { e, difference } = t;
  if (watchdog === undefined || watchdog.refused !== undefined) return missedSentence(e);
  const places = watchdog.thresholds.map(({ startsAt, tripsAt }) => {
    const [first, half] = [placeWords(e, startsAt), placeWords(e, tripsAt)];
    return `The first may trip from ${first} on, one without error trips at ${half}.`;
  });
  const swap = watchdog.swapped ? ' The curve falls, so the upper limit is kept by the low threshold.' : '';
  const { settlingErrorMeasurand: off, settlingErrorLsb } = e.sampling;
  const unsettled =
    Math.abs(settlingErrorLsb) > 1
      ? prose` ${missed('The pin is not settled:')} readings are up to ${difference(Math.abs(off))} ${off < 0 ? 'low' : 'high'}, and every trip point moves with them.`
      : '';
  return prose`${places.join(' ')}${swap}${sensorWords(t, watchdog)}${unsettled} ${missedSentence(e)}`;
}

/** What follows from each threshold. */
function thresholdSections(t: Told, watchdog: Watchdog): Section[] {
  const each = watchdog.thresholds.map((threshold) => ({
    threshold,
    trips: falseTripsOf(t.e, watchdog, threshold),
  }));
  return [
    ...each.map(({ threshold, trips }) => watchdogZone(t, watchdog, threshold, trips)),
    { body: [watchdogTable(t, watchdog, watchdogSettingsOf(t.e, watchdog))] },
    ...each.flatMap(({ threshold, trips }) => falseTrips(t, watchdog, threshold, trips)),
  ];
}

function misleads(t: Told, watchdog: Watchdog | undefined): Section {
  const { e } = t;
  const { stage } = e.worksheet.profile.comparator;
  const { independentLsb } = e.noise;
  const hum = e.worksheet.inputs.conditioning.interference;
  return {
    body: [
      b.notes('When this misleads', [
        prose`The window watchdog sees raw codes: a calibration that firmware applies to readings does not reach it. Put the board’s own correction into the code, or live with the zone.`,
        prose`The reference’s drift with temperature and age is not in the zone; neither is the error of an unsettled pin.`,
        ...(stage === 'conversion'
          ? [
              prose`Each conversion is compared, also those that are thrown away after a change of channel, and in a scan those of other channels unless the comparator is tied to one.`,
            ]
          : []),
        ...(stage === 'result' && independentLsb < 0.3
          ? [
              prose`With noise of ${formatQuantity({ value: independentLsb, unit: 'LSB' })} the average sticks to whole codes: the threshold acts at a transition, and the share that trips is steeper than drawn.`,
            ]
          : []),
        ...(hum ? [prose`Hum is not in the noise: it trips in bursts, not at random.`] : []),
        prose`False alarms count independent values. Drift, hum and 1/f noise make them come in clusters.`,
      ]),
    ],
    ...(watchdog && {
      margin: [
        paragraph(
          prose`${looseWords(t.e)} are shown beside the zone, as far as the worksheet gives their spread; the codes do not count them.`,
        ),
      ],
    }),
  };
}

export default page({
  place: 4,
  short: 'Watchdog codes',
  question: 'Which codes make the watchdog trip where I mean it to?',
  content(e) {
    const t = told(e);
    const watchdog = watchdogOf(e);
    const serves = watchdog && watchdog.refused === undefined;
    return {
      answer: answer(t, watchdog),
      also: also(t, watchdog),
      sections: [
        watchdogLimits(t),
        watchdogRegisters(t, watchdog),
        ...(serves ? thresholdSections(t, watchdog) : []),
        faultCodes(t, faultCodesOf(e)),
        misleads(t, watchdog),
        { body: [b.caution(prose`${watchdog ? '' : `${watchdogCaution} `}${cautionSentences(e)}`)] },
      ],
    };
  },
});

/**
 * Is there enough noise, and the right kind, for averaging?
 *
 * Noise smooths the staircase of the codes, and only then does averaging resolve what lies between them. How much is enough depends
 * on the ratio; whether it is the right kind, on how alike neighbouring conversions are. What averaging leaves is told part by part.
 */
import { asciiQuantity, formatQuantity } from '../src/numbers/format.ts';
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
} from '../src/page/blocks.ts';
import { page } from '../src/page/page.ts';
import { ditherCurve } from '../src/page/sections/ditherCurve.ts';
import { dithers } from '../src/page/sections/dithers.ts';
import { filters } from '../src/page/sections/filters.ts';
import { moving } from '../src/page/sections/moving.ts';
import { noiseParts } from '../src/page/sections/noiseParts.ts';
import { oneReading } from '../src/page/sections/oneReading.ts';
import { cautionSentences, sourceSentence } from '../src/page/sections/sentences.ts';
import { settingWords } from '../src/page/sections/settingsTable.ts';
import { staircase } from '../src/page/sections/staircase.ts';
import { number, type Told, told } from '../src/page/sections/told.ts';
import { untouched } from '../src/page/sections/untouched.ts';
import { noiseOf, type WorksheetNoise } from '../src/worksheet/noiseOf.ts';

const lsb = (value: number): string => formatQuantity({ value, unit: 'LSB' });

function answer({ e, difference }: Told, found: WorksheetNoise): Prose {
  const { noise, channel } = e;
  const here = `${lsb(noise.independentLsb)} rms`;
  const stays =
    noise.rippleLsb < 1e-3
      ? 'next to nothing of the steps'
      : `steps of ${difference(noise.rippleLsb * channel.worst.perCode)} rms`;
  const { standing, ratio, usefulRatio } = found;
  if (standing === 'too little') {
    return prose`${missed('')}${strong('There is too little noise:')} ${here} leaves ${stays} in the mean, at any ratio.`;
  }
  if (standing === 'hardly') {
    return prose`${missed('')}${strong('There is hardly enough noise:')} ${here} leaves ${stays} in the mean, at any ratio.`;
  }
  if (usefulRatio < ratio) {
    return prose`${missed('')}${strong('There is noise enough, but not of the right kind:')} past ${String(usefulRatio)} conversions averaging hardly lowers it.`;
  }
  return prose`${met('')}${strong('There is noise enough to average')}${ratio === 1 ? '' : ` ${ratio} conversions`}: ${here} leaves ${stays} in the mean.`;
}

function also({ e, difference }: Told, found: WorksheetNoise): Prose {
  const { ratio, shift, effectiveBits, ruleOfThumbBits, ceilingBits, bestHere, addLsb, standing } = found;
  const where =
    e.averaging.ratio === 1 ? `Not averaged now; at ${ratio}` : `At ${settingWords({ ratio, shift })}`;
  const ceiling =
    ceilingBits === 'any' || ceilingBits > 20
      ? ''
      : ceilingBits < effectiveBits + 0.1
        ? ', and hardly more at any ratio'
        : `, at most ${number(ceilingBits)} at any ratio`;
  const figures = `${where} the mean is worth ${number(effectiveBits)} bits${ceiling}; the half-bit rule promises ${number(ruleOfThumbBits)}.`;
  if (addLsb === 0 || standing === 'enough') {
    const { lagLsb } = found.moving;
    const white = e.worksheet.inputs.noise ? '' : ' The worksheet names no noise that is not white.';
    const lag = lagLsb === 0 ? '' : ` The mean lags by ${difference(lagLsb * e.channel.worst.perCode)}.`;
    return prose`${figures}${white}${lag}`;
  }
  const { codeBinWidth } = e.quantizing;
  const { sourceLsb, correlation } = e.noise;
  const dither = `Dither of ${lsb(addLsb)} rms, ${formatQuantity({ value: addLsb * codeBinWidth, unit: 'V' })} at the pin, would make it ${number(bestHere.effectiveBits)}`;
  if (correlation > 0.3) return prose`${figures} ${dither}, if it is quicker than the conversions.`;
  // Through source and capacitor a share of it is alike in neighbours, and does nothing.
  const total = Math.hypot(addLsb / Math.sqrt(1 - correlation), sourceLsb) * codeBinWidth;
  const text = asciiQuantity({ value: Number(total.toPrecision(3)), unit: 'V' });
  return prose`${figures} ${dither}.${onScreen(prose` ${action('Try it', { 'noise.sourceRms': text })}`)}`;
}

/** What moves the codes, and what may be said of it. */
function kinds({ e, time }: Told): Section {
  const { noise } = e.worksheet.inputs;
  const row = (what: string, key: keyof NonNullable<typeof noise>, otherwise: string) => ({
    what,
    value: prose`${entry(`noise.${key}`)}`,
    ...(noise?.[key] === undefined && { from: otherwise }),
  });
  return {
    claim: 'What moves the codes',
    body: [
      paragraph(sourceSentence(e)),
      paragraph(
        prose`That noise is taken as white. What comes besides counts only where it is written in; an emptied field takes it out again.`,
      ),
      b.inputs([
        row('noise from the source, or dither, rms at the pin', 'sourceRms', 'none'),
        row(
          'comes through a time constant of',
          'sourceTime',
          `source and pin capacitor: ${time(e.noise.sourceTime)}`,
        ),
        row('1/f corner of the converter’s noise', 'flickerCorner', 'none'),
        row('readings are compared over', 'observation', 'an hour'),
        row('the input, or a drift, moves in a minute by', 'drift', 'still'),
      ]),
    ],
  };
}

const misleads = (): Section => ({
  body: [
    b.notes('When this misleads', [
      prose`The noise was measured on one board, on a still input, perhaps with the pin shorted: measure the finished board, in its box. A record of codes tells noise and corner.`,
      prose`Hum is no dither: it is neither white nor in step with the burst, and counted apart.`,
      prose`Dither must be independent of the code, and there at every burst; crosstalk from the converter’s own digital side is neither.`,
      prose`Uneven codes (DNL) make steps of uneven width: the curves are those of even ones.`,
    ]),
  ],
});

export default page({
  place: 5,
  short: 'Noise and dither',
  question: 'Is there enough noise, and the right kind, for averaging?',
  content(e) {
    const t = told(e);
    const found = noiseOf(e);
    return {
      answer: answer(t, found),
      also: also(t, found),
      sections: [
        kinds(t),
        staircase(t),
        ditherCurve(t, found),
        ...dithers(t, found),
        noiseParts(t, found),
        moving(t, found),
        oneReading(t, found),
        filters(t, found),
        untouched(t, found),
        misleads(),
        { body: [b.caution(cautionSentences(e))] },
      ],
    };
  },
});

/**
 * Is there enough noise, and the right kind, for averaging?
 *
 * Noise smooths the staircase of the codes, and only then does averaging resolve what lies between them. How much is enough depends
 * on the ratio; whether it is the right kind, on how alike neighbouring conversions are. What averaging leaves is told part by part.
 */
import { asciiQuantity, formatDeciding, formatQuantity } from '../src/numbers/format.ts';
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
import { ditherCurve } from '../src/page/sections/ditherCurve.ts';
import { dithers } from '../src/page/sections/dithers.ts';
import { filters } from '../src/page/sections/filters.ts';
import { noiseParts } from '../src/page/sections/noiseParts.ts';
import { cautionSentences, sourceSentence } from '../src/page/sections/sentences.ts';
import { settingWords } from '../src/page/sections/settingsTable.ts';
import { staircase } from '../src/page/sections/staircase.ts';
import { number, type Told, told } from '../src/page/sections/told.ts';
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
        : `, ${number(ceilingBits)} at any ratio`;
  const figures = `${where} the mean is worth ${number(effectiveBits)} bits${ceiling}; the half-bit rule promises ${number(ruleOfThumbBits)}.`;
  if (addLsb === 0 || standing === 'enough') {
    const { lagLsb } = found.moving;
    const white = e.worksheet.inputs.noise ? '' : ' The worksheet names no noise that is not white.';
    const lag = lagLsb === 0 ? '' : ` The mean lags by ${difference(lagLsb * e.channel.worst.perCode)}.`;
    return prose`${figures}${white}${lag}`;
  }
  const added = addLsb * e.quantizing.codeBinWidth;
  const total = Math.hypot(added, e.noise.sourceLsb * e.quantizing.codeBinWidth);
  const text = asciiQuantity({ value: Number(total.toPrecision(3)), unit: 'V' });
  return prose`${figures} Dither of ${lsb(addLsb)} rms, ${formatQuantity({ value: added, unit: 'V' })} at the pin, would make it ${number(bestHere.effectiveBits)}.${onScreen(prose` ${action('Try it', { 'noise.sourceRms': text })}`)}`;
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

/** A moving input. */
function moving({ e, difference, time }: Told, { moving: m, ratio }: WorksheetNoise): Section {
  const { perCode } = e.channel.worst;
  const still = m.lagLsb === 0;
  const period = e.worksheet.inputs.requirement.period.value;
  return {
    claim: still
      ? `A burst lasts ${time(m.burst)}: its mean belongs to the middle of it.`
      : `The mean lags ${difference(m.lagLsb * perCode)} behind its last conversion.`,
    body: [
      paragraph(
        prose`${still ? 'An input that moves is lagged by half a burst' : `In ${time(m.burst)} the input moves by ${difference(2 * m.lagLsb * perCode)}; the mean belongs to the middle of the burst`}. A change of one code in each burst, ${difference(m.freeSlopeLsb * perCode)} a second, would smooth the staircase like a ramp, for nothing. Of a sine of half the rate of readings, one in ${time(2 * period)}, the mean leaves ${m.gain > 0.9999 ? 'more than 99.99' : number(100 * m.gain, 4)}\u202f%.`,
      ),
    ],
    margin: [
      b.working({
        result: 'lag and droop',
        steps: [
          { formula: 'd = v (R − 1)T/2' },
          { formula: 'H = (sin(πfRT))/(R sin(πfT))' },
          prose`with ${symbol('R')} = ${String(ratio)}, ${symbol('T')} = ${time(e.sampling.interval)}.`,
        ],
      }),
    ],
  };
}

/** How far one reading may be trusted, and what more of them bring. */
function trust({ e, difference, time }: Told, { many, enoughReadings }: WorksheetNoise): Section {
  const { perCode } = e.channel.worst;
  const { averaging, worksheet } = e;
  const figure = (n: (typeof many)[number]): string => `±${difference(n.twoSigmaLsb * perCode)}`;
  const wanted = worksheet.inputs.requirement.resolution?.value;
  const more = many.slice(1).map((n) => `${n.readings} give ${figure(n)}`);
  const needed =
    wanted === undefined
      ? ''
      : enoughReadings === 'none'
        ? ` No number of them is within ±${difference(wanted)}: the steps stay.`
        : enoughReadings === 1
          ? ` One is within ±${difference(wanted)} already.`
          : ` It takes ${number(enoughReadings!, 6)} for ±${difference(wanted)}.`;
  return {
    claim: `One reading is good to ${figure(many[0]!)} (2σ).`,
    body: [
      paragraph(
        prose`For a data sheet: noise ${figure(many[0]!)} (2σ) at worst, mean of ${String(averaging.ratio)} conversions in ${time(averaging.burstTime)}. Of a still input ${more.join(', ')}.${needed}`,
      ),
    ],
    margin: [paragraph(prose`Scatter and steps only; how far off the reading is, is another question.`)],
  };
}

/** What averaging leaves where it is: INL, the shift's bias, the clamp at 0 V. */
function untouched({ e, difference }: Told, { inlLsb, clamp }: WorksheetNoise): Section {
  const { averaging, reading, channel, quantizing } = e;
  const { perCode } = channel.worst;
  const { shift, rounding, resultLsb, biasLsb } = averaging;
  const inl = formatDeciding({ value: inlLsb * perCode, limit: reading.rms, unit: e.units.difference });
  const constant = 2 ** (shift - 1);
  const bias =
    shift === 0
      ? prose`The whole sum is kept, so nothing is dropped and there is no bias to put right.`
      : rounding === 'round'
        ? prose`The shift by ${String(shift)} rounds: what is left of its bias is ${number(biasLsb / resultLsb)} of a result code. Truncating would cost ${number((2 ** shift - 1) / 2 ** (shift + 1), 4)}.`
        : prose`The shift by ${String(shift)} truncates: results read ${number(Math.abs(biasLsb / resultLsb))} of a result code low, ${difference(Math.abs(biasLsb) * perCode)}. Add ${String(constant)} to the sum ahead of the shift, or ${number(Math.abs(biasLsb / resultLsb))} to the result.`;
  const volts = (codes: number): string =>
    formatQuantity({ value: codes * quantizing.codeBinWidth, unit: 'V' });
  return {
    claim: `INL of ${lsb(inlLsb)} stays, ${inl.value}: resolution yes, accuracy no.`,
    body: [
      paragraph(
        prose`Readings scatter by ${inl.limit} rms; a code may be off by ${inl.value} from nonlinearity alone, at any ratio.`,
      ),
      paragraph(bias),
      paragraph(
        prose`Codes stop at 0: an input of 0\u202fV would read ${volts(clamp.atZeroLsb)} too high on average, ${lsb(clamp.atZeroLsb)}, since what noise would put below is lost. ${clamp.biasLsb < 1e-6 ? `The range comes no nearer than code ${number(Math.round(clamp.inputLsb), 8)}, where it is nothing.` : `At code ${number(clamp.inputLsb)}, where the range comes nearest, it is ${lsb(clamp.biasLsb)}.`}`,
      ),
    ],
    margin: [
      b.working({
        result: 'bias of shift and clamp',
        steps: [
          { formula: 'b = (r − (2^s − 1)/2)/R' },
          prose`where the noise of the sum spans several results; ${symbol('r')} = 0 truncating, and rounding`,
          { formula: 'r = 2^(s − 1)' },
          prose`The clamp lifts the mean of an input ${symbol('x')} by`,
          { formula: 'c = sum(k=0; ∞; Q((x + k + 1/2)/σ))' },
          prose`${symbol('σ')}/√(2π) at 0\u202fV for wide noise.`,
        ],
      }),
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
        dithers(t, found),
        noiseParts(t, found),
        moving(t, found),
        trust(t, found),
        filters(t, found),
        untouched(t, found),
        misleads(),
        { body: [b.caution(cautionSentences(e))] },
      ],
    };
  },
});

/**
 * Which oversampling ratio does this temperature reading need?
 *
 * The slope of sensor and divider turns a code into degrees; the exact error of the averaged result then tells which ratio and
 * shift meet what is wanted, and which of them costs least. The half-bit rule stands beside it.
 */

import { oversample } from '../src/chain/averaging/oversample.ts';
import { meanTransfer } from '../src/chain/averaging/staircase.ts';
import { asciiQuantity, formatDeciding, formatNumber, formatQuantity } from '../src/numbers/format.ts';
import { decadeSpan, roundSpan, stationsBetween, thinned } from '../src/page/axes.ts';
import * as b from '../src/page/blocks.ts';
import {
  action,
  entry,
  met,
  missed,
  type Prose,
  paragraph,
  prose,
  type Section,
  strong,
  symbol,
} from '../src/page/blocks.ts';
import { page } from '../src/page/page.ts';
import { type Scale, scaleOf } from '../src/page/scale.ts';
import { cautionSentences, missedSentence, sourceSentence, wantedSentence } from '../src/page/sentences.ts';
import { settingChanges, settingsTable, settingWords } from '../src/page/settingsTable.ts';
import type { Evaluation } from '../src/worksheet/evaluate.ts';
import { settingsOf, type WorksheetSettings } from '../src/worksheet/settingsOf.ts';

/** What every section is told: the evaluation, its settings, how figures are written. */
interface Told extends Scale {
  readonly e: Evaluation;
  readonly settings: WorksheetSettings;
}

const number = (value: number, digits = 3): string => formatNumber({ value, digits });

function answer({ e, settings, difference }: Told): Prose {
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

function also({ e, settings: { chosen, recommended }, difference, charge }: Told): Prose {
  const figures = `${difference(chosen.rms)} rms in steps of ${difference(chosen.step)} for ${charge(chosen.charge)}`;
  if (chosen.recommended)
    return prose`This is what you have chosen: steps of ${difference(chosen.step)} for ${charge(chosen.charge)}. ${missedSentence(e)}`;
  const instead = recommended
    ? prose`, ${number(chosen.charge / recommended.charge, 2)} times the charge (${action(`take ${settingWords(recommended)} instead`, settingChanges(recommended))})`
    : '';
  return prose`You have chosen ${settingWords(chosen)}: ${figures}${instead}. ${missedSentence(e)}`;
}

/** The width of one native code over the range, and some way beyond it. */
function slope({
  e: { channel, sensor, quantizing, units },
  settings: { divider },
  name,
  unit,
  small,
  inSmall,
  difference,
  measurand,
}: Told): Section {
  const { low, high } = channel.range;
  const { worst } = channel;
  const beyond = (high - low) * 0.75;
  const [from, to] = [
    Math.max(low - beyond, sensor.validRange.low),
    Math.min(high + beyond, sensor.validRange.high),
  ];
  const at = (x: number): readonly [number, number] => [x, inSmall(channel.perCode(x))];
  const line = (a: number, z: number) => Array.from({ length: 81 }, (_, i) => at(a + ((z - a) * i) / 80));
  const other = worst.measurand === high ? low : high;
  const all = line(from, to);
  return {
    body: [
      b.plot({
        name: 'slope',
        claim: `One native code is worth ${difference(worst.perCode)} at ${measurand(worst.measurand)}, the worst end.`,
        description: `${small} per native code against ${name}: ${difference(channel.perCode(low))} at ${measurand(low)}, ${difference(channel.perCode(high))} at ${measurand(high)}`,
        x: { label: `${name}, ${unit}`, scale: 'linear', from, to },
        y: { label: `${small} per native code`, scale: 'linear', ...roundSpan(all.map((p) => p[1])) },
        marks: [
          b.span({ from: low, to: high, height: 0.93, text: 'wanted' }),
          b.curve({ name: 'beyond', points: all, style: 'thin' }),
          b.curve({ name: `${small} per code`, points: line(low, high), style: 'first' }),
          b.point({
            x: other,
            y: at(other)[1],
            standing: 'plain',
            text: number(at(other)[1]),
            place: other === low ? 'below right' : 'below left',
          }),
          b.point({
            x: worst.measurand,
            y: at(worst.measurand)[1],
            standing: 'worst',
            text: `worst: ${number(at(worst.measurand)[1])}`,
            place: worst.measurand === low ? 'left' : 'right',
          }),
        ],
        figures: {
          heads: [unit, small],
          rows: stationsBetween(from, to, 8).map((x) => [number(x), number(at(x)[1])]),
        },
      }),
    ],
    margin: [
      b.working({
        result: `${difference(worst.perCode)} at ${measurand(worst.measurand)}`,
        steps: [
          prose`From the share ${symbol('r')} of the reference at the pin, through sensor and divider:`,
          { formula: '|dx/dk| = 1/(2^N |dr/dx|)' },
          {
            formula: '|dx/dk| = 1/(2^N g)',
            with: {
              N: String(quantizing.bits),
              g: `${number(1 / (2 ** quantizing.bits * worst.perCode), 4)}/${units.difference}`,
            },
          },
        ],
        source: 'The sensor’s own curve, differentiated in closed form.',
      }),
      ...(divider && divider.perCode < 0.97 * divider.present
        ? [
            paragraph(
              prose`The divider favours one end. With ${formatQuantity({ value: divider.inSeries, unit: 'ohm' })} the widest code would be ${difference(divider.perCode)}. ${action(
                `Try ${formatQuantity({ value: divider.inSeries, unit: 'ohm' })}`,
                { 'conditioning.divider.resistor': asciiQuantity({ value: divider.inSeries, unit: 'ohm' }) },
              )}`,
            ),
          ]
        : []),
    ],
  };
}

/** Exact error against ratio, the half-bit rule beside it, the requirement as a line. */
function gain({
  e: { channel, quantizing, units, worksheet },
  settings: { rows, chosen, recommended },
  small,
  inSmall,
  difference,
}: Told): Section {
  const whole = rows.filter((r) => r.shift === 0);
  const quantizer = inSmall(channel.worst.perCode) / Math.sqrt(12);
  const exact = whole.map((r) => [r.ratio, inSmall(r.rms)] as const);
  const rule = whole.map((r) => [r.ratio, quantizer / Math.sqrt(r.ratio)] as const);
  const wanted = worksheet.inputs.requirement.resolution?.value;
  const y = decadeSpan(
    [...exact, ...rule].map((p) => p[1]).concat(wanted === undefined ? [] : inSmall(wanted)),
  );
  const bits = Array.from({ length: 30 }, (_, i) => ({
    y: quantizer * 2 ** (quantizing.bits - i),
    text: String(i),
  }));
  const [one, most] = [whole[0]!, whole.at(-1)!];
  const gained = most.effectiveBits - one.effectiveBits;
  const best = recommended ?? chosen;
  const deciding = formatDeciding({ value: one.rms, limit: wanted ?? 0, unit: units.difference });
  const alone =
    wanted === undefined ? `${deciding.value} rms` : `${deciding.value} rms against ${deciding.limit} wanted`;
  const mark = (r: typeof best, standing: 'recommended' | 'chosen'): b.Point =>
    b.point({
      x: r.ratio,
      y: inSmall(r.rms),
      standing,
      text: `${standing}: ${settingWords(r)}: ${number(inSmall(r.rms), 2)}`,
      place: r.ratio > most.ratio / 4 ? 'below left' : 'above right',
    });
  return {
    body: [
      b.plot({
        name: 'gain',
        claim: `From 1 to ${most.ratio}, averaging gains ${formatNumber({ value: gained, digits: 3, trailing: true })} bits; the half-bit rule promises ${number(Math.log2(most.ratio) / 2, 2)}.`,
        text: prose`Alone, a conversion gives ${alone}. The rule counts the quantizer’s noise only, and promises ${number(one.ruleOfThumbBits - one.effectiveBits, 2)} bits too much from the start.`,
        description: `${small} rms against oversampling ratio: ${difference(one.rms)} at 1, ${difference(most.rms)} at ${most.ratio}`,
        x: {
          label: 'oversampling ratio',
          scale: 'log',
          from: 0.85,
          to: most.ratio * 1.18,
          ticks: thinned(
            whole.map((r) => r.ratio),
            13,
          ),
        },
        y: { label: `${small} rms`, scale: 'log', ...y },
        right: { label: 'effective bits', ticks: bits.filter((t) => t.y >= y.from && t.y <= y.to) },
        marks: [
          ...(wanted === undefined
            ? []
            : [
                b.limit({
                  y: inSmall(wanted),
                  text: `wanted: at most ${difference(wanted)} rms`,
                  forbidden: 'above',
                }),
              ]),
          b.curve({
            name: 'exact',
            points: exact,
            style: 'first',
            dots: true,
            label: { text: 'exact, no shift', at: whole.length - 2, place: 'along above' },
          }),
          b.curve({
            name: 'half-bit rule',
            points: rule,
            style: 'second',
            label: {
              text: 'half-bit rule: quantizer’s noise only',
              at: whole.length >> 1,
              place: 'along below',
            },
          }),
          ...(recommended && !recommended.chosen ? [mark(recommended, 'recommended')] : []),
          mark(chosen, 'chosen'),
        ],
        figures: {
          heads: ['ratio', `exact, ${small}`, `rule, ${small}`, 'bits'],
          rows: whole.map((r, i) => [
            String(r.ratio),
            number(exact[i]![1], 4),
            number(rule[i]![1], 4),
            number(r.effectiveBits, 4),
          ]),
        },
      }),
    ],
    margin: [
      b.working({
        result: `${difference(best.rms)} rms at ${settingWords(best)}`,
        open: true,
        steps: [
          prose`Mean of ${symbol('R')} conversions, error in native LSB:`,
          { formula: 'u^2 = B^2 + (σ^2 + 1/12 − B^2)/R' },
          prose`What no averaging removes:`,
          { formula: 'B^2 = sum(k=1; ∞; e^(−4π^2 k^2 σ^2)/(2π^2 k^2))' },
          prose`With ${symbol('σ')} = ${number(quantizing.noiseLsb)}, ${symbol('R')} = ${String(best.ratio)}, ${symbol('B')} = ${number(best.rippleLsb, 2)}${best.shift === 0 ? '' : `, and what a shift by ${best.shift} drops`}:`,
          { formula: 'u = x', with: { x: `${number(best.rmsErrorLsb, 4)} LSB` } },
          { formula: 'u q', with: { u: number(best.rmsErrorLsb, 4), q: difference(channel.worst.perCode) } },
        ],
        source: 'Own derivation; agrees with convolving the whole distribution.',
      }),
    ],
  };
}

/** What the conversions cost, and what may be changed about it. */
function cost({ e, settings: { rows, chosen, recommended }, charge, time }: Told): Section {
  const { profile, inputs } = e.worksheet;
  const period = inputs.requirement.period.value;
  const asleep = profile.currents.sleep.value * period;
  const [one, most, best] = [rows[0]!, rows.at(-1)!, recommended ?? chosen];
  const running =
    inputs.sampling.core === 'running' ||
    (inputs.sampling.core === undefined && e.averaging.by === 'software');
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
          prose`with ${symbol('t')} = ${time(one.time)}; the divider counts where it is switched on for the burst, ${formatQuantity({ value: e.channel.largestExcitationCurrent, unit: 'A' })} at most.`,
        ],
      }),
      paragraph(prose`Counts the conversions alone; wake-up, start-up and arithmetic come on top.`),
    ],
  };
}

/** Every ratio and shift; and where none serves, what would. */
function everySetting({ e, settings, ...scale }: Told): Section[] {
  const { resolution, step } = e.worksheet.inputs.requirement;
  const would = settings.wouldServe.map(
    (w) => prose`${w.serves ? met('') : missed('')}${w.text} ${action('Try it', { [w.path]: w.value })}`,
  );
  return [
    { body: [settingsTable(settings, scale, Number(!!resolution) + Number(!!step))] },
    ...(would.length > 0 ? [{ body: [b.notes('What would serve', would)] }] : []),
  ];
}

/** The mean of many conversions against the input: at this noise, and at too little or enough of it. */
function stairs({ e: { quantizing, channel }, settings: { chosen }, difference }: Told): Section {
  const here = quantizing.noiseLsb;
  const enough = here >= 0.35;
  const other = here > 0.25 ? 0.15 : 0.4;
  const words = (noise: number): string => `${number(noise)} LSB rms`;
  const line = (noiseLsb: number) =>
    meanTransfer({ noiseLsb, from: -1.5, to: 2.5, points: 161 }).map(
      (p) => [p.inputLsb, p.inputLsb + p.meanErrorLsb] as const,
    );
  const [mine, theirs] = [line(here), line(other)];
  const stays = (rippleLsb: number): string => difference(rippleLsb * channel.worst.perCode);
  const theirRipple = oversample({ bits: quantizing.bits, noiseLsb: other, ratio: 1, shift: 0 }).rippleLsb;
  const follows = { at: 70, place: [-0.6, 1.4], end: 'right' } as const;
  const steps = { at: 110, place: [1.5, -0.5], end: 'left' } as const;
  const axis = { scale: 'linear', from: -1.5, to: 2.5, ticks: [-1, 0, 1, 2] } as const;
  return {
    body: [
      b.plot({
        name: 'staircase',
        claim: enough
          ? 'There is noise enough to average.'
          : here >= 0.2
            ? 'There is hardly noise enough to average.'
            : 'There is too little noise to average.',
        text: prose`At ${words(here)} the mean ${enough ? 'follows the input' : 'climbs in steps'} and ${stays(chosen.rippleLsb)} rms stay at any ratio; at ${words(other)} it would be ${stays(theirRipple)}.`,
        description: `Mean of many conversions against the input, in LSB, at ${words(here)} and at ${words(other)}`,
        x: { label: 'input, LSB from the middle of a code', ...axis },
        y: { label: 'mean of many conversions, codes', ...axis },
        marks: [
          b.curve({
            name: words(other),
            points: theirs,
            style: 'second',
            label: {
              text: `${words(other)}:\n${other < here ? 'the mean still steps' : 'the mean would follow'}`,
              ...(other < here ? steps : follows),
            },
          }),
          b.curve({
            name: words(here),
            points: mine,
            style: 'first',
            label: {
              text: `${words(here)}, as here:\n${enough ? 'the mean follows' : 'the mean steps'}`,
              ...(other < here ? follows : steps),
            },
          }),
          b.span({ from: 1, to: 2, height: 0.09, text: difference(channel.worst.perCode) }),
        ],
        figures: {
          heads: ['input', words(here), words(other)],
          rows: [60, 65, 70, 75, 80, 90, 100].map((i) => [
            number(mine[i]![0]),
            number(mine[i]![1], 4),
            number(theirs[i]![1], 4),
          ]),
        },
      }),
    ],
    margin: [
      b.working({
        result: `${stays(chosen.rippleLsb)} that stay`,
        steps: [
          prose`${symbol('B')} of the formula above with ${symbol('σ')} = ${number(here)}: ${number(chosen.rippleLsb)}\u202fLSB.`,
        ],
      }),
    ],
  };
}

function misleads({ e, difference }: Told): Section {
  const { biasMeasurand } = e.reading;
  const tolerance = e.sensor.tolerance?.(e.channel.worst.measurand);
  return {
    body: [
      b.notes('When this misleads', [
        prose`A still, noiseless input gains nothing: measure the noise on the finished board, not on the bench supply.`,
        prose`Noise that is not white (hum, drift, flicker) does not fall by half a bit a doubling; what the worksheet names as interference is counted apart.`,
        prose`Averaging raises resolution, never accuracy: INL stays, and so does the sensor’s tolerance${tolerance ? `, ${difference(tolerance)} at ${scaleOf(e).measurand(e.channel.worst.measurand)}` : ''}.`,
        ...(biasMeasurand === 0
          ? []
          : [
              prose`The shift truncates: firmware that forgets it reads ${difference(Math.abs(biasMeasurand))} ${biasMeasurand < 0 ? 'low' : 'high'} throughout.`,
            ]),
      ]),
    ],
    margin:
      e.assumed.length > 0
        ? [paragraph(prose`Still assumed: ${e.assumed.map((a) => a.label).join(', ')}.`)]
        : [],
  };
}

export default page({
  place: 1,
  short: 'Which ratio?',
  question: 'Which oversampling ratio does this temperature reading need?',
  content(e) {
    const told: Told = { e, settings: settingsOf(e), ...scaleOf(e) };
    const measured = {
      claim: 'What is measured, and how finely',
      body: [paragraph(sourceSentence(e)), paragraph(wantedSentence(e))],
    };
    const careful = { body: [b.caution(cautionSentences(e))] };
    return {
      answer: answer(told),
      also: also(told),
      sections: [
        measured,
        slope(told),
        gain(told),
        cost(told),
        ...everySetting(told),
        stairs(told),
        misleads(told),
        careful,
      ],
    };
  },
});

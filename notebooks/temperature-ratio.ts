/**
 * Which oversampling ratio does this temperature reading need?
 *
 * The slope of sensor and divider turns a code into degrees; the exact error of the averaged result then tells which ratio and
 * shift meet what is wanted, and which of them costs least. The half-bit rule stands beside it.
 */
import { meanTransfer } from '../src/chain/averaging/staircase.ts';
import { formatDeciding, formatNumber } from '../src/numbers/format.ts';
import {
  action,
  caution,
  curve,
  entry,
  inputs,
  limit,
  type Mark,
  met,
  missed,
  notes,
  type Prose,
  paragraph,
  plot,
  point,
  prose,
  type Row,
  type Section,
  span,
  strong,
  symbol,
  table,
  toPage,
  working,
} from '../src/page/blocks.ts';
import { page } from '../src/page/page.ts';
import { decadeSpan, roundSpan, stationsBetween, thinned } from '../src/page/axes.ts';
import { scaleOf } from '../src/page/scale.ts';
import { cautionSentences, missedSentence, sourceSentence, wantedSentence } from '../src/page/sentences.ts';
import type { SettingRow } from '../src/plan/settings.ts';
import type { Evaluation } from '../src/worksheet/evaluate.ts';

const choice = ({ ratio, shift }: { ratio: number; shift: number }): Record<string, string> => ({
  'averaging.ratio': String(ratio),
  'averaging.shift': String(shift),
});

const named = ({ ratio, shift }: { ratio: number; shift: number }): string => `${ratio}, shift ${shift}`;

/** `Average 8 and keep the whole sum`. */
function advice({ ratio, shift }: SettingRow): string {
  if (ratio === 1) return 'One conversion is enough';
  return shift === 0 ? `Average ${ratio} and keep the whole sum` : `Average ${ratio} and shift by ${shift}`;
}

function answer(e: Evaluation): Prose {
  const { settings, worksheet, units } = e;
  const { difference } = scaleOf(e);
  const { resolution } = worksheet.inputs.requirement;
  const best = settings.recommended;
  if (best) {
    const room = resolution ? `, where ${difference(resolution.value)} are allowed` : '';
    return prose`${met('')}${strong(`${advice(best)}:`)} ${difference(best.rms)} rms at worst${room}.`;
  }
  const least = settings.rows.reduce((a, b) => (b.rms < a.rms ? b : a));
  if (resolution && least.rms > resolution.value) {
    const { value, limit: wanted } = formatDeciding({ value: least.rms, limit: resolution.value, unit: units.difference });
    return prose`${missed('')}${strong('No ratio of this converter serves:')} ${value} rms at best, where ${wanted} are allowed.`;
  }
  const failures = [...new Set(least.failures.map((f) => f.text))].join(', ');
  return prose`${missed('')}${strong('No setting of this converter meets everything:')} with the least noise, ${named(least)}, ${failures}.`;
}

function also(e: Evaluation): Prose {
  const { chosen, recommended } = e.settings;
  const { difference, charge } = scaleOf(e);
  const yours = prose`You have chosen ${named(chosen)}: ${difference(chosen.rms)} rms in steps of ${difference(chosen.step)} for ${charge(chosen.charge)}`;
  if (!recommended) return prose`${yours}. ${missedSentence(e)}`;
  if (chosen.recommended) return prose`This is what you have chosen: steps of ${difference(chosen.step)} for ${charge(chosen.charge)}. ${missedSentence(e)}`;
  return prose`${yours}, ${formatNumber({ value: chosen.charge / recommended.charge, digits: 2 })} times the charge (${action(
    `take ${named(recommended)} instead`,
    choice(recommended),
  )}). ${missedSentence(e)}`;
}

const measured = (e: Evaluation): Section => ({
  claim: 'What is measured, and how finely',
  body: [paragraph(sourceSentence(e)), paragraph(wantedSentence(e))],
});

/** The width of one native code over the range, and some way beyond it. */
function slope(e: Evaluation): Section {
  const { channel, units } = e;
  const { difference, measurand, inScale, unit, axis } = scaleOf(e);
  const { low, high } = channel.range;
  const { worst } = channel;
  const [from, to] = axis.around(low, high);
  const at = (t: number): number => inScale(channel.perCode(t));
  const points = Array.from({ length: 131 }, (_, i) => from + ((to - from) * i) / 130).map((t) => [t, at(t)] as const);
  const within = points.filter(([t]) => t >= low && t <= high);
  const inside = [[low, at(low)] as const, ...within, [high, at(high)] as const];
  const bounds = axis.bounds(points.map(([, y]) => y));
  const other = worst.measurand === high ? low : high;
  return {
    body: [
      plot({
        name: 'slope',
        claim: `One native code is worth ${difference(worst.perCode)} at ${measurand(worst.measurand)}, the worst end.`,
        description: `${unit} per native code against ${axis.name}: ${difference(channel.perCode(low))} at ${measurand(low)}, ${difference(channel.perCode(high))} at ${measurand(high)}`,
        x: { label: axis.label, scale: 'linear', from, to },
        y: { label: `${unit} per native code`, scale: 'linear', ...bounds },
        marks: [
          span({ from: low, to: high, height: 0.92, text: 'wanted' }),
          curve({ name: 'beyond the range', points, style: 'thin' }),
          curve({ name: `${unit} per code`, points: inside, style: 'first' }),
          point({ x: other, y: at(other), standing: 'plain', text: formatNumber({ value: at(other) }), place: other === low ? 'below right' : 'below left' }),
          point({
            x: worst.measurand,
            y: at(worst.measurand),
            standing: 'worst',
            text: `worst: ${formatNumber({ value: at(worst.measurand) })} at ${measurand(worst.measurand)}`,
            place: worst.measurand === low ? 'above right' : 'right',
          }),
        ],
        figures: {
          heads: [axis.unit, unit],
          rows: axis.stations(from, to).map((t) => [formatNumber({ value: t }), formatNumber({ value: at(t) })]),
        },
      }),
    ],
    margin: [
      working({
        result: `${difference(worst.perCode)} at ${measurand(worst.measurand)}`,
        steps: [
          prose`The width of a code, through the slope of sensor and divider:`,
          { formula: '|dx/dk| = 1/(2^N |dr/dx|)' },
          prose`with ${symbol('r')} = ${formatNumber({ value: channel.fraction(worst.measurand), digits: 4 })} of the reference there.`,
          {
            formula: '|dx/dk| = 1/(2^N s)',
            with: { N: String(e.quantizing.bits), s: formatNumber({ value: 1 / (2 ** e.quantizing.bits * worst.perCode), digits: 4 }) },
          },
        ],
        source: `Derivative of the sensor’s own curve; ${units.difference === 'K' ? 'per kelvin' : 'per volt'}.`,
      }),
      ...(e.betterDivider ? [paragraph(betterDivider(e))] : []),
    ],
  };
}

function betterDivider(e: Evaluation): Prose {
  const { difference } = scaleOf(e);
  const { text, shown, perCode } = e.betterDivider!;
  return prose`Another divider resistor would even out both ends: with ${shown} the worst is ${difference(perCode)}. ${action(`Try ${shown}`, {
    'conditioning.divider.resistor': text,
  })}`;
}

/** Exact error against ratio, the rule beside it. */
function gain(e: Evaluation): Section {
  const { settings, channel, quantizing, worksheet } = e;
  const { difference, inScale, unit, axis } = scaleOf(e);
  const whole = settings.rows.filter((r) => r.shift === 0);
  const exact = whole.map((r) => [r.ratio, inScale(r.rms)] as const);
  const quantizer = inScale(channel.worst.perCode) / Math.sqrt(12);
  const rule = whole.map((r) => [r.ratio, quantizer / Math.sqrt(r.ratio)] as const);
  const { chosen, recommended } = settings;
  const wanted = worksheet.inputs.requirement.resolution;
  const bounds = axis.decades([...exact, ...rule].map(([, y]) => y).concat(wanted ? inScale(wanted.value) : []));
  const ratios = whole.map((r) => r.ratio);
  const bits = Array.from({ length: 24 }, (_, i) => i + 4)
    .map((n) => ({ y: quantizer * 2 ** (quantizing.bits - n), text: String(n) }))
    .filter(({ y }) => y >= bounds.from && y <= bounds.to);
  const one = whole[0]!;
  const last = whole.at(-1)!;
  const gained = last.effectiveBits - one.effectiveBits;
  const promised = Math.log2(last.ratio) / 2;
  const marked: Mark[] = [
    ...(wanted ? [limit({ y: inScale(wanted.value), text: `wanted: at most ${difference(wanted.value)} rms`, forbidden: 'above' })] : []),
    curve({ name: 'exact', points: exact, style: 'first', dots: true, label: { text: 'exact, no shift', at: Math.max(1, exact.length - 2), place: 'along above' } }),
    curve({ name: 'half-bit rule', points: rule, style: 'second', label: { text: 'half-bit rule: quantizer’s noise only', at: Math.floor(exact.length / 2), place: 'along below' } }),
    ...(recommended && !recommended.chosen
      ? [point({ x: recommended.ratio, y: inScale(recommended.rms), standing: 'recommended', text: `recommended: ${named(recommended)}: ${formatNumber({ value: inScale(recommended.rms), digits: 2 })}`, place: 'above right' })]
      : []),
    point({ x: chosen.ratio, y: inScale(chosen.rms), standing: 'chosen', text: `chosen: ${named(chosen)}: ${formatNumber({ value: inScale(chosen.rms), digits: 2 })}`, place: 'above right' }),
  ];
  const best = recommended ?? chosen;
  return {
    body: [
      plot({
        name: 'gain',
        claim:
          gained > 0.9 * promised
            ? `From 1 to ${last.ratio}, averaging gains ${formatNumber({ value: gained, digits: 2 })} bits: half a bit a doubling, as long as the noise is white.`
            : `From 1 to ${last.ratio}, averaging gains ${formatNumber({ value: gained, digits: 2 })} bits, not the ${formatNumber({ value: promised, digits: 2 })} of the half-bit rule.`,
        text: prose`Alone, a conversion gives ${difference(one.rms)} rms${
          wanted ? prose` against ${difference(wanted.value)} wanted` : ''
        }. The half-bit rule counts the quantizer’s own noise only and promises ${formatNumber({ value: one.ruleOfThumbBits - one.effectiveBits, digits: 2 })} bits too much from the start.`,
        description: `${unit} rms against oversampling ratio: ${difference(one.rms)} at 1, ${difference(last.rms)} at ${last.ratio}`,
        x: { label: 'oversampling ratio', scale: 'log', from: 0.85, to: last.ratio * 1.18, ticks: axis.powers(ratios) },
        y: { label: `${unit} rms`, scale: 'log', ...bounds },
        right: { label: 'effective bits', ticks: bits },
        marks: marked,
        figures: {
          heads: ['ratio', `exact, ${unit}`, `rule, ${unit}`, 'bits'],
          rows: whole.map((r, i) => [String(r.ratio), formatNumber({ value: exact[i]![1], digits: 4 }), formatNumber({ value: rule[i]![1], digits: 4 }), formatNumber({ value: r.effectiveBits, digits: 4 })]),
        },
      }),
    ],
    margin: [
      working({
        result: `${difference(best.rms)} rms at ${named(best)}`,
        open: true,
        steps: [
          prose`Mean of ${symbol('R')} conversions, error in native LSB:`,
          { formula: 'u^2 = B^2 + (σ^2 + 1/12 − B^2)/R' },
          prose`What no averaging removes:`,
          { formula: 'B^2 = sum(k=1; ∞; e^(−4π^2 k^2 σ^2)/(2π^2 k^2))' },
          prose`With ${symbol('σ')} = ${formatNumber({ value: quantizing.noiseLsb })}, ${symbol('R')} = ${String(best.ratio)}, ${symbol('B')} = ${formatNumber({ value: best.rippleLsb, digits: 2 })}${
            best.shift > 0 ? prose`, and what the shift by ${String(best.shift)} drops counted over the whole distribution` : ''
          }:`,
          { formula: 'u = x', with: { x: formatNumber({ value: best.rmsErrorLsb, digits: 4 }) } },
          { formula: 'u q', with: { u: formatNumber({ value: best.rmsErrorLsb, digits: 4 }), q: difference(channel.worst.perCode) } },
        ],
        source: 'Own derivation; agrees with convolving the whole distribution and with simulation.',
      }),
    ],
  };
}

function cost(e: Evaluation): Section {
  const { settings, sampling, worksheet } = e;
  const { charge, time } = scaleOf(e);
  const one = settings.rows.find((r) => r.ratio === 1) ?? settings.rows[0]!;
  const { currents } = worksheet.profile;
  const period = worksheet.inputs.requirement.period.value;
  const asleep = currents.sleep.value * period;
  const best = settings.recommended ?? settings.chosen;
  const most = settings.rows.at(-1)!;
  const core = e.averaging.by === 'software' ? 'converter.currents.coreRunning' : 'converter.currents.coreAsleep';
  return {
    claim: `One conversion takes ${time(one.time)} and ${charge(one.charge)}; ${
      best.charge < asleep / 20 ? 'the sleeping board takes far more.' : 'the battery notices.'
    }`,
    body: [
      paragraph(
        prose`In the ${time(period)} between readings the sleeping board takes ${charge(asleep)}; a burst of ${String(best.ratio)} takes ${charge(best.charge)}, and one of ${String(most.ratio)} ${charge(most.charge)}.`,
      ),
      inputs([
        { what: 'converter clock, divided by', value: prose`${entry('sampling.clockDivider')}` },
        { what: 'sample time', value: prose`${entry('sampling.sampleCycles')}` },
        { what: 'conversion', value: prose`${formatNumber({ value: sampling.conversionCycles })}\u202fcycles`, from: `the profile; fixed by ${e.quantizing.bits} bits` },
        { what: 'converter, while converting', value: prose`${entry('converter.currents.converter')}` },
        { what: 'core meanwhile', value: prose`${entry(core)}` },
        { what: 'sleeping board', value: prose`${entry('converter.currents.sleep')}` },
      ]),
    ],
    margin: [
      working({
        result: charge(one.charge),
        steps: [
          { formula: 'Q = I_converter R t + (I_core + I_divider) t_burst' },
          prose`with ${symbol('t')} = ${time(one.time)}; divider current where it draws most, ${formatNumber({ value: e.channel.largestExcitationCurrent * 1e6, digits: 3 })}\u202fµA, counted where the excitation is switched on for the burst.`,
        ],
      }),
      paragraph(prose`Counts the conversions alone; wake-up, start-up and arithmetic come on top.`),
    ],
  };
}

function everySetting(e: Evaluation): Section {
  const { settings, worksheet } = e;
  const { inScale, unit, difference } = scaleOf(e);
  const { rows, recommended } = settings;
  const wants = [worksheet.inputs.requirement.resolution, worksheet.inputs.requirement.step].filter(Boolean).length;
  const all = wants === 2 ? 'meets both' : 'meets it';
  const nano = (coulombs: number): string => formatNumber({ value: coulombs * 1e9, digits: 3 });
  const verdict = (r: SettingRow): NonNullable<Row['verdicts']> => {
    if (r.failures.length > 0) {
      const chosen = r.chosen ? [{ text: 'chosen' }] : [];
      return [
        ...chosen,
        ...r.failures.map((f) => {
          const { value, limit: wanted } = formatDeciding({ value: f.actual, limit: f.required, unit: f.unit, digits: 3 });
          const figures = f.name === 'resolution' || f.name === 'settling' || f.name === 'period' || f.name === 'latency' ? `: ${value}, ${wanted} wanted` : '';
          return { mark: 'miss' as const, text: f.text + figures };
        }),
      ];
    }
    if (r.recommended) return [{ mark: 'met', text: `recommended${r.chosen ? ' and chosen' : ''}: ${settings.reason}` }];
    return r.chosen ? [{ mark: 'met', text: `chosen; ${all}` }] : [{ text: all }];
  };
  const cell = (r: SettingRow, text: string, ...names: string[]) => (r.failures.some((f) => names.includes(f.name)) ? { text, miss: true as const } : text);
  const tableRows = rows.map((r, i): Row => ({
    cells: [
      String(r.ratio),
      String(r.shift),
      cell(r, String(r.resultBits), 'overflow'),
      cell(r, formatNumber({ value: r.largestCode, digits: 12 }), 'overflow'),
      cell(r, formatNumber({ value: inScale(r.step), digits: 3 }), 'step'),
      cell(r, formatNumber({ value: inScale(r.rms), digits: 3 }), 'resolution'),
      cell(r, formatNumber({ value: r.time * 1e6, digits: 4 }), 'period', 'latency'),
      nano(r.charge),
    ],
    verdicts: verdict(r),
    ...(r.chosen ? { standing: 'chosen' as const } : r.recommended ? { standing: 'recommended' as const } : r.failures.length > 0 ? { standing: 'fails' as const } : {}),
    group: rows[i - 1]?.ratio !== r.ratio,
    choose: { label: `ratio ${r.ratio}, shift ${r.shift}`, changes: choice(r) },
  }));
  // Of each ratio: the whole sum, all that meet, and the first that fails after them.
  const shown = rows.flatMap((r, i) => {
    const before = rows[i - 1];
    const edge = before !== undefined && before.ratio === r.ratio && before.failures.length === 0;
    return r.shift === 0 || r.failures.length === 0 || edge || r.chosen ? [i] : [];
  });
  return {
    body: [
      table({
        name: 'settings',
        claim: recommended
          ? `${recommended.ratio === 1 ? 'One conversion is' : `${recommended.ratio} conversions, shift ${recommended.shift}, are`} the cheapest that ${wants === 2 ? 'meet both wants' : 'meet what is wanted'}.`
          : 'No setting meets what is wanted.',
        text: prose`Choose a row to work with it; the drawing and the figures above follow.`,
        columns: [
          { head: 'ratio' },
          { head: 'shift' },
          { head: 'result', unit: 'bits', minor: true },
          { head: 'largest', unit: 'code', minor: true },
          { head: 'step', unit },
          { head: 'noise', unit: `${unit} rms` },
          { head: 'time', unit: 'µs', minor: true },
          { head: 'charge', unit: 'nC' },
        ],
        rows: tableRows,
        shown,
      }),
      ...(recommended ? [] : [notes('What would serve', e.wouldServe.map((w) => prose`${w.text}${w.change ? prose` ${action(w.change.words, w.change.changes)}` : ''}`))]),
      ...(recommended ? [] : [paragraph(prose`Widest step wanted: ${worksheet.inputs.requirement.step ? difference(worksheet.inputs.requirement.step.value) : 'any'}.`)]),
    ],
  };
}

/** The mean of many conversions against the input, at this noise and at little of it. */
function stairs(e: Evaluation): Section {
  const { quantizing, channel, settings } = e;
  const { difference } = scaleOf(e);
  const here = quantizing.noiseLsb;
  const little = 0.15;
  const enough = 0.4;
  const other = here > 0.25 ? little : enough;
  const line = (noiseLsb: number) => staircase({ noiseLsb, from: -1.5, to: 2.5, count: 161 });
  const mine = line(here);
  const theirs = line(other);
  const left = settings.chosen.rippleLsb * channel.worst.perCode;
  const label = (noise: number): string => `${formatNumber({ value: noise })} LSB rms`;
  const [quiet, noisy] = here < other ? [mine, theirs] : [theirs, mine];
  return {
    body: [
      plot({
        name: 'staircase',
        claim: here >= 0.35 ? 'There is noise enough to average.' : here >= 0.2 ? 'There is hardly noise enough to average.' : 'There is too little noise to average.',
        text: prose`At ${label(here)} the mean of many conversions ${here >= 0.35 ? 'follows the input' : 'climbs in steps'}, and ${difference(left)} rms stay at any ratio${
          here > 0.25 ? prose`; at ${label(little)} it would be ${difference(staircase.ripple(little) * channel.worst.perCode)}` : prose`; at ${label(enough)} it would be ${difference(staircase.ripple(enough) * channel.worst.perCode)}`
        }.`,
        description: `Mean of many conversions against the input in LSB, at ${label(here)} and at ${label(other)}`,
        x: { label: 'input, LSB from the middle of a code', scale: 'linear', from: -1.5, to: 2.5, ticks: [-1, 0, 1, 2] },
        y: { label: 'mean of many conversions, codes', scale: 'linear', from: -1.5, to: 2.5, ticks: [-1, 0, 1, 2] },
        marks: [
          curve({ name: label(here), points: mine, style: 'first', label: { text: here >= other ? `${label(here)}, as here:\nthe mean follows the input` : `${label(here)}, as here:\nthe mean steps`, at: 75, place: here >= other ? [-0.55, 1.35] : [1.55, -0.45], end: here >= other ? 'right' : 'left' } }),
          curve({ name: label(other), points: theirs, style: 'second', label: { text: here >= other ? `${label(other)}:\nthe mean still steps` : `${label(other)}:\nthe mean follows`, at: here >= other ? 110 : 85, place: here >= other ? [1.55, -0.45] : [-0.55, 1.35], end: here >= other ? 'left' : 'right' } }),
          span({ from: 1, to: 2, height: 0.09, text: `${difference(channel.worst.perCode)}` }),
        ],
        figures: {
          heads: ['input', label(Math.max(here, other)), label(Math.min(here, other))],
          rows: [60, 70, 80, 90, 100].map((i) => [formatNumber({ value: mine[i]![0] }), formatNumber({ value: noisy[i]![1], digits: 4 }), formatNumber({ value: quiet[i]![1], digits: 4 })]),
        },
      }),
    ],
    margin: [
      working({
        result: `${difference(left)} that stay`,
        steps: [prose`${symbol('B')} of the formula above, with ${symbol('σ')} = ${formatNumber({ value: here })}: ${formatNumber({ value: settings.chosen.rippleLsb, digits: 3 })}\u202fLSB.`],
      }),
    ],
  };
}

const misleads = (e: Evaluation): Section => ({
  body: [
    notes('When this misleads', [
      prose`A still, noiseless input gains nothing: measure the noise on the finished board, not on the bench supply.`,
      prose`Noise that is not white (hum, drift, flicker) does not fall by half a bit a doubling.`,
      prose`Averaging raises resolution, never accuracy: INL, offset and the sensor’s own tolerance stay${e.sensorTolerance ? prose`, here ${e.sensorTolerance}` : ''}.`,
      prose`What the shift drops is truncated; firmware that forgets half of it reads ${scaleOf(e).difference(Math.abs(e.reading.biasMeasurand))} ${e.reading.biasMeasurand < 0 ? 'low' : 'high'}.`,
    ]),
  ],
  margin: e.assumed.length > 0 ? [paragraph(prose`Still assumed: ${e.assumed.map((a) => a.label).join(', ')}.`)] : [],
});

export default page({
  place: 1,
  short: 'Which ratio?',
  question: 'Which oversampling ratio does this temperature reading need?',
  content: (e) => ({
    answer: answer(e),
    also: also(e),
    sections: [measured(e), slope(e), gain(e), cost(e), everySetting(e), stairs(e), misleads(e), { body: [caution(cautionSentences(e))] }],
  }),
});

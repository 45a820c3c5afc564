/** Planning: every setting of the converter, those that none beats, and the one to take. */
import { formatQuantity } from '../../numbers/format.ts';
import { scaleOf } from '../../page/scale.ts';
import {
  count,
  sameSetting,
  searchChanges,
  searchWords,
  served,
  tightestWords,
} from '../../page/sections/front.ts';
import { requirementFigures } from '../../page/sections/sentences.ts';
import { columns, wrap } from '../../page/text/lines.ts';
import { rejectionWords, type SearchPoint } from '../../plan/search.ts';
import type { Evaluation } from '../../worksheet/evaluate.ts';
import { searchOf, type WorksheetSearch } from '../../worksheet/searchOf.ts';
import { define, json, sessionOn, set, verdict } from '../command.ts';

/** What is missed with the recommended setting, which the search does not judge. */
function beyondSearch(search: WorksheetSearch, taken: Evaluation): string[] {
  if (search.recommended === undefined) return [];
  return taken.requirements
    .filter((r) => !r.met)
    .map((r) => {
      const { value, limit } = requirementFigures(r);
      return `With it the ${r.name} is missed, which is judged for the whole chain: ${value}, ${limit} wanted.`;
    });
}

function planText(e: Evaluation, search: WorksheetSearch, taken: Evaluation): string {
  const { front, recommended, rejected, reason, evaluated } = search;
  const { difference, charge, time } = scaleOf(e);
  const many = served(search);
  const row = (p: SearchPoint): string[] => [
    recommended && sameSetting(p, recommended) ? '>' : '',
    difference(p.error),
    charge(p.charge),
    time(p.time),
    String(p.sampling.clockDivider),
    String(p.sampling.sampleCycles),
    String(p.sampling.bits),
    String(p.averaging.ratio),
    String(p.averaging.shift),
  ];
  const right = [false, ...Array.from({ length: 8 }, () => true)];
  const heads = ['', 'error rms', 'charge', 'time', 'divider', 'cycles', 'bits', 'ratio', 'shift'];
  const tightest = tightestWords(search);
  const clock = recommended && e.worksheet.profile.clock.source.value / recommended.sampling.clockDivider;
  const found =
    recommended === undefined
      ? wrap(`${reason.charAt(0).toUpperCase()}${reason.slice(1)}.`, 80)
      : [
          ...columns([heads, ...front.map(row)], right, 80),
          '',
          ...wrap(
            `> Recommended: ${searchWords(recommended)} (clock ${formatQuantity({ value: clock!, unit: 'Hz' })}): ${reason}.${tightest ? ` Least room: ${tightest}.` : ''}`,
            80,
          ),
          ...beyondSearch(search, taken).flatMap((line) => wrap(line, 80)),
        ];
  const rejections = columns(
    rejected.map((r) => [`  ${count(r.count)}`, rejectionWords[r.reason]]),
    [true, false],
    80,
  );
  return [
    ...wrap(
      `${count(evaluated)} settings looked at; ${count(many)} meet every requirement, ${count(front.length)} of them are beaten by none in error, charge and time.`,
      80,
    ),
    '',
    ...found,
    ...(recommended ? ['Currents count as those of the profile, whatever the clock.'] : []),
    ...(rejected.length > 0
      ? ['', 'Rejected, each for the first reason that it meets in this order', ...rejections]
      : []),
    '',
  ].join('\n');
}

const pointJson = ({ error, charge, time, sampling, averaging }: SearchPoint) => ({
  error,
  charge,
  time,
  sampling,
  averaging,
});

const planJson = ({ evaluated, rejected, front, recommended, reason }: WorksheetSearch): string =>
  `${JSON.stringify(
    {
      evaluated,
      rejected,
      front: front.map(pointJson),
      recommended: recommended ? { ...pointJson(recommended), reason } : 'none',
    },
    null,
    2,
  )}\n`;

export const plan = define({
  name: 'plan',
  takes: '[WORKSHEET]',
  help: 'search every clock divider, sample time, resolution, ratio and shift of the converter: those that meet every requirement and that none beats in error, charge and time, the one to take, and why the others are rejected. Exit code 0 if one meets everything, 1 if none does',
  options: {
    set,
    json: {
      ...json,
      help: 'results for machines, in SI units (error rms in K, V, A, or the sensor’s own unit)',
    },
  },
  most: 1,
  async run({ values, positionals }) {
    const { session } = await sessionOn(positionals[0], values.set as string[] | undefined);
    const e = session.evaluation;
    const search = searchOf(e);
    // What else is asked for is judged with the recommended setting in the worksheet.
    if (search.recommended) session.write(searchChanges(search.recommended));
    const taken = session.evaluation;
    process.stdout.write(values.json ? planJson(search) : planText(e, search, taken));
    return search.recommended === undefined ? 1 : verdict(taken);
  },
});

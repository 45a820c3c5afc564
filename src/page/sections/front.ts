/** The front of a search: error against charge of the settings that no other beats, and the table to choose from. */

import { formatDeciding, formatNumber } from '../../numbers/format.ts';
import { frontOf } from '../../plan/front.ts';
import { requirementWords } from '../../plan/requirements.ts';
import { rejectionWords, type SearchPoint } from '../../plan/search.ts';
import type { WorksheetSearch } from '../../worksheet/searchOf.ts';
import { decadeSpan } from '../axes.ts';
import * as b from '../blocks.ts';
import { paragraph, prose, type Row, type Section } from '../blocks.ts';
import { settingWords } from './settingsTable.ts';
import { number, type Told } from './told.ts';

type Setting = Pick<SearchPoint, 'sampling' | 'averaging'>;

/** Most rows that are shown at first. */
const mostRows = 12;

/** The changes that take a setting of the search. */
export const searchChanges = ({ sampling, averaging }: Setting): Record<string, string> => ({
  'sampling.clockDivider': String(sampling.clockDivider),
  'sampling.sampleCycles': String(sampling.sampleCycles),
  'sampling.bits': String(sampling.bits),
  'averaging.ratio': String(averaging.ratio),
  'averaging.shift': String(averaging.shift),
});

/** A setting of the search in words. */
export const searchWords = ({ sampling, averaging }: Setting): string =>
  `clock divided by ${sampling.clockDivider}, ${sampling.sampleCycles} sample cycles, ${sampling.bits} bits × ${settingWords(averaging)}`;

/** Whether two settings are the same one. */
export const sameSetting = (a: Setting, c: Setting): boolean =>
  a.averaging.ratio === c.averaging.ratio &&
  a.averaging.shift === c.averaging.shift &&
  a.sampling.clockDivider === c.sampling.clockDivider &&
  a.sampling.sampleCycles === c.sampling.sampleCycles &&
  a.sampling.bits === c.sampling.bits;

/** A count in print. */
export const count = (value: number): string => formatNumber({ value, digits: 12 });

/** How many meet everything. */
export const served = ({ evaluated, rejected }: WorksheetSearch): number =>
  rejected.reduce((left, r) => left - r.count, evaluated);

/** How many settings were rejected for what, the most first. */
const rejectedWords = ({ rejected }: WorksheetSearch): string =>
  [...rejected]
    .sort((x, y) => y.count - x.count)
    .map((r) => `${rejectionWords[r.reason]}: ${count(r.count)}`)
    .join('; ');

/** The requirement of the recommended setting that has the least room, in figures; undefined where none is near. */
export function tightestWords({ recommended }: WorksheetSearch): string | undefined {
  const tight = recommended?.requirements
    .filter((r) => r.margin !== 'any' && r.margin < 2)
    .sort((x, y) => Number(x.margin) - Number(y.margin))[0];
  if (tight === undefined) return undefined;
  const { value, limit } = formatDeciding({ value: tight.actual, limit: tight.required, unit: tight.unit });
  return `${requirementWords[tight.name]} ${value}, ${limit} wanted`;
}

/** Where the present setting stands to the front. */
function chosenWords({ e, charge }: Told, search: WorksheetSearch): string {
  const rejection = search.rejectionOf(search.chosen);
  if (rejection !== 'none') return `Yours is rejected: ${rejectionWords[rejection]}.`;
  if (search.front.some((p) => sameSetting(p, search.chosen))) return 'Yours is one of them.';
  const { rms } = e.reading;
  const better = search.front.find((p) => p.error <= rms);
  if (better === undefined) return '';
  const factor = e.averaging.charge / better.charge;
  return factor < 1.005
    ? 'Yours is beaten by one of the same charge.'
    : `Yours takes ${number(factor, 2)} times the charge of one with no more error: ${charge(e.averaging.charge)} in place of ${charge(better.charge)}.`;
}

function frontPlot(t: Told, search: WorksheetSearch): b.Plot {
  const { e, small, inSmall, difference, charge } = t;
  const { front, recommended, chosen } = search;
  const [unit, per] = front.every((p) => p.charge < 1e-5) ? ['nC', 1e9] : ['µC', 1e6];
  const at = (p: { error: number; charge: number }): readonly [number, number] => [
    p.charge * per!,
    inSmall(p.error),
  ];
  // In error and charge alone; the others of the front are quicker, and stand in the table.
  const line = frontOf(front.map((p) => ({ ...p, time: 0 })));
  const present = { error: e.reading.rms, charge: e.averaging.charge };
  const wanted = e.worksheet.inputs.requirement.resolution?.value;
  const all = [...front, present].map(at);
  const mark = (p: { error: number; charge: number }, standing: 'recommended' | 'chosen'): b.Point => {
    const [x, y] = at(p);
    // The recommended is at the left end of the line, its figures are in the claim.
    if (standing === 'recommended') {
      return b.point({ x, y, standing, text: standing, place: 'below left' });
    }
    // Above the line there is room for figures.
    if (!front.some((o) => o.charge <= p.charge && o.error <= p.error)) {
      return b.point({ x, y, standing, text: standing, place: 'below left' });
    }
    const text = `${standing}: ${difference(p.error)}, ${charge(p.charge)}`;
    return b.point({ x, y, standing, text, place: 'above right' });
  };
  const taken = recommended && !sameSetting(recommended, chosen) ? [mark(recommended, 'recommended')] : [];
  const last = front.at(-1)!;
  return b.plot({
    name: 'front',
    claim: `${front.length === 1 ? 'One' : count(front.length)} of ${count(search.evaluated)} settings ${front.length === 1 ? 'is' : 'are'} beaten by none: from ${difference(front[0]!.error)} rms for ${charge(front[0]!.charge)}${front.length === 1 ? '' : ` to ${difference(last.error)} for ${charge(last.charge)}`}.`,
    text: prose`Of the others that meet every requirement each is beaten by one of these: no worse in noise, charge and time, and better in one. ${chosenWords(t, search)}`,
    description: `Noise of a reading against charge of a burst: ${line.map((p) => `${difference(p.error)} for ${charge(p.charge)}`).join(', ')}`,
    x: {
      label: `charge of a burst, ${unit}`,
      scale: 'log',
      ...decadeSpan([at(front[0]!)[0] / 4, ...all.map(([x]) => x)]),
    },
    y: {
      label: `${small} rms`,
      scale: 'log',
      ...decadeSpan([...all.map(([, y]) => y), ...(wanted === undefined ? [] : [inSmall(wanted)])]),
    },
    marks: [
      ...(wanted === undefined
        ? []
        : [b.limit({ y: inSmall(wanted), text: `wanted: ${difference(wanted)} rms`, forbidden: 'above' })]),
      b.curve({ name: 'least noise', points: line.map(at), style: 'first', dots: true }),
      ...taken,
      mark(present, 'chosen'),
    ],
    figures: {
      heads: [`charge, ${unit}`, `${small} rms`],
      rows: line.map((p) => at(p).map((v) => number(v))),
    },
  });
}

/** At most so many rows at first: evenly thinned, the recommended, the chosen and both ends kept. */
function shownFirst({ front, recommended, chosen }: WorksheetSearch): number[] {
  const every = Math.ceil(front.length / mostRows);
  return front.flatMap((p, i) =>
    i % every === 0 ||
    i === front.length - 1 ||
    sameSetting(p, chosen) ||
    (recommended && sameSetting(p, recommended))
      ? [i]
      : [],
  );
}

function frontTable({ small, inSmall }: Told, search: WorksheetSearch): b.Table {
  const { front, recommended, chosen, reason } = search;
  const [charge, perCharge] = front.every((p) => p.charge < 1e-5) ? ['nC', 1e9] : ['µC', 1e6];
  const [time, perTime] = front.every((p) => p.time < 1e-3) ? ['µs', 1e6] : ['ms', 1e3];
  const row = (p: SearchPoint): Row => {
    const isChosen = sameSetting(p, chosen);
    const isRecommended = recommended !== undefined && sameSetting(p, recommended);
    return {
      cells: [
        String(p.sampling.clockDivider),
        String(p.sampling.sampleCycles),
        String(p.sampling.bits),
        String(p.averaging.ratio),
        String(p.averaging.shift),
        number(inSmall(p.error)),
        number(p.charge * perCharge!),
        number(p.time * perTime!),
      ],
      ...(isRecommended
        ? {
            verdicts: [{ mark: 'met' as const, text: `${isChosen ? 'chosen and ' : ''}recommended` }],
          }
        : isChosen
          ? { verdicts: [{ mark: 'met' as const, text: 'chosen' }] }
          : {}),
      ...(isChosen
        ? { standing: 'chosen' as const }
        : isRecommended
          ? { standing: 'recommended' as const }
          : {}),
      choose: { label: searchWords(p), changes: searchChanges(p) },
    };
  };
  const tightest = tightestWords(search);
  return b.table({
    name: 'front',
    claim: `Recommended: ${searchWords(recommended!)}.`,
    text: prose`It takes the ${reason}.${tightest ? ` Least room is left by the ${tightest}.` : ''} Choose a row to work with it.`,
    columns: [
      { head: 'clock', unit: '÷' },
      { head: 'cycles' },
      { head: 'native', unit: 'bits', minor: true },
      { head: 'ratio' },
      { head: 'shift' },
      { head: 'noise rms', unit: small },
      { head: 'charge', unit: charge! },
      { head: 'time', unit: time!, minor: true },
    ],
    rows: front.map(row),
    shown: shownFirst(search),
  });
}

/** The front of a search, and how many settings are not on it for what reason. */
export function front(t: Told, search: WorksheetSearch): Section[] {
  const { worksheet } = t.e;
  const many = served(search);
  const looked = `Looked at: ${count(search.evaluated)} settings, which is every clock divider, sample time, resolution, ratio and shift of the converter${
    worksheet.profile.averaging.ratioUpTo === undefined ? '' : ' (of the ratios the powers of two)'
  }. ${many === 0 ? 'None meets' : many === 1 ? 'One meets' : `${count(many)} meet`} every requirement.`;
  const rejected =
    search.rejected.length === 0
      ? ''
      : ` Rejected, each for the first that it misses: ${rejectedWords(search)}.`;
  if (search.recommended === undefined) {
    return [
      {
        claim: `None of ${count(search.evaluated)} settings meets everything.`,
        body: [paragraph(prose`${looked}${rejected}`)],
      },
    ];
  }
  return [
    {
      body: [frontPlot(t, search)],
      margin: [
        paragraph(prose`${looked}${rejected}`),
        paragraph(
          prose`The uncertainty of a reading is not in the search; it is judged for the whole chain when a row is taken. Currents count as those of the profile whatever the clock.`,
        ),
      ],
    },
    { body: [frontTable(t, search)] },
  ];
}

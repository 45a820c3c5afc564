/** Two worksheets side by side: requirements lost and gained, inputs that differ with their provenance, results that move. */
import { formatDeciding, formatNumber, formatQuantity } from '../../numbers/format.ts';
import { requirementWords } from '../../plan/requirements.ts';
import {
  type Comparison,
  mostAlone,
  type RequirementDifference,
  type ResultDifference,
} from '../../worksheet/compare.ts';
import type { RequirementResult } from '../../worksheet/evaluate.ts';
import type { Finding } from '../../worksheet/evaluation.ts';
import type { InputDifference, InputValue } from '../../worksheet/inputDifferences.ts';
import type { Worksheet } from '../../worksheet/read.ts';
import { fieldAt } from '../../worksheet/schema/lookup.ts';
import { worksheetSchema } from '../../worksheet/schema/worksheet.ts';
import { figureOf } from '../../worksheet/write.ts';
import * as b from '../blocks.ts';
import { type Content, met, missed, type Prose, paragraph, prose, type Row, strong } from '../blocks.ts';
import { fieldOf, notGiven } from '../field.ts';
import { reviewTable } from './reviewTable.ts';
import { requirementFigures } from './sentences.ts';

/** The two worksheets and what differs. */
export interface Compared {
  readonly a: { readonly name: string; readonly worksheet: Worksheet };
  readonly b: { readonly name: string; readonly worksheet: Worksheet };
  readonly comparison: Comparison;
  /** On a page at work: which of the two can be changed there, and what was. */
  readonly present?: { readonly is: 'a' | 'b'; readonly changed: readonly string[] };
}

/** A change so small is told as none to speak of. */
const hardly = 1e-6;

/** Settling and crosstalk below this are told as less than it, LSB. */
const leastLsb = 1e-3;

/** Longest text of a value that a table shows whole. */
const longest = 24;

/** An input as one worksheet has it, in print. */
function valueText(worksheet: Worksheet, path: string, value: InputValue | 'none', spread: boolean): string {
  if (value === 'none') return notGiven;
  const text = Array.isArray(value.value) ? value.value.join(', ') : fieldOf(worksheet, path).text;
  const short = text.length > longest ? `${text.slice(0, longest - 1)}…` : text;
  if (!spread || value.spread === undefined) return short;
  // A kelvin that is no difference of readings stays one.
  if (short.endsWith('\u202fK')) return `${short} ± ${formatNumber({ value: value.spread })}\u202fK`;
  const unit = value.unit === 'degC' ? 'K' : value.unit!;
  return `${short} ± ${formatQuantity({ value: value.spread, unit })}`;
}

/** Where a value comes from, in words; its note where that matters. */
function sourceText(value: InputValue | 'none', note: boolean): string {
  if (value === 'none') return notGiven;
  const from = value.from === 'datasheet' ? 'data sheet' : (value.from ?? 'set');
  const source = value.by === 'worksheet' ? from : value.from ? `profile, ${from}` : 'profile';
  return note && value.note ? `${source} (${value.note.replace(/\.$/, '')})` : source;
}

function inputRow(compared: Compared, d: InputDifference): Row {
  const { a, b: other, present } = compared;
  const spreads = [d.a, d.b].map((v) => (v === 'none' ? undefined : v.spread));
  const spread = spreads[0] !== spreads[1];
  const note = d.what === 'source';
  const [from, to] = [sourceText(d.a, note), sourceText(d.b, note)];
  const texts = {
    a: valueText(a.worksheet, d.path, d.a, spread),
    b: valueText(other.worksheet, d.path, d.b, spread),
  };
  const cell = (side: 'a' | 'b'): string | b.Cell => {
    if (!present || note) return texts[side];
    return side === present.is ? inputCell(compared, d, texts[side]) : takenCell(compared, d, texts[side]);
  };
  return {
    cells: [
      d.label,
      cell('a'),
      cell('b'),
      from === to || d.b === 'none' ? from : d.a === 'none' ? to : `${from} → ${to}`,
    ],
  };
}

/** Whether an input can be written in a worksheet at a path by itself: it exists there, and nothing else hangs on it. */
const isWritable = ({ inputs }: Worksheet, path: string, value: InputValue | 'none'): boolean =>
  !path.endsWith('.kind') &&
  !(value !== 'none' && Array.isArray(value.value)) &&
  fieldAt(worksheetSchema, path, inputs) !== undefined;

/** The input of the worksheet that can be changed, where it stands. */
function inputCell(
  compared: Compared,
  { path, [compared.present!.is]: value }: InputDifference,
  text: string,
) {
  const { worksheet } = compared[compared.present!.is];
  if (!isWritable(worksheet, path, value)) return text;
  const own = fieldOf(worksheet, path).text;
  return { text, path, ...(text.startsWith(own) && text !== own && { tail: text.slice(own.length) }) };
}

/** The input of the other worksheet, with words that take it over, source and all. */
function takenCell(compared: Compared, d: InputDifference, text: string): string | b.Cell {
  const { is } = compared.present!;
  const [own, value] = is === 'a' ? [d.a, d.b] : [d.b, d.a];
  const [mine, theirs] = is === 'a' ? [compared.a, compared.b] : [compared.b, compared.a];
  if (value === 'none' || !isWritable(mine.worksheet, d.path, value)) return text;
  if (own !== 'none' && own.value === value.value) return text;
  const hasNote = own !== 'none' && own.note !== undefined;
  const from = value.from ?? 'assumed';
  const note = value.note ?? (hasNote ? `as in ${theirs.name}` : undefined);
  const sourced = value.from !== undefined || (own !== 'none' && own.from !== undefined);
  const changes = {
    [d.path]: value.typed,
    ...(sourced && (own === 'none' || own.from !== from) && { [`${d.path}.from`]: from }),
    ...(sourced &&
      note !== undefined &&
      (own === 'none' || own.note !== note) && { [`${d.path}.note`]: note }),
  };
  return { text, act: b.action('take it', changes) };
}

/** Inputs that were changed on the page and are now as the other worksheet has them: their rows stay while one writes there. */
function sameRows({ a, b: other, present, comparison: { inputs } }: Compared): Row[] {
  const differ = new Set(inputs.map((d) => d.path));
  const here = present?.is === 'a' ? a : other;
  const there = present?.is === 'a' ? other : a;
  return (present?.changed ?? []).flatMap((path): Row[] => {
    const written = [here, there].every(({ worksheet }) => fieldAt(worksheetSchema, path, worksheet.inputs));
    if (differ.has(path) || !written || figureOf(here.worksheet, path) !== undefined) return [];
    const { label, text } = fieldOf(here.worksheet, path);
    const cells = [{ text, path }, fieldOf(there.worksheet, path).text];
    return [{ cells: [label, ...(present?.is === 'a' ? cells : cells.toReversed()), 'the same now'] }];
  });
}

/** Whether both worksheets leave an input to their profiles. */
const ofProfile = ({ a, b: other }: InputDifference): boolean =>
  [a, other].every((v) => v === 'none' || v.by === 'profile');

/** The inputs that differ: figures first, then sources alone. */
function inputTables(compared: Compared): b.Table[] {
  const { inputs } = compared.comparison;
  const columns = [
    { head: 'input', words: true },
    { head: 'A' },
    { head: 'B' },
    { head: 'where from', words: true },
  ];
  const table = (
    name: string,
    claim: string,
    differences: readonly InputDifference[],
    more: readonly Row[] = [],
  ): b.Table[] => {
    const rows = [...differences.map((d) => inputRow(compared, d)), ...more];
    return rows.length === 0 ? [] : [b.table({ name, claim, columns, rows })];
  };
  const figures = inputs.filter((d) => d.what === 'figure');
  const sources = inputs.filter((d) => d.what === 'source');
  const [own, profile] = [figures.filter((d) => !ofProfile(d)), figures.filter(ofProfile)];
  return [
    ...table(
      'inputs',
      own.length === 0 ? 'No input differs.' : `${counted(own.length, 'input differs', 'inputs differ')}.`,
      own,
      sameRows(compared),
    ),
    ...table(
      'profile',
      `With the profile ${counted(profile.length, 'figure differs', 'figures differ').replace('One', 'one')}.`,
      profile,
    ),
    ...table(
      'sources',
      `${counted(sources.length, 'figure is the same, from another source', 'figures are the same, from other sources')}.`,
      sources,
    ),
  ];
}

const counted = (count: number, one: string, more: string): string =>
  count === 1 ? `One ${one}` : `${count} ${more}`;

/** A result in print; digits as many as tell the two apart. */
function resultTexts({ a, b: other, unit }: ResultDifference): [string, string, string] {
  const whole = unit === 'code';
  const tiny = (value: number): boolean => unit === 'LSB' && Math.abs(value) < leastLsb;
  const alone = (value: ResultDifference['a']): string => {
    if (typeof value === 'string') return value === 'none' ? 'none' : 'any';
    if (tiny(value)) return '<\u202f0.001\u202fLSB';
    return whole ? formatNumber({ value, digits: 12 }) : formatQuantity({ value, unit });
  };
  if (typeof a === 'string' || typeof other === 'string') return [alone(a), alone(other), ''];
  const close = Math.abs(other - a) < hardly * Math.abs(a);
  if ((tiny(a) && tiny(other)) || (close && !whole)) return [alone(a), alone(other), 'hardly'];
  const deciding = formatDeciding({ value: a, limit: other, unit: whole ? '1' : unit });
  const [from, to] =
    whole || tiny(a) || tiny(other) ? [alone(a), alone(other)] : [deciding.value, deciding.limit];
  return [from, to, changeText(a, other, unit)];
}

/** How far a result moved: a difference where it has no natural zero or sign, else a share or a factor. */
function changeText(a: number, other: number, unit: string): string {
  const signed = (text: string): string => (other > a ? `+${text}` : text);
  if (unit === 'code') return signed(formatNumber({ value: other - a, digits: 12 }));
  if (['1', 'LSB', 'degC'].includes(unit) || a * other <= 0) {
    return signed(formatQuantity({ value: other - a, unit: unit === 'degC' ? 'K' : unit }));
  }
  const factor = other / a;
  if (factor > 0.5 && factor < 2) return signed(formatQuantity({ value: factor - 1, unit: '%', digits: 2 }));
  return `×\u202f${formatNumber({ value: factor, digits: 3 })}`;
}

function resultTable({ comparison: { results, same } }: Compared): b.Table[] {
  if (results.length === 0) return [];
  return [
    b.table({
      name: 'results',
      claim: `${counted(results.length, 'result moves', 'results move')}${same > 0 ? `, ${same} stay as they are` : ''}.`,
      columns: [{ head: 'result', words: true }, { head: 'A' }, { head: 'B' }, { head: 'change' }],
      rows: results.map((r) => ({ cells: [r.label, ...resultTexts(r)] })),
    }),
  ];
}

const verdictTexts = {
  lost: ['miss', 'lost'],
  gained: ['met', 'gained'],
  met: ['met', 'met in both'],
  missed: ['miss', 'missed in both'],
  'new, met': ['met', 'asked in B alone, met'],
  'new, missed': ['miss', 'asked in B alone, missed'],
  dropped: [undefined, 'asked in A alone'],
} as const;

/** The names of inputs that alone turn a verdict. */
function byWords({ inputs }: Comparison, by: readonly string[]): string {
  const labels = by.map((path) => inputs.find((d) => d.path === path)!.label);
  return labels.length === 0 ? '' : `; by ${labels.join(' or ')} alone`;
}

function requirementTable({ comparison }: Compared): b.Table[] {
  const { requirements } = comparison;
  if (requirements.length === 0) return [];
  const figures = (r: RequirementResult | 'none'): readonly [string, string] => {
    if (r === 'none') return ['–', '–'];
    const { value, limit } = requirementFigures(r);
    return [value, limit];
  };
  const row = (r: RequirementDifference): Row => {
    const [[valueA, limitA], [valueB, limitB]] = [figures(r.a), figures(r.b)];
    const same = r.a !== 'none' && r.b !== 'none' && r.a.required === r.b.required;
    const [mark, text] = verdictTexts[r.change];
    const words = `${text}${byWords(comparison, r.by)}`;
    return {
      cells: [
        requirementWords[r.name],
        valueA,
        r.b !== 'none' && !r.b.met ? { text: valueB, miss: true } : valueB,
        same || limitA === limitB ? limitB : `${limitA} → ${limitB}`,
      ],
      verdicts: [{ ...(mark && { mark }), text: words }],
      ...((r.change === 'lost' || r.change === 'new, missed') && { standing: 'fails' as const }),
    };
  };
  const count = requirements.filter((r) => r.change === 'lost').length;
  return [
    b.table({
      name: 'requirements',
      claim: count === 0 ? 'No requirement is lost.' : `${lostWords(count)}.`,
      columns: [
        { head: 'requirement', words: true },
        { head: 'A' },
        { head: 'B' },
        { head: 'wanted', minor: true },
      ],
      rows: requirements.map(row),
    }),
  ];
}

const lostWords = (count: number): string => counted(count, 'requirement is lost', 'requirements are lost');

function answer({ comparison: { inputs, requirements } }: Compared): Prose {
  const lost = requirements.filter((r) => r.change === 'lost');
  if (lost.length > 0) {
    const told = lost.map(({ name, a, b: other }) => {
      const { value, limit } = requirementFigures(other as RequirementResult);
      return `${requirementWords[name]} was ${requirementFigures(a as RequirementResult).value} and is ${value}, ${limit} wanted`;
    });
    return prose`${missed('')}${strong(`${lostWords(lost.length)}:`)} ${told.join('; ')}.`;
  }
  if (inputs.length === 0) return prose`${met('')}${strong('The two say the same:')} no input differs.`;
  const figures = inputs.filter((d) => d.what === 'figure' && !ofProfile(d)).length;
  return inputs.every((d) => d.what === 'source')
    ? prose`${met('')}${strong('The figures are the same:')} only where they come from differs.`
    : prose`${met('')}${strong('No requirement is lost:')} ${counted(figures, 'input differs', 'inputs differ')}, and B meets all that A meets.`;
}

function also({ a, b: other, comparison: { requirements } }: Compared): Prose {
  const names = (change: RequirementDifference['change']): string =>
    requirements
      .filter((r) => r.change === change)
      .map((r) => requirementWords[r.name])
      .join(', ');
  const said = [
    `A is ${a.name} (inputs ${a.worksheet.hash}), B is ${other.name} (inputs ${other.worksheet.hash}).`,
    ...(names('gained') ? [`Gained: ${names('gained')}.`] : []),
    ...(names('missed') ? [`Missed in both: ${names('missed')}.`] : []),
    ...(names('new, missed') ? [`Asked in B alone and missed: ${names('new, missed')}.`] : []),
    ...(names('dropped') ? [`No longer asked: ${names('dropped')}.`] : []),
  ];
  return prose`${said.join(' ')}`;
}

/** Findings of one of the two alone. */
function findingNotes({ comparison: { findings } }: Compared): b.Notes[] {
  const list = (heading: string, of: readonly Finding[]): b.Notes[] =>
    of.length === 0
      ? []
      : [
          b.notes(
            heading,
            of.map(({ text }) => prose`${text}`),
          ),
        ];
  return [...list('Found in B alone', findings.came), ...list('Found in A alone', findings.went)];
}

/** How the tables are read; `chain` says whose the chain at the head is. */
const howToRead = (chain: 'A' | 'B'): Prose =>
  prose`The chain above is that of ${chain}. “By … alone” says that changing this one input in A does the same; where none is named, it takes several together, or more than ${String(mostAlone)} differ and none was tried alone.`;

/** The comparison as the content of a page. */
export function comparisonContent(compared: Compared): Content {
  const [requirements, inputs, results] = [requirementTable, inputTables, resultTable].map((f) =>
    f(compared),
  );
  const found = findingNotes(compared);
  const review = reviewTable(compared.comparison.review);
  return {
    answer: answer(compared),
    also: also(compared),
    sections: [
      ...requirements!.map((table) => ({ body: [table] })),
      ...(found.length > 0 ? [{ body: found }] : []),
      ...[...inputs!, ...results!, ...review].map((table) => ({ body: [table] })),
      { body: [paragraph(howToRead(compared.present?.is === 'a' ? 'A' : 'B'))] },
    ],
  };
}

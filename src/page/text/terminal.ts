/** A page as terminal text, at most 80 columns wide. */
import type { Block, Column, Section, Table, Working } from '../blocks.ts';
import { type PageView, provenance } from '../desk.ts';
import { formulaText, putIn, readFormula } from '../formula.ts';
import { bitLines } from './bits.ts';
import { columns, inputCells, plain, proseWords, shownRows, verdictWords, wrap } from './lines.ts';
import { plotLines } from './plot.ts';

const width = 80;

/** Least width of a column of words, in characters; minor columns give way to it. */
const wordsWidth = 26;

function tableLines(block: Table): string[] {
  const judged = block.rows.some((row) => row.verdicts);
  const choosable = block.rows.some((row) => row.choose);
  const shown = shownRows(block);
  const signs = { fails: '', recommended: '>', chosen: '*' };
  // A figure that fails carries a "!"; the others of its column are set one place further left.
  const columnOf = (column: Column, i: number): string[] => {
    const cells = shown.map((row) => row.cells[i]!);
    const fails = (cell: (typeof cells)[number]): boolean => typeof cell !== 'string' && cell.miss === true;
    const pad = cells.some(fails) ? ' ' : '';
    const figures = cells.map(
      (cell) => (typeof cell === 'string' ? cell : cell.text) + (fails(cell) ? '!' : pad),
    );
    return [column.head + pad, (column.unit ?? '') + pad, ...figures];
  };
  const lead = choosable ? [['', '', ...shown.map((row) => (row.standing ? signs[row.standing] : ''))]] : [];
  const verdict = judged ? [['verdict', '', ...shown.map(verdictWords)]] : [];
  const kept = block.columns.map((column, i) => ({ column, cells: columnOf(column, i) }));
  const taken = (): number =>
    kept.reduce((sum, { cells }) => sum + 2 + Math.max(...cells.map((c) => c.length)), 3);
  while (judged ? width - taken() < wordsWidth : taken() - 3 > width) {
    const minor = kept.findIndex(({ column }) => column.minor);
    if (minor < 0) break;
    kept.splice(minor, 1);
  }
  const all = [...lead, ...kept.map(({ cells }) => cells), ...verdict];
  const right = [
    ...lead.map(() => false),
    ...kept.map(({ column }) => !column.words),
    ...verdict.map(() => false),
  ];
  const lines = all[0]!.map((_, i) => all.map((column) => column[i]!));
  return columns(
    lines.filter((line) => line.some((cell) => cell.trim() !== '')),
    right,
    width,
  );
}

const workingLines = (block: Working, view: PageView, within: number): string[] => [
  `Working: ${plain(block.result)}`,
  ...block.steps.flatMap((step) => {
    if (!('formula' in step)) return wrap(proseWords(step, view.field), within, '  ');
    const tree = readFormula(step.formula);
    return [`    ${plain(formulaText(step.with ? putIn(tree, step.with) : tree))}`];
  }),
  ...(block.source ? wrap(block.source, within, '  ') : []),
];

function blockLines(block: Block, view: PageView): string[] {
  switch (block.type) {
    case 'paragraph':
      return wrap(proseWords(block.text, view.field), width);
    case 'inputs':
      return columns(inputCells(block, view.field), [false, true, false], width);
    case 'working':
      return workingLines(block, view, width);
    case 'table':
      return [
        ...wrap(block.claim, width),
        ...(block.text ? wrap(proseWords(block.text, view.field), width) : []),
        '',
        ...tableLines(block),
      ];
    case 'plot':
      return [
        ...wrap(block.claim, width),
        ...(block.text ? wrap(proseWords(block.text, view.field), width) : []),
        '',
        ...plotLines(block, width),
      ];
    case 'bitField':
      return bitLines(block, width);
    case 'files':
      return block.files.flatMap(({ name, what, command }) => [
        ...wrap(`${name}: ${proseWords(what, view.field)}`, width),
        ...wrap(command, width, '    '),
      ]);
    case 'notes':
      return [
        block.heading,
        ...block.items.flatMap((item) =>
          wrap(proseWords(item, view.field), width, '  ').map((line, i) =>
            i === 0 ? `-${line.slice(1)}` : line,
          ),
        ),
      ];
    case 'caution':
      return wrap(`Caution. ${proseWords(block.text, view.field)}`, width);
  }
}

function sectionLines(section: Section, view: PageView): string[] {
  const out: string[] = section.claim ? [...wrap(section.claim, width)] : [];
  section.body.forEach((block, i) => {
    if (i > 0) out.push('');
    out.push(...blockLines(block, view));
  });
  const margin = [...(section.margin ?? []), ...provenance(section, view.field)];
  for (const block of margin) {
    const lines =
      block.type === 'working'
        ? workingLines(block, view, width - 4)
        : wrap(proseWords(block.text, view.field), width - 4);
    out.push('', ...lines.map((line) => `    ${line}`.trimEnd()));
  }
  return out;
}

/** The chain, a stage a line. */
const chainLines = (view: PageView): string[] =>
  columns(
    view.chain.map((stage) => [
      stage.name,
      proseWords(stage.figure, view.field),
      `${stage.missed ? '✗ ' : ''}${proseWords(stage.note, view.field)}`,
    ]),
    [false, false, false],
    width,
  );

/** The page as text. */
export function terminalText(view: PageView): string {
  const rule = '='.repeat(width);
  const out = [
    ...wrap(
      `Halfbit · worksheet ${view.worksheet.name}${view.worksheet.title ? `, ${view.worksheet.title}` : ''}`,
      width,
    ),
    rule,
    ...wrap(view.question, width),
    '',
    ...wrap(proseWords(view.content.answer, view.field), width),
    ...wrap(proseWords(view.content.also, view.field), width),
    '',
    ...chainLines(view),
    ...view.content.sections.flatMap((section) => ['', '-'.repeat(width), ...sectionLines(section, view)]),
    '',
    rule,
    ...wrap(`profile ${view.profile} · inputs ${view.worksheet.hash}`, width),
  ];
  return `${out.map((line) => line.trimEnd()).join('\n')}\n`;
}

/** The head of the page alone: question, answer, chain. */
export function answerText(view: PageView): string {
  const out = [
    ...wrap(view.question, width),
    '',
    ...wrap(proseWords(view.content.answer, view.field), width),
    ...wrap(proseWords(view.content.also, view.field), width),
    '',
    ...chainLines(view),
  ];
  return `${out.map((line) => line.trimEnd()).join('\n')}\n`;
}

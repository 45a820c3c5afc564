/** A page as terminal text, at most 80 columns wide. */
import type { Block, Section, Table, Working } from '../blocks.ts';
import { type PageView, provenance } from '../desk.ts';
import { formulaText, putIn, readFormula } from '../formula.ts';
import { columns, plain, proseWords, wrap } from './lines.ts';
import { plotLines } from './plot.ts';

const width = 80;

function tableLines(block: Table): string[] {
  const judged = block.rows.some((row) => row.verdicts);
  const heads = block.columns.map((c) => c.head);
  const units = block.columns.map((c) => c.unit ?? '');
  const signs = { fails: ' ', recommended: '>', chosen: '*' };
  const choosable = block.rows.some((row) => row.choose);
  const shown = block.shown ? block.shown.map((i) => block.rows[i]!) : block.rows;
  const body = shown.map((row) => [
    ...(choosable ? [row.standing ? signs[row.standing] : ' '] : []),
    ...row.cells.map((cell) => (typeof cell === 'string' ? cell : `${cell.text}!`)),
    ...(judged
      ? [
          (row.verdicts ?? [])
            .map((v) => `${v.mark === undefined ? '' : v.mark === 'miss' ? '✗ ' : '✓ '}${v.text}`)
            .join('; '),
        ]
      : []),
  ]);
  const lead = choosable ? [''] : [];
  const tail = judged ? ['verdict'] : [];
  const all = [
    [...lead, ...heads, ...tail],
    ...(units.some((u) => u !== '') ? [[...lead, ...units]] : []),
    ...body,
  ];
  const right = [...lead.map(() => false), ...block.columns.map((c) => !c.words), ...tail.map(() => false)];
  // Figures that fail carry a "!", so the others are set a column further left.
  const figures = all.map((row) =>
    row.map((cell, i) =>
      right[i] && block.rows.some(misses(i - lead.length)) && !cell.endsWith('!') ? `${cell} ` : cell,
    ),
  );
  return columns(figures, right, width);
}

const misses =
  (column: number) =>
  (row: Table['rows'][number]): boolean =>
    typeof row.cells[column] === 'object';

const workingLines = (block: Working, view: PageView): string[] => [
  `Working: ${plain(block.result)}`,
  ...block.steps.flatMap((step) => {
    if (!('formula' in step)) return wrap(proseWords(step, view.field), width, '  ');
    const tree = readFormula(step.formula);
    return [`    ${plain(formulaText(step.with ? putIn(tree, step.with) : tree))}`];
  }),
  ...(block.source ? wrap(block.source, width, '  ') : []),
];

function blockLines(block: Block, view: PageView): string[] {
  switch (block.type) {
    case 'paragraph':
      return wrap(proseWords(block.text, view.field), width);
    case 'inputs':
      return columns(
        block.rows.map((row) => {
          const path = row.value.find((piece) => typeof piece !== 'string' && piece.type === 'entry');
          const field =
            path !== undefined && typeof path !== 'string' && path.type === 'entry'
              ? view.field(path.path)
              : undefined;
          return [
            row.what,
            proseWords(row.value, view.field),
            row.from ?? (field?.assumed ? 'assumed' : (field?.from ?? '')),
          ];
        }),
        [false, true, false],
        width,
      );
    case 'working':
      return workingLines(block, view);
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
        ? workingLines(block, view)
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
    plain(
      `Halfbit · worksheet ${view.worksheet.name}${view.worksheet.title ? `, ${view.worksheet.title}` : ''}`,
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
    plain(`profile ${view.profile} · inputs ${view.worksheet.hash}`),
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

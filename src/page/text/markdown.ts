/** A page as Markdown, for a review in text. */
import type { Block, Inline, Prose, Section, Table, Working } from '../blocks.ts';
import { type PageView, provenance } from '../desk.ts';
import { formulaText, putIn, readFormula } from '../formula.ts';
import { bitLines } from './bits.ts';
import { inputCells, plain, proseWords, shownRows, verdictWords } from './lines.ts';

const escaped = (text: string): string => plain(text).replace(/[\\`*_{}[\]<>#|]/g, (c) => `\\${c}`);

function piece(p: Inline, view: PageView): string {
  if (typeof p === 'string') return escaped(p);
  switch (p.type) {
    case 'entry':
      return `**${escaped(view.field(p.path).text)}**`;
    case 'action':
    case 'file':
    case 'draw':
    case 'screen':
      return '';
    case 'review': {
      const { words = '', entry } = p;
      if (!entry) return escaped(words);
      const note = `*${entry.state === 'open' ? 'Open' : 'Answered'}:* ${escaped(entry.note)}`;
      return words ? `${escaped(words)} ${note}` : note;
    }
    case 'page':
      return `[${escaped(p.words)}](${p.page}.md)`;
    case 'strong':
      return `**${escaped(p.words)}**`;
    case 'missed':
      return `✗ ${escaped(p.words)}`;
    case 'met':
      return `✓ ${escaped(p.words)}`;
    default:
      return `*${escaped(p.words)}*`;
  }
}

const line = (text: Prose, view: PageView): string =>
  text
    .map((p) => piece(p, view))
    .join('')
    .trim();

const tableOf = (
  heads: readonly string[],
  rows: readonly (readonly string[])[],
  right: readonly boolean[],
): string[] => [
  `| ${heads.map(escaped).join(' | ')} |`,
  `|${heads.map((_, i) => (right[i] ? '---:' : '---')).join('|')}|`,
  ...rows.map((row) => `| ${row.map(escaped).join(' | ')} |`),
];

function tableLines(block: Table): string[] {
  const judged = block.rows.some((row) => row.verdicts);
  const heads = block.columns.map((c) => (c.unit ? `${c.head}, ${c.unit}` : c.head));
  const rows = shownRows(block).map((row) => [
    ...row.cells.map((cell) => (typeof cell === 'string' ? cell : cell.text)),
    ...(judged ? [verdictWords(row)] : []),
  ]);
  return tableOf(judged ? [...heads, 'verdict'] : heads, rows, [
    ...block.columns.map((c) => !c.words),
    false,
  ]);
}

const workingLines = (block: Working, view: PageView): string[] => [
  `*Working: ${escaped(block.result)}*`,
  '',
  ...block.steps.flatMap((step) => {
    if (!('formula' in step)) return [line(step, view), ''];
    const tree = readFormula(step.formula);
    return [`    ${plain(formulaText(step.with ? putIn(tree, step.with) : tree))}`, ''];
  }),
  ...(block.source ? [`*${escaped(block.source)}*`] : []),
];

function blockLines(block: Block, view: PageView): string[] {
  switch (block.type) {
    case 'paragraph':
      return [line(block.text, view)];
    case 'inputs':
      return tableOf(['quantity', 'value', 'from'], inputCells(block, view.field), [false, true, false]);
    case 'working':
      return workingLines(block, view);
    case 'table':
      return [
        `### ${escaped(block.claim)}`,
        '',
        ...(block.text ? [line(block.text, view), ''] : []),
        ...tableLines(block),
      ];
    case 'plot':
      return [
        `### ${escaped(block.claim)}`,
        '',
        ...(block.text ? [line(block.text, view), ''] : []),
        escaped(block.description),
        '',
        ...tableOf(
          block.figures.heads,
          block.figures.rows,
          block.figures.heads.map(() => true),
        ),
      ];
    case 'bitField':
      return bitLines(block, 76).map((text) => `    ${text}`);
    case 'files':
      return block.files.flatMap(({ name, what, command }) => [
        `**${escaped(name)}**: ${line(what, view)}`,
        '',
        `    ${plain(command)}`,
        '',
      ]);
    case 'notes':
      return [
        `### ${escaped(block.heading)}`,
        '',
        ...block.items
          .map((item) => line(item, view))
          .filter((text) => text !== '')
          .map((text) => `- ${text}`),
      ];
    case 'caution':
      return [`> **Caution.** ${line(block.text, view)}`];
  }
}

function sectionLines(section: Section, view: PageView): string[] {
  const out: string[] = [];
  if (section.claim) out.push('', `### ${escaped(section.claim)}`);
  for (const block of section.body) out.push('', ...blockLines(block, view));
  for (const block of [...(section.margin ?? []), ...provenance(section, view.field)]) {
    out.push('', ...(block.type === 'working' ? workingLines(block, view) : [line(block.text, view)]));
  }
  return out;
}

/** The page as Markdown. */
export function markdownText(view: PageView): string {
  const out = [
    `## ${escaped(view.question)}`,
    '',
    line(view.content.answer, view),
    '',
    line(view.content.also, view),
    '',
    ...tableOf(
      ['stage', 'figure', 'remark'],
      view.chain.map((stage) => [
        stage.name,
        proseWords(stage.figure, view.field),
        `${stage.missed ? '✗ ' : ''}${proseWords(stage.note, view.field)}`,
      ]),
      [false, false, false],
    ),
    ...view.content.sections.flatMap((section) => sectionLines(section, view)),
    '',
    `*Halfbit · worksheet ${escaped(view.worksheet.name)} · profile ${escaped(view.profile)} · inputs ${view.worksheet.hash}*`,
  ];
  return `${out.join('\n').replace(/\n{3,}/g, '\n\n')}\n`;
}

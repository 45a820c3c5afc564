/** Two worksheets side by side. */
import { basename } from 'node:path';
import { chainOf } from '../../page/chain.ts';
import type { PageView } from '../../page/desk.ts';
import { fieldOf } from '../../page/field.ts';
import { comparisonContent } from '../../page/sections/comparison.ts';
import { markdownText } from '../../page/text/markdown.ts';
import { terminalText } from '../../page/text/terminal.ts';
import { type Comparison, comparison } from '../../worksheet/compare.ts';
import type { Worksheet } from '../../worksheet/read.ts';
import { define, json, sessionOn, set } from '../command.ts';
import { InputError, writeWhole } from '../files.ts';
import { jsonText } from '../json.ts';

interface Named {
  readonly name: string;
  readonly worksheet: Worksheet;
}

const comparisonJson = (
  a: Named,
  b: Named,
  { lost, requirements, findings, inputs, review, results }: Comparison,
): string => {
  const head = ({ name, worksheet: { inputs: i, hash } }: Named) => ({ name, title: i.title, hash });
  return jsonText({ a: head(a), b: head(b), lost, requirements, findings, inputs, review, results });
};

export const compare = define({
  name: 'compare',
  takes: 'A [B]',
  help: 'what differs between two worksheets, and what that does to each result and requirement; exit code 1: a requirement that A meets is missed in B',
  options: {
    set: { ...set, help: 'change an input of B; B is A with these changes where it is not named' },
    json,
    markdown: { type: 'boolean', help: 'as Markdown' },
    html: { type: 'string', value: 'FILE', help: 'write it as one HTML file' },
  },
  most: 2,
  async run({ values, positionals }) {
    const [pathA, pathB] = positionals;
    const settings = values.set as string[] | undefined;
    if (pathA === undefined || (pathB === undefined && settings === undefined)) {
      throw new InputError('name two worksheets, A and B; or A alone and with --set what B has in its place');
    }
    if (pathA === '-' && (pathB ?? '-') === '-') {
      throw new InputError('only one of the two worksheets can be standard input');
    }
    const left = await sessionOn(pathA, undefined);
    const right = await sessionOn(pathB ?? pathA, settings);
    const [evaluationA, evaluationB] = [left.session.evaluation, right.session.evaluation];
    const alike = left.file.name === right.file.name;
    const nameOf = (path: string, name: string, suffix: string): string =>
      alike ? (pathB === undefined ? `${name}${suffix}` : path) : basename(name);
    const a = { name: nameOf(pathA, left.file.name, ''), worksheet: evaluationA.worksheet };
    const b = {
      name: nameOf(pathB ?? pathA, right.file.name, ', changed'),
      worksheet: evaluationB.worksheet,
    };
    const found = comparison({ a: evaluationA, b: evaluationB });
    const view: PageView = {
      name: 'compare',
      question: `What differs between ${a.name} and ${b.name}?`,
      worksheet: {
        name: b.name,
        title: b.worksheet.inputs.title,
        changes: 0,
        hash: `${a.worksheet.hash} → ${b.worksheet.hash}`,
      },
      profile: b.worksheet.profile.title,
      content: comparisonContent({ a, b, comparison: found }),
      // Nothing can be changed here: inputs stand as words.
      chain: chainOf(evaluationB).map((stage) => ({
        ...stage,
        figure: stage.figure.map((p) =>
          typeof p !== 'string' && p.type === 'entry' ? fieldOf(b.worksheet, p.path).text : p,
        ),
      })),
      sheet: { number: 1, of: 1 },
      pages: [],
      field: (path) => fieldOf(b.worksheet, path),
    };
    if (typeof values.html === 'string') {
      const { stillPage } = await import('../build.ts');
      writeWhole(values.html, stillPage(view));
    }
    process.stdout.write(
      values.json ? comparisonJson(a, b, found) : values.markdown ? markdownText(view) : terminalText(view),
    );
    return found.lost ? 1 : 0;
  },
});

/** Judging the requirements. */
import { openQuestions, reviewedWords, unreviewedWords } from '../../page/sections/review.ts';
import { requirementFigures } from '../../page/sections/sentences.ts';
import { columns, wrap } from '../../page/text/lines.ts';
import { requirementWords } from '../../plan/requirements.ts';
import type { Evaluation } from '../../worksheet/evaluate.ts';
import { isUnreviewed } from '../../worksheet/findings.ts';
import { define, json, sessionOn, set, verdict } from '../command.ts';
import { writeWhole } from '../files.ts';
import { jsonText } from '../json.ts';
import { junitText } from '../junit.ts';

function checkText(e: Evaluation): string {
  const rows = e.requirements.map((r) => {
    const { value, limit } = requirementFigures(r);
    return [r.met ? '✓' : '✗', requirementWords[r.name], value, 'of', limit, r.met ? 'met' : 'missed'];
  });
  const list = (heading: string, texts: readonly string[]): string[] => {
    const lines = texts.flatMap((text) =>
      wrap(text, 80, '    ').map((line, i) => (i === 0 ? `  - ${line.slice(4)}` : line)),
    );
    return lines.length > 0 ? ['', heading, ...lines] : [];
  };
  const assumed = [unreviewedWords(e), reviewedWords(e)].filter(Boolean);
  return [
    ...columns(rows, [false, false, true, false, true, false], 80),
    ...list(
      'Findings',
      e.findings.filter((f) => !isUnreviewed(f)).map((f) => f.text),
    ),
    ...list('Open questions', openQuestions(e)),
    ...(assumed.length > 0 ? ['', 'Still assumed', ...assumed.flatMap((text) => wrap(text, 80, '  '))] : []),
    ...(e.unjudged.length > 0
      ? ['', `Not judged here: ${e.unjudged.map((name) => requirementWords[name]).join(', ')}.`]
      : []),
    '',
  ].join('\n');
}

const checkJson = (
  name: string,
  { worksheet, channel, sampling, quantizing, averaging, reading, ...rest }: Evaluation,
): string =>
  jsonText({
    worksheet: { name, title: worksheet.inputs.title, hash: worksheet.hash },
    requirements: rest.requirements,
    channel,
    sampling,
    quantizing,
    averaging,
    reading,
    uncertainty: rest.uncertainty,
    findings: rest.findings,
    assumed: rest.assumed,
    review: rest.review,
    unjudged: rest.unjudged,
  });

export const check = define({
  name: 'check',
  takes: '[WORKSHEET]',
  help: 'judge every requirement, list findings, open questions of the review and what is still assumed',
  options: {
    set,
    json,
    junit: { type: 'string', value: 'FILE', help: 'the verdicts as JUnit XML too, for automatic checks' },
  },
  most: 1,
  async run({ values, positionals }) {
    const { file, session } = await sessionOn(positionals[0], values.set as string[] | undefined);
    const e = session.evaluation;
    process.stdout.write(values.json ? checkJson(file.name, e) : checkText(e));
    if (values.junit !== undefined)
      writeWhole(values.junit as string, junitText({ evaluation: e, name: file.name }));
    return verdict(e);
  },
});

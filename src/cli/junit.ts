/** The requirements as JUnit XML, the form that servers of automatic checks read. */
import { openQuestions, unreviewedWords } from '../page/sections/review.ts';
import { requirementFigures } from '../page/sections/sentences.ts';
import type { Evaluation } from '../worksheet/evaluate.ts';
import { isUnreviewed } from '../worksheet/findings.ts';

/** Text as XML, in an attribute or between tags: what XML 1.0 cannot carry is left out, narrow gaps become spaces. */
const xml = (text: string): string =>
  text
    .replace(/[\u202f\u00a0]/g, ' ')
    // biome-ignore lint/suspicious/noControlCharactersInRegex: XML allows none of them
    .replace(/[\u0000-\u0008\u000b\u000c\u000e-\u001f\ufffe\uffff]|\p{Surrogate}/gu, '')
    .replace(/&/g, '&amp;')
    .replace(/</g, '&lt;')
    .replace(/>/g, '&gt;')
    .replace(/"/g, '&quot;')
    .replace(/\s*\n\s*/g, ' ');

/**
 * The verdicts of a worksheet as one test suite: each requirement a test case, those that are not judged skipped, findings and open questions as its
 * output; inputs that nobody has reviewed in one line.
 *
 * @param evaluation - of the worksheet
 * @param name - of the worksheet's file, without ending
 */
export function junitText({
  evaluation: e,
  name,
}: {
  readonly evaluation: Evaluation;
  readonly name: string;
}): string {
  const cases = e.requirements.map((r) => {
    const { value, limit } = requirementFigures(r);
    const open = `    <testcase classname="${xml(name)}" name="${r.name}" time="0"`;
    if (r.met) return `${open}/>`;
    return `${open}>\n      <failure type="missed" message="${xml(`${r.name}: ${value} of ${limit}`)}"/>\n    </testcase>`;
  });
  const skipped = e.unjudged.map(
    (requirement) =>
      `    <testcase classname="${xml(name)}" name="${requirement}" time="0">\n      <skipped message="not judged here"/>\n    </testcase>`,
  );
  const failures = e.requirements.filter((r) => !r.met).length;
  const counts = `tests="${cases.length + skipped.length}" failures="${failures}" errors="0" skipped="${skipped.length}" time="0"`;
  const inputs = unreviewedWords(e);
  const findings = [
    ...e.findings.filter((f) => !isUnreviewed(f)).map((f) => `${f.kind}: ${f.text}`),
    ...openQuestions(e).map((text) => `question: ${text}`),
    ...(inputs ? [`note: ${inputs}`] : []),
  ].map(xml);
  return [
    '<?xml version="1.0" encoding="UTF-8"?>',
    `<testsuites name="halfbit" ${counts}>`,
    `  <testsuite name="${xml(e.worksheet.inputs.title)}" ${counts}>`,
    '    <properties>',
    `      <property name="inputs" value="${e.worksheet.hash}"/>`,
    '    </properties>',
    ...cases,
    ...skipped,
    ...(findings.length > 0 ? [`    <system-out>${findings.join('\n')}</system-out>`] : []),
    '  </testsuite>',
    '</testsuites>',
    '',
  ].join('\n');
}

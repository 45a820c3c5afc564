/**
 * What differs between two worksheets, and is a requirement lost?
 *
 * The worksheet on the page and another, side by side: another revision that is carried along, a file that the reader hands in, or
 * the same worksheet as its file has it, so that one’s own changes show what they do.
 */
import * as b from '../src/page/blocks.ts';
import {
  entry,
  fileChoice,
  inputs,
  onScreen,
  paragraph,
  prose,
  type Section,
  symbol,
} from '../src/page/blocks.ts';
import type { OtherWorksheet } from '../src/page/other.ts';
import { page } from '../src/page/page.ts';
import { comparisonContent } from '../src/page/sections/comparison.ts';
import { cautionSentences } from '../src/page/sections/sentences.ts';
import { comparison } from '../src/worksheet/compare.ts';

/** The inputs that are turned most often, to see what each does. */
function turned(here: string): Section {
  return {
    claim: `What ${here} does when it is changed here`,
    body: [
      paragraph(
        prose`Everything on this page follows at once. What was changed on another page is changed here too. In the terminal ${symbol('halfbit compare A B')} tells the same of two files.`,
      ),
      inputs([
        { what: 'sample time', value: prose`${entry('sampling.sampleCycles')}` },
        { what: 'resolution set', value: prose`${entry('sampling.bits')}` },
        { what: 'oversampling ratio', value: prose`${entry('averaging.ratio')}` },
        { what: 'shift', value: prose`${entry('averaging.shift')}` },
        { what: 'conversion noise', value: prose`${entry('converter.noise')}` },
      ]),
    ],
  };
}

const misleads = (there: string): Section => ({
  body: [
    b.notes('When this misleads', [
      prose`A requirement is judged by what its own worksheet asks: one that was only loosened counts as gained too. The column of what is wanted shows where that was done.`,
      prose`A link carries the changes made here; the file of ${there} is not in it. A saved copy of the page has both.`,
      prose`Both are computed with the converter profiles of this page; one of the same name elsewhere may say otherwise.`,
    ]),
  ],
});

/** The two in the order of the comparison. */
function sides(name: string, other: OtherWorksheet) {
  const is = other.before ? ('b' as const) : ('a' as const);
  return { is, here: is.toUpperCase(), there: is === 'a' ? 'B' : 'A', name: `${name}, as it stands here` };
}

export default page({
  place: 13,
  short: 'Two worksheets',
  question: 'What differs between two worksheets, and is a requirement lost?',
  takesOther: true,
  content(e, { name, other, changed, hurried = false }) {
    const { is, here, there, name: present } = sides(name, other!);
    const [a, after] = is === 'a' ? [e, other!.evaluation] : [other!.evaluation, e];
    const [nameA, nameB] = is === 'a' ? [present, other!.name] : [other!.name, present];
    const { answer, also, sections } = comparisonContent({
      a: { name: nameA, worksheet: a.worksheet },
      b: { name: nameB, worksheet: after.worksheet },
      comparison: comparison({ a, b: after, causes: !hurried }),
      present: { is, changed },
    });
    return {
      answer,
      also: prose`${also}${onScreen(prose` You may ${fileChoice('compare with another file')}, or drop one on this page.`)}`,
      sections: [...sections, turned(here), misleads(there), { body: [b.caution(cautionSentences(e))] }],
    };
  },
});

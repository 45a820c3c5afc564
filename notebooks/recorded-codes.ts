/**
 * Does the board do what the worksheet says?
 *
 * Codes logged on the board are read and held against each assumption of the worksheet: the noise, whether it averages, hum, drift,
 * codes that never occur. What differs is told with what it costs, and the noise that was found can be taken into the worksheet.
 */
import * as b from '../src/page/blocks.ts';
import {
  fileChoice,
  met,
  missed,
  onScreen,
  type Prose,
  paragraph,
  prose,
  type Section,
  strong,
} from '../src/page/blocks.ts';
import { page } from '../src/page/page.ts';
import type { PageRecord } from '../src/page/record.ts';
import { allan, bitsAgainstRatio } from '../src/page/sections/recordAveraging.ts';
import { histogram, overTime } from '../src/page/sections/recordedCodes.ts';
import { noiseSpectrum, sineSpectrum } from '../src/page/sections/recordSpectrum.ts';
import { recordedHow, refusedSection, takeWords, verdictTable } from '../src/page/sections/recordVerdicts.ts';
import { cautionSentences, sourceSentence } from '../src/page/sections/sentences.ts';
import { type Told, told } from '../src/page/sections/told.ts';
import { noiseRecordLength } from '../src/record/recordLength.ts';
import { recordOf, type WorksheetRecord } from '../src/worksheet/recordOf.ts';
import { extentWords, refusedLines, refusedWords } from '../src/worksheet/recordRows.ts';

/** What the reader may do: take the noise, hand in a file. */
const offer = (words: string, take: Prose = []): Prose =>
  prose`${onScreen(prose` You may ${take}${take.length > 0 ? ', ' : ''}${fileChoice(words)}, or drop one on this page.`)}`;

function answer(r: WorksheetRecord): Prose {
  const refuted = r.verdicts.filter((v) => v.standing === 'refuted');
  const noise = r.verdicts[0]!;
  if (refuted.length === 0) {
    return prose`${met('')}${strong('Nothing that matters is refuted:')} ${noise.name} ${noise.text}.`;
  }
  const first = refuted.reduce((a, v) => (v.lostBits > a.lostBits ? v : a));
  const others =
    refuted.length === 1
      ? ''
      : ` And ${refuted.length - 1} more ${refuted.length === 2 ? 'is' : 'are'} refuted.`;
  return prose`${missed('')}${strong('Not in every way:')} ${first.name}: ${first.text}.${others}`;
}

function also(r: WorksheetRecord): Prose {
  const { lines, problems } = r.report;
  const refused = Object.values(problems).reduce((a, n) => a + n, 0);
  const lost = refused === 0 ? '' : ` ${refused} of ${lines} lines gave none; they are listed below.`;
  const take = r.verdicts[0]!.standing === 'holds' ? [] : takeWords(r);
  return prose`${r.name}: ${extentWords(r)}.${lost}${offer('choose another file', take)}`;
}

/** What a record should be like. */
function howToRecord({ e }: Told): Section {
  const codes = noiseRecordLength({ error: 0.02, confidence: 0.95 });
  return {
    claim: 'How to record',
    body: [
      paragraph(sourceSentence(e)),
      paragraph(
        prose`Hold the input still, with the source in its place and the board in its box, and log the codes of single conversions: one a line, or columns with a time, decimal or with 0x. ${String(codes)} independent codes tell the noise to 2\u202f% with 95\u202f% confidence; half a second tells lines of the mains. For effective bits record a sine over most of the range.`,
      ),
    ],
  };
}

const misleads = (): Section => ({
  body: [
    b.notes('When this misleads', [
      prose`A still input that is not still: the noise of a signal source, or a nest that warms in fits, counts as the board’s; only a straight drift is taken off.`,
      prose`A record slower than the burst says nothing of what is quicker, and folds it; a line of the mains may be another, folded.`,
      prose`A still input sees one place of the staircase and of the INL. Effective resolution is no accuracy, and no ENOB.`,
      prose`Drift, 1/f noise and temperature show only in records as long as they are slow.`,
    ]),
  ],
});

/** The page where no line gave a code, or there is no record. */
function withoutCodes(t: Told, record: PageRecord | undefined) {
  const analysis = record?.analysis;
  const report = analysis && analysis !== 'none' ? analysis.report : undefined;
  const why = record?.absent ?? (report ? `no line gave a code. ${refusedWords(report)}`.trim() : '');
  const lines = report ? refusedLines(report) : [];
  return {
    answer: record
      ? prose`${missed('')}${strong('There are no codes to judge by:')} ${record.name}: ${why.replace(/\.$/, '')}.`
      : prose`${strong('There is no record yet:')} this page judges the worksheet by codes logged on the board.`,
    also: prose`In the terminal: halfbit record FILE.${offer('choose a file of codes')}`,
    sections: [
      howToRecord(t),
      ...(lines.length === 0
        ? []
        : [
            {
              body: [
                b.notes(
                  'Lines that gave no code',
                  lines.map((line) => prose`${line}`),
                ),
              ],
            },
          ]),
      misleads(),
      { body: [b.caution(cautionSentences(t.e))] },
    ],
  };
}

export default page({
  place: 11,
  short: 'Recorded codes',
  question: 'Does the board do what the worksheet says?',
  takesRecord: true,
  content(e, { record }) {
    const t = told(e);
    const analysis = record?.analysis ?? 'none';
    const found =
      record && analysis !== 'none' ? recordOf({ evaluation: e, analysis, name: record.name }) : 'none';
    if (found === 'none') return withoutCodes(t, record);
    return {
      answer: answer(found),
      also: also(found),
      sections: [
        verdictTable(found),
        recordedHow(t, found),
        overTime(t, found),
        ...(found.sine === 'none'
          ? [
              ...histogram(t, found),
              ...noiseSpectrum(t, found),
              ...allan(t, found),
              ...bitsAgainstRatio(t, found),
            ]
          : sineSpectrum(t, found)),
        ...refusedSection(found),
        howToRecord(t),
        misleads(),
        { body: [b.caution(cautionSentences(e))] },
      ],
    };
  },
});

/** What a record says of each assumption, how it was recorded, its figures, and the lines that gave no code. */
import type { WorksheetRecord } from '../../worksheet/recordOf.ts';
import { recordRows, refusedLines, refusedWords } from '../../worksheet/recordRows.ts';
import * as b from '../blocks.ts';
import { action, entry, onScreen, type Prose, paragraph, prose, type Section } from '../blocks.ts';
import { number, type Told } from './told.ts';

const words = { holds: '', differs: 'differs: ', refuted: '', untold: 'cannot tell: ' } as const;
const marks = { holds: 'met', refuted: 'miss', differs: 'open', untold: 'open' } as const;

/** The step that takes the measured noise into the worksheet; empty where there is none to take. */
export function takeWords({ take }: WorksheetRecord): Prose {
  if (take === 'none') return [];
  return prose`${action(`take ${number(take.noiseLsb)}\u202fLSB as measured`, take.changes)}`;
}

/** Every assumption with its verdict. */
export function verdictTable(r: WorksheetRecord): Section {
  const refuted = r.verdicts.filter((v) => v.standing === 'refuted').length;
  const tested = r.verdicts.filter((v) => v.standing !== 'untold').length;
  const bits = r.sine === 'none' ? ' Bits are those of the averaged result.' : '';
  return {
    body: [
      b.table({
        name: 'verdicts',
        claim:
          refuted === 0
            ? `Of ${tested} assumptions that this record can test, none that matters is refuted.`
            : `Of ${tested} assumptions that this record can test, ${refuted} ${refuted === 1 ? 'is' : 'are'} refuted.`,
        text: prose`± is two standard uncertainties. A difference counts from three of them and from 5\u202f% on; it matters where it costs a tenth of a bit.${bits}`,
        columns: [{ head: 'assumption', words: true }],
        rows: r.verdicts.map((v) => ({
          // Names stay on one line.
          cells: [v.name.replaceAll(' ', '\u00a0')],
          verdicts: [{ mark: marks[v.standing], text: `${words[v.standing]}${v.text}` }],
          ...(v.standing === 'refuted' && { standing: 'fails' as const }),
        })),
      }),
    ],
  };
}

/** How the codes were recorded, and what they come to. */
export function recordedHow({ e }: Told, r: WorksheetRecord): Section {
  const offer = takeWords(r);
  const { record } = e.worksheet.inputs;
  const rows = recordRows(e, r);
  const given = (what: string, path: string, key: keyof NonNullable<typeof record>, otherwise: string) => ({
    what,
    value: prose`${entry(path)}`,
    ...(record?.[key] === undefined && { from: otherwise }),
  });
  return {
    claim:
      r.sine === 'none'
        ? 'What the codes of a still input come to'
        : 'What the codes of a sine come to; none of it is the effective resolution of a still input',
    body: [
      b.inputs([
        given('codes per second', 'record.rate', 'rate', rows[0]!.remark),
        given('averaged results', 'record.averaged', 'averaged', 'single conversions'),
        given('column of the file', 'record.column', 'column', 'the first with codes'),
        { what: 'conversion noise in the worksheet', value: prose`${entry('converter.noise')}` },
        ...rows.slice(record?.rate === undefined ? 0 : 1).map(({ what, value, remark }) => ({
          what,
          value: prose`${value}`,
          from: remark,
        })),
      ]),
      ...(offer.length === 0 ? [] : [paragraph(prose`${onScreen(prose`You may ${offer}.`)}`)]),
    ],
  };
}

/** Lines that gave no code; nothing where all did. */
export function refusedSection({ report }: WorksheetRecord): Section[] {
  const said = refusedWords(report);
  if (said === '') return [];
  return [
    {
      body: [
        b.notes(
          `Lines that gave no code: ${said}`,
          refusedLines(report).map((line) => prose`${line}`),
        ),
      ],
    },
  ];
}

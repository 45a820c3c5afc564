/** What is handed on to the firmware: the files, every constant with where it comes from, and test vectors. */
import { constantsOf } from '../../firmware/constants.ts';
import { type FirmwareKind, firmwareFile } from '../../firmware/files.ts';
import type { IntegerConversion } from '../../firmware/integerConversion.ts';
import { prefixFrom } from '../../firmware/names.ts';
import { testVectors } from '../../firmware/vectors.ts';
import { formatNumber, formatQuantity } from '../../numbers/format.ts';
import * as b from '../blocks.ts';
import { prose, type Section } from '../blocks.ts';
import type { Told } from './told.ts';

const whole = (value: number): string => formatNumber({ value, digits: 16 });

/** Test vectors that the page shows. */
const shownVectors = 9;

/** The files, named after the worksheet: the bytes that the command writes. */
export function filesToSave({ e }: Told, c: IntegerConversion, worksheet: string): Section {
  const prefix = prefixFrom(worksheet);
  const file = (kind: FirmwareKind, option: string, what: string) => {
    const { name, text } = firmwareFile({ evaluation: e, conversion: c, prefix, kind });
    const command = `halfbit header WORKSHEET ${option}--out ${name}`;
    return { name, text, what: prose`${what}`, command };
  };
  return {
    claim: `Three files, whose names in C start with ${prefix}.`,
    body: [
      b.files([
        file('header', '', 'the header, with the conversion and every constant below.'),
        file('c', '--vectors c ', 'the test vectors in C, with a function that counts those that fail.'),
        file('csv', '--vectors csv ', 'the test vectors as a table.'),
      ]),
    ],
    margin: [
      b.paragraph(
        prose`The same worksheet gives the same bytes, here and in the terminal, where --prefix gives other names and --check tells when a committed file no longer matches.`,
      ),
    ],
  };
}

/** The card of settings: constants by group, free of register names. */
export function settingsCard({ e }: Told, c: IntegerConversion): Section[] {
  const groups = constantsOf(e, c);
  const rows = groups.flatMap((g) =>
    g.constants.map((one, i) => ({
      cells: [one.name.replace(/_/g, ' '), one.hex ?? whole(one.value), one.formula],
      ...(i === 0 && { group: true }),
    })),
  );
  const remarks = groups.flatMap((g) => g.remarks);
  return [
    {
      body: [
        b.table({
          name: 'constants',
          claim: `${rows.length} constants, each with its unit in its name and where it comes from.`,
          text: prose`Names as in the header, which has _ between the words and its prefix ahead. A ratio is given as itself, as its logarithm and less one, since registers differ.`,
          columns: [
            { head: 'name', words: true },
            { head: 'value' },
            { head: 'from', words: true, minor: true },
          ],
          rows,
        }),
      ],
    },
    ...(remarks.length > 0
      ? [
          {
            body: [
              b.notes(
                'With them',
                remarks.map((r) => prose`${r}`),
              ),
            ],
          },
        ]
      : []),
  ];
}

/** Some of the test vectors. */
export function vectorsTable({ e }: Told, c: IntegerConversion): Section {
  const vectors = testVectors(e, c);
  const converted = vectors.filter((v) => v.measurand !== 'none');
  const every = Math.max(1, Math.floor(converted.length / shownVectors));
  return {
    body: [
      b.table({
        name: 'vectors',
        claim: `${vectors.length} test vectors go with it; these are some.`,
        text: prose`Both ends and their neighbours, the code of the largest error, powers of two, codes spread evenly; as C and as CSV.`,
        columns: [{ head: 'code' }, { head: 'value' }, { head: 'rounded from' }],
        rows: converted
          .filter((_, i) => i % every === 0)
          .map((v) => ({
            cells: [
              whole(v.code),
              whole(v.value),
              formatQuantity({ value: v.measurand as number, unit: e.units.measurand, digits: 7 }),
            ],
          })),
      }),
    ],
  };
}

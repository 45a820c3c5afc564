/** What is handed on to the firmware: every constant with where it comes from, and test vectors. */
import { constantsOf } from '../../firmware/constants.ts';
import type { IntegerConversion } from '../../firmware/integerConversion.ts';
import { testVectors } from '../../firmware/vectors.ts';
import { formatNumber, formatQuantity } from '../../numbers/format.ts';
import * as b from '../blocks.ts';
import { prose, type Section } from '../blocks.ts';
import type { Told } from './told.ts';

const whole = (value: number): string => formatNumber({ value, digits: 16 });

/** Test vectors that the page shows. */
const shownVectors = 9;

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

/** The table of settings: every ratio and shift with what it is worth, its verdict in words, and the row to take. */
import { formatDeciding, formatNumber } from '../../numbers/format.ts';
import type { RequirementName } from '../../plan/requirements.ts';
import type { SettingRow, Settings } from '../../plan/settings.ts';
import { prose, type Row, type Table, table } from '../blocks.ts';
import type { Scale } from '../scale.ts';

/** A setting in words: `64, shift 3`. */
export const settingWords = ({ ratio, shift }: { ratio: number; shift: number }): string =>
  ratio === 1 && shift === 0 ? '1' : `${ratio}, shift ${shift}`;

/** The changes that take a setting. */
export const settingChanges = ({
  ratio,
  shift,
}: {
  ratio: number;
  shift: number;
}): Record<string, string> => ({
  'averaging.ratio': String(ratio),
  'averaging.shift': String(shift),
});

/** What a failure says: the figures that decide, where they stand in no column of the row. */
export function failureWords({ name, text, actual, required, unit }: SettingRow['failures'][number]): string {
  if (name === 'step' || name === 'overflow') return text;
  const { value, limit } = formatDeciding({ value: actual, limit: required, unit });
  if (name !== 'resolution') return `${text}: ${value}, ${limit} wanted`;
  const [[of, unit1], [wanted, unit2]] = [value.split('\u202f'), limit.split('\u202f')];
  // The unit stands in the head of the column.
  return unit1 === unit2 ? `rms ${of}, ${wanted} wanted` : `rms ${value}, ${limit} wanted`;
}

function verdicts(row: SettingRow, { reason }: Settings, meets: string): NonNullable<Row['verdicts']> {
  if (row.failures.length > 0) {
    const failures = row.failures.map((f) => ({ mark: 'miss' as const, text: failureWords(f) }));
    return row.chosen ? [{ text: 'chosen' }, ...failures] : failures;
  }
  if (row.recommended)
    return [{ mark: 'met', text: `${row.chosen ? 'chosen and ' : ''}recommended: ${reason}` }];
  return row.chosen ? [{ mark: 'met', text: `chosen; ${meets}` }] : [{ text: meets }];
}

/** Of each ratio: the whole sum, all that meet, the first that fails after them, and what is chosen. */
const shownRows = (rows: readonly SettingRow[]): number[] =>
  rows.flatMap((row, i) => {
    const before = rows[i - 1];
    const edge = before?.ratio === row.ratio && before.failures.length === 0;
    return row.shift === 0 || row.failures.length === 0 || edge || row.chosen ? [i] : [];
  });

/** The table of a worksheet's settings; `wants` says how many of resolution and step are asked for. */
export function settingsTable(settings: Settings, { inSmall, small }: Scale, wants: number): Table {
  const { rows, recommended } = settings;
  const least = rows[0]!;
  const [charge, perCharge] = least.charge < 1e-7 ? ['nC', 1e9] : ['µC', 1e6];
  const [time, perTime] = least.time < 1e-4 ? ['µs', 1e6] : ['ms', 1e3];
  const meets = wants > 1 ? 'meets both' : 'meets what is wanted';
  const row = (r: SettingRow, i: number): Row => {
    const figure = (text: string, ...names: RequirementName[]) =>
      r.failures.some((f) => names.includes(f.name)) ? { text, miss: true as const } : text;
    const standing = r.chosen
      ? 'chosen'
      : r.recommended
        ? 'recommended'
        : r.failures.length > 0
          ? 'fails'
          : undefined;
    return {
      cells: [
        String(r.ratio),
        String(r.shift),
        figure(String(r.resultBits), 'overflow'),
        figure(formatNumber({ value: r.largestCode, digits: 12 }), 'overflow'),
        figure(formatNumber({ value: inSmall(r.step) }), 'step'),
        figure(formatNumber({ value: inSmall(r.rms) }), 'resolution'),
        figure(formatNumber({ value: r.time * perTime, digits: 4 }), 'period', 'latency'),
        formatNumber({ value: r.charge * perCharge }),
      ],
      verdicts: verdicts(r, settings, meets),
      ...(standing && { standing }),
      group: rows[i - 1]?.ratio !== r.ratio,
      choose: { label: `ratio ${r.ratio}, shift ${r.shift}`, changes: settingChanges(r) },
    };
  };
  const who =
    recommended?.ratio === 1
      ? 'One conversion is'
      : `${recommended?.ratio} conversions, shift ${recommended?.shift}, are`;
  return table({
    name: 'settings',
    claim: recommended
      ? `${who} the cheapest that ${wants > 1 ? 'meet both wants' : 'meet what is wanted'}.`
      : 'No setting meets what is wanted.',
    text: prose`Choose a row to work with it; the drawing and the figures above follow.`,
    columns: [
      { head: 'ratio' },
      { head: 'shift' },
      { head: 'result', unit: 'bits', minor: true },
      { head: 'largest', unit: 'code', minor: true },
      { head: 'step', unit: small },
      { head: 'noise', unit: `${small} rms` },
      { head: 'time', unit: time, minor: true },
      { head: 'charge', unit: charge },
    ],
    rows: rows.map(row),
    shown: shownRows(rows),
  });
}

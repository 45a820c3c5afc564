/** The table of sample times: what each leaves, how large a source it serves, its verdict, and the row to take. */
import { formatDeciding, formatQuantity } from '../../numbers/format.ts';
import type { RequirementResult } from '../../plan/requirements.ts';
import type { SampleTimeRow, SampleTimes } from '../../worksheet/sampleTimesOf.ts';
import { prose, type Row, type Table, table } from '../blocks.ts';
import { scaled } from './scaled.ts';
import { number, type Told } from './told.ts';

/** A figure of a column; what is too small to matter as such. */
const small = (value: number): string =>
  value === 0 ? '0' : Math.abs(value) < 1e-3 ? '<\u202f0.001' : number(Math.abs(value));

/** A resistance, or that none or any serves. */
export const sourceWords = (value: number | 'none' | 'any'): string =>
  typeof value === 'number' ? formatQuantity({ value, unit: 'ohm' }) : value;

function missWords({ name, actual, required, unit }: RequirementResult): string {
  const { value, limit } = formatDeciding({ value: actual, limit: required, unit });
  const what = {
    settling: 'not settled',
    period: 'longer than the period',
    latency: 'result too late',
    batteryLife: 'battery empty too soon',
  };
  return `${what[name as keyof typeof what]}: ${value}, ${limit} wanted`;
}

function verdicts(row: SampleTimeRow): NonNullable<Row['verdicts']> {
  const chosen = row.chosen ? [{ text: 'chosen' }] : [];
  if (row.worth === undefined) return [...chosen, { mark: 'miss', text: 'longer than the trigger allows' }];
  if (row.missed.length > 0) {
    const after =
      typeof row.discard === 'number' && row.discard > 0
        ? [{ text: `settled with ${row.discard} left out` }]
        : [];
    return [...chosen, ...row.missed.map((r) => ({ mark: 'miss' as const, text: missWords(r) })), ...after];
  }
  if (row.recommended)
    return [{ mark: 'met', text: `${row.chosen ? 'chosen and ' : ''}recommended: shortest that serves` }];
  return row.chosen ? [{ mark: 'met', text: 'chosen; settled' }] : [{ text: 'settled' }];
}

/** The table of a worksheet's sample times. */
export function sampleTable(
  { e: { averaging, sampling }, small: unit, inSmall, time, charge }: Told,
  { rows, recommended, chosen }: SampleTimes,
): Table {
  const seconds = scaled(rows.at(-1)!.sampleTime / 10, 's');
  const volts = scaled(Math.max(...rows.map((r) => Math.abs(r.worth?.meanVoltage ?? 0))), 'V');
  const row = (r: SampleTimeRow): Row => {
    const { worth } = r;
    const late = r.missed.some((m) => m.name === 'settling');
    const figure = (text: string) => (late ? { text, miss: true as const } : text);
    const standing = r.chosen
      ? 'chosen'
      : r.recommended
        ? 'recommended'
        : worth === undefined || r.missed.length > 0
          ? 'fails'
          : undefined;
    const off = worth && inSmall(worth.meanMeasurand);
    return {
      cells: [
        String(r.cycles),
        number(seconds.of(r.sampleTime), 4),
        worth ? small(worth.errors.first) : '–',
        worth ? small(worth.errors.steady) : '–',
        worth ? figure(small(worth.errors.mean)) : '–',
        worth ? small(volts.of(worth.meanVoltage)) : '–',
        worth && off !== undefined
          ? figure(`${off > 5e-4 ? '+' : off < -5e-4 ? '\u2212' : ''}${small(off)}`)
          : '–',
        worth ? sourceWords(worth.maxSourceResistance) : '–',
      ],
      verdicts: verdicts(r),
      ...(standing && { standing }),
      choose: { label: `${r.cycles} sample cycles`, changes: { 'sampling.sampleCycles': String(r.cycles) } },
    };
  };
  const cost =
    recommended?.worth && chosen.worth && recommended !== chosen
      ? ` A burst takes ${charge(recommended.worth.charge)} with ${recommended.cycles} cycles, ${charge(chosen.worth.charge)} with ${chosen.cycles}.`
      : '';
  return table({
    name: 'sample-times',
    claim: recommended
      ? `${recommended.cycles} cycles, ${time(recommended.sampleTime)}, are the fewest that serve.`
      : 'No sample time of the profile serves at this clock.',
    text: prose`What a source of ${sourceWords(sampling.sourceResistance)} leaves on the first conversion, in the steady state and on the mean of ${String(averaging.ratio)}; how far that is at the pin and in the reading; and up to which source it would do.${cost} Choose a row to work with it.`,
    columns: [
      { head: 'cycles' },
      { head: 'time', unit: seconds.unit, minor: true },
      { head: 'first', unit: 'LSB', minor: true },
      { head: 'steady', unit: 'LSB', minor: true },
      { head: 'mean', unit: 'LSB' },
      { head: 'pin', unit: volts.unit, minor: true },
      { head: 'reading', unit },
      { head: 'source', unit: 'up to' },
    ],
    rows: rows.map(row),
  });
}

/** The table of codes at every other resolution and ratio. */
import { formatNumber } from '../../numbers/format.ts';
import type { Watchdog } from '../../worksheet/watchdogOf.ts';
import type { OtherThreshold, WatchdogSetting } from '../../worksheet/watchdogSettingsOf.ts';
import { type Column, prose, type Row, type Table, table } from '../blocks.ts';
import { number, type Told } from './told.ts';

/** A figure of a setting; what holds for any is written so. */
const figure = (value: number | 'any'): string => String(value);

/** The changes that take a setting. */
const changes = ({ bits, ratio, shift }: WatchdogSetting): Record<string, string> => ({
  'sampling.bits': String(bits),
  ...(ratio !== 'any' && { 'averaging.ratio': String(ratio) }),
  ...(shift !== 'any' && { 'averaging.shift': String(shift) }),
});

/** What to write elsewhere, and where it then trips. */
export function watchdogTable(
  { e, unit }: Told,
  watchdog: Watchdog,
  settings: readonly WatchdogSetting[],
): Table {
  const result = watchdog.compare.stage === 'result';
  const { thresholds } = watchdog;
  const kinds = thresholds.map((t) => t.register);
  const cells = (register: 'high' | 'low', of: readonly OtherThreshold[]): string[] => {
    const found = of.find((t) => t.register === register);
    if (!found) return ['', '', ''];
    const { tripsAt, code, hex } = found;
    const place =
      tripsAt.measurand === 'none' ? `${number(tripsAt.volts, 5)} V` : number(tripsAt.measurand, 5);
    return [formatNumber({ value: code, digits: 12 }), hex, place];
  };
  const columns: Column[] = [
    { head: 'bits' },
    ...(result ? [{ head: 'ratio' }, { head: 'shift' }] : []),
    ...kinds.flatMap((register): Column[] => [
      { head: register, unit: 'decimal', ...(kinds.length > 1 && { minor: true }) },
      { head: register, unit: 'hex' },
      { head: 'half trip at', unit, ...(kinds.length > 1 && { minor: true }) },
    ]),
  ];
  const row = (s: WatchdogSetting, i: number): Row => ({
    cells: [
      String(s.bits),
      ...(result ? [figure(s.ratio), figure(s.shift)] : []),
      ...kinds.flatMap((register) => cells(register, s.thresholds)),
    ],
    verdicts: s.refused
      ? [{ mark: 'miss', text: s.refused }]
      : s.chosen
        ? [{ mark: 'met', text: 'chosen' }]
        : [{ text: 'another code' }].filter(() => s.thresholds.some((t) => !same(t, watchdog))),
    ...(s.refused ? { standing: 'fails' as const } : s.chosen ? { standing: 'chosen' as const } : {}),
    group: settings[i - 1]?.bits !== s.bits,
    choose: {
      label: `${s.bits} bits${result ? `, ratio ${s.ratio}, shift ${s.shift}` : ''}`,
      changes: changes(s),
    },
  });
  const here = settings.flatMap((s, i) => (s.bits === e.quantizing.bits || s.chosen ? [i] : []));
  const distinct = new Set(
    settings.map((s) => s.thresholds.map((t) => t.hex).join()).filter((h) => h !== ''),
  );
  const claim =
    settings.length === 1
      ? 'The converter has one resolution, and the average is not compared: this code holds at every ratio.'
      : result
        ? `The code follows resolution, ratio and shift: ${distinct.size} different ones at ${settings.length} settings.`
        : 'The code follows the resolution; the average is not compared.';
  return table({
    name: 'other-settings',
    claim,
    text: prose`${result ? 'Of each ratio the least shift that fits register and comparator, and the chosen one. ' : ''}Offset, INL and noise stay the same in volts. Whoever changes a setting must change the code with it.`,
    columns,
    rows: settings.map(row),
    ...(settings.length > 12 && { shown: here }),
  });
}

/** Whether a threshold is written as at the chosen setting. */
const same = (t: OtherThreshold, { thresholds }: Watchdog): boolean =>
  thresholds.some((c) => c.register === t.register && c.hex === t.hex);

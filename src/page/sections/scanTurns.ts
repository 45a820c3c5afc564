/** The turns of a scan: who shares the converter, when each is converted, and how far apart. */
import { formatFixed, formatNumber } from '../../numbers/format.ts';
import type { ScanError } from '../../worksheet/scanOf.ts';
import type { ScanTimes, ScanVisit } from '../../worksheet/scanTimesOf.ts';
import * as b from '../blocks.ts';
import { entry, paragraph, prose, type Section } from '../blocks.ts';
import { scaled } from './scaled.ts';
import { lsb } from './settling.ts';
import type { Told } from './told.ts';

/** Most channels that are named in the drawing. */
const mostNamed = 8;

/** A time after this channel's, with its sign. */
const later = ({ time }: Told, { skew }: ScanVisit): string =>
  skew === 0 ? '0' : `${skew > 0 ? '+' : '\u2212'}${time(Math.abs(skew))}`;

/** What a result receives, signed, without the unit; a figure that fails where it is more than allowed. */
export function receivedCell(value: number, allowed: number): b.Row['cells'][number] {
  if (value === 0) return '–';
  const small = Math.abs(value) < 5e-5;
  const text = small ? '<\u202f0.0001' : formatFixed({ value, decimals: 4 });
  return Math.abs(value) > allowed ? { text, miss: true } : text;
}

/** The channels with their inputs. */
export function scanChannels({ e }: Told, { visits }: ScanTimes): Section {
  const { inputs, profile } = e.worksheet;
  const others = inputs.scan?.channels ?? [];
  const several = others.length > 0;
  const pins = visits.filter((v) => v.input === 'external').length;
  const chip = visits.length - pins;
  const rows = others.flatMap((c, i) => {
    const at = (key: string) => prose`${entry(`scan.channels.${i}.${key}`)}`;
    return [
      { what: c.name, value: at('voltage'), from: c.input === 'internal' ? 'on the chip' : 'at a pin' },
      { what: `${c.name}, source`, value: at('sourceResistance') },
      {
        what: `${c.name}, sample cycles`,
        value: at('sampleCycles'),
        from: c.sampleCycles === undefined ? 'as this channel' : 'its own',
      },
      ...(c.leastSampleTime
        ? [{ what: `${c.name}, to be sampled for`, value: at('leastSampleTime'), from: 'at least' }]
        : []),
    ];
  });
  const used = `${pins} of the ${profile.channels} inputs${chip > 0 ? ` and ${chip} on the chip` : ''}`;
  return {
    claim:
      others.length === 0
        ? 'This channel has the converter to itself.'
        : `${visits.length} channels take turns: ${used}.`,
    body: [
      paragraph(
        prose`${several ? 'This worksheet’s channel comes first, sampled' : 'It is sampled'} for ${entry('sampling.sampleCycles')}; a result is the mean of ${entry('averaging.ratio')}, once every ${entry('requirement.period')}.`,
      ),
      b.inputs([
        ...rows,
        ...(several
          ? [
              {
                what: 'left out after each change',
                value: prose`${entry('scan.discard')}`,
                from: 'none unless given',
              },
            ]
          : []),
        {
          what: 'from one scan to the next',
          value: prose`${entry('scan.period')}`,
          from: 'as readings unless given',
        },
      ]),
    ],
  };
}

/** The turns as a drawing: time along, a line a channel. */
function turnsPlot(t: Told, times: ScanTimes): b.Plot {
  const { time } = t;
  const { visits, rounds, roundTime, turn, spread } = times;
  const shown = Math.min(rounds, 2);
  const unit = scaled(roundTime / 2, 's');
  const end = unit.of(roundTime * shown);
  const bars = Array.from({ length: shown }, (_, round) =>
    visits.map((v, i) => {
      const from = v.start + round * roundTime;
      const to = from + (v.conversions - 1) * v.slot + v.conversionTime;
      return b.curve({
        name: v.name,
        points: [
          [unit.of(from), i + 1],
          [unit.of(to), i + 1],
        ],
        style: round === 0 ? 'first' : 'thin',
      });
    }),
  ).flat();
  const mean = rounds > 1 ? (roundTime * (rounds - 1)) / 2 : 0;
  return b.plot({
    name: 'turns',
    claim:
      turn === 'burst'
        ? `A burst each in turn: the channels are ${time(spread)} apart.`
        : `The scan goes round ${rounds} times: the channels are only ${time(spread)} apart.`,
    text: prose`${
      turn === 'burst'
        ? 'The averager takes a channel’s whole burst before it goes on. The dot is the middle of its samples: the instant that a result tells of.'
        : 'Firmware sums, so each turn is one conversion. The dots are samples; over the rounds their distance stays.'
    }`,
    description: `Turns of ${visits.length} channels against time: ${visits.map((v) => `${v.name} from ${time(v.start)}`).join(', ')}`,
    x: { label: `time since the start, ${unit.unit}`, scale: 'linear', from: 0, to: 1.02 * end },
    y: {
      label: 'turn',
      scale: 'linear',
      from: 0.4,
      to: visits.length + 0.8,
      ticks: visits.map((_, i) => i + 1),
    },
    marks: [
      ...bars,
      ...visits.slice(0, mostNamed).map((v, i) =>
        b.point({
          x: unit.of(v.at - mean),
          y: i + 1,
          standing: i === 0 ? 'chosen' : 'plain',
          text: i === 0 ? v.name : `${v.name}, ${later(t, v)}`,
          place: v.at - mean > (roundTime * shown) / 2 ? 'above left' : 'above right',
        }),
      ),
    ],
    figures: {
      heads: ['channel', `start, ${unit.unit}`, `sampled, ${unit.unit}`],
      rows: visits.map((v) => [
        v.name,
        formatNumber({ value: unit.of(v.start) }),
        formatNumber({ value: unit.of(v.at - mean) }),
      ]),
    },
  });
}

/** When each channel is converted: drawing, table, working. */
export function scanTurns(t: Told, times: ScanTimes, settling: readonly ScanError[]): Section[] {
  const { e, time } = t;
  const { visits, rounds, roundTime, readingTime, leastPeriod, turn, fits, period } = times;
  if (visits.length === 1) return [];
  const drawn: Section = {
    body: [turnsPlot(t, times)],
    margin: [
      b.working({
        result: time(leastPeriod),
        steps: [
          prose`A scan is the sum of its turns, each of left-out and counting conversions:`,
          { formula: 'T = sum(i=1; n; (d + k) t_i)' },
          prose`with ${visits.map((v) => `${v.conversions} × ${time(v.slot)}`).join(' + ')} = ${time(roundTime)}${rounds > 1 ? `, ${rounds} times round` : ''}.`,
        ],
        source: 'Common practice, no source.',
      }),
      paragraph(prose`Start-ups come ahead of the first, ${time(e.averaging.startTime)}.`),
    ],
  };
  const allowed = e.sampling.allowedErrorLsb;
  const left = (v: ScanVisit): number => settling[visits.indexOf(v)]!.lsb;
  const verdict = (v: ScanVisit): NonNullable<b.Row['verdicts']> => {
    return [
      ...(v.short ? ['too short'] : []),
      ...(Math.abs(left(v)) > allowed ? [`${lsb(allowed)} allowed`] : []),
    ].map((text) => ({ mark: 'miss' as const, text }));
  };
  const table = b.table({
    name: 'turns-table',
    claim: fits
      ? `Every channel has its result ${time(readingTime)} after the start; scans may follow every ${time(leastPeriod)}.`
      : `A scan takes ${time(leastPeriod)}, longer than its period, ${time(period)}.`,
    ...(e.noise.slopeLsb > 0 && {
      text: prose`This channel moves while the others are taken: over the whole scan by ${formatNumber({ value: Math.abs(e.noise.slopeLsb) * times.spread })}\u202fLSB.`,
    }),
    columns: [
      { head: 'channel', words: true },
      { head: 'sampled', unit: 'for', minor: visits.some((v) => verdict(v).length > 0) },
      { head: 'one', unit: 'conversion', minor: true },
      { head: turn === 'burst' ? 'turn' : 'first turn', unit: 'starts', minor: true },
      { head: 'later', unit: 'by' },
      { head: 'off by', unit: 'LSB' },
    ],
    rows: visits.map((v, i) => ({
      cells: [
        v.name,
        v.short ? { text: time(v.sampleTime), miss: true as const } : time(v.sampleTime),
        time(v.conversionTime),
        v.start === 0 ? '0' : time(v.start),
        later(t, v),
        receivedCell(left(v), allowed),
      ],
      ...(visits.some((w) => verdict(w).length > 0) && { verdicts: verdict(v) }),
      ...(i === 0 && { standing: 'chosen' as const }),
      ...(v.short && { standing: 'fails' as const }),
    })),
  });
  return [drawn, { body: [table] }];
}

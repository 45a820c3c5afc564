/** The buffer that the hardware fills by itself: length, interrupts, core time, latency, declaration. */
import { formatNumber, formatQuantity } from '../../numbers/format.ts';
import type { BufferRow, WorksheetBuffer } from '../../worksheet/bufferOf.ts';
import type { ScanTimes } from '../../worksheet/scanTimesOf.ts';
import * as b from '../blocks.ts';
import { entry, missed, paragraph, prose, type Section, symbol } from '../blocks.ts';
import type { Told } from './told.ts';

const percent = (share: number): string => {
  if (share === 0) return '–';
  if (share < 1e-6) return '<\u202f1\u202fppm';
  return formatQuantity({ value: share, unit: share < 1e-3 ? 'ppm' : '%', digits: 2 });
};

const bytes = (value: number): string => `${formatNumber({ value, digits: 6 })}\u202fbytes`;

/** Core time of the present buffer, and of an interrupt for each result. */
function load({ time }: Told, buffer: WorksheetBuffer): Section['body'] {
  const { buffered, each, costsGiven } = buffer;
  if (!costsGiven) {
    return [
      paragraph(
        prose`Say what an interrupt and a result take, and the share of the core’s time follows. Without a buffer a result must be read within ${time(each.latency)}.`,
      ),
    ];
  }
  const behind =
    each.busyShare > 1
      ? prose` ${missed('Without a buffer the core cannot keep up')} while conversions run.`
      : [];
  return [
    paragraph(
      prose`The core spends ${percent(buffered.share)} of its time on it${buffer.duty < 1 ? ' while the scan goes round' : ''}; without the buffer ${percent(each.share)}, each result to be read within ${time(each.latency)}.${behind}`,
    ),
  ];
}

/** The buffer: inputs, table of lengths, working and declaration. */
export function scanBuffer(t: Told, times: ScanTimes, buffer: WorksheetBuffer): Section[] {
  const { time, e } = t;
  const { channels, scans, bytes1, scanPeriod, duty, rows } = buffer;
  const latency = e.worksheet.inputs.requirement.latency?.value;
  const wide = `${8 * bytes1} bits`;
  const one = times.turn === 'burst' ? 'result' : 'conversion';
  const what = `${one}s`;
  const saved =
    buffer.length > 2
      ? `an interrupt every ${time(1 / buffer.buffered.rate)} instead of every ${time(1 / buffer.each.rate)}`
      : 'as many interrupts as without, twice the time for each';
  const head: Section = {
    claim: `The buffer holds ${formatNumber({ value: buffer.length, digits: 6 })} ${what}, ${bytes(buffer.bytes)}: ${saved}.`,
    body: [
      paragraph(
        prose`The hardware stores ${channels === 1 ? `one ${one}` : `${channels} ${what}`} a scan, each in ${wide}. Each half holds whole scans, so a channel always stands in the same place; an interrupt comes when a half is full, and the core takes that half while the other is filled.`,
      ),
      ...load(t, buffer),
      paragraph(prose`In C, by half, scan and channel: ${b.strong(buffer.declaration)}`),
      b.inputs([
        {
          what: 'scans in each half',
          value: prose`${entry('scan.buffer.scans')}`,
          from: 'yours; 1 unless given',
        },
        {
          what: 'core, for an interrupt',
          value: prose`${entry('scan.buffer.interruptTime')}`,
        },
        {
          what: `core, for a ${one}`,
          value: prose`${entry('scan.buffer.resultTime')}`,
        },
      ]),
    ],
    margin: [
      b.working({
        result: time(buffer.buffered.latency),
        steps: [
          prose`From the interrupt until the first result of that half is overwritten:`,
          { formula: 't = (S + 1) T - d' },
          {
            formula: 't = (S + 1) T - d',
            with: {
              t: time(buffer.buffered.latency),
              S: String(scans),
              T: time(scanPeriod),
              d: time((scans + 1) * scanPeriod - buffer.buffered.latency),
            },
          },
          prose`${symbol('T')} from scan to scan, ${symbol('d')} from the first result of a scan to its last.`,
        ],
        source: 'Common practice, no source.',
      }),
      ...(duty < 1
        ? [paragraph(prose`Figures while the scan goes round, ${percent(duty)} of the time.`)]
        : []),
    ],
  };
  const verdict = (row: BufferRow): b.Row['verdicts'] =>
    !row.whole
      ? [{ mark: 'miss' as const, text: 'waits for the next reading' }]
      : latency !== undefined && row.oldest > latency
        ? [
            {
              mark: 'miss' as const,
              text: `oldest result ${time(row.oldest)} old`,
            },
          ]
        : [{ text: row.chosen ? 'chosen' : '' }];
  const table = b.table({
    name: 'buffer',
    claim: 'Twice the buffer halves the interrupts, and the oldest result waits twice as long.',
    ...(latency !== undefined && {
      text: prose`A result should be no older than ${entry('requirement.latency')}.`,
    }),
    columns: [
      { head: 'scans', unit: 'in half' },
      { head: 'length' },
      { head: 'bytes' },
      { head: 'interrupt', unit: 'every' },
      { head: 'core', unit: 'time', minor: true },
      { head: 'may wait', unit: 'at most' },
      { head: 'oldest', unit: 'is', minor: true },
    ],
    rows: rows.map((row) => ({
      cells: [
        formatNumber({ value: row.scans, digits: 6 }),
        formatNumber({ value: row.length, digits: 8 }),
        formatNumber({ value: row.bytes, digits: 8 }),
        time(row.halfTime),
        percent(row.buffered.share),
        time(row.buffered.latency),
        time(row.oldest),
      ],
      verdicts: verdict(row) ?? [],
      ...(row.chosen && { standing: 'chosen' as const }),
      choose: {
        label: `${row.scans} scans in half the buffer`,
        changes: { 'scan.buffer.scans': String(row.scans) },
      },
    })),
  });
  return [head, { body: [table] }];
}

/**
 * A record in rows of words: its figures, its lines that gave no code, its curve of bits; for a command and a page alike.
 */
import { formatFixed, formatNumber, formatQuantity } from '../numbers/format.ts';
import type { RecordReport } from '../record/reader.ts';
import type { Evaluation } from './evaluation.ts';
import type { WorksheetRecord } from './recordOf.ts';
import { lsb, lsbParts } from './recordWords.ts';

/** A figure: what it is, its value, what it is for. */
export interface RecordRow {
  readonly what: string;
  readonly value: string;
  readonly remark: string;
}

const number = (value: number, digits = 3): string => formatNumber({ value, digits });
const hz = (value: number): string => formatQuantity({ value, unit: 'Hz', digits: 4 });
const seconds = (value: number): string => formatQuantity({ value, unit: 's' });

/** Bits in print. */
export const bitsText = (bits: number | 'any'): string =>
  bits === 'any' ? 'any' : `${formatFixed({ value: bits, decimals: 2 })}\u202fbits`;

const rateWords = {
  told: 'as told',
  worksheet: 'by the worksheet',
  'time column': 'by the column of time, if in seconds',
  'back to back': 'assumed: conversions back to back',
} as const;

/** `4096 codes at 1 kHz, 4.1 s`. */
export function extentWords({ figures, rate, averaged }: WorksheetRecord): string {
  const { count } = figures.summary;
  const what = `${averaged ? 'result' : 'code'}${count === 1 ? '' : 's'}`;
  return `${formatNumber({ value: count, digits: 15 })} ${what} at ${hz(rate)}, ${seconds(count / rate)}`;
}

/** The figures of a record, those of a still input apart from those of a sine. */
export function recordRows(e: Evaluation, r: WorksheetRecord): RecordRow[] {
  const { figures, sine, noise, lsb: scale, reading, minimum } = r;
  const { summary, autocorrelation } = figures;
  const row = (what: string, value: string, remark = ''): RecordRow => ({ what, value, remark });
  const rows = [
    row('rate', hz(r.rate), rateWords[r.rateFrom]),
    row(
      'mean code',
      number(summary.mean, 8),
      reading.measurand === 'none'
        ? ''
        : formatQuantity({ value: reading.measurand, unit: e.units.measurand, digits: 4 }),
    ),
    row('lowest, highest code', `${summary.lowest}, ${summary.highest}`),
  ];
  if (sine !== 'none') {
    const { tone, fit } = sine;
    const level = (value: number | 'any' | 'none'): string =>
      typeof value === 'number' ? `${number(value)}\u202fdB` : value;
    return [
      ...rows,
      row(
        'sine',
        hz(fit.frequency),
        `amplitude ${number(fit.amplitude, 5)}, offset ${number(fit.offset, 6)} codes`,
      ),
      row(
        'ENOB',
        bitsText(sine.effectiveBits),
        `from the residual of the sine fit; ${bitsText(sine.expectedBits)} by noise and quantization`,
      ),
      row(
        'SINAD',
        level(tone.sinadDb),
        `SNR ${level(tone.snrDb)}, THD ${level(tone.thdDb)}, SFDR ${level(tone.sfdrDb)}`,
      ),
    ];
  }
  const parts = lsbParts(noise.foundLsb, noise.uncertaintyLsb);
  return [
    ...rows,
    row('standard deviation', `${number(summary.standardDeviation, 4)} codes`),
    row(
      'transition noise',
      noise.foundLsb === 0 ? `≤\u202f${lsb(noise.atMostLsb)}` : parts.value,
      [
        ...(noise.foundLsb === 0 ? [] : [`±${parts.within} (2σ)`]),
        'ahead of the quantizer',
        ...(scale === 1 ? [] : ['LSB of one conversion']),
      ].join(', '),
    ),
    row('noise-free bits', bitsText(summary.noiseFreeBits), 'peak to peak of 6.6 standard deviations'),
    row(
      'effective resolution',
      bitsText(summary.effectiveResolution),
      'from a still input; not the ENOB of a sine',
    ),
    ...(autocorrelation === 'none'
      ? []
      : [
          row(
            'independent codes',
            formatNumber({ value: Math.round(autocorrelation.effectiveCount), digits: 15 }),
            `of ${summary.count}, for the mean`,
          ),
        ]),
    ...(minimum === 'none'
      ? []
      : [
          row(
            minimum.atEnd ? 'averaging helps' : 'averaging helps up to',
            minimum.atEnd ? `beyond ${seconds(minimum.tau)}` : seconds(minimum.tau),
            `${number(minimum.factor, 6)} codes; least Allan deviation ${lsb(minimum.deviation * scale)}`,
          ),
        ]),
    row(
      'one reading (2σ)',
      `±${formatQuantity({ value: reading.twoSigma, unit: e.units.difference })}`,
      `${r.averaged ? 'as recorded' : `mean of ${reading.ratio}`}; by the worksheet ±${formatQuantity({ value: reading.expectedTwoSigma, unit: e.units.difference })}`,
    ),
  ];
}

const kinds: Readonly<Record<keyof RecordReport['problems'], string>> = {
  missing: 'without a value',
  'out of range': 'out of range',
  unparsable: 'unreadable',
  'too long': 'too long',
  'cut short': 'cut short at the end',
  'time jump': 'with a jump of time',
};

/** Lines that gave no code, all kinds together. */
const refusedCount = ({ problems }: RecordReport): number =>
  Object.entries(problems).reduce((sum, [kind, count]) => sum + (kind === 'time jump' ? 0 : count), 0);

/** Whether more lines were refused than gave codes. */
export const isDoubtful = (report: RecordReport): boolean => refusedCount(report) > report.rows;

/** What may be wrong with a file that gives few codes or none. */
function advice({ listed, lines }: RecordReport): string {
  if (listed.some(({ text }) => text.includes('\0')))
    return 'There are zero bytes in it: if it is text, save it as UTF-8 or plain ASCII';
  if (lines === 1) return 'Codes stand one a line';
  const unread = listed.filter(({ kind }) => kind === 'unparsable');
  if (unread.length > 0 && unread.every(({ text }) => /^[0-9a-f]+h?$/i.test(text.trim())))
    return 'If these are hexadecimal, put 0x before them, or say --hex in the terminal';
  if (listed.length > 0 && listed.every(({ kind, text }) => kind === 'out of range' && /^\s*-/.test(text)))
    return 'Codes are plain binary, from 0: add half the range to those of two’s complement';
  return 'A line holds a whole number, or columns set apart by commas, semicolons, tabs or spaces';
}

/** Lines that may stand above the codes without a word. */
const longestHeading = 3;

/** Lines that gave no code, in sentences; empty if all did. */
export function refusedWords(report: RecordReport): string {
  const { problems, lines, rows, headerLines } = report;
  const parts = Object.entries(problems)
    .filter(([, count]) => count > 0)
    .map(([kind, count]) => `${count} ${kinds[kind as keyof typeof problems]}`);
  // What looks like a heading is none where no code follows, nor are many lines one.
  if (headerLines > (rows === 0 ? 0 : longestHeading))
    parts.unshift(`${headerLines} without any code${rows === 0 ? '' : ' before the first with one'}`);
  if (parts.length === 0) return '';
  const told = `Of ${lines} line${lines === 1 ? '' : 's'}: ${parts.join(', ')}.`;
  return isDoubtful(report) ? `${told} ${advice(report)}.` : told;
}

/** A line as it may be shown: UTF-8 where it is some, and nothing that would steer a terminal. */
const shownLine = (bytes: string): string =>
  new TextDecoder()
    .decode(Uint8Array.from(bytes, (c) => c.charCodeAt(0)))
    .replace(/[\p{Cc}\p{Cf}\ufffd]/gu, '\u00b7');

/** Each listed line with its number: `line 17: out of range: 70000`. */
export const refusedLines = ({ listed, problems }: RecordReport): string[] => {
  const all = Object.values(problems).reduce((a, b) => a + b, 0);
  const lines = listed.map(
    ({ line, kind, text }) => `line ${line}: ${kind}${text === '' ? '' : `: ${shownLine(text)}`}`,
  );
  return all > listed.length
    ? [...lines, `and ${formatNumber({ value: all - listed.length, digits: 15 })} more`]
    : lines;
};

/** Recorded codes beside the worksheet: verdicts and figures, from a file of any length or standard input. */
import { basename } from 'node:path';
import { quantity } from '../../numbers/quantity.ts';
import { plain } from '../../page/text/lines.ts';
import { recordCodes, recordOf } from '../../worksheet/recordOf.ts';
import { refusedLines, refusedWords } from '../../worksheet/recordRows.ts';
import { define, json, sessionOn, set } from '../command.ts';
import { InputError } from '../files.ts';
import { write } from '../lines.ts';
import { analysedFile } from '../recordFile.ts';
import { recordJson, recordText } from '../recordText.ts';

const wholeOption = (
  name: string,
  text: string | undefined,
  low: number,
  high: number,
): number | undefined => {
  if (text === undefined) return undefined;
  const value = Number(text);
  if (/^\d+$/.test(text) && value >= low && value <= high) return value;
  throw new InputError(`--${name}: got ${JSON.stringify(text)}; allowed whole numbers ${low} … ${high}`);
};

/** A rate in Hz; a plain number is one. */
function rateOption(text: string | undefined): number | undefined {
  if (text === undefined) return undefined;
  let value = Number(text);
  if (text.trim() === '' || Number.isNaN(value)) {
    try {
      value = quantity({ text, unit: 'Hz' }).value;
    } catch (error) {
      throw new InputError(`--rate: ${(error as Error).message}`);
    }
  }
  if (value > 0 && value <= 1e9) return value;
  throw new InputError(`--rate: got ${JSON.stringify(text)}; allowed above 0, up to 1e9 Hz`);
}

export const record = define({
  name: 'record',
  takes: 'FILE [WORKSHEET]',
  help: 'judge the assumptions of the worksheet by recorded codes: FILE has one a line, or columns, decimal or with 0x; - is standard input. Exit code 1 where the record refutes an assumption that matters: it costs a tenth of a bit or more at the worksheet’s ratio, or codes are missing or cut off',
  options: {
    rate: {
      type: 'string',
      value: 'HZ',
      help: 'codes per second; unless given the worksheet’s, that of a column of time, or back to back',
    },
    bits: { type: 'string', value: 'N', help: 'bits of a code; the worksheet’s unless given' },
    column: {
      type: 'string',
      value: 'N',
      help: 'column of the codes, from 1; the first that holds some unless given',
    },
    hex: { type: 'boolean', help: 'codes are hexadecimal without 0x' },
    averaged: { type: 'boolean', help: 'codes are averaged results, not single conversions' },
    set,
    json: { ...json, help: 'figures for machines; frequencies in Hz, times in s, the rest in codes' },
  },
  most: 2,
  async run({ values, positionals }) {
    const [path, worksheet] = positionals;
    if (path === undefined) throw new InputError('name a file of codes, or - for standard input');
    if (path === '-' && worksheet === '-') {
      throw new InputError('standard input cannot give both the worksheet and the codes');
    }
    const text = (name: string): string | undefined => values[name] as string | undefined;
    const rate = rateOption(text('rate'));
    const bits = wholeOption('bits', text('bits'), 1, 30);
    const column = wholeOption('column', text('column'), 1, 256);
    const { file, session } = await sessionOn(worksheet, values.set as string[] | undefined);
    const { evaluation } = session;
    const own = recordCodes(evaluation, values.averaged === true || undefined);
    const analysis = await analysedFile(path, {
      bits: bits ?? own.bits,
      column: column ?? own.column,
      base: values.hex ? 16 : 10,
    });
    const name = path === '-' ? 'standard input' : basename(path);
    const found = recordOf({ evaluation, analysis, name, rate, averaged: own.averaged });
    if (found === 'none') {
      const words = refusedWords(analysis.report).replace(/\.$/, '');
      const [first] = refusedLines(analysis.report);
      const why = [words, first].filter(Boolean).join('; ');
      throw new InputError(`${name}: no line gave a code${why && `. ${plain(why)}`}`);
    }
    await write(values.json ? recordJson(found) : recordText(found, file.name, evaluation));
    return found.refuted ? 1 : 0;
  },
});

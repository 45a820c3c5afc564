/** What goes into the firmware: the C header of a worksheet, its test vectors, and whether a committed one still matches. */
import { readFileSync } from 'node:fs';
import { constantsOf } from '../../firmware/constants.ts';
import { conversionOf } from '../../firmware/conversionOf.ts';
import { type FirmwareKind, firmwareFile } from '../../firmware/files.ts';
import { matches } from '../../firmware/header.ts';
import { isPrefix, prefixFrom } from '../../firmware/names.ts';
import { testVectors } from '../../firmware/vectors.ts';
import type { Evaluation } from '../../worksheet/evaluate.ts';
import { define, json, sessionOn, set } from '../command.ts';
import { InputError, reason, writeWhole } from '../files.ts';
import { jsonText } from '../json.ts';

/** What is handed on, as text. */
const product = (evaluation: Evaluation, prefix: string, kind: FirmwareKind): string =>
  firmwareFile({ evaluation, conversion: conversionOf(evaluation), prefix, kind }).text();

function productJson(e: Evaluation, prefix: string): string {
  const conversion = conversionOf(e);
  const { title } = e.worksheet.inputs;
  return jsonText({
    worksheet: { title, hash: e.worksheet.hash },
    prefix,
    unit: e.units.measurand,
    conversion,
    constants: constantsOf(e, conversion),
    vectors: testVectors(e, conversion),
  });
}

/** Holds a committed file against what the worksheet gives. */
function checked(path: string, wanted: string): number {
  let present: string;
  try {
    present = readFileSync(path, 'utf8');
  } catch (error) {
    throw new InputError(`${path}: ${reason(error)}`);
  }
  const differs = matches(present, wanted);
  if (differs === 'matches') {
    process.stdout.write(`${path} matches its worksheet\n`);
    return 0;
  }
  process.stderr.write(
    `halfbit header: ${path}:${differs.line}: no longer matches its worksheet; make it anew\n  there  ${differs.present}\n  wanted ${differs.wanted}\n`,
  );
  return 1;
}

export const header = define({
  name: 'header',
  takes: '[WORKSHEET]',
  help: 'a C header for the firmware: settings, thresholds, delays, and the conversion from code to measurand in integers; to standard output or a file. Exit code 0 whether or not the requirements are met (check judges them); with --check 1 where the file no longer matches',
  options: {
    prefix: {
      type: 'string',
      value: 'NAME',
      help: 'what every name starts with, an _ following; unless given made of the worksheet’s name',
    },
    vectors: { type: 'string', value: 'KIND', help: 'test vectors in place of the header: csv or c' },
    out: { type: 'string', value: 'FILE', help: 'where to write it' },
    check: {
      type: 'string',
      value: 'FILE',
      help: 'write nothing; compare with this file, as in a firmware project’s own tests',
    },
    set,
    json,
  },
  most: 1,
  async run({ values, positionals }) {
    const { file, session } = await sessionOn(positionals[0], values.set as string[] | undefined);
    const { vectors, out, check } = values as Record<string, string | undefined>;
    const prefix = (values.prefix as string | undefined) ?? prefixFrom(file.name);
    if (!isPrefix(prefix)) {
      throw new InputError(
        `--prefix: got ${JSON.stringify(prefix)}; allowed a letter, then letters, digits and single _ between them, 40 at most`,
      );
    }
    if (vectors !== undefined && vectors !== 'csv' && vectors !== 'c')
      throw new InputError(`--vectors: got ${JSON.stringify(vectors)}; allowed csv or c`);
    if (out !== undefined && check !== undefined)
      throw new InputError('--check writes nothing; take --out away, or --check');
    const e = session.evaluation;
    const text = values.json ? productJson(e, prefix) : product(e, prefix, vectors ?? 'header');
    if (check !== undefined) return checked(check, text);
    if (out === undefined) process.stdout.write(text);
    else {
      writeWhole(out, text);
      process.stdout.write(`${out}\n`);
    }
    return 0;
  },
});

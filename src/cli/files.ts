/** Files: worksheets and profiles; and writing whole or not at all. */
import { mkdirSync, readdirSync, readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { basename, dirname, extname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

/** The folder of the project or package. */
export const home = fileURLToPath(new URL('../../', import.meta.url));

/** A fault of what the program was given: told in one line, without a trace. */
export class InputError extends Error {}

/** The worksheet that every command takes where none is named. */
export const demoWorksheet = join(home, 'data/worksheets/beehive.json');

/** A worksheet's file: its name without folder and ending, and its text. */
export interface WorksheetFile {
  readonly path: string;
  readonly name: string;
  readonly text: string;
}

/** Most bytes of a worksheet that are read at all. */
const mostBytes = 1 << 20;

/** Reads a worksheet file; `-` is standard input. */
export function worksheetFile(path: string = demoWorksheet): WorksheetFile {
  let bytes: Buffer;
  try {
    bytes = readFileSync(path === '-' ? 0 : path);
  } catch (error) {
    throw new InputError(`${path}: ${reason(error)}`);
  }
  if (bytes.length > mostBytes)
    throw new InputError(`${path}: got ${bytes.length} bytes; allowed up to ${mostBytes}`);
  return {
    path,
    name: path === '-' ? 'worksheet' : basename(path, extname(path)),
    text: bytes.toString('utf8'),
  };
}

/** What the system says of a failed file operation, in words. */
export function reason(error: unknown): string {
  const { code, message } = error as NodeJS.ErrnoException;
  const known: Readonly<Record<string, string>> = {
    ENOENT: 'there is no such file',
    EACCES: 'this file may not be read or written',
    EISDIR: 'this is a folder, not a file',
    EEXIST: 'this file exists already',
    ENOSPC: 'the disk is full',
  };
  return known[code ?? ''] ?? message;
}

/** The texts of the converter profiles by name: those of the project, and those in `converters/` beside the worksheet. */
export function profileTexts(worksheet: string): Record<string, string> {
  const texts: Record<string, string> = {};
  for (const folder of [join(home, 'data/converters'), join(dirname(worksheet), 'converters')]) {
    let names: string[];
    try {
      names = readdirSync(folder);
    } catch {
      continue;
    }
    for (const name of names.filter((n) => n.endsWith('.json')).sort()) {
      texts[basename(name, '.json')] = readFileSync(join(folder, name), 'utf8');
    }
  }
  return texts;
}

/** Whether a worksheet or a converter profile stands in a file. */
function holdsInputs(path: string): boolean {
  try {
    return /^\ufeff?\s*\{\s*"halfbit(Converter)?"\s*:/.test(readFileSync(path, 'utf8'));
  } catch {
    return false;
  }
}

/** Writes a file whole or not at all, and never over inputs. `fresh`: refuses to write over a file that is there. */
export function writeWhole(path: string, text: string, { fresh = false } = {}): void {
  if (!fresh && holdsInputs(path))
    throw new InputError(`${path}: this is a worksheet or a profile; name another file to write`);
  const temporary = join(dirname(path), `.${basename(path)}.${process.pid}.tmp`);
  try {
    mkdirSync(dirname(path), { recursive: true });
    if (fresh) writeFileSync(path, '', { flag: 'wx' });
    writeFileSync(temporary, text);
    renameSync(temporary, path);
  } catch (error) {
    rmSync(temporary, { force: true });
    throw new InputError(`${path}: ${reason(error)}`);
  }
}

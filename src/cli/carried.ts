/** The record that a worksheet names, to be carried in its pages. */
import { readFileSync, realpathSync, statSync } from 'node:fs';
import { basename, dirname, isAbsolute, relative, resolve } from 'node:path';
import type { Page } from '../page/page.ts';
import { type CarriedRecord, carriedRecord, mostCarried, type PageRecord } from '../page/record.ts';
import type { Session } from '../page/session.ts';
import { recordReader } from '../record/reader.ts';
import { reason } from './files.ts';

/**
 * The file of codes that a worksheet names, to be carried in its pages. A worksheet may come from a stranger: only files beside it, or
 * beside its folder, are read, and only what holds codes is carried.
 */
export function carriedFile(worksheet: string, file: string | undefined): CarriedRecord | undefined {
  if (file === undefined) return undefined;
  const name = basename(file);
  const absent = (why: string): CarriedRecord => ({ name, text: '', absent: why });
  const folder = worksheet === '-' ? process.cwd() : dirname(resolve(worksheet));
  try {
    const path = realpathSync(resolve(folder, file));
    const near = relative(dirname(realpathSync(folder)), path);
    if (isAbsolute(file) || near.startsWith('..') || isAbsolute(near))
      return absent('it lies outside the folder of the worksheet and those beside it');
    const { size } = statSync(path);
    if (size > mostCarried)
      return absent(`${(size / 1e6).toFixed(1)} MB are too long to be carried in a page`);
    const bytes = readFileSync(path);
    const reader = recordReader({ bits: 32 });
    reader.push(bytes);
    reader.end();
    const { rows, lines } = reader.report();
    if (rows < lines / 2) return absent('fewer than half of its lines hold codes');
    return { name, text: bytes.toString('utf8') };
  } catch (error) {
    return absent(reason(error));
  }
}

/** The record of a page that takes one; undefined where it takes none, or the worksheet names none. */
export function recordFor(
  page: Page,
  session: Session,
  carried: CarriedRecord | undefined,
): PageRecord | undefined {
  return page.takesRecord && carried ? carriedRecord(carried, session.evaluation) : undefined;
}

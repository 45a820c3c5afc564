/** What stands beside a worksheet, to be carried in its pages: the record that it names, and its other revision. */
import { existsSync, readFileSync, realpathSync, statSync } from 'node:fs';
import { basename, dirname, isAbsolute, join, relative, resolve } from 'node:path';
import { besideOf, type Carried } from '../page/beside.ts';
import type { CarriedWorksheet } from '../page/other.ts';
import type { Beside, Page } from '../page/page.ts';
import { type CarriedRecord, mostCarried } from '../page/record.ts';
import type { Session } from '../page/session.ts';
import { recordReader } from '../record/reader.ts';
import { wantsCompound } from '../worksheet/read.ts';
import { InputError, reason, type WorksheetFile, worksheetFile } from './files.ts';

/**
 * The file of codes that a worksheet names, to be carried in its pages. A worksheet may come from a stranger: only files beside it, or
 * beside its folder, are read, and only what holds codes is carried.
 */
function carriedFile(worksheet: string, file: string | undefined): CarriedRecord | undefined {
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

/** Folder beside a worksheet in which another revision of it has the same name. */
const revisions = 'revisions';

/** The other revision of a worksheet; undefined where there is none. */
async function carriedRevision(worksheet: string): Promise<CarriedWorksheet | undefined> {
  if (worksheet === '-') return undefined;
  const name = basename(worksheet);
  const path = join(dirname(worksheet), revisions, name);
  if (!existsSync(path)) return undefined;
  const { text } = worksheetFile(path);
  if (wantsCompound({ text })) await import('../numbers/compound.ts');
  return { name: `${revisions}/${name}`, text, before: false };
}

/** What the pages of a worksheet carry: each what it takes. */
export async function carriedBeside(file: WorksheetFile, session: Session): Promise<(page: Page) => Carried> {
  const record = carriedFile(file.path, session.worksheet.inputs.record?.file);
  const other = await carriedRevision(file.path);
  return ({ takesRecord, takesOther }) => ({
    ...(takesRecord && record && { record }),
    ...(takesOther && other && { other }),
  });
}

/** What the content of a page is given beside the worksheet; a revision that is refused is the builder's to mend. */
export function givenBeside(page: Page, carried: Carried, session: Session): Partial<Beside> {
  try {
    return besideOf(page, carried, session);
  } catch (error) {
    if (!carried.other || !(error instanceof Error)) throw error;
    throw new InputError(`${carried.other.name}: ${error.message}`);
  }
}

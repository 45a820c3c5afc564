/** What a command is, and what commands share: options, worksheets with what-ifs, verdicts as exit codes. */
import { type ParseArgsConfig, parseArgs } from 'node:util';
import type { Page } from '../page/page.ts';
import { Session } from '../page/session.ts';
import type { Evaluation } from '../worksheet/evaluate.ts';
import { WorksheetError } from '../worksheet/problem.ts';
import { wantsCompound } from '../worksheet/read.ts';
import { InputError, profileTexts, type WorksheetFile, worksheetFile } from './files.ts';

export interface Option {
  readonly type: 'string' | 'boolean';
  readonly multiple?: boolean;
  readonly value?: string;
  readonly help: string;
}

export interface Command {
  readonly name: string;
  /** What stands after the name, as in help. */
  readonly takes: string;
  readonly help: string;
  readonly options: Readonly<Record<string, Option>>;
  readonly run: (words: readonly string[]) => Promise<number>;
}

export const set: Option = {
  type: 'string',
  multiple: true,
  value: 'PATH=VALUE',
  help: 'change an input for this run, as averaging.ratio=64',
};
export const json: Option = { type: 'boolean', help: 'results for machines, in SI units' };

/** Reads the words after a command's name by its options. */
function parsed(options: Command['options'], words: readonly string[], most: number) {
  try {
    const { values, positionals } = parseArgs({
      args: [...words],
      options: Object.fromEntries(
        Object.entries(options).map(([name, { type, multiple }]) => [
          name,
          { type, ...(multiple && { multiple }) },
        ]),
      ) as NonNullable<ParseArgsConfig['options']>,
      allowPositionals: true,
    });
    if (positionals.length > most)
      throw new InputError(`one word too many: ${JSON.stringify(positionals[most])}`);
    return { values: values as Record<string, string | boolean | string[] | undefined>, positionals };
  } catch (error) {
    if (error instanceof InputError) throw error;
    throw new InputError((error as Error).message.split('\n')[0]!.replace(/\. To specify.*$/, ''));
  }
}

/** Adds the file's name ahead of what is wrong in it. */
export function inFile<T>(path: string, read: () => T): T {
  try {
    return read();
  } catch (error) {
    if (!(error instanceof WorksheetError)) throw error;
    throw new InputError(
      error.problems.map((p) => `${path}:${p.line}:${p.column}: ${p.message}`).join('\n  '),
    );
  }
}

/** A session on a worksheet file, with what `--set` changes. */
export async function sessionOn(path: string | undefined, settings: readonly string[] | undefined) {
  const file = worksheetFile(path);
  const profiles = profileTexts(file.path);
  const texts = [
    file.text,
    ...Object.values(profiles),
    ...(settings ?? []).map((s) => `"${s.replace(/^[^=]*=/, '')}"`),
  ];
  if (texts.some((text) => wantsCompound({ text }))) await import('../numbers/compound.ts');
  const session = inFile(
    file.path,
    () => new Session({ name: file.name, text: file.text, profiles, pages: [] }),
  );
  const values: [string, string][] = (settings ?? []).map((setting) => {
    const [, at, text] = /^([^=]+)=(.*)$/s.exec(setting) ?? [];
    if (at === undefined || text === undefined)
      throw new InputError(`--set ${setting}: write it as PATH=VALUE`);
    return [at, text];
  });
  // Writing evaluates; without a setting that would be for nothing.
  const refused = values.length > 0 ? session.write(Object.fromEntries(values)) : undefined;
  if (refused !== undefined)
    throw new InputError(`--set: ${refused.replace(/ The (?:figures still|worksheet keeps).*$/, '')}`);
  return { file, profiles, session };
}

/** Exit code by the requirements: 0 all met, 1 one is missed. */
export const verdict = ({ requirements }: Evaluation): number => (requirements.every((r) => r.met) ? 0 : 1);

/** The page of a name. */
export function pageNamed(pages: readonly Page[], name: string | undefined): Page {
  const page = pages.find((p) => p.name === name);
  if (!page) {
    const list = pages.map((p) => p.name).join(', ');
    throw new InputError(
      name === undefined
        ? `name a page: ${list}`
        : `there is no page ${JSON.stringify(name)}; there are ${list}`,
    );
  }
  return page;
}

/** A command from its table entry; `most` words may stand after its name. */
export const define = (
  command: Omit<Command, 'run'> & {
    run: (words: ReturnType<typeof parsed>) => Promise<number>;
    most: number;
  },
): Command => ({
  ...command,
  run: (words) => command.run(parsed(command.options, words, command.most)),
});

/** The worksheet's file with the changes of `--set` in it. */
export const changed = (file: WorksheetFile, session: Session): WorksheetFile => ({
  ...file,
  text: session.text,
});

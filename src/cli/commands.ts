/** The commands: each with its words, its options and what it does. Help is made from the same table. */
import { dirname, join, resolve } from 'node:path';
import { type ParseArgsConfig, parseArgs } from 'node:util';
import { type Page, pageView } from '../page/page.ts';
import { assumedWords, requirementFigures } from '../page/sections/sentences.ts';
import { Session } from '../page/session.ts';
import { columns, wrap } from '../page/text/lines.ts';
import { markdownText } from '../page/text/markdown.ts';
import { answerText, terminalText } from '../page/text/terminal.ts';
import type { Evaluation } from '../worksheet/evaluate.ts';
import { WorksheetError } from '../worksheet/problem.ts';
import { wantsCompound } from '../worksheet/read.ts';
import {
  allPages,
  demoWorksheet,
  home,
  InputError,
  profileTexts,
  type WorksheetFile,
  worksheetFile,
  writeWhole,
} from './files.ts';

interface Option {
  readonly type: 'string' | 'boolean';
  readonly multiple?: boolean;
  readonly value?: string;
  readonly help: string;
}

interface Command {
  readonly name: string;
  /** What stands after the name, as in help. */
  readonly takes: string;
  readonly help: string;
  readonly options: Readonly<Record<string, Option>>;
  readonly run: (words: readonly string[]) => Promise<number>;
}

const set: Option = {
  type: 'string',
  multiple: true,
  value: 'PATH=VALUE',
  help: 'change an input for this run, as averaging.ratio=64',
};
const json: Option = { type: 'boolean', help: 'results for machines, in SI units' };

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
function inFile<T>(path: string, read: () => T): T {
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
async function sessionOn(path: string | undefined, settings: readonly string[] | undefined) {
  const file = worksheetFile(path);
  const profiles = profileTexts(file.path);
  const texts = [
    file.text,
    ...Object.values(profiles),
    ...(settings ?? []).map((s) => `"${s.replace(/^[^=]*=/, '')}"`),
  ];
  if (texts.some((text) => wantsCompound({ text }))) await import('../numbers/compound.ts');
  const pages = await allPages();
  const names = pages.map(({ name, short }) => ({ name, short }));
  const session = inFile(
    file.path,
    () => new Session({ name: file.name, text: file.text, profiles, pages: names }),
  );
  for (const setting of settings ?? []) {
    const [, at, text] = /^([^=]+)=(.*)$/s.exec(setting) ?? [];
    if (at === undefined || text === undefined)
      throw new InputError(`--set ${setting}: write it as PATH=VALUE`);
    const refused = session.write({ [at]: text });
    if (refused !== undefined)
      throw new InputError(`--set ${at}: ${refused.replace(/ The figures still.*$/, '')}`);
  }
  return { file, profiles, pages, names, session };
}

const verdict = ({ requirements }: Evaluation): number => (requirements.every((r) => r.met) ? 0 : 1);

function checkText(e: Evaluation): string {
  const rows = e.requirements.map((r) => {
    const { value, limit } = requirementFigures(r);
    return [r.met ? '✓' : '✗', r.name, value, 'of', limit, r.met ? 'met' : 'missed'];
  });
  const findings = e.findings.flatMap((f) =>
    wrap(f.text, 80, '    ').map((line, i) => (i === 0 ? `  - ${line.slice(4)}` : line)),
  );
  const assumed = assumedWords(e);
  return [
    ...columns(rows, [false, false, true, false, true, false], 80),
    ...(findings.length > 0 ? ['', 'Findings', ...findings] : []),
    ...(assumed ? ['', 'Still assumed', ...wrap(`${assumed}.`, 80, '  ')] : []),
    ...(e.unjudged.length > 0 ? ['', `Not judged here: ${e.unjudged.join(', ')}.`] : []),
    '',
  ].join('\n');
}

const checkJson = (
  name: string,
  { worksheet, channel, sampling, quantizing, averaging, reading, ...rest }: Evaluation,
): string =>
  `${JSON.stringify(
    {
      worksheet: { name, title: worksheet.inputs.title, hash: worksheet.hash },
      requirements: rest.requirements,
      channel,
      sampling,
      quantizing,
      averaging,
      reading,
      findings: rest.findings,
      assumed: rest.assumed,
      unjudged: rest.unjudged,
    },
    null,
    2,
  )}\n`;

function pageNamed(pages: readonly Page[], name: string | undefined): Page {
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

const define = (
  command: Omit<Command, 'run'> & {
    run: (words: ReturnType<typeof parsed>) => Promise<number>;
    most: number;
  },
): Command => ({
  ...command,
  run: (words) => command.run(parsed(command.options, words, command.most)),
});

/** The worksheet's file with the changes of `--set` in it. */
const changed = (file: WorksheetFile, session: Session): WorksheetFile => ({ ...file, text: session.text });

export const commands: readonly Command[] = [
  define({
    name: 'serve',
    takes: '[WORKSHEET]',
    help: 'print the answer, build the pages and serve them on this machine; builds anew as a script or the worksheet changes',
    options: { set, port: { type: 'string', value: 'N', help: 'first port to try' } },
    most: 1,
    async run({ values, positionals }) {
      const settings = values.set as string[] | undefined;
      const port = values.port === undefined ? undefined : Number(values.port);
      if (port !== undefined && !(Number.isInteger(port) && port >= 1024 && port <= 65535)) {
        throw new InputError(`--port: got ${values.port}; allowed whole numbers 1024 … 65535`);
      }
      const { file, profiles, pages, names, session } = await sessionOn(positionals[0], settings);
      process.stdout.write(`${answerText(pageView(pages[0]!, session, { pages: names }))}\n`);
      const { builtPages } = await import('./build.ts');
      const { servePages, reloadScript, watchSources } = await import('./serve.ts');
      const built = await builtPages({ worksheet: changed(file, session), profiles, reload: reloadScript });
      const server = await servePages(built, port);
      process.stdout.write(`The pages: ${server.url}  (Ctrl-C ends)\n`);
      const stop = watchSources({
        worksheet: resolve(file.path),
        settings: (settings ?? []).flatMap((s) => ['--set', s]),
        order: () => built.map((p) => p.name),
        take: server.replace,
        complain: (words) => process.stderr.write(`${words}\nThe last good pages stay.\n`),
      });
      await new Promise<void>((done) => {
        for (const signal of ['SIGINT', 'SIGTERM'] as const) process.once(signal, done);
      });
      stop();
      server.close();
      return 0;
    },
  }),
  define({
    name: 'build',
    takes: '[WORKSHEET]',
    help: 'write every page as one self-contained HTML file',
    options: {
      set,
      out: { type: 'string', value: 'FOLDER', help: 'where to write them; build/ unless given' },
      reload: { type: 'boolean', help: 'with the local server’s reload script' },
    },
    most: 1,
    async run({ values, positionals }) {
      const { file, profiles, session } = await sessionOn(positionals[0], values.set as string[] | undefined);
      const { builtPages, writePages } = await import('./build.ts');
      const { reloadScript } = await import('./serve.ts');
      const pages = await builtPages({
        worksheet: changed(file, session),
        profiles,
        ...(values.reload && { reload: reloadScript }),
      });
      for (const path of writePages(pages, (values.out as string | undefined) ?? join(home, 'build'))) {
        process.stdout.write(`${path}\n`);
      }
      return 0;
    },
  }),
  define({
    name: 'check',
    takes: '[WORKSHEET]',
    help: 'judge every requirement, list findings and what is still assumed',
    options: { set, json },
    most: 1,
    async run({ values, positionals }) {
      const { file, session } = await sessionOn(positionals[0], values.set as string[] | undefined);
      const e = session.evaluation;
      process.stdout.write(values.json ? checkJson(file.name, e) : checkText(e));
      return verdict(e);
    },
  }),
  define({
    name: 'show',
    takes: 'PAGE [WORKSHEET]',
    help: 'a page as terminal text',
    options: { set, json, markdown: { type: 'boolean', help: 'as Markdown' } },
    most: 2,
    async run({ values, positionals }) {
      const [name, path] = positionals;
      const { pages, names, session } = await sessionOn(path, values.set as string[] | undefined);
      const view = pageView(pageNamed(pages, name), session, { pages: names });
      const { content, chain } = view;
      if (values.json)
        process.stdout.write(`${JSON.stringify({ page: view.name, content, chain }, null, 2)}\n`);
      else process.stdout.write(values.markdown ? markdownText(view) : terminalText(view));
      return verdict(session.evaluation);
    },
  }),
  define({
    name: 'new',
    takes: '[FILE]',
    help: 'a worksheet to start from, to standard output or into a new file',
    options: {
      from: { type: 'string', value: 'NAME', help: 'the demo to start from: beehive, cellar or workbench' },
    },
    most: 1,
    async run({ values, positionals }) {
      const from = values.from as string | undefined;
      if (from !== undefined && !/^[\w-]+$/.test(from))
        throw new InputError(`--from: got ${JSON.stringify(from)}; allowed beehive, cellar, workbench`);
      const { text } = worksheetFile(
        from === undefined ? demoWorksheet : join(dirname(demoWorksheet), `${from}.json`),
      );
      if (positionals[0] === undefined) process.stdout.write(text);
      else {
        writeWhole(positionals[0], text, { fresh: true });
        process.stdout.write(`${positionals[0]}\n`);
      }
      return 0;
    },
  }),
];

/** Help for all commands. */
export function helpText(): string {
  const lines = commands.flatMap(({ name, takes, help, options }) => [
    '',
    `halfbit ${name} ${takes}`.trim(),
    ...wrap(help, 78, '  '),
    ...columns(
      Object.entries(options).map(([option, { value, help: words }]) => [
        `    --${option}${value ? ` ${value}` : ''}`,
        words,
      ]),
      [false, false],
      80,
    ),
  ]);
  return [
    'halfbit COMMAND [WORKSHEET] [options]',
    ...wrap(
      'WORKSHEET is a JSON file, or - for standard input; the beehive demo where none is named. Exit code: 0 all requirements met, 1 one is missed, 2 bad input.',
      80,
    ),
    ...lines,
    '',
  ].join('\n');
}

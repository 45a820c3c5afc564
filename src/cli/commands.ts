/** All commands, and the help made from them. */
import { columns, wrap } from '../page/text/lines.ts';
import type { Command } from './command.ts';

/** All commands by their names, in the order of help; each is loaded when it is wanted, so that the others cost no time. */
export const commands: Readonly<Record<string, () => Promise<Command>>> = {
  serve: async () => (await import('./commands/serve.ts')).serve,
  build: async () => (await import('./commands/build.ts')).build,
  check: async () => (await import('./commands/check.ts')).check,
  show: async () => (await import('./commands/show.ts')).show,
  plan: async () => (await import('./commands/plan.ts')).plan,
  codes: async () => (await import('./commands/codes.ts')).codes,
  convert: async () => (await import('./commands/convert.ts')).convert,
  record: async () => (await import('./commands/record.ts')).record,
  compare: async () => (await import('./commands/compare.ts')).compare,
  header: async () => (await import('./commands/header.ts')).header,
  new: async () => (await import('./commands/new.ts')).create,
};

/** Help for all commands, or for one. */
export async function helpText(only?: string): Promise<string> {
  const wanted = Object.entries(commands).filter(([name]) => only === undefined || name === only);
  const all = await Promise.all(wanted.map(([, load]) => load()));
  const lines = all.flatMap(({ name, takes, help, options }) => [
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

/** All commands, in the order of help, and the help made from them. */
import { columns, wrap } from '../page/text/lines.ts';
import type { Command } from './command.ts';
import { build } from './commands/build.ts';
import { check } from './commands/check.ts';
import { convert } from './commands/convert.ts';
import { create } from './commands/new.ts';
import { serve } from './commands/serve.ts';
import { show } from './commands/show.ts';

export const commands: readonly Command[] = [serve, build, check, show, convert, create];

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

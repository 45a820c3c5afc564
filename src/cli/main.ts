#!/usr/bin/env node
/** The program: reads the command line, runs one command, and says by its exit code how it went. */
import { WorksheetError } from '../worksheet/problem.ts';
import { commands, helpText } from './commands.ts';
import { InputError } from './files.ts';

/** Exit codes: all requirements met, one missed, bad input; and a fault of the program itself. */
const exit = { met: 0, missed: 1, badInput: 2, fault: 70 } as const;

async function main(words: readonly string[]): Promise<number> {
  const [name, ...rest] = words;
  if (name === undefined || name === 'help' || name === '--help' || name === '-h') {
    process.stdout.write(await helpText());
    return exit.met;
  }
  try {
    const load = Object.hasOwn(commands, name) ? commands[name] : undefined;
    if (!load)
      throw new InputError(
        `there is no command ${JSON.stringify(name)}; there are ${Object.keys(commands).join(', ')}`,
      );
    if (rest.includes('--help') || rest.includes('-h')) {
      process.stdout.write(await helpText(name));
      return exit.met;
    }
    return await (await load()).run(rest);
  } catch (error) {
    if (error instanceof WorksheetError || error instanceof InputError || error instanceof RangeError) {
      // It may quote a stranger's worksheet.
      const { plain } = await import('../page/text/lines.ts');
      process.stderr.write(`halfbit ${plain(name)}: ${plain(error.message)}\n`);
      return exit.badInput;
    }
    process.stderr.write(
      `halfbit ${name}: a fault of the program itself\n${(error as Error).stack ?? String(error)}\n`,
    );
    return exit.fault;
  }
}

// A reader that has seen enough (a pipe that closes) is no fault.
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code === 'EPIPE') process.exit(exit.met);
  throw error;
});
process.exitCode = await main(process.argv.slice(2));

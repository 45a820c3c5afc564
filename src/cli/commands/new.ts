/** A worksheet to start from. */
import { dirname, join } from 'node:path';
import { withoutValue } from '../../worksheet/write.ts';
import { define, sessionOn } from '../command.ts';
import { demoWorksheet, InputError, writeWhole } from '../files.ts';

export const create = define({
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
    const { session } = await sessionOn(
      from === undefined ? demoWorksheet : join(dirname(demoWorksheet), `${from}.json`),
      undefined,
    );
    // The demo's recorded codes and its review stay with the demo.
    const { text } = withoutValue(withoutValue(session.worksheet, 'record'), 'review');
    if (positionals[0] === undefined) process.stdout.write(text);
    else {
      writeWhole(positionals[0], text, { fresh: true });
      process.stdout.write(`${positionals[0]}\n`);
    }
    return 0;
  },
});

/** Serving the pages on this machine. */
import { resolve } from 'node:path';
import { pageView } from '../../page/page.ts';
import { answerText } from '../../page/text/terminal.ts';
import { changed, define, sessionOn, set } from '../command.ts';
import { InputError } from '../files.ts';
import { allPages } from '../sources.ts';

export const serve = define({
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
    const { file, profiles, session } = await sessionOn(positionals[0], settings);
    const pages = await allPages();
    process.stdout.write(`${answerText(pageView(pages[0]!, session, { pages }))}\n`);
    const { builtPages } = await import('../build.ts');
    const { servePages, reloadScript, watchSources } = await import('../serve.ts');
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
});

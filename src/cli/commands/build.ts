/** Writing the pages. */
import { changed, define, sessionOn, set } from '../command.ts';

export const build = define({
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
    const { builtPages, writePages } = await import('../build.ts');
    const { reloadScript } = await import('../serve.ts');
    const pages = await builtPages({
      worksheet: changed(file, session),
      profiles,
      ...(values.reload && { reload: reloadScript }),
    });
    for (const path of writePages(pages, (values.out as string | undefined) ?? 'build')) {
      process.stdout.write(`${path}\n`);
    }
    return 0;
  },
});

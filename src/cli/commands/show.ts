/** A page in the terminal. */
import { pageView } from '../../page/page.ts';
import { markdownText } from '../../page/text/markdown.ts';
import { terminalText } from '../../page/text/terminal.ts';
import { drawnOut, witnessRun } from '../../worksheet/witnessOf.ts';
import { carriedBeside, givenBeside } from '../carried.ts';
import { define, json, pageNamed, sessionOn, set, verdict } from '../command.ts';
import { allPages } from '../sources.ts';

export const show = define({
  name: 'show',
  takes: 'PAGE [WORKSHEET]',
  help: 'a page as terminal text',
  options: { set, json, markdown: { type: 'boolean', help: 'as Markdown' } },
  most: 2,
  async run({ values, positionals }) {
    const [name, path] = positionals;
    const { file, session } = await sessionOn(path, values.set as string[] | undefined);
    const pages = await allPages();
    const page = pageNamed(pages, name);
    const carried = (await carriedBeside(file, session))(page);
    const drawn = page.takesDraws ? drawnOut(witnessRun(session.evaluation)) : undefined;
    const view = pageView(page, session, { pages }, { ...givenBeside(page, carried, session), drawn });
    const { content, chain } = view;
    if (values.json)
      process.stdout.write(`${JSON.stringify({ page: view.name, content, chain }, null, 2)}\n`);
    else process.stdout.write(values.markdown ? markdownText(view) : terminalText(view));
    return verdict(session.evaluation);
  },
});

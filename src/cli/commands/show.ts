/** A page in the terminal. */
import { pageView } from '../../page/page.ts';
import { markdownText } from '../../page/text/markdown.ts';
import { terminalText } from '../../page/text/terminal.ts';
import { define, json, pageNamed, sessionOn, set, verdict } from '../command.ts';

export const show = define({
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
});

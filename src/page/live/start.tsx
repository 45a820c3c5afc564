/**
 * A page at work: holds the session, writes what the reader enters into the worksheet, and shows the sheet anew after each
 * change. The sheet in the file is replaced before it is first painted, so that every later change is one of the same tree.
 */
import { render } from 'preact';
import type { Content } from '../blocks.ts';
import { documentText, scriptJson } from '../document.ts';
import { type Hands, HandsContext } from '../html/prose.tsx';
import { type FootAction, SheetView } from '../html/sheet.tsx';
import { stillSheet } from '../html/still.tsx';
import type { Page } from '../page.ts';
import { pageView } from '../page.ts';
import { Session, type SessionData } from '../session.ts';
import { Charts } from './charts.ts';
import { csvOf, download, svgText } from './files.ts';

/** How long a field may hold something unfinished before it is called wrong, in ms. */
const patience = 900;

const element = (id: string): HTMLElement => document.getElementById(id)!;

/** Starts the page in the document it stands in. */
export function start(page: Page): void {
  const data = JSON.parse(element('halfbit-data').textContent!) as SessionData;
  const parts = {
    title: document.title,
    policy: document.querySelector<HTMLMetaElement>('meta[http-equiv]')!.content,
    style: element('halfbit-style').textContent!,
    script: element('halfbit-script').textContent!,
  };
  const session = new Session(data);
  const charts = new Charts();
  const drawing = { place: charts.place };
  const errors = new Map<string, string>();
  let focused: string | undefined;
  let entered: ReadonlyMap<string, string> | undefined;
  let notice: string | undefined;
  let impatient: ReturnType<typeof setTimeout> | undefined;

  /** Takes the state that the address carries; what cannot be taken is said at the foot. */
  const fromAddress = (): void => {
    errors.clear();
    const refused = session.goTo(location.hash.slice(1));
    notice = refused.length > 0 ? `Left out of the link: ${refused.join('; ')}` : undefined;
  };

  const toAddress = (): void => {
    const hash = session.address();
    if (hash !== location.hash.slice(1)) {
      history.replaceState(null, '', hash === '' ? location.pathname + location.search : `#${hash}`);
    }
  };

  const change = (take: () => void): void => {
    notice = undefined;
    take();
    toAddress();
    show();
  };

  const refuse = (path: string, reason: string): void => {
    errors.set(path, reason);
    show();
  };

  const hands: Omit<Hands, 'focused'> = {
    live: true,
    field: (path) => session.field(path),
    error: (path) => errors.get(path),
    write(path, text, settled) {
      clearTimeout(impatient);
      const reason = session.write(
        { [path]: text },
        entered !== undefined && focused === path ? entered : undefined,
      );
      if (reason === undefined) {
        errors.delete(path);
        notice = undefined;
        toAddress();
        show();
      } else if (settled || errors.has(path)) refuse(path, reason);
      else impatient = setTimeout(() => refuse(path, reason), patience);
    },
    step: (path, direction) => session.stepped(path, direction),
    takeBack(path) {
      clearTimeout(impatient);
      errors.delete(path);
      const before = entered;
      change(() => before && session.takeBack(before));
    },
    focus(path) {
      focused = path;
      entered = path === undefined ? undefined : session.changes;
      show();
    },
    act(_words, changes) {
      const reason = session.write(changes);
      errors.clear();
      if (reason === undefined) change(() => {});
      else {
        notice = reason;
        show();
      }
    },
    href: (name) => `${name}.html${location.hash}`,
  };

  /** The file again, with the worksheet as it stands. */
  const copy = (): string => {
    const kept: SessionData = { ...data, text: session.text };
    const view = pageView(page, new Session(kept), kept);
    return documentText({ ...parts, data: scriptJson(kept), body: stillSheet(view, document) });
  };

  const actions = (content: Content): FootAction[] => {
    const { undo, redo } = session;
    return [
      ...(undo ? [{ words: `Undo: ${undo}`, act: () => change(() => session.goBack()) }] : []),
      ...(redo ? [{ words: `Redo: ${redo}`, act: () => change(() => session.goForward()) }] : []),
      { words: 'Save a copy', act: () => download(`${data.name}-${page.name}.html`, 'text/html', copy()) },
      {
        words: 'Copy link',
        act: () => {
          const tell = (words: string) => () => {
            notice = words;
            show();
          };
          navigator.clipboard
            .writeText(location.href)
            .then(tell('The link is on the clipboard.'), tell(`The link: ${location.href}`));
        },
      },
      { words: 'Worksheet file', act: () => download(`${data.name}.json`, 'application/json', session.text) },
      {
        words: 'Tables as CSV',
        act: () => download(`${data.name}-${page.name}.csv`, 'text/csv', csvOf(content)),
      },
      {
        words: 'Plots as SVG',
        act: () => {
          for (const plot of document.querySelectorAll<HTMLElement>('.plot')) {
            const svg = plot.querySelector('svg');
            if (svg)
              download(`${data.name}-${plot.dataset.plot}.svg`, 'image/svg+xml', svgText(svg, parts.style));
          }
        },
      },
      { words: 'Print', act: () => print() },
    ];
  };

  function show(): void {
    const view = pageView(page, session, data);
    render(
      <HandsContext.Provider value={{ ...hands, focused }}>
        <SheetView view={view} drawing={drawing} actions={actions(view.content)} notice={notice} />
      </HandsContext.Provider>,
      element('halfbit'),
    );
  }

  addEventListener('hashchange', () => {
    fromAddress();
    show();
  });
  addEventListener('keydown', (event) => {
    if (!(event.ctrlKey || event.metaKey) || event.key.toLowerCase() !== 'z' || event.altKey) return;
    // In a field that holds something unfinished, undo is the field's own.
    if (document.activeElement instanceof HTMLInputElement && focused !== undefined && errors.has(focused))
      return;
    event.preventDefault();
    if (document.activeElement instanceof HTMLElement && focused !== undefined) document.activeElement.blur();
    change(() => (event.shiftKey ? session.goForward() : session.goBack()));
  });

  element('halfbit').replaceChildren();
  fromAddress();
  show();
}

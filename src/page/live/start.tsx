/**
 * A page at work: holds the session, writes what the reader enters into the worksheet, and shows the sheet anew after each
 * change. The sheet in the file is replaced before it is first painted, so that every later change is one of the same tree.
 */
import { render } from 'preact';
import { besideOf, type Carried } from '../beside.ts';
import type { PageView } from '../desk.ts';
import { documentText, scriptJson } from '../document.ts';
import { type Hands, HandsContext } from '../html/prose.tsx';
import { type FootAction, SheetView } from '../html/sheet.tsx';
import { stillSheet } from '../html/still.tsx';
import type { Page } from '../page.ts';
import { pageView } from '../page.ts';
import { Session, type SessionData } from '../session.ts';
import { markdownText } from '../text/markdown.ts';
import { Charts } from './charts.ts';
import type { Draws } from './draws.ts';
import { csvOf, download, pngOf, svgText } from './files.ts';
import type { HandedIn } from './handedIn.ts';

/** How long a field may hold something unfinished before it is called wrong, in ms. */
const patience = 900;

const element = (id: string): HTMLElement => document.getElementById(id)!;

/** Makes what a page takes beside its worksheet: from its script, what its file carries, and whom to tell of news. */
export type HandedInMaker = (script: string, carried: Carried, changed: () => void) => HandedIn;

/** Makes the many draws of a page that takes them: its script, what its file carries, and whom to tell of news. */
export type DrawsMaker = (script: string, data: SessionData, changed: () => void) => Draws;

/** Starts the page in the document it stands in. */
export function start(page: Page, handedInFor?: HandedInMaker, drawsFor?: DrawsMaker): void {
  const data = JSON.parse(element('halfbit-data').textContent!) as SessionData;
  const parts = {
    title: document.title,
    policy: document.querySelector<HTMLMetaElement>('meta[http-equiv]')!.content,
    style: element('halfbit-style').textContent!,
    script: element('halfbit-script').textContent!,
  };
  const session = new Session(data);
  const handedIn = handedInFor?.(parts.script, data, () => show());
  const draws = drawsFor?.(parts.script, data, () => show());
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

  /** Refuses what stands in a field. If its beginning was taken while it was typed, that goes too: nobody meant it. */
  const refuse = (path: string, text: string, reason: string): void => {
    const taken = session.changes.get(path);
    const begun = entered !== undefined && focused === path && taken !== undefined && text.startsWith(taken);
    if (begun) session.takeBack(entered!);
    errors.set(path, begun ? (session.write({ [path]: text }) ?? reason) : reason);
    toAddress();
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
      } else if (settled || errors.has(path)) refuse(path, text, reason);
      else impatient = setTimeout(() => refuse(path, text, reason), patience);
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
    save: (name, text) => download(name, name.endsWith('.csv') ? 'text/csv' : 'text/plain', text),
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
    const { record: _, other: __, ...rest } = data;
    const kept: SessionData = { ...rest, text: session.text, ...handedIn?.carried(session) };
    const again = new Session(kept);
    const view = pageView(page, again, kept, besideOf(page, kept, again));
    return documentText({ ...parts, data: scriptJson(kept), body: stillSheet(view, document) });
  };

  /** Every plot as it is shown, with the name of its file. */
  const plots = (): [string, SVGSVGElement][] =>
    [...document.querySelectorAll<HTMLElement>('.plot')].flatMap((plot) => {
      const svg = plot.querySelector('svg');
      return svg ? [[`${data.name}-${plot.dataset.plot}`, svg]] : [];
    });

  const actions = (view: PageView): FootAction[] => {
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
        act: () => download(`${data.name}-${page.name}.csv`, 'text/csv', csvOf(view.content)),
      },
      {
        words: 'Plots as SVG',
        act: () => {
          for (const [name, svg] of plots())
            download(`${name}.svg`, 'image/svg+xml', svgText(svg, parts.style));
        },
      },
      {
        words: 'Plots as PNG',
        act: async () => {
          for (const [name, svg] of plots())
            download(`${name}.png`, 'image/png', await pngOf(svg, parts.style));
        },
      },
      {
        words: 'Page as Markdown',
        act: () => download(`${data.name}-${page.name}.md`, 'text/markdown', markdownText(view)),
      },
      { words: 'Print', act: () => print() },
    ];
  };

  let showing = false;
  let changedMeanwhile = false;
  /** Shows the sheet. A field that goes away while it has the focus is left by that: what it then asks for comes after. */
  function show(): void {
    changedMeanwhile = showing;
    if (showing) return;
    showing = true;
    try {
      put();
    } finally {
      showing = false;
    }
    if (changedMeanwhile) show();
  }

  function put(): void {
    const beside = { ...handedIn?.given(session), drawn: draws?.drawn(session) };
    const view = pageView(page, session, data, beside);
    const files = handedIn && {
      take,
      reading: handedIn.reading,
      refused: handedIn.refused,
      ways: handedIn.ways(session),
    };
    render(
      <HandsContext.Provider
        value={{ ...hands, focused, ...(files && { files }), ...(draws && { draws: draws.hand }) }}
      >
        <SheetView view={view} drawing={drawing} actions={actions(view)} notice={notice} />
      </HandsContext.Provider>,
      element('halfbit'),
    );
  }

  const take = (file: File): void => {
    void handedIn?.take(file, session);
  };
  if (handedIn) {
    const holdsFile = (event: DragEvent): boolean => event.dataTransfer?.types.includes('Files') ?? false;
    const mark = (on: boolean): void => {
      document.body.classList.toggle('dropping', on);
    };
    addEventListener('dragover', (event) => {
      if (!holdsFile(event)) return;
      event.preventDefault();
      mark(true);
    });
    addEventListener('dragleave', (event) => event.relatedTarget === null && mark(false));
    addEventListener('drop', (event) => {
      if (!holdsFile(event)) return;
      event.preventDefault();
      mark(false);
      const file = event.dataTransfer?.files[0];
      if (file) take(file);
    });
  }
  addEventListener('hashchange', () => {
    fromAddress();
    show();
  });
  addEventListener('keydown', (event) => {
    if (!(event.ctrlKey || event.metaKey) || event.key.toLowerCase() !== 'z' || event.altKey) return;
    // In a field or note that holds something unfinished, undo is its own.
    if (
      document.activeElement instanceof HTMLTextAreaElement &&
      'unfinished' in document.activeElement.dataset
    )
      return;
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

/** The whole sheet in HTML: head, answer, chain, sections with their margin, foot. */
import type { JSX } from 'preact';
import { programVersion } from '../../firmware/version.ts';
import type { Section } from '../blocks.ts';
import { entriesOf, type PageView, provenance, sectionEntries } from '../desk.ts';
import { BlockView, type Drawing, FiguresBehind, WorkingBlock } from './blocks.tsx';
import { ChainDrawing } from './chain.tsx';
import { NoteLine, NotesProvider, PlaceContext, useBegin, useBegun } from './notes.tsx';
import { Chevrons, ProseLine, useHands } from './prose.tsx';

/** What the foot lets the reader do; absent on a still page. */
export interface FootAction {
  readonly words: string;
  readonly act: () => void;
}

const HowToRead = (): JSX.Element => (
  <>
    <p class="screen">
      <b>What stands on a line</b> may be changed: type a value with its unit, or step with the arrow keys
      where{' '}
      <span class="u">
        <Chevrons />
      </span>{' '}
      stands. A dotted line is still assumed.
    </p>
    <p class="paper-only">
      On a solid line: an input with its source. On a dotted line: an input still assumed.
    </p>
  </>
);

/** The review notes on some inputs, and a way to write one on the input that has the focus. */
const FieldNotes = ({ paths }: { paths: readonly string[] }): JSX.Element => {
  const hands = useHands();
  const begin = useBegin();
  const { focused } = hands;
  const asked = focused !== undefined && paths.includes(focused) && !hands.field(focused).review;
  return (
    <>
      {asked && (
        <p class="asked screen">
          <button type="button" onMouseDown={(e) => e.preventDefault()} onClick={() => begin(focused)}>
            Write a review note
          </button>{' '}
          (Alt+N).
        </p>
      )}
      {paths.map((path) => {
        const { label, review } = hands.field(path);
        return <NoteLine key={path} named spot={{ on: path, label, ...(review && { entry: review }) }} />;
      })}
    </>
  );
};

const Margin = ({ section, first }: { section: Section; first: boolean }): JSX.Element | null => {
  const hands = useHands();
  const plots = section.body.filter((block) => block.type === 'plot');
  const paths = sectionEntries(section);
  const said = provenance(section, hands.field);
  const focused =
    hands.focused !== undefined && paths.includes(hands.focused) ? hands.field(hands.focused) : undefined;
  const own = section.margin ?? [];
  const noted = useBegun(paths) || paths.some((path) => hands.field(path).review);
  if (!first && !focused && !noted && own.length === 0 && plots.length === 0 && said.length === 0)
    return null;
  return (
    <aside class="margin">
      {first && <HowToRead />}
      {focused && (
        <p class="hint screen">
          <b>{focused.label}:</b> {focused.hint}
          {focused.hint.endsWith('.') ? '' : '.'} Esc takes it back.
        </p>
      )}
      <FieldNotes paths={paths} />
      {own.map((block, i) => block.type === 'working' && <WorkingBlock key={`w${i}`} block={block} />)}
      {plots.map((block) => (
        <FiguresBehind key={block.name} block={block} />
      ))}
      {said.map((block, i) => (
        <p key={`p${i}`}>
          <ProseLine text={block.text} />
        </p>
      ))}
      {own.map(
        (block, i) =>
          block.type === 'paragraph' && (
            <p key={`m${i}`}>
              <ProseLine text={block.text} />
            </p>
          ),
      )}
    </aside>
  );
};

const SectionView = ({
  section,
  first,
  drawing,
}: {
  section: Section;
  first: boolean;
  drawing: Drawing;
}): JSX.Element => {
  const full = section.body.some((block) => block.type === 'table');
  const body = (
    <>
      {section.claim && <h2>{section.claim}</h2>}
      {section.body.map((block, i) => (
        <BlockView key={i} block={block} drawing={drawing} />
      ))}
    </>
  );
  if (full) {
    return (
      <section class="full">
        {body}
        <FieldNotes paths={sectionEntries(section)} />
      </section>
    );
  }
  return (
    <section class="row">
      <div>{body}</div>
      <Margin section={section} first={first} />
    </section>
  );
};

/** What the sheet of one page is made of. */
interface SheetParts {
  readonly view: PageView;
  readonly drawing: Drawing;
  readonly actions: readonly FootAction[];
  readonly notice?: string | undefined;
}

/** The sheet of one page. */
export const SheetView = (parts: SheetParts): JSX.Element => (
  <NotesProvider hands={useHands()}>
    <Sheet {...parts} />
  </NotesProvider>
);

function Sheet({ view, drawing, actions, notice }: SheetParts): JSX.Element {
  const hands = useHands();
  const { worksheet, content, sheet } = view;
  const firstEntries = content.sections.findIndex((s) => sectionEntries(s).length > 0);
  const changes =
    worksheet.changes === 0 ? '' : `, ${worksheet.changes} change${worksheet.changes > 1 ? 's' : ''} unsaved`;
  return (
    <div class="sheet">
      <header class="top">
        <span>
          <b>Halfbit</b> · worksheet <b>{worksheet.name}</b>
          {worksheet.title && `, ${worksheet.title}`}
        </span>
        <span>
          sheet {sheet.number} of {sheet.of}
        </span>
      </header>
      <main>
        <h1>{view.question}</h1>
        <p class="answer" aria-live="polite">
          <ProseLine text={content.answer} />
        </p>
        <p class="also">
          <ProseLine text={content.also} />
        </p>
        <PlaceContext.Provider value="chain">
          <ChainDrawing stages={view.chain} />
          <div class="under">
            <FieldNotes paths={view.chain.flatMap((s) => [...entriesOf(s.figure), ...entriesOf(s.note)])} />
          </div>
        </PlaceContext.Provider>
        {content.sections.map((section, i) => (
          <PlaceContext.Provider key={i} value={`section ${i}`}>
            <SectionView section={section} first={i === firstEntries} drawing={drawing} />
          </PlaceContext.Provider>
        ))}
      </main>
      <footer class="foot">
        {actions.length > 0 && (
          <p class="acts">
            {actions.map((action, i) => (
              <span key={action.words}>
                {i > 0 && ' · '}
                <button type="button" onClick={action.act}>
                  {action.words}
                </button>
              </span>
            ))}
          </p>
        )}
        <p class="notice" role="status">
          {notice}
        </p>
        <nav class="pages" aria-label="Pages">
          {view.pages.map((page, i) => (
            <span key={page.name}>
              {i > 0 && ' · '}
              {page.name === view.name ? (
                <b aria-current="page">{page.short}</b>
              ) : (
                <a href={hands.href(page.name)}>{page.short}</a>
              )}
            </span>
          ))}
        </nav>
        <dl class="block">
          <div>
            <dt>worksheet</dt>
            <dd>
              {worksheet.name}
              {changes}
            </dd>
          </div>
          <div>
            <dt>converter profile</dt>
            <dd>{view.profile}</dd>
          </div>
          <div>
            <dt>inputs</dt>
            <dd>{worksheet.hash}</dd>
          </div>
          <div>
            <dt>program</dt>
            <dd>halfbit {programVersion}</dd>
          </div>
          <div>
            <dt>sheet</dt>
            <dd>
              {sheet.number} of {sheet.of}
            </dd>
          </div>
        </dl>
      </footer>
    </div>
  );
}

/** Blocks in HTML. */
import { Fragment, type JSX } from 'preact';
import { useLayoutEffect, useRef, useState } from 'preact/hooks';
import type { Block, Cell, Column, Inputs, Plot, Prose, Row, Table, Working } from '../blocks.ts';
import { entriesOf } from '../desk.ts';
import { BitFieldBlock } from './bits.tsx';
import { FilesBlock } from './files.tsx';
import { Mark } from './mark.tsx';
import { EntryErrors, ProseLine, useHands, WorkingStep } from './prose.tsx';

/** Draws charts into their places: on a page at work into the document, on a still page as text. */
export interface Drawing {
  /** The chart as text, on a still page. */
  readonly still?: (block: Plot) => string;
  /** Puts the chart into its place, and again when the place or the block changes. */
  readonly place?: (block: Plot, place: HTMLElement) => void;
}

export const ChartPlace = ({ block, drawing }: { block: Plot; drawing: Drawing }): JSX.Element => {
  const place = useRef<HTMLDivElement>(null);
  useLayoutEffect(() => {
    if (place.current) drawing.place?.(block, place.current);
  }, [block, drawing]);
  return (
    <div
      class="plot"
      ref={place}
      data-plot={block.name}
      dangerouslySetInnerHTML={{ __html: drawing.still?.(block) ?? '' }}
    />
  );
};

const PlotBlock = ({ block, drawing }: { block: Plot; drawing: Drawing }): JSX.Element => (
  <figure>
    <figcaption>
      <h2>{block.claim}</h2>
      {block.text && (
        <p>
          <ProseLine text={block.text} />
        </p>
      )}
    </figcaption>
    <ChartPlace block={block} drawing={drawing} />
  </figure>
);

const InputsBlock = ({ block }: { block: Inputs }): JSX.Element => {
  const hands = useHands();
  return (
    <table class="inp">
      <thead>
        <tr>
          <th scope="col">quantity</th>
          <th scope="col">value</th>
          <th scope="col">from</th>
        </tr>
      </thead>
      <tbody>
        {block.rows.map((row) => {
          const paths = entriesOf(row.value);
          const field = paths[0] === undefined ? undefined : hands.field(paths[0]);
          return (
            <tr key={row.what}>
              <th scope="row">{row.what}</th>
              <td>
                <ProseLine text={row.value} errors={false} />
              </td>
              <td class={field?.assumed && row.from === undefined ? 'as' : undefined}>
                {row.from ?? (field?.assumed ? 'assumed' : field?.from)}
                <EntryErrors paths={paths} />
              </td>
            </tr>
          );
        })}
      </tbody>
    </table>
  );
};

/** A working: its result as summary, then formula, numbers put in, source. */
export const WorkingBlock = ({ block }: { block: Working }): JSX.Element => (
  <details open={block.open}>
    <summary>Working: {block.result}</summary>
    {block.steps.map((step, i) => (
      <WorkingStep key={i} step={step} />
    ))}
    {block.source && <p class="src">{block.source}</p>}
  </details>
);

/** The figures behind a plot, for whoever does not see it or wants the digits. */
export const FiguresBehind = ({ block }: { block: Plot }): JSX.Element => (
  <details class="figures">
    <summary>Figures behind the plot</summary>
    <table class="mini">
      <caption class="vh">{block.claim}</caption>
      <thead>
        <tr>
          {block.figures.heads.map((head) => (
            <th key={head} scope="col">
              {head}
            </th>
          ))}
        </tr>
      </thead>
      <tbody>
        {block.figures.rows.map((row, i) => (
          <tr key={i}>
            {row.map((cell, j) => (
              <td key={j}>{cell}</td>
            ))}
          </tr>
        ))}
      </tbody>
    </table>
  </details>
);

const Head = ({ column }: { column: Column }): JSX.Element => (
  <th scope="col" class={[column.words ? 'l' : '', column.minor ? 'opt' : ''].join(' ').trim() || undefined}>
    {column.head}
    {column.unit && <br />}
    {column.unit}
  </th>
);

const verdicts = (row: Row): JSX.Element[] =>
  (row.verdicts ?? []).map((verdict, i, all) => {
    const unmarked = verdict.mark === undefined;
    // What parts two verdicts goes where one of them does.
    const parts = unmarked || all[i - 1]?.mark === undefined;
    return (
      <Fragment key={i}>
        {i > 0 && <span class={parts ? 'ok' : undefined}>; </span>}
        <span class={unmarked ? 'ok' : undefined}>
          {verdict.mark && verdict.mark !== 'open' && <Mark of={verdict.mark} />}
          {verdict.text}
        </span>
      </Fragment>
    );
  });

/** What stands in a cell: text, an input, and words to act on. */
const CellContent = ({ cell: { text, path, tail = '', act } }: { cell: Cell }): JSX.Element => {
  const hands = useHands();
  if (path !== undefined && hands.live) return <ProseLine text={[{ type: 'entry', path }, tail]} />;
  return (
    <>
      {text}
      {act && hands.live && (
        <>
          {' '}
          <button
            type="button"
            class="do"
            aria-label={`${act.words}: ${text}`}
            onClick={() => hands.act(act.words, act.changes)}
          >
            {act.words}
          </button>
        </>
      )}
    </>
  );
};

/** A name for a row that stays while the reader writes in it. */
const rowKey = ({ choose, cells }: Row): string => {
  const input = cells.find((cell) => typeof cell !== 'string' && cell.path !== undefined) as Cell | undefined;
  return (
    input?.path ?? choose?.label ?? cells.map((cell) => (typeof cell === 'string' ? cell : cell.text)).join()
  );
};

const TableRow = ({ row, table, choosable }: { row: Row; table: Table; choosable: boolean }): JSX.Element => {
  const hands = useHands();
  const standing = { fails: 'fails', recommended: 'rec', chosen: 'cho' };
  const name = [row.group ? 'g' : '', row.standing ? standing[row.standing] : ''].join(' ').trim();
  const choose = row.choose;
  const take = choose && hands.live ? () => hands.act(choose.label, choose.changes) : undefined;
  return (
    <tr class={name || undefined} onClick={take}>
      {choosable && (
        <td class="radio">
          {choose && (
            <input
              type="radio"
              name={table.name}
              aria-label={choose.label}
              checked={row.standing === 'chosen'}
              onChange={take}
              disabled={!hands.live}
            />
          )}
        </td>
      )}
      {row.cells.map((cell, i) => {
        const column = table.columns[i]!;
        const one: Cell = typeof cell === 'string' ? { text: cell } : cell;
        const classes = [one.miss ? 'bad' : '', column.minor ? 'opt' : '', column.words ? 'l' : '']
          .join(' ')
          .trim();
        return (
          <td key={i} class={classes || undefined}>
            <CellContent cell={one} />
          </td>
        );
      })}
      {row.verdicts && <td class="l verdict">{verdicts(row)}</td>}
    </tr>
  );
};

const TableBlock = ({ block }: { block: Table }): JSX.Element => {
  const [all, setAll] = useState(false);
  const choosable = block.rows.some((row) => row.choose);
  const judged = block.rows.some((row) => row.verdicts);
  const shown = all || !block.shown ? block.rows : block.shown.map((i) => block.rows[i]!);
  const some = block.shown && block.shown.length < block.rows.length;
  const main = block.columns.filter((c) => !c.minor).length;
  return (
    <table class={`set n${main}${choosable ? '' : ' still'}`} data-table={block.name}>
      <caption>
        <h2>{block.claim}</h2>
        <p>
          {block.text && <ProseLine text={block.text} />}
          {some && (
            <>
              {' '}
              {all ? block.rows.length : shown.length} of {block.rows.length} settings shown
              <span class="screen">
                ,{' '}
                <button type="button" class="do" onClick={() => setAll(!all)}>
                  {all ? 'show those that matter' : 'show all'}
                </button>
              </span>
              .
            </>
          )}
        </p>
      </caption>
      <thead>
        <tr>
          {choosable && (
            <th scope="col">
              <span class="vh">choose</span>
            </th>
          )}
          {block.columns.map((column) => (
            <Head key={column.head} column={column} />
          ))}
          {judged && (
            <th scope="col" class="l">
              verdict
            </th>
          )}
        </tr>
      </thead>
      <tbody>
        {shown.map((row) => (
          <TableRow key={rowKey(row)} row={row} table={block} choosable={choosable} />
        ))}
      </tbody>
    </table>
  );
};

/** Whether some prose is for the screen alone. */
const forScreen = (text: Prose): boolean =>
  text.every((piece) => typeof piece !== 'string' && piece.type === 'screen');

/** One block of a section's body. */
export function BlockView({ block, drawing }: { block: Block; drawing: Drawing }): JSX.Element {
  switch (block.type) {
    case 'paragraph':
      return (
        <p>
          <ProseLine text={block.text} />
        </p>
      );
    case 'inputs':
      return <InputsBlock block={block} />;
    case 'working':
      return <WorkingBlock block={block} />;
    case 'plot':
      return <PlotBlock block={block} drawing={drawing} />;
    case 'table':
      return <TableBlock block={block} />;
    case 'bitField':
      return <BitFieldBlock block={block} />;
    case 'files':
      return <FilesBlock block={block} />;
    case 'notes':
      return (
        <div class="note">
          <h2>{block.heading}</h2>
          <ul>
            {block.items.map((item, i) => (
              <li key={i} class={forScreen(item) ? 'screen' : undefined}>
                <ProseLine text={item} />
              </li>
            ))}
          </ul>
        </div>
      );
    case 'caution':
      return (
        <div class="caution">
          <svg viewBox="0 0 32 30" aria-hidden="true">
            <path d="M16 2L31 28H1Z" />
            <path d="M16 11V19M16 23.4V23.6" />
          </svg>
          <p>
            <b>Caution.</b> <ProseLine text={block.text} />
          </p>
        </div>
      );
  }
}

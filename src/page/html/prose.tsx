/** Prose in HTML: text, inputs on their writing line, words to act on, marks. */
import { createContext, type JSX } from 'preact';
import { useContext, useRef, useState } from 'preact/hooks';
import type { Prose } from '../blocks.ts';
import { entriesOf, type Field, spotsOf } from '../desk.ts';
import { DrawField, type DrawHand } from './draws.tsx';
import { Mark } from './mark.tsx';
import { MathLine } from './math.tsx';
import { NoteLine, Spot, useBegin } from './notes.tsx';

/** Something else that the reader may have in place of a file. */
export interface Way {
  readonly words: string;
  readonly act: () => void;
}

/** What the live part offers to the components; on a still page nothing can be written. */
export interface Hands {
  readonly live: boolean;
  readonly field: (path: string) => Field;
  readonly error: (path: string) => string | undefined;
  /** Takes what is in a field; `settled` when the reader has left it or pressed Enter. */
  readonly write: (path: string, text: string, settled: boolean) => void;
  /** The next allowed value up (1) or down (−1). */
  readonly step: (path: string, direction: 1 | -1) => string | undefined;
  /** Takes a field back to what it held when it was entered. */
  readonly takeBack: (path: string) => void;
  readonly focus: (path: string | undefined) => void;
  readonly focused: string | undefined;
  /** Takes a file: of codes, or another worksheet; absent where the page takes none. */
  readonly files?: {
    readonly take: (file: File) => void;
    /** How far a file is read, in words; empty while none is. */
    readonly reading: string;
    /** Why the last file was refused; empty where none was. */
    readonly refused: string;
    readonly ways: readonly Way[];
  };
  /** Makes many draws; absent where the page makes none. */
  readonly draws?: DrawHand;
  /** Hands a file to the reader. */
  readonly save: (name: string, text: string) => void;
  readonly act: (words: string, changes: Readonly<Record<string, string>>) => void;
  readonly href: (page: string) => string;
}

export const HandsContext = createContext<Hands | undefined>(undefined);
export const useHands = (): Hands => useContext(HandsContext)!;

const Triangle = (): JSX.Element => (
  <svg class="rv" viewBox="0 0 10 9" aria-hidden="true">
    <path d="M5 1L9.2 8.2H.8Z" />
  </svg>
);

export const Chevrons = (): JSX.Element => (
  <svg class="st" viewBox="0 0 6 10" aria-hidden="true">
    <path d="M1 3.4L3 1.2L5 3.4M1 6.6L3 8.8L5 6.6" />
  </svg>
);

/** An input on its writing line. While it has the focus it shows what the reader writes; then the value as it was taken. */
export function EntryField({ path }: { path: string }): JSX.Element {
  const hands = useHands();
  const field = hands.field(path);
  const error = hands.error(path);
  const begin = useBegin();
  const [draft, setDraft] = useState<string | undefined>(undefined);
  const input = useRef<HTMLInputElement>(null);
  const shown = draft ?? field.text;
  const take = (text: string, settled: boolean): void => {
    setDraft(text);
    hands.write(path, text, settled);
  };
  const onKeyDown = (event: KeyboardEvent & { readonly currentTarget: HTMLInputElement }): void => {
    const direction = event.key === 'ArrowUp' ? 1 : event.key === 'ArrowDown' ? -1 : 0;
    if (event.altKey && event.code === 'KeyN') {
      event.preventDefault();
      begin(path);
    } else if (direction !== 0 && field.steps) {
      event.preventDefault();
      const next = hands.step(path, direction);
      if (next !== undefined) take(next, true);
    } else if (event.key === 'Enter') {
      hands.write(path, event.currentTarget.value, true);
    } else if (event.key === 'Escape') {
      setDraft(undefined);
      hands.takeBack(path);
    }
  };
  const id = `e-${path.replaceAll(/[^\w]/g, '-')}`;
  const said = [
    field.assumed && 'still assumed',
    field.changedFrom && `changed; the worksheet file has ${field.changedFrom}`,
    field.review && `review note, ${field.review.state}`,
  ];
  return (
    <span
      class={`entry${field.assumed ? ' assumed' : ''}${field.steps ? ' step' : ''}${error ? ' bad' : ''}`}
    >
      <input
        ref={input}
        value={shown}
        size={Math.max(1, shown.length)}
        aria-label={field.label}
        aria-description={said.filter(Boolean).join('; ') || undefined}
        aria-invalid={error ? 'true' : undefined}
        aria-describedby={error ? id : undefined}
        aria-keyshortcuts="Alt+N"
        data-path={path}
        spellcheck={false}
        autocomplete="off"
        readOnly={!hands.live}
        onInput={(e) => take(e.currentTarget.value, false)}
        onKeyDown={onKeyDown}
        onFocus={() => hands.focus(path)}
        onBlur={(e) => {
          if (draft !== undefined) hands.write(path, e.currentTarget.value, true);
          if (!hands.error(path)) setDraft(undefined);
          hands.focus(undefined);
        }}
      />
      {field.steps && <Chevrons />}
      {field.changedFrom !== undefined && <Triangle />}
    </span>
  );
}

/** The sentence below a refused input. */
export function EntryErrors({ paths }: { paths: readonly string[] }): JSX.Element {
  const hands = useHands();
  return (
    <>
      {paths.map((path) => {
        const error = hands.error(path);
        return error ? (
          <span key={path} class="err" role="alert" id={`e-${path.replaceAll(/[^\w]/g, '-')}`}>
            <Mark of="miss" />
            {error}
          </span>
        ) : null;
      })}
    </>
  );
}

/** A number and its unit, joined by a narrow space. */
const withUnit = /(\S*\u202f[^\s.,;:)]+(?:\u202f[^\s.,;:)]+)*)/u;

/** Text in which what `whole` finds, a number and its unit unless told otherwise, stays on one line. */
export const Words = ({ text, whole = withUnit }: { text: string; whole?: RegExp }): JSX.Element => (
  <>
    {text.split(whole).map((part, i) =>
      i % 2 === 1 ? (
        <span key={i} class="u">
          {part}
        </span>
      ) : (
        part
      ),
    )}
  </>
);

/** Words that ask for a file, how far it is read, why it was refused, and what the reader may have in its place. */
function FileField({ words }: { words: string }): JSX.Element | null {
  const { files } = useHands();
  if (!files) return null;
  return (
    <>
      <label class="do">
        {words}
        <input
          class="vh"
          type="file"
          onChange={({ currentTarget }) => {
            const [file] = currentTarget.files ?? [];
            if (file) files.take(file);
            currentTarget.value = '';
          }}
        />
      </label>
      {files.ways.map(({ words: other, act }, i) => (
        <span key={other}>
          {i === files.ways.length - 1 ? ' or ' : ', '}
          <button type="button" class="do" onClick={act}>
            {other}
          </button>
        </span>
      ))}
      <span role="status">{files.reading && ` (${files.reading})`}</span>
      {files.refused && (
        <span class="err" role="alert">
          <Mark of="miss" />
          {files.refused}
        </span>
      )}
    </>
  );
}

/** A run of prose; `errors` says whether refusals are told right here, at its end. */
export function ProseLine({ text, errors = true }: { text: Prose; errors?: boolean }): JSX.Element {
  const hands = useHands();
  return (
    <>
      {text.map((piece, i) => {
        if (typeof piece === 'string') return <Words key={i} text={piece} />;
        switch (piece.type) {
          case 'entry':
            return <EntryField key={`${i}${piece.path}`} path={piece.path} />;
          case 'action':
            return (
              <button key={i} type="button" class="do" onClick={() => hands.act(piece.words, piece.changes)}>
                {piece.words}
              </button>
            );
          case 'file':
            return <FileField key={i} words={piece.words} />;
          case 'draw':
            return hands.draws && <DrawField key={i} choice={piece} hand={hands.draws} />;
          case 'screen':
            return (
              <span key={i} class="screen">
                <ProseLine text={piece.text} errors={false} />
              </span>
            );
          case 'review':
            return <Spot key={`${i}${piece.on}`} spot={piece} />;
          case 'page':
            return (
              <a key={i} href={hands.href(piece.page)}>
                {piece.words}
              </a>
            );
          case 'strong':
            return (
              <b key={i}>
                <Words text={piece.words} />
              </b>
            );
          case 'emphasis':
            return <em key={i}>{piece.words}</em>;
          case 'symbol':
            return <i key={i}>{piece.words}</i>;
          default:
            return (
              <span key={i} class={piece.type}>
                <Mark of={piece.type === 'met' ? 'met' : 'miss'} />
                <Words text={piece.words} />
              </span>
            );
        }
      })}
      {spotsOf(text).map((spot) => (
        <NoteLine key={spot.on} spot={spot} named={spot.words !== undefined} />
      ))}
      {errors && <EntryErrors paths={entriesOf(text)} />}
    </>
  );
}

/** A step of a working: prose, or a formula with what is put in. */
export const WorkingStep = ({
  step,
}: {
  step: Prose | { formula: string; with?: Readonly<Record<string, string>> };
}): JSX.Element =>
  'formula' in step ? (
    <MathLine formula={step.formula} values={step.with} />
  ) : (
    <p>
      <ProseLine text={step} />
    </p>
  );

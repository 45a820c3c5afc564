/**
 * Review notes in HTML: a line in the reader's hand, with its state in a word. A note is taken when it is left or Enter is pressed; it
 * changes no figure, so there is nothing to follow while it is written.
 */
import { type ComponentChildren, createContext, type JSX } from 'preact';
import { useContext, useLayoutEffect, useRef, useState } from 'preact/hooks';
import { reviewPath, reviewText } from '../../worksheet/review.ts';
import type { ReviewSpot } from '../blocks.ts';
import { Mark } from './mark.tsx';

/** What notes need of the live part. */
interface Writing {
  readonly live: boolean;
  readonly error: (path: string) => string | undefined;
  readonly write: (path: string, text: string, settled: boolean) => void;
  readonly takeBack: (path: string) => void;
  readonly focus: (path: string | undefined) => void;
}

/** The note that is about to be written: what it is on, where on the page, and where the reader came from. */
interface Begun {
  readonly on: string;
  readonly place: string;
  readonly from: Element | null;
}

interface Notes extends Writing {
  readonly begun: Begun | undefined;
  readonly begin: (begun: Begun | undefined) => void;
}

const NotesContext = createContext<Notes | undefined>(undefined);

/** Where on the page something stands, as the same input may stand in several places. */
export const PlaceContext = createContext('');

/** Lets notes be written on everything within. */
export function NotesProvider({
  hands,
  children,
}: {
  hands: Writing;
  children: ComponentChildren;
}): JSX.Element {
  const [begun, begin] = useState<Begun | undefined>(undefined);
  return <NotesContext.Provider value={{ ...hands, begun, begin }}>{children}</NotesContext.Provider>;
}

/** Begins the note on an input or a finding, or goes to it, right where this is called. */
export function useBegin(): (on: string) => void {
  const notes = useContext(NotesContext);
  const place = useContext(PlaceContext);
  return (on) => notes?.begin({ on, place, from: document.activeElement });
}

/** Whether a note on one of these inputs is begun right here. */
export function useBegun(paths: readonly string[]): boolean {
  const begun = useContext(NotesContext)?.begun;
  const place = useContext(PlaceContext);
  return begun !== undefined && begun.place === place && paths.includes(begun.on);
}

/** A control of the note on something, wherever it now stands; where there is no note any more, what begins it. */
function standing(tag: 'textarea' | 'button', on: string): HTMLElement | undefined {
  const all = (what: string): HTMLElement | undefined =>
    [...document.querySelectorAll<HTMLElement>(`${what}[data-note]`)].find((e) => e.dataset.note === on);
  return all(tag) ?? all('button');
}

const id = (on: string): string => `n-${on.replaceAll(/[^\w]/g, '-')}`;

/** The note on an input or a finding: its state and its line; nothing where there is none and none is begun. */
export function NoteLine({
  spot,
  named = false,
}: {
  spot: Pick<ReviewSpot, 'on' | 'label' | 'entry'>;
  named?: boolean;
}): JSX.Element | null {
  const { on, label, entry } = spot;
  const notes = useContext(NotesContext)!;
  const place = useContext(PlaceContext);
  const [draft, setDraft] = useState<string | undefined>(undefined);
  const [first, setFirst] = useState<'open' | 'answered'>('open');
  const area = useRef<HTMLTextAreaElement>(null);
  const begun = notes.begun?.on === on && notes.begun.place === place ? notes.begun : undefined;
  useLayoutEffect(() => {
    if (begun) area.current?.focus();
  }, [begun]);
  if (!entry && !begun) return null;
  const path = reviewPath(on);
  const state = entry?.state ?? first;
  const other = state === 'open' ? 'answered' : 'open';
  const error = notes.error(path);
  const name = named && <span class="on">{label.charAt(0).toUpperCase() + label.slice(1)}, </span>;
  if (!notes.live) {
    return (
      <span class="hand">
        <span class="head">
          {name}
          <b>{state}</b>
        </span>
        <span class="said">{entry?.note}</span>
      </span>
    );
  }
  const take = (text: string): void =>
    notes.write(path, text.trim() === '' ? '' : reviewText({ state, note: text }), true);
  const settle = (text: string): void => {
    take(text);
    if (!notes.error(path)) setDraft(undefined);
  };
  /** Where the note went elsewhere on the page as it was written, the reader goes with it. */
  const follow = (control: Element | null, tag: 'textarea' | 'button'): void => {
    if (control && !control.isConnected) standing(tag, on)?.focus();
  };
  const back = (): void => {
    const from = begun?.from;
    notes.begin(undefined);
    if (from instanceof HTMLElement && from.isConnected) from.focus();
    else follow(area.current, 'textarea');
  };
  const onKeyDown = (event: KeyboardEvent & { readonly currentTarget: HTMLTextAreaElement }): void => {
    const control = event.currentTarget;
    if (event.key === 'Enter' && !event.isComposing) {
      event.preventDefault();
      settle(control.value);
      if (notes.error(path)) return;
      if (begun) back();
      else follow(control, 'textarea');
    } else if (event.key === 'Escape') {
      setDraft(undefined);
      notes.takeBack(path);
      back();
    }
  };
  const toggle = (event: { readonly currentTarget: HTMLButtonElement }): void => {
    const control = event.currentTarget;
    if (entry === undefined) setFirst(other);
    else {
      notes.write(path, reviewText({ state: other, note: draft ?? entry.note }), true);
      if (!control.isConnected) standing('button', on)?.focus();
    }
  };
  return (
    <span class={error ? 'hand bad' : 'hand'}>
      <span class="head">
        {name}
        <button
          type="button"
          class="state"
          data-note={on}
          aria-label={`${state}: mark the note on ${label} as ${other}`}
          onClick={toggle}
        >
          {state}
        </button>
      </span>
      <textarea
        ref={area}
        rows={1}
        maxLength={500}
        value={draft ?? entry?.note ?? ''}
        aria-label={`Review note on ${label}`}
        aria-invalid={error ? 'true' : undefined}
        aria-describedby={error ? id(on) : undefined}
        data-note={on}
        data-unfinished={draft === undefined ? undefined : ''}
        onInput={(e) => setDraft(e.currentTarget.value.replaceAll(/\s*[\r\n]+\s*/g, ' '))}
        onKeyDown={onKeyDown}
        onFocus={() => notes.focus(path)}
        onBlur={(e) => {
          if (draft !== undefined) settle(e.currentTarget.value);
          notes.focus(undefined);
          if (begun && !notes.error(path)) notes.begin(undefined);
        }}
      />
      {error && (
        <span class="err" role="alert" id={id(on)}>
          <Mark of="miss" />
          {error}
        </span>
      )}
    </span>
  );
}

/** What a note can be put on, in prose: its words, or a way to write the first note; the note itself stands at the end of the prose. */
export function Spot({ spot }: { spot: ReviewSpot }): JSX.Element {
  const notes = useContext(NotesContext)!;
  const begin = useBegin();
  const { on, label, words, entry } = spot;
  if (!notes.live || entry) return <>{words}</>;
  return (
    <button
      type="button"
      class={words ? undefined : 'ask'}
      data-note={on}
      aria-label={words ? `${words}: write a review note` : `write a review note on ${label}`}
      onClick={() => begin(on)}
    >
      {words ?? 'note'}
    </button>
  );
}

/** Files that a page hands out, in HTML: each with its name, what it is, and how to have it. */
import type { JSX } from 'preact';
import type { Files } from '../blocks.ts';
import { ProseLine, useHands } from './prose.tsx';

/** A command, in which no option is broken behind its dashes. */
const Command = ({ text }: { text: string }): JSX.Element => (
  <>
    {text.split(/(--\w+)/).map((part, i) =>
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

export function FilesBlock({ block }: { block: Files }): JSX.Element {
  const { save } = useHands();
  return (
    <ul class="files">
      {block.files.map(({ name, text, what, command }) => (
        <li key={name}>
          <b>{name}</b>: <ProseLine text={what} />{' '}
          <button type="button" class="do" aria-label={`Save it: ${name}`} onClick={() => save(name, text)}>
            Save it
          </button>
          <span class="command">
            In the terminal: <Command text={command} />
          </span>
        </li>
      ))}
    </ul>
  );
}

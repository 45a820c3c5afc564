/** Files that a page hands out, in HTML: each with its name, what it is, and how to have it. */
import type { JSX } from 'preact';
import type { Files } from '../blocks.ts';
import { ProseLine, useHands, Words } from './prose.tsx';

/** An option, not to be broken behind its dashes. */
const option = /(--\w+)/;

export function FilesBlock({ block }: { block: Files }): JSX.Element {
  const { save } = useHands();
  return (
    <ul class="files">
      {block.files.map(({ name, text, what, command }) => (
        <li key={name}>
          <b>{name}</b>: <ProseLine text={what} />{' '}
          <button type="button" class="do" aria-label={`Save it: ${name}`} onClick={() => save(name, text())}>
            Save it
          </button>
          <span class="command">
            In the terminal: <Words text={command} whole={option} />
          </span>
        </li>
      ))}
    </ul>
  );
}

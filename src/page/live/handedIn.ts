/** Files that are handed in: what a page at work takes beside its worksheet. */
import type { Carried } from '../beside.ts';
import type { Way } from '../html/prose.tsx';
import type { Beside } from '../page.ts';
import type { Session } from '../session.ts';

export interface HandedIn {
  /** What the content of the page is given. */
  given(session: Session): Partial<Beside>;
  /** What a copy of the page carries. */
  carried(session: Session): Carried;
  /** Takes a file in place of what is there. */
  take(file: File, session: Session): Promise<void>;
  /** How far a file is read, in words; empty while none is. */
  readonly reading: string;
  /** Why the last file was refused; empty where none was. */
  readonly refused: string;
  /** What else the reader may have in its place. */
  ways(session: Session): readonly Way[];
}

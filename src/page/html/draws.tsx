/** Words that ask for many draws, how far they are, and the way back to few. */
import type { JSX } from 'preact';
import { formatNumber } from '../../numbers/format.ts';
import type { DrawChoice } from '../blocks.ts';

/** What a page at work offers where draws may be asked for. */
export interface DrawHand {
  /** Whether many draws are wanted; they are then made again after each change. */
  readonly wanted: boolean;
  /** The part of them that is made, 0 … 1; absent while none are under way. */
  readonly done?: number;
  /** What has become of them, for who does not see it; it changes as seldom as that. */
  readonly said: string;
  /** Why they could not be made. */
  readonly problem?: string;
  /** Asks for them, or gives them up. */
  readonly turn: () => void;
}

export function DrawField({ choice, hand }: { choice: DrawChoice; hand: DrawHand }): JSX.Element {
  const [many, few] = [choice.many, choice.few].map((value) => formatNumber({ value, digits: 7 }));
  const percent = hand.done === undefined ? undefined : Math.floor(100 * hand.done);
  return (
    <span class="screen">
      {percent !== undefined && (
        <span
          role="progressbar"
          aria-label={`drawing ${many}`}
          aria-valuenow={percent}
          aria-valuetext={`${percent} per cent`}
        >
          Drawing {many}: {percent}
          {'\u202f'}%.{' '}
        </span>
      )}
      <button type="button" class="do" onClick={hand.turn}>
        {hand.wanted ? (percent === undefined ? `Go back to ${few}` : 'Stop') : `Draw ${many}`}
      </button>
      {hand.problem !== undefined && ` They could not be made: ${hand.problem}.`}
      <span class="vh" role="status">
        {hand.said && `${many} draws ${hand.said}`}
      </span>
    </span>
  );
}

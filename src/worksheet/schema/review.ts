/** What reviewers ask of a worksheet, and what is settled. */
import { choice, list, object, text } from './field.ts';

/** Longest path or name that a note is on. */
const longestPath = 120;

export const review = list({
  label: 'review',
  doc: 'Notes of a review, one for each input or finding that is asked about. They change no result.',
  shortest: 0,
  longest: 200,
  of: object('review note', 'What was asked of one input or finding.', {
    on: text(
      'subject of the review note',
      longestPath,
      'Path of the input, as "conditioning.divider.resistor", or name of the finding, as "finding.missed.settling".',
    ),
    note: text('review note', 500, 'The question, and the answer once there is one; a single line.'),
    state: choice('state of the review note', ['open', 'answered'], 'Whether it still waits for an answer.'),
  }),
});

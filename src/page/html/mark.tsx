/** The marks of a verdict. */
import type { JSX } from 'preact';

/** The cross of something missed, the tick of something met. */
export const Mark = ({ of }: { of: 'miss' | 'met' }): JSX.Element => (
  <svg class="mk" viewBox="0 0 12 12" aria-hidden="true">
    <path d={of === 'miss' ? 'M2 2L10 10M10 2L2 10' : 'M1.5 6.5L4.8 10L10.5 2'} />
  </svg>
);

/** The uncertainty by random draws of the whole chain, beside that by its sensitivities. */
import { formatNumber } from '../../numbers/format.ts';
import type { Witness } from '../../worksheet/witnessOf.ts';
import * as b from '../blocks.ts';
import { prose, type Section } from '../blocks.ts';
import { number, type Told } from './told.ts';

/** How near the two have to come to be called the same: what the draws are good for. */
const near = 0.03;

/** Both ways in a table. */
export function secondWitness({ e, difference, small, inSmall, measurand }: Told, w: Witness): Section {
  const { present } = e.uncertainty;
  const half = (w.high - w.low) / 2;
  const figure = (value: number): string => number(inSmall(value)).replace('-', '−');
  const ratio = present.expanded / half;
  const why =
    Math.abs(ratio - 1) <= near
      ? 'Both ways agree to what the draws are good for.'
      : ratio > 1
        ? 'The interval is narrower than the budget’s: a few rectangular contributions carry most, and their sum ends sooner than a normal distribution. The budget is on the safe side.'
        : 'The interval is wider than the budget’s: the chain bends within its spread, or a contribution is known to few degrees of freedom. Take the interval.';
  return {
    body: [
      b.table({
        name: 'witness',
        claim: `Drawn at random, 95\u202f% of readings are off by ${difference(w.low)} to ${w.high > 0 ? '+' : ''}${difference(w.high)} at ${measurand(w.measurand)}.`,
        text: prose`Every quantity is drawn from its distribution and the whole chain computed, curve and all; seed ${String(w.seed)}, so the figures come again, and the ends are good to about 1\u202f% (JCGM 101:2008, clause 7). ${why}`,
        columns: [
          { head: 'way', words: true },
          { head: 'u', unit: small },
          { head: 'low', unit: small },
          { head: 'high', unit: small },
        ],
        rows: [
          {
            cells: [
              'sensitivities',
              figure(present.combined),
              figure(-present.expanded),
              figure(present.expanded),
            ],
          },
          {
            cells: [
              `${formatNumber({ value: w.draws, digits: 6 })} draws`,
              figure(w.standardUncertainty),
              figure(w.low),
              figure(w.high),
            ],
          },
          { cells: ['worst case', '–', figure(-present.worstCase), figure(present.worstCase)] },
        ],
      }),
    ],
  };
}

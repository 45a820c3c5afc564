/**
 * Which oversampling ratio does this temperature reading need?
 *
 * The slope of sensor and divider turns a code into degrees; the exact error of the averaged result then tells which ratio and
 * shift meet what is wanted, and which of them costs least.
 */
import { meanTransfer } from '../src/chain/averaging/staircase.ts';
import { formatFixed, formatNumber, formatQuantity } from '../src/numbers/format.ts';
import { curve, limit, notes, paragraph, plot, point, prose, span, symbol, table, working } from '../src/page/blocks.ts';
import { caution, inputs, entry } from '../src/page/blocks.ts';
import { page } from '../src/page/page.ts';
import { cautionSentences, sourceSentence, wantedSentence } from '../src/page/sentences.ts';
import type { Evaluation } from '../src/worksheet/evaluate.ts';

export default page({
  place: 1,
  short: 'Which ratio?',
  question: 'Which oversampling ratio does this temperature reading need?',
  content: (e: Evaluation) => ({ answer: prose``, also: prose``, sections: [] }),
});

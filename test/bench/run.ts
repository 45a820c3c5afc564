/**
 * Speeds, each beside what is aimed at and, where there is one, a peer that does the same work, measured in the same run.
 * Peers in Python and the circuit simulator are used where they are installed and left out, saying so, where they are not.
 */
import { columns } from '../../src/page/text/lines.ts';
import { commandSpeeds } from './commands.ts';
import { modelSpeeds } from './model.ts';
import { pageSpeeds } from './pages.ts';
import { recordSpeeds } from './record.ts';

/** One measured row. */
export interface Speed {
  readonly work: string;
  readonly measured: string;
  readonly aim: string;
  readonly peer: string;
  /** Measured over peer; below 1 where Halfbit is faster. */
  readonly ratio: string;
}

const rows: Speed[] = [
  ...modelSpeeds(),
  ...(await recordSpeeds()),
  ...(await commandSpeeds()),
  ...(await pageSpeeds()),
];
const cells = [
  ['work', 'measured', 'aim', 'ratio', 'peer'],
  ...rows.map((r) => [r.work, r.measured, r.aim, r.ratio, r.peer]),
];
console.log(columns(cells, [false, true, true, true, false], 120).join('\n'));

/** An input that moves during the burst: lag, droop, and what the movement smooths. */
import type { WorksheetNoise } from '../../worksheet/noiseOf.ts';
import * as b from '../blocks.ts';
import { paragraph, prose, type Section, symbol } from '../blocks.ts';
import { number, type Told } from './told.ts';

/** Where in the burst its mean belongs, and what that means for an input that moves. */
export function moving({ e, difference, time }: Told, { moving: m, ratio }: WorksheetNoise): Section {
  const { perCode } = e.channel.worst;
  const still = m.lagLsb === 0;
  const period = e.worksheet.inputs.requirement.period.value;
  return {
    claim: still
      ? `A burst lasts ${time(m.burst)}: its mean belongs to the middle of it.`
      : `The mean lags ${difference(m.lagLsb * perCode)} behind its last conversion.`,
    body: [
      paragraph(
        prose`${still ? 'An input that moves is lagged by half a burst' : `In ${time(m.burst)} the input moves by ${difference(2 * m.lagLsb * perCode)}; the mean belongs to the middle of the burst`}. A change of one code in each burst, ${difference(m.freeSlopeLsb * perCode)} a second, would smooth the staircase like a ramp, for nothing. Of a sine of half the rate of readings, one in ${time(2 * period)}, the mean leaves ${m.gain > 0.9999 ? 'more than 99.99' : number(100 * m.gain, 4)}\u202f%.`,
      ),
    ],
    margin: [
      b.working({
        result: 'lag and droop',
        steps: [
          { formula: 'd = v (R − 1)T/2' },
          { formula: 'H = (sin(πfRT))/(R sin(πfT))' },
          prose`with ${symbol('R')} = ${String(ratio)}, ${symbol('T')} = ${time(e.sampling.interval)}.`,
        ],
      }),
    ],
  };
}

/** Codes of an open or shorted sensor. */
import { formatNumber } from '../../numbers/format.ts';
import type { FaultCodes, FaultEnd } from '../../worksheet/faultCodesOf.ts';
import * as b from '../blocks.ts';
import { paragraph, prose, type Row, type Section } from '../blocks.ts';
import type { Told } from './told.ts';
import { placeWords } from './watchdogWords.ts';

const whole = (value: number): string => formatNumber({ value, digits: 16 });

/** The four codes that tell a broken sensor from a reading. */
export function faultCodes({ e, time, name }: Told, { ends, least }: FaultCodes): Section {
  if (ends.length === 0) {
    return {
      claim: 'No code tells an open sensor.',
      body: [
        paragraph(
          prose`The sensor gives a voltage: a wire that comes off leaves the pin floating, at any code. A resistor of some megohms from the pin to one side would give it a place, at the price of a small error.`,
        ),
      ],
    };
  }
  const row = (f: FaultEnd): Row => ({
    cells: [
      f.fault,
      f.end === 'low'
        ? `${whole(f.code)} … ${whole(f.worstCode)}`
        : `${whole(f.worstCode)} … ${whole(f.code)}`,
      `${f.end === 'low' ? '≤' : '≥'} ${whole(f.limitCode)}`,
      whole(f.rangeCode),
      whole(f.margin),
    ],
    verdicts: [
      f.margin > 0 && f.consecutive !== 'none'
        ? {
            text: `${f.limit.measurand === 'none' ? 'beyond the sensor' : `as ${placeWords(e, f.limit, 3)}`}; ${f.consecutive} in a row ${f.consecutive === 1 ? 'is' : 'are'} enough`,
          }
        : { mark: 'miss', text: 'not told from a reading' },
    ],
    ...(f.margin <= 0 && { standing: 'fails' as const }),
  });
  const clear = ends.every((f) => f.margin > 0);
  const period = e.worksheet.inputs.requirement.period.value;
  return {
    body: [
      b.table({
        name: 'faults',
        claim: clear
          ? `A broken sensor is told from every ${name} of the range.`
          : `A broken sensor is not told from every ${name} of the range.`,
        text: prose`Result codes. A fault gives a code within the converter’s offset, INL, gain, leakage and noise; the limit stands twice as far off, at least ${String(100 * least)}\u202f% of full scale. Range end: the reading nearest to it, the converter at its worst. Noise alone makes a false report less than once in ten years with the count given; a wire that is coming off crackles, so three in a row, ${time(3 * period)}, are common practice (no source).`,
        columns: [
          { head: 'fault', words: true },
          { head: 'gives', unit: 'code' },
          { head: 'test for', unit: 'code' },
          { head: 'range ends', unit: 'code', minor: true },
          { head: 'margin', unit: 'codes' },
        ],
        rows: ends.map(row),
      }),
    ],
  };
}

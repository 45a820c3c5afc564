/** Codes of an open or shorted sensor. */
import { formatNumber } from '../../numbers/format.ts';
import type { FaultCodes, FaultEnd } from '../../worksheet/faultCodesOf.ts';
import * as b from '../blocks.ts';
import { paragraph, prose, type Row, type Section } from '../blocks.ts';
import type { Told } from './told.ts';
import { placeWords } from './watchdogWords.ts';

const whole = (value: number): string => formatNumber({ value, digits: 16 });

/** How many in a row noise asks for. */
function noiseWords(ends: readonly FaultEnd[]): string {
  const counts = ends.map((f) => f.consecutive);
  if (counts.includes('none')) return 'No number in a row keeps noise from making false reports.';
  const most = Math.max(...(counts as number[]));
  return `${most === 1 ? 'One result' : `${most} results in a row`} beyond it would do for noise: less than one false report in ten years.`;
}

/** Why no code tells a broken wire. */
function silentFault({ worksheet: { inputs } }: Told['e']): string {
  const { sensor, conditioning } = inputs;
  if (sensor.kind === 'bridge') {
    return 'A bridge that loses its excitation gives 0 mV, as without load, and one that loses an output wire leaves the amplifier’s input floating. Resistors of some megohms from the inputs to one side would give that a place, at the price of a small error.';
  }
  const input = conditioning.amplifier ? 'the amplifier’s input' : 'the pin';
  return `The sensor gives a voltage: a wire that comes off leaves ${input} floating, at any code. A resistor of some megohms from ${input} to one side would give it a place, at the price of a small error.`;
}

/** The four codes that tell a broken sensor from a reading. */
export function faultCodes({ e, time, name }: Told, { ends, least }: FaultCodes): Section {
  if (ends.length === 0) {
    return {
      claim: 'No code tells an open sensor.',
      body: [paragraph(prose`${silentFault(e)}`)],
    };
  }
  const row = (f: FaultEnd): Row => ({
    cells: [
      f.fault,
      f.end === 'low'
        ? `${whole(f.code)} … ${whole(f.worstCode)}`
        : `${whole(f.worstCode)} … ${whole(f.code)}`,
      `${f.end === 'low' ? '≤' : '≥'}\u202f${whole(f.limitCode)}`,
      f.limit.measurand === 'none' ? 'beyond the sensor' : placeWords(e, f.limit, 3),
      whole(f.rangeCode),
      whole(f.margin),
    ],
    ...(f.margin <= 0 && { verdicts: [{ mark: 'miss' as const, text: 'not told from a reading' }] }),
    ...(f.margin <= 0 && { standing: 'fails' as const }),
  });
  const clear = ends.every((f) => f.margin > 0);
  const period = e.worksheet.inputs.requirement.period.value;
  return {
    body: [
      b.table({
        name: 'faults',
        claim: `A broken sensor is ${clear ? '' : 'not '}told from every ${name === 'measurand' ? 'reading' : name} of the range.`,
        text: prose`Result codes. A fault gives a code within the converter’s offset, INL, gain, leakage and noise; the limit stands twice as far off, at least ${String(100 * least)}\u202f% of full scale. Range end: the reading nearest to it, the converter at its worst. ${noiseWords(ends)} A wire that is coming off crackles: three in a row, ${time(3 * period)}, are common practice (no source).`,
        columns: [
          { head: 'fault', words: true },
          { head: 'gives', unit: 'code' },
          { head: 'test for', unit: 'code' },
          { head: 'that is', unit: 'as a reading' },
          { head: 'range ends', unit: 'code', minor: true },
          { head: 'margin', unit: 'codes' },
        ],
        rows: ends.map(row),
      }),
    ],
  };
}

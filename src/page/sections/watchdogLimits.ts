/** What must trip, and which bits the hardware compares for it. */
import { formatNumber, formatQuantity } from '../../numbers/format.ts';
import type { Watchdog } from '../../worksheet/watchdogOf.ts';
import * as b from '../blocks.ts';
import { entry, paragraph, prose, type Register, type Section } from '../blocks.ts';
import type { Told } from './told.ts';
import { comparedWords } from './watchdogWords.ts';

const whole = (value: number): string => formatNumber({ value, digits: 16 });

/** The limits and what goes with them, to be changed where they stand. */
export function watchdogLimits({ e, measurand }: Told): Section {
  const { watchdog } = e.worksheet.inputs;
  const path = (key: string) => prose`${entry(`watchdog.${key}`)}`;
  const row = (what: string, key: 'above' | 'below' | 'consecutive' | 'hysteresis', otherwise: string) => ({
    what,
    value: path(key),
    ...(watchdog?.[key] === undefined && { from: otherwise }),
  });
  return {
    claim: watchdog ? 'What the watchdog is asked for' : 'What a watchdog would be asked for',
    body: [
      paragraph(
        prose`The analog watchdog (digital window comparator) looks at codes while the core sleeps. A limit is written in the unit of the measurand, or in V at the pin; an emptied field takes it out.`,
      ),
      b.inputs([
        row('alarm above', 'above', 'no upper limit'),
        row('alarm below', 'below', 'no lower limit'),
        ...(watchdog
          ? [
              {
                what: 'beyond the limit it',
                value: path('intent'),
                ...(watchdog.intent === undefined && { from: 'must trip' }),
              },
              row('values in a row that make an alarm', 'consecutive', 'one'),
              row('cleared when the measurand is back by', 'hysteresis', 'at once'),
            ]
          : []),
      ]),
    ],
    margin: [
      paragraph(
        watchdog
          ? prose`Must trip: every converter trips everywhere beyond the limit; some trip sooner. Must not trip: none trips on this side of it; some trip later.`
          : prose`Write a limit, as ${measurand(e.channel.range.high)}, and the codes appear.`,
      ),
    ],
  };
}

/** The register that is compared, at a limit or in the middle of the range, and the threshold as it is written. */
export function watchdogRegisters({ e, measurand }: Told, watchdog: Watchdog | undefined): Section {
  const { averaging, quantizing, worksheet, channel } = e;
  const { comparator: compare } = worksheet.profile;
  const { stage, bits, drop, inclusive, registerBits } = compare;
  const { value: compared, equality } = comparedWords(e, { compare });
  const first = watchdog?.thresholds[0];
  const at =
    typeof first?.limit.measurand === 'number'
      ? first.limit.measurand
      : (channel.range.low + channel.range.high) / 2;
  const held =
    stage === 'result'
      ? e.reading.codeAt(at)
      : Math.min(2 ** quantizing.bits - 1, Math.max(0, Math.round(channel.codeOf(at))));
  const width = stage === 'result' ? averaging.resultBits : quantizing.bits;
  const figures = (value: number, digits: number): string =>
    `${whole(value)} = 0x${value
      .toString(16)
      .toUpperCase()
      .padStart(Math.ceil(digits / 4), '0')}`;
  const registers: Register[] = [
    {
      name: `${stage === 'result' ? 'averaged result' : 'one conversion'} at ${measurand(at)}${drop > 0 ? `; the lowest ${drop} are not compared` : ''}`,
      figures: figures(held, width),
      value: held,
      width: Math.max(width, drop + 1),
      from: 0,
      bits: width,
      ...(drop > 0 && { dropped: drop }),
    },
    ...(watchdog?.thresholds ?? []).map(
      ({ register, code }): Register => ({
        name: `${register} threshold, ${bits} bits${registerBits > bits ? ` at the upper end of ${registerBits}` : ''}`,
        figures: figures(code, registerBits),
        value: code,
        width: registerBits,
        from: registerBits - bits,
        bits,
      }),
    ),
  ];
  const coarse =
    first && drop > 0
      ? prose` One step of what is compared is ${formatQuantity({ value: first.step, unit: e.units.difference })} at the limit.`
      : '';
  const path = (key: string) => prose`${entry(`watchdog.compare.${key}`)}`;
  return {
    claim: `The hardware compares ${compared}; ${equality}.`,
    body: [
      paragraph(
        prose`Where the comparator sits, and on which bits, is a matter of the converter; look it up in its manual and set it here where the profile is wrong.${coarse}`,
      ),
      b.bitField({ name: 'compared', registers }),
      ...(watchdog
        ? [
            b.inputs([
              { what: 'compared is', value: path('stage') },
              { what: 'comparator, bits', value: path('bits') },
              {
                what: 'lowest bits dropped',
                value: path('drop'),
              },
              {
                what: 'equality trips',
                value: path('inclusive'),
              },
              {
                what: 'threshold register, bits',
                value: path('registerBits'),
              },
            ]),
          ]
        : []),
    ],
    margin: [
      b.working({
        result: `compared value u`,
        steps: [
          { formula: drop === 0 ? 'u = x' : 'u = ⌊x/2^d⌋' },
          prose`with x the ${stage === 'result' ? 'result' : 'code'}${drop > 0 ? ` and d = ${String(drop)}` : ''}; trips above where u ${inclusive ? '≥' : '>'} high, below where u ${inclusive ? '≤' : '<'} low.`,
        ],
        source: 'The profile of the converter.',
      }),
    ],
  };
}

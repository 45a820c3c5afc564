/** The disturbances that the worksheet names: what the mean leaves of each, and what it looks like from reading to reading. */
import { formatQuantity } from '../../numbers/format.ts';
import type { AliasRow, WorksheetResponse } from '../../worksheet/responseOf.ts';
import * as b from '../blocks.ts';
import { entry, paragraph, prose, type Section } from '../blocks.ts';
import { gainText, hertz, mostText } from './frequencyResponse.ts';
import { number, type Told } from './told.ts';

const volts = (value: number): string => formatQuantity({ value, unit: 'V' });

/** A beat in words. */
function beatWords({ time }: Told, { beat: { shortest, longest } }: AliasRow): string {
  if (shortest === 'none') return 'stands still';
  if (longest === 'none') return `${time(shortest)} or slower`;
  return longest > 1.01 * shortest ? `${time(shortest)}…${time(longest)}` : time(shortest);
}

const mainsNotNamed = {
  'conditioning.interference.0.frequency': '50 Hz',
  'conditioning.interference.0.amplitude': '1 mV',
};

/** The disturbances as a table, with their inputs; where none is named, how to name one. */
export function disturbances(t: Told, r: WorksheetResponse): Section[] {
  const { e, difference, small, inSmall, time } = t;
  if (r.aliases.length === 0) {
    return [
      {
        claim: 'The worksheet names no interference.',
        body: [
          paragraph(
            prose`Look at the pin with an oscilloscope, or at the spectrum of recorded codes, and write what you find under ${b.emphasis('conditioning.interference')}: frequency, amplitude, tolerance. ${b.onScreen(prose`${b.action('Try 1 mV of 50 Hz', mainsNotNamed)}`)}`,
          ),
        ],
      },
    ];
  }
  const worst = r.aliases.reduce((a, d) => (d.rms > a.rms ? d : a));
  const folded = r.aliases.filter((a) => a.frequency > 0.5 / e.sampling.interval);
  const slow = r.aliases.filter((a) => a.beat.longest === 'none' || a.beat.longest > 10 * r.step.worst);
  const better = r.aliases.flatMap((a) =>
    a.betterPeriod === 'none' ? [] : [`${a.name} beats fastest at a reading every ${time(a.betterPeriod)}`],
  );
  return [
    {
      body: [
        b.table({
          name: 'aliases',
          claim: `Of ${worst.name} ${mostText(worst.mostGain)} may be left: ${difference(worst.rms)} rms in a reading.`,
          text: prose`${
            folded.length > 0
              ? `Above half the rate of conversions a disturbance folds down: to the conversions of one burst ${folded.map((a) => `${hertz(a.frequency, 4)} looks like ${hertz(a.amongConversions)}`).join(', ')}. `
              : ''
          }At most: as the tolerances of frequency and clock may have it, since no null is met exactly; the reading counts that.`,
          columns: [
            { head: 'disturbance', words: true },
            { head: 'frequency' },
            { head: 'at the pin', minor: true },
            { head: 'the mean', unit: 'leaves', minor: true },
            { head: 'at most' },
            { head: 'in a reading', unit: `${small} rms` },
            { head: 'from reading to', unit: 'reading, beat of', minor: true },
          ],
          rows: r.aliases.map((a) => ({
            cells: [
              a.name,
              hertz(a.frequency, 4),
              volts(a.amplitude),
              gainText(a.gain),
              gainText(a.mostGain),
              number(inSmall(a.rms)),
              beatWords(t, a),
            ],
          })),
        }),
      ],
    },
    {
      claim:
        slow.length > 0
          ? `From reading to reading ${slow.map((a) => a.name).join(' and ')} may look like drift.`
          : 'From reading to reading the disturbances beat.',
      body: [
        paragraph(
          prose`Readings, one every ${entry('requirement.period')}, sample the sine anew: what the mean leaves of it comes and goes with the beat between the two. ${
            better.length > 0
              ? `To tell it from drift, ${better.join('; ')}.`
              : 'With these tolerances no period of readings keeps the beat fast: only the window can take it out.'
          }`,
        ),
        b.inputs(
          r.aliases.flatMap((a, i) => [
            {
              what: `${a.name}, frequency`,
              value: prose`${entry(`conditioning.interference.${i}.frequency`)}`,
            },
            {
              what: 'amplitude at the pin',
              value: prose`${entry(`conditioning.interference.${i}.amplitude`)}`,
            },
            {
              what: 'tolerance of the frequency',
              value: prose`${entry(`conditioning.interference.${i}.tolerance`)}`,
            },
          ]),
        ),
      ],
      margin: [
        b.working({
          result: `${difference(worst.rms)} rms of ${worst.name}`,
          steps: [
            { formula: 'u = A/sqrt(2) |H| s' },
            prose`with ${volts(worst.amplitude)} at the pin, ${mostText(worst.mostGain)} left by the mean, and the widest code, ${difference(e.channel.worst.perCode)} for ${volts(e.quantizing.codeBinWidth)}.`,
            prose`Beat from reading to reading, the readings ${b.symbol('f')} a second:`,
            { formula: 'T_b = 1/|f_d − k f|' },
            prose`${b.symbol('k')} the whole number nearest to the quotient of the two.`,
          ],
          source: 'Own derivation.',
        }),
      ],
    },
  ];
}

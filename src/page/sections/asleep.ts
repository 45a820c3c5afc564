/** Asleep: what a meter shows for each thing left on, whether switching the divider pays, and when to calibrate again. */
import { formatQuantity } from '../../numbers/format.ts';
import type { WorksheetCharge } from '../../worksheet/chargeOf.ts';
import { sourceLoad } from '../../worksheet/phasesOf.ts';
import type { DriftLimit } from '../../worksheet/recalibrationOf.ts';
import * as b from '../blocks.ts';
import { entry, paragraph, prose, type Section } from '../blocks.ts';
import { lifeText } from './batteryLife.ts';
import { number, type Told } from './told.ts';

const amperes = (value: number): string => formatQuantity({ value, unit: 'A' });

/** The signature table: what the meter shows, and what it makes of the battery. */
export function leftOnTable({ e }: Told, c: WorksheetCharge): Section {
  const [meant, ...forgotten] = c.leftOn;
  const least = forgotten.find((r) => r.current > meant!.current);
  const lives = meant!.life !== 'none';
  return {
    body: [
      b.table({
        name: 'left-on',
        claim: `Between readings the meter should show ${amperes(meant!.current)}${least ? `; ${amperes(least.current)} means: ${least.name}` : ''}.`,
        text: prose`Measure the current of the sleeping board, with the debugger off and nothing on its pins. Before each sleep: converter off, its reference off, ${sourceLoad(e.worksheet.inputs).name} off, core and bus clock stopped, no pin left floating at half the supply.`,
        columns: [
          { head: 'between readings', words: true },
          { head: 'the meter shows' },
          ...(lives ? [{ head: 'the battery lasts' }] : []),
        ],
        rows: c.leftOn.map((r) => ({
          cells: [r.name, amperes(r.current), ...(lives ? [lifeText(r.life)] : [])],
          ...(r.present && { standing: 'chosen' as const }),
        })),
      }),
    ],
  };
}

/** Whether to switch the divider. */
export function switching({ e, time, charge, difference }: Told, c: WorksheetCharge): Section[] {
  const s = c.switching;
  if (s === undefined) return [];
  const load = sourceLoad(e.worksheet.inputs).name;
  const pays = typeof s.breakEvenPeriod === 'number' && s.breakEvenPeriod < c.period;
  const from = typeof s.breakEvenPeriod === 'number' ? time(s.breakEvenPeriod) : 'never';
  return [
    {
      claim: pays
        ? `Switched, the ${load} ${s.present ? 'draws' : 'would draw'} ${amperes(s.switched)} on average, always on ${amperes(s.alwaysOn)}.`
        : `Switching the ${load} does not pay.`,
      body: [
        paragraph(
          prose`Always on it draws ${amperes(s.alwaysOn)}; switched on for ${time(s.onTime)} of every ${time(c.period)}, ${amperes(s.switched)}. It may be read ${s.settle > 0 ? `${time(s.settle)} after it is switched on` : 'at once'}${s.present ? prose`, for which the worksheet allows ${entry('conditioning.excitation.settle')}` : ''}. Switching pays from a reading period of ${from} on; the switch’s own leakage comes on top. Each ohm of a switch in its supply moves the reading by ${difference(s.perOhm)} at most${e.worksheet.inputs.conditioning.wiring === 'ratiometric' ? ', unless the reference is taken behind the switch' : ''}.${e.worksheet.inputs.sensor.kind === 'divider' ? prose` ${b.toPage('source-and-sample-time', 'Source and sample time')} has the pairs of resistors that draw less.` : ''}`,
        ),
      ],
      margin: [
        b.working({
          result: `break-even at ${from}`,
          steps: [
            prose`Switching costs the core that waits and the pin that is charged, ${charge(s.extraCharge)} a reading, and saves the ${load} while it is off:`,
            { formula: 'T = t + Q/I' },
            ...(typeof s.breakEvenPeriod === 'number'
              ? [
                  {
                    formula: 'T = t + Q/I',
                    with: { T: from, t: time(s.onTime), Q: charge(s.extraCharge), I: amperes(s.current) },
                  },
                ]
              : []),
          ],
          source: 'Own derivation: equal charge over a period.',
        }),
      ],
    },
  ];
}

/** One limit of drift in words. */
function driftWords({ difference }: Told, { parts }: DriftLimit, per: string): string {
  return parts
    .map((p) => `${p.name} ${difference(p.perUnit)}`)
    .join(', ')
    .concat(` for each ${per}`);
}

/** When to calibrate again. */
export function recalibration(t: Told, c: WorksheetCharge): Section {
  const { difference, measurand, time, charge } = t;
  const { allowed, by, temperature, supply, known, cost } = c.recalibration;
  const kelvin = (value: number): string => `${number(value, 2)}\u202fK`;
  const volts = (value: number): string => formatQuantity({ value, unit: 'V', digits: 2 });
  const moves = [
    ...(typeof temperature.change === 'number'
      ? [`the temperature has moved by ${kelvin(temperature.change)}`]
      : []),
    ...(typeof supply.change === 'number' ? [`the supply by ${volts(supply.change)}`] : []),
  ];
  const uncured = [
    ...new Set([...temperature.parts, ...supply.parts].filter((p) => !p.cured).map((p) => p.name)),
  ];
  const limit =
    by === 'resolution'
      ? prose`the ${entry('requirement.resolution')} wanted`
      : prose`one step of the result, ${difference(allowed)}`;
  return {
    claim:
      moves.length > 0
        ? `${uncured.length > 0 && !known ? 'Look again' : 'Calibrate again'} once ${moves.join(', or ')}.`
        : 'The profile tells of no drift, so nothing says when to calibrate again.',
    body: [
      paragraph(
        moves.length > 0
          ? prose`Then the drift reaches ${limit} at ${measurand(temperature.at)}: ${[
              ...(temperature.parts.length > 0 ? [driftWords(t, temperature, 'kelvin')] : []),
              ...(supply.parts.length > 0 ? [driftWords(t, supply, 'volt')] : []),
            ].join('; ')}.${known ? '' : ' The profile gives no drift of the converter itself.'}${
              uncured.length > 0
                ? ` No self-calibration takes out the ${uncured.join(', ')}: that needs a better one, or a correction over temperature.`
                : ''
            }`
          : prose`Put the sheet’s figures under ${b.emphasis('drift')} in the profile.`,
      ),
      ...(known
        ? [
            b.inputs([
              { what: 'offset, each kelvin', value: prose`${entry('converter.drift.offsetPerKelvin')}` },
              { what: 'gain, each kelvin', value: prose`${entry('converter.drift.gainPerKelvin')}` },
              { what: 'offset, 1 V of supply', value: prose`${entry('converter.drift.offsetPerVolt')}` },
              { what: 'gain, 1 V of supply', value: prose`${entry('converter.drift.gainPerVolt')}` },
            ]),
          ]
        : []),
    ],
    margin: [
      ...(cost
        ? [
            paragraph(
              prose`A self-calibration takes ${time(cost.time)} and ${charge(cost.charge)}, as much as ${number(cost.readings, 2)} readings. It holds while the converter stays powered; after a sleep that cuts its supply it has to be done again, or its result written back.`,
            ),
          ]
        : []),
      paragraph(
        prose`Keep the temperature and supply of the last calibration beside its result, and compare.`,
      ),
    ],
  };
}

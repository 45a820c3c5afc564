/** The supply found through the internal reference; what rides on the reference; and the battery under load. */
import { formatNumber, formatQuantity } from '../../numbers/format.ts';
import type { BatterySag } from '../../worksheet/batterySagOf.ts';
import { boardTemperatures } from '../../worksheet/conditionsOf.ts';
import type { ReferenceRipple } from '../../worksheet/rippleOf.ts';
import type { SupplyThroughReference } from '../../worksheet/supplyThrough.ts';
import { roundSpan, stationsBetween } from '../axes.ts';
import * as b from '../blocks.ts';
import { entry, missed, paragraph, prose, type Section, symbol } from '../blocks.ts';
import { number, type Told } from './told.ts';

const volts = (value: number, digits = 3): string => formatQuantity({ value, unit: 'V', digits });
const lsb = (value: number): string => formatQuantity({ value, unit: 'LSB' });
const count = (value: number): string => formatNumber({ value, digits: 6 });

/** Rows of the table of reference conversions: up to a few past what suffices. */
const rowsShown = 6;

/** The supply through the internal reference, and how many conversions of it suffice. */
export function supplyMeasured(t: Told, s: SupplyThroughReference): Section[] {
  const { e } = t;
  const ratio = e.worksheet.inputs.conditioning.wiring === 'ratiometric';
  if (s.code === 0) {
    return [
      {
        claim: 'The supply cannot be found through the internal reference.',
        body: [
          paragraph(
            prose`The internal reference of ${volts(s.internal)} is not below the supply of ${volts(s.supply)}.`,
          ),
        ],
      },
    ];
  }
  const { suffices } = s;
  const enough =
    suffices === 'none'
      ? 'No number of conversions lets noise add less than 1\u202f%'
      : suffices === 1
        ? 'One conversion of it suffices'
        : `${count(suffices)} conversions of it suffice`;
  const { bits, firstTransition } = e.quantizing;
  const end = suffices === 'none' ? rowsShown : Math.max(rowsShown - 1, Math.log2(suffices) + 2);
  const mV = (v: number): string => number(v * 1000);
  const steps = s.steps.slice(0, end);
  const formula = firstTransition === 1 ? 'V = V_int 2^N/(k + 0.5)' : 'V = V_int 2^N/k';
  return [
    {
      claim: `Measured through the internal reference the supply is known to ${volts(s.combined, 2)} rms. ${enough}.`,
      body: [
        paragraph(
          prose`At ${volts(s.supply)} the internal reference of ${entry('converter.internalReference.voltage')} reads ${number(s.code, 4)} of ${count(2 ** bits)}; one code more means ${volts(s.perCode)} less. Its tolerance and temperature bring ${volts(s.byReference)} rms, offset and INL ${volts(s.byConverter)}, the noise of one conversion ${volts(s.byNoise)}. The gain error of the converter cancels where the same converter then measures against this supply. ${ratio ? prose`${missed('Not for this chain:')} a ratiometric reading corrected by the supply would take on all of that for nothing.` : ''}`,
        ),
        b.inputs([
          { what: 'tolerance', value: prose`${entry('converter.internalReference.tolerance')}` },
          { what: 'temperature coefficient', value: prose`${entry('converter.internalReference.tempco')}` },
          {
            what: 'coldest board',
            value: prose`${entry('conditions.coldest')}`,
            ...(e.worksheet.inputs.conditions?.coldest ? {} : { from: '25 °C' }),
          },
          {
            what: 'warmest board',
            value: prose`${entry('conditions.warmest')}`,
            ...(e.worksheet.inputs.conditions?.warmest ? {} : { from: '25 °C' }),
          },
          {
            what: 'start-up',
            value: prose`${entry('converter.internalReference.startup')}`,
            from: 'wait so long; an earlier conversion reads the supply too high',
          },
          {
            what: 'its current',
            value: prose`${entry('converter.currents.internalReference')}`,
            from: 'left on in sleep it drains the battery',
          },
        ]),
      ],
      margin: [
        b.working({
          result: `supply ${volts(s.supply)} from code ${number(s.code, 4)}`,
          steps: [
            { formula },
            prose`In integers, with ${symbol('V')} in mV: ${firstTransition === 1 ? `(2 · ${count(Math.round(s.internal * 1000))} · ${count(2 ** bits)})/(2k + 1)` : `${count(Math.round(s.internal * 1000))} · ${count(2 ** bits)}/k`}, which fits 32 bits; take a factory’s code of the reference, if there is one, with the width and supply it was taken at.`,
            { formula: '|dV/dk| = V^2/(V_int 2^N)' },
            { formula: 'u^2 = (V u_int/V_int)^2 + (u_k |dV/dk|)^2' },
          ],
          source: 'JCGM 100:2008, 5.1.2.',
        }),
      ],
    },
    {
      body: [
        b.table({
          name: 'reference-conversions',
          claim: `${enough}${suffices === 'none' ? '.' : ': more make the supply no surer.'}`,
          text: prose`Noise and quantization of the mean, by the exact model, beside what no averaging lowers.`,
          columns: [
            { head: 'conversions' },
            { head: 'by noise', unit: 'mV rms' },
            { head: 'by the rest', unit: 'mV rms' },
            { head: 'supply', unit: 'mV rms' },
          ],
          rows: steps.map((r) => ({
            cells: [
              count(r.conversions),
              mV(r.byNoise),
              mV(Math.hypot(s.byReference, s.byConverter)),
              mV(r.combined),
            ],
            ...(r.conversions === suffices && { standing: 'recommended' as const }),
          })),
        }),
      ],
    },
  ];
}

/** What rides on the reference. */
export function rippleSection(t: Told, r: ReferenceRipple): Section {
  const { e, difference } = t;
  const { ratio } = e.averaging;
  const isRatio = e.worksheet.inputs.conditioning.wiring === 'ratiometric';
  const corner = 1 / (2 * Math.PI * e.sampling.sourceResistance * e.sampling.pinCapacitance);
  const cancels = isRatio
    ? ` Ratiometric it cancels as far as the pin follows the reference, up to about ${formatQuantity({ value: corner, unit: 'Hz', digits: 2 })}; above, it counts as here.`
    : '';
  const filter =
    r.filter === undefined
      ? ''
      : r.filter === 0
        ? ' That needs no filter.'
        : ` A low-pass of ${formatQuantity({ value: r.filter, unit: 's', digits: 2 })} at the reference would bring it to a quarter LSB; its resistor drops what the reference draws.`;
  return {
    claim:
      r.lsb === undefined
        ? `${volts(r.perLsb)} on the reference move the top code by one LSB.`
        : `Ripple on the reference moves a conversion by ${lsb(r.lsb)}, the mean of ${count(ratio)} by ${lsb(r.averagedLsb!)}.`,
    body: [
      paragraph(
        r.lsb === undefined
          ? prose`A regulator’s ripple or the dip as a radio starts is read as if the input had moved.${cancels} Write its amplitude in, if it is known; else measure in a quiet window, with the radio and the regulator’s bursts off.`
          : prose`That is ${difference(r.measurand!)} in the reading at the top of the range, ${volts(r.perLsb)} for each LSB.${cancels}${filter} A quiet window, with the radio and the regulator’s bursts off, costs nothing.`,
      ),
      b.inputs([
        {
          what: 'ripple, half of peak to peak',
          value: prose`${entry('converter.reference.ripple')}`,
          ...(r.lsb === undefined && { from: 'none counted' }),
        },
        {
          what: 'its frequency',
          value: prose`${entry('converter.reference.rippleFrequency')}`,
          ...(r.filter === undefined && { from: 'averaging is not counted on' }),
        },
      ]),
    ],
  };
}

/** The battery under load, over temperature. */
export function sagSection(t: Told, s: BatterySag): Section {
  const { e } = t;
  const amps = formatQuantity({ value: s.current, unit: 'A' });
  const ohms = (value: number): string => formatQuantity({ value, unit: 'ohm' });
  const measures = s.leastIs === 'range';
  const least = measures
    ? `the low end of the range, ${volts(s.least)}`
    : `the least reference, ${volts(s.least)}`;
  const given = e.worksheet.inputs.power?.battery?.openVoltage;
  const row = (
    what: string,
    key: 'openVoltage' | 'internalResistance' | 'coldResistance',
    otherwise: string,
  ) => ({
    what,
    value: prose`${entry(`power.battery.${key}`)}`,
    ...(e.worksheet.inputs.power?.battery?.[key] === undefined && { from: otherwise }),
  });
  const rows = b.inputs([
    row('voltage at rest, near the end', 'openVoltage', `taken: ${volts(s.rest)}`),
    row('internal resistance at 25 °C', 'internalResistance', 'unknown'),
    row('where the board is coldest', 'coldResistance', 'as at 25 °C'),
  ]);
  const tells = measures
    ? ' A divider read while nothing draws sees the voltage at rest: read it under the load, and set the limit for that.'
    : ' The voltage at rest tells nothing of that: read the supply while the load draws.';
  if (s.curve === undefined) {
    return {
      claim: `Under ${amps} the battery may have ${ohms(s.mostResistance)}, no more.`,
      body: [
        paragraph(
          prose`The largest current of a reading, ${amps} (${s.phase}), pulls a battery of ${volts(s.rest)} at rest down to ${least} if its internal resistance is ${ohms(s.mostResistance)}.${tells} A radio’s burst belongs among the phases: it draws more.`,
        ),
        rows,
      ],
    };
  }
  const curve = s.curve;
  const lowest = curve.reduce((a, p) => (p.volts < a.volts ? p : a));
  const warm = curve.at(-1)!;
  const points = curve.map((p) => [p.celsius, p.volts] as const);
  const y = roundSpan([s.rest, s.least, ...points.map((p) => p[1])]);
  const [from, to] = [curve[0]!.celsius, warm.celsius];
  const falls = lowest.volts < s.least;
  const { coldest, warmest } = boardTemperatures(e.worksheet);
  return {
    body: [
      b.plot({
        name: 'sag',
        claim: falls
          ? `Under ${amps} the battery falls to ${volts(lowest.volts)}: less than ${least}.`
          : `Under ${amps} the battery gives ${volts(lowest.volts)} at ${formatQuantity({ value: lowest.celsius, unit: 'degC' })}, ${volts(s.rest - lowest.volts)} less than at rest.`,
        text: prose`${falls ? missed('') : ''}The largest current of a reading, ${amps} (${s.phase}), through the internal resistance; up to ${ohms(s.mostResistance)} would do.${tells} A radio’s burst belongs among the phases: it draws more.`,
        description: `Battery voltage under ${amps} against temperature of the board: ${volts(points[0]![1])} at ${from} °C, ${volts(warm.volts)} at ${to} °C; at rest ${volts(s.rest)}`,
        x: { label: 'board, °C', scale: 'linear', from, to },
        y: { label: 'V', scale: 'linear', ...y },
        marks: [
          b.limit({ y: s.least, text: least, forbidden: 'below', place: 'above left' }),
          b.curve({
            name: 'at rest',
            points: [
              [from, s.rest],
              [(from + to) / 2, s.rest],
              [to, s.rest],
            ],
            style: 'second',
            label: { text: 'at rest', at: 1, place: 'along above' },
          }),
          b.curve({
            name: `under ${amps}`,
            points,
            style: 'first',
            label: {
              text: `under ${amps}`,
              at: Math.round(0.55 * (points.length - 1)),
              place: 'along below',
            },
          }),
          b.point({
            x: lowest.celsius,
            y: lowest.volts,
            standing: 'worst',
            text: `least: ${volts(lowest.volts)}`,
            place: lowest.celsius > (from + to) / 2 ? 'below left' : 'below right',
          }),
        ],
        figures: {
          heads: ['°C', 'Ω', 'V'],
          rows: stationsBetween(from, to, 5).map((c) => {
            const p = curve.reduce((a, x) => (Math.abs(x.celsius - c) < Math.abs(a.celsius - c) ? x : a));
            return [number(p.celsius), number(p.resistance), number(p.volts, 4)];
          }),
        },
      }),
      rows,
    ],
    margin: [
      b.working({
        result: volts(lowest.volts),
        steps: [
          { formula: 'V = V_0 − I R_i' },
          {
            formula: 'V = V_0 − I R',
            with: {
              V: volts(lowest.volts),
              V_0: volts(s.rest),
              I: amps,
              R: ohms(lowest.resistance),
            },
          },
          prose`Between 25\u202f°C and the coldest the resistance is taken as a straight line in its logarithm.`,
        ],
        source: 'Common practice, no source.',
      }),
      ...(given === undefined ? [paragraph(prose`At rest it is taken for ${volts(s.rest)}.`)] : []),
      ...(coldest === warmest
        ? [paragraph(prose`The board’s temperatures are not given: −20 to 40\u202f°C shown.`)]
        : []),
    ],
  };
}

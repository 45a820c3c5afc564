/** How much of the measurand one native code is worth over the range, and what the divider has to do with it. */
import { asciiQuantity, formatQuantity } from '../../numbers/format.ts';
import { unitText } from '../../numbers/units.ts';
import type { WorksheetSettings } from '../../worksheet/settingsOf.ts';
import { roundSpan, stationsBetween } from '../axes.ts';
import * as b from '../blocks.ts';
import { action, paragraph, prose, type Section, symbol } from '../blocks.ts';
import { number, type Told } from './told.ts';
import { throughWords } from './watchdogWords.ts';

/** The width of one native code over the range, and some way beyond it. */
export function codeWidth(
  { e, name, unit, small, inSmall, difference, measurand }: Told,
  { divider }: WorksheetSettings,
): Section {
  const { channel, sensor, quantizing, units } = e;
  const { low, high } = channel.range;
  const resistor = formatQuantity({ value: divider?.inSeries ?? 0, unit: 'ohm' });
  const { worst } = channel;
  const beyond = (high - low) * 0.75;
  const [from, to] = [
    Math.max(low - beyond, sensor.validRange.low),
    Math.min(high + beyond, sensor.validRange.high),
  ];
  const at = (x: number): readonly [number, number] => [x, inSmall(channel.perCode(x))];
  const line = (a: number, z: number) => Array.from({ length: 81 }, (_, i) => at(a + ((z - a) * i) / 80));
  const other = worst.measurand === high ? low : high;
  const all = line(from, to);
  const flat = channel.best.perCode > 0.999 * worst.perCode;
  return {
    body: [
      b.plot({
        name: 'slope',
        claim: `One native code is worth ${difference(worst.perCode)} ${flat ? 'throughout the range' : `at ${measurand(worst.measurand)}, the worst end`}.`,
        description: `${small} per native code against ${name}: ${difference(channel.perCode(low))} at ${measurand(low)}, ${difference(channel.perCode(high))} at ${measurand(high)}`,
        x: { label: `${name}, ${unit}`, scale: 'linear', from, to },
        y: { label: `${small} per native code`, scale: 'linear', ...roundSpan(all.map((p) => p[1])) },
        marks: [
          b.span({ from: low, to: high, height: 0.93, text: 'wanted' }),
          b.curve({ name: 'beyond', points: all, style: 'thin' }),
          b.curve({ name: `${small} per code`, points: line(low, high), style: 'first' }),
          b.point({
            x: other,
            y: at(other)[1],
            standing: 'plain',
            text: number(at(other)[1]),
            place: other === low ? 'below right' : 'below left',
          }),
          b.point({
            x: worst.measurand,
            y: at(worst.measurand)[1],
            standing: 'worst',
            text: `worst: ${number(at(worst.measurand)[1])}`,
            place: worst.measurand === low ? 'left' : 'right',
          }),
        ],
        figures: {
          heads: [unit, small],
          rows: stationsBetween(from, to, 8).map((x) => [number(x), number(at(x)[1])]),
        },
      }),
    ],
    margin: [
      b.working({
        result: `${difference(worst.perCode)} at ${measurand(worst.measurand)}`,
        steps: [
          prose`From the share ${symbol('r')} of the reference at the pin, through ${throughWords(e)}:`,
          { formula: '|dx/dk| = 1/(2^N |dr/dx|)' },
          {
            formula: '|dx/dk| = 1/(2^N g)',
            with: {
              N: String(quantizing.bits),
              g: `${number(1 / (2 ** quantizing.bits * worst.perCode), 4)}/${unitText(units.difference)}`,
            },
          },
        ],
        source: 'The sensor’s own curve, differentiated in closed form.',
      }),
      ...(divider && divider.perCode < 0.97 * divider.present
        ? [
            paragraph(
              prose`The divider favours one end. With ${resistor} the widest code would be ${difference(divider.perCode)}. ${action(
                `Try ${resistor}`,
                { 'conditioning.divider.resistor': asciiQuantity({ value: divider.inSeries, unit: 'ohm' }) },
              )}`,
            ),
          ]
        : []),
    ],
  };
}
